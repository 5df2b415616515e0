"""The force of every mesh with its true direction, and what acts on each shaft. N, mm, N mm.

Contact runs along the line of action: the force on the driven gear is F = T / r_base of the driver, pointing to where
the driver's teeth move at the pitch point and leaning by the working pressure angle away from the driver; the driver
feels the opposite. An idler in line thus feels two forces of one size that add along the direction of motion. Losses in
an idler's own two meshes are left out: the stage's efficiency is taken once, behind it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from gearplate.drive.chain import pitch_diameter_mm
from gearplate.layout.design import Layout, PlacedMesh
from gearplate.rating.duty import ChainPull
from gearplate.rating.loads import DriveLoads


@dataclass(frozen=True, slots=True)
class MeshForce:
    """One mesh under load: the whole tooth force, its tangential part along the working circle, and the force that the
    driven gear feels (x, y); the driver feels its opposite. `driver_turns`: +1 counter-clockwise seen from the wheel.
    `z_mm`: where it acts; `face_mm`: over how much face width; `torque_n_mm`: through the driver in this mesh."""

    mesh: PlacedMesh
    torque_n_mm: float
    whole_n: float
    tangential_n: float
    x_n: float
    y_n: float
    z_mm: float
    face_mm: float
    driver_turns: int


def forward_turn(name: str, layout: Layout) -> int:
    """Which way a shaft turns while the machine drives forward: +1 counter-clockwise seen from the wheel's side.

    The wheel stands on the floor and rolls toward x: the output turns clockwise, and every mesh turns the sense.
    """
    turn, at = -1, name
    towards = {mesh.driver.shaft: mesh.driven.shaft for mesh in layout.meshes}
    while at in towards:
        turn, at = -turn, towards[at]
    return turn


def mesh_forces(layout: Layout, loads: DriveLoads, sense: int = 1) -> tuple[MeshForce, ...]:
    """The force of every mesh in the hardest push, forward (`sense` 1) or backward (-1)."""
    own = {motor.name: motor.torque_n_mm for motor in loads.motors}
    # through an idler chain the tooth force stays: keep it by the shaft that hands it on
    handed: dict[str, float] = {}
    found: list[MeshForce] = []
    for mesh in layout.meshes:
        driver, driven = mesh.driver, mesh.driven
        base_mm = (
            0.5 * driver.gear.teeth * driver.gear.system.module_mm * math.cos(driver.gear.system.pressure_angle_rad)
        )
        if driver.shaft in own:
            torque = own[driver.shaft]
        elif driver.shaft.startswith("I"):
            torque = handed[driver.shaft] * base_mm
        else:
            torque = loads.stage_n_mm[mesh.stage - 1]
        whole = torque / base_mm
        if driven.shaft.startswith("I"):
            handed[driven.shaft] = handed.get(driven.shaft, 0.0) + whole
        a, b = layout.shaft(driver.shaft), layout.shaft(driven.shaft)
        away = math.hypot(b.x_mm - a.x_mm, b.y_mm - a.y_mm)
        ux, uy = (b.x_mm - a.x_mm) / away, (b.y_mm - a.y_mm) / away
        turns = sense * forward_turn(driver.shaft, layout)
        lean = math.radians(mesh.mesh.working_pressure_angle_deg)
        along, out = whole * math.cos(lean), whole * math.sin(lean)
        z0, z1 = max(driver.z0_mm, driven.z0_mm), min(driver.z1_mm, driven.z1_mm)
        found.append(
            MeshForce(
                mesh=mesh,
                torque_n_mm=torque,
                whole_n=whole,
                tangential_n=along,
                x_n=along * turns * -uy + out * ux,
                y_n=along * turns * ux + out * uy,
                z_mm=0.5 * (z0 + z1),
                face_mm=max(z1 - z0, 0.0),
                driver_turns=turns,
            )
        )
    return tuple(found)


@dataclass(frozen=True, slots=True)
class Push:
    """A force on a shaft at z; `torque_n_mm`: what it puts into the shaft about its axis, + counter-clockwise."""

    what: str
    z_mm: float
    x_n: float
    y_n: float
    torque_n_mm: float = 0.0


def pushes_on(shaft: str, forces: tuple[MeshForce, ...]) -> tuple[Push, ...]:
    """What the meshes do to one shaft."""
    found = []
    for force in forces:
        mesh = force.mesh
        driver, driven = mesh.driver, mesh.driven
        if shaft == driver.shaft:
            name = f"{driver.gear.teeth}T driving {driven.shaft} {driven.gear.teeth}T"
            found.append(Push(name, force.z_mm, -force.x_n, -force.y_n, -force.driver_turns * force.torque_n_mm))
        elif shaft == driven.shaft:
            base = 0.5 * driven.gear.teeth * driven.gear.system.module_mm
            torque = force.whole_n * base * math.cos(driven.gear.system.pressure_angle_rad)
            name = f"{driven.gear.teeth}T driven by {driver.shaft} {driver.gear.teeth}T"
            found.append(Push(name, force.z_mm, force.x_n, force.y_n, -force.driver_turns * torque))
    return tuple(found)


def chain_share(loads: DriveLoads, load_share: float, shock: float, chain: ChainPull | None) -> float:
    """The share of the output's torque that leaves by chain: what the job says, and more where the wheel on the axle
    would slip: it pushes with no more than friction times its own load, T (1 - share) / r <= mu W. Without a chain
    nothing leaves by one, whatever the wheel grips: where the rest goes and how that pulls is not known."""
    torque = loads.output_n_mm * load_share
    if chain is None or torque <= 0.0:
        return 0.0 if chain is None else chain.share
    return max(chain.share, 1.0 - loads.wheel_grip_n * shock * loads.wheel_radius_mm / torque)


def wheel_push(
    layout: Layout, loads: DriveLoads, load_share: float, shock: float, sense: int, chain: ChainPull | None = None
) -> Push:
    """The floor on the wheel: its weight up (times `shock`), and the push of the driven torque that no chain takes."""
    wheel = layout.stack.wheel
    torque = loads.output_n_mm * load_share * (1.0 - chain_share(loads, load_share, shock, chain))
    return Push(
        "wheel",
        0.5 * (wheel[0] + wheel[1]),
        sense * torque / loads.wheel_radius_mm,
        loads.wheel_weight_n * shock,
        sense * torque,
    )


def chain_push(
    layout: Layout, loads: DriveLoads, load_share: float, shock: float, sense: int, chain: ChainPull, along: int
) -> Push:
    """The tight side of a chain that runs level to a wheel ahead (`along` 1) or behind (-1): its pull T / (PD / 2).

    The sprocket is taken in the middle of the rail, where chains run; without a rail half-way to the wheel.
    """
    torque = loads.output_n_mm * load_share * chain_share(loads, load_share, shock, chain)
    pull = torque / (pitch_diameter_mm(chain.pitch_mm, chain.teeth) / 2.0)
    z0, z1 = layout.stack.rail or (layout.stack.outboard[1], layout.stack.wheel[0])
    return Push("chain", 0.5 * (z0 + z1), along * pull, 0.0, sense * torque)
