"""In which direction the teeth push each shaft on the whole: where a lead-in must not leave its mark."""

from __future__ import annotations

import math

from gearplate.layout.design import Layout


def load_directions(layout: Layout) -> dict[str, float]:
    """Direction (radians in the frame) in which each shaft is pushed, taken over both ways of turning.

    A drive turns both ways, and the force along the teeth turns with it. What stays is the separating force
    F tan(working angle), which pushes the two shafts of a mesh apart. F follows from the torques, every motor giving
    the same. Shafts that are pushed equally from all round have no direction and are left out. Where a shaft has two
    gears, their forces are simply added; how they share out between the two plates is left out.
    """
    torque: dict[str, float] = {}
    push: dict[str, list[float]] = {}
    for mesh in sorted(layout.meshes, key=lambda mesh: mesh.stage):
        driver, driven = mesh.driver, mesh.driven
        along = torque.get(driver.shaft, 1.0) / driver.gear.teeth  # in units of torque per tooth
        torque[driven.shaft] = torque.get(driven.shaft, 0.0) + along * driven.gear.teeth
        a, b = layout.shaft(driver.shaft), layout.shaft(driven.shaft)
        away = math.hypot(b.x_mm - a.x_mm, b.y_mm - a.y_mm)
        if away == 0.0:
            continue
        apart = along / driver.gear.system.module_mm * math.tan(driver.gear.system.pressure_angle_rad)
        ux, uy = (b.x_mm - a.x_mm) / away, (b.y_mm - a.y_mm) / away
        for name, sign in ((a.name, -1.0), (b.name, 1.0)):
            sums = push.setdefault(name, [0.0, 0.0, 0.0])
            sums[0] += sign * apart * ux
            sums[1] += sign * apart * uy
            sums[2] += apart
    return {
        name: math.atan2(y, x) for name, (x, y, whole) in push.items() if math.hypot(x, y) > 1e-6 * max(whole, 1e-300)
    }
