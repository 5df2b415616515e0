"""The record's part on the axial stack: what sits where on each shaft, what is cut to length, which screws."""

from __future__ import annotations

from typing import Any

from gearplate.layout.axial.parts import AxialPart, PinionPlan, PostPlan, ScrewPlan, ShaftPlan
from gearplate.layout.axial.plan import axial_plan
from gearplate.layout.design import Layout
from gearplate.layout.spec import LayoutSpec, Role
from gearplate.record.numbers import length, maybe


def axial_entry(spec: LayoutSpec, layout: Layout) -> dict[str, Any]:
    """Shafts with their parts in order of z, pinions, posts and screws; lengths in mm, float shared by both ends."""
    plan = axial_plan(spec, layout)
    output_first = sorted(plan.shafts, key=lambda shaft: (shaft.role is not Role.OUTPUT, shaft.name))
    return {
        "shafts": [shaft_axial(spec, shaft) for shaft in output_first],
        "pinions": [pinion_axial(pinion) for pinion in plan.pinions],
        "posts": [post_axial(post) for post in plan.posts],
        "screws": [screw_axial(screw) for screw in plan.screws],
    }


def shaft_axial(spec: LayoutSpec, shaft: ShaftPlan) -> dict[str, Any]:
    """One shaft: how it is cut, and every part on it. The outside of a part is a diameter."""
    return {
        "shaft": shaft.name,
        "stock": spec.shaft(shaft.name).stock.name,
        "across_mm": length(spec.shaft(shaft.name).stock.section.corners_mm),
        "cut_length_mm": length(shaft.length_mm),
        "z_mm": [length(shaft.z0_mm), length(shaft.z1_mm)],
        "float_mm": None if shaft.bench else length(shaft.float_mm),  # set on the bench
        "held_by": shaft.held_by,
        "parts": [part_axial(part) for part in shaft.parts],
    }


def part_axial(part: AxialPart) -> dict[str, Any]:
    """One part; `stacked`: it bears on its neighbours, and is not only passed."""
    return {
        "kind": part.kind.value,
        "name": part.name,
        "z_mm": [length(part.z0_mm), length(part.z1_mm)],
        "length_mm": length(part.length_mm),
        "outside_mm": length(part.outside_mm),
        "stacked": part.stacked,
    }


def pinion_axial(pinion: PinionPlan) -> dict[str, Any]:
    """Where a pinion sits, counted from its motor's face."""
    return {
        "motor": pinion.motor,
        "from_face_mm": [length(pinion.from_mm), length(pinion.to_mm)],
        "motor_shaft_mm": length(pinion.shaft_length_mm),
        "held_mm": length(pinion.held_mm),
        "shaft_past_mm": length(pinion.past_mm),
    }


def post_axial(post: PostPlan) -> dict[str, Any]:
    """Standoffs or tubes of one length."""
    return {
        "what": post.what,
        "count": post.count,
        "cut_length_mm": length(post.length_mm),
        "outside_mm": length(post.outside_mm),
        "tapped_mm": maybe(post.tapped_mm),
    }


def screw_axial(plan: ScrewPlan) -> dict[str, Any]:
    """Screws of one length; `on_hand` false: no such length in the table, to be cut."""
    return {
        "what": plan.what,
        "motors": list(plan.whom),
        "screw": plan.screw.name,
        "inch": plan.screw.threads_per_in is not None,
        "length_mm": length(plan.length_mm),
        "count": plan.count,
        "nuts": plan.count if plan.nut else 0,
        "washers": plan.washers,
        "grip_mm": length(plan.grip_mm),
        "engaged_mm": length(plan.engaged_mm),
        "thread_mm": maybe(plan.thread_mm),
        "on_hand": plan.stock,
    }
