"""The axial plan of a finished layout. Pure arithmetic; well under a millisecond."""

from __future__ import annotations

from gearplate.layout.axial.parts import AxialPlan, PinionPlan
from gearplate.layout.axial.screws import post_plans, screw_plans
from gearplate.layout.axial.shaft_stack import shaft_plan
from gearplate.layout.bodies import motor_face
from gearplate.layout.design import Layout
from gearplate.layout.spec import LayoutSpec


def axial_plan(spec: LayoutSpec, layout: Layout) -> AxialPlan:
    """Every shaft's chain of parts, the pinions' places, posts and screws."""
    screws = screw_plans(spec, layout)
    return AxialPlan(
        shafts=tuple(shaft_plan(spec, layout, shaft) for shaft in spec.shafts),
        pinions=tuple(_pinions(spec, layout)),
        posts=post_plans(spec, layout, screws),
        screws=screws,
    )


def _pinions(spec: LayoutSpec, layout: Layout) -> list[PinionPlan]:
    found = []
    for motor in spec.motors:
        face, into = motor_face(layout.stack, motor)
        for gear in layout.gears:
            if gear.shaft == motor.name:
                near, far = sorted((into * (gear.z0_mm - face), into * (gear.z1_mm - face)))
                length = motor.motor.shaft_length_mm
                held = min(max(length - near, 0.0), far - near)
                boss = motor.motor.face.pilot_height_mm
                found.append(PinionPlan(motor.name, near, far, length, held, length - far, near - boss))
    return found
