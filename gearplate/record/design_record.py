"""The design record: everything that a packet, a test or another program may want to know of a build."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from gearplate.checks.order import in_order
from gearplate.finding import Finding
from gearplate.layout.design import Body, BodyKind, Layout, Stack
from gearplate.layout.spec import RailSpec, Side
from gearplate.plate.spec import Hand
from gearplate.record.axial_entries import axial_entry
from gearplate.record.design import Design, Status
from gearplate.record.json_text import json_text
from gearplate.record.layout_entries import layout_entry
from gearplate.record.no_place_entry import no_place_entry
from gearplate.record.numbers import box, length, maybe, pair, pure
from gearplate.record.plate_entries import plate_entry
from gearplate.record.rating_record import strength_entry
from gearplate.record.train_entries import from_the_output, gear_entry, motor_entry, shaft_entry, train_entry
from gearplate.shop.shop import Shop

RECORD_FORMAT = "gearplate-design/1"


def design_record(design: Design) -> dict[str, Any]:
    """The record as plain lists and dicts, ready for JSON.

    Lengths in mm to 1e-6, angles in degrees. Shafts, gears, bodies and findings stand in the frame of the right-hand
    gearbox; a plate and its features in the frame of that plate's own hand. Keys that do not apply are None. Nothing
    in it depends on the machine or the time.
    """
    spec, layout = design.spec, design.layout
    written = design.status is not Status.REFUSED
    return {
        "record": RECORD_FORMAT,
        "status": design.status.value,
        "job": {
            "part": design.identity.part,
            "revision": design.identity.revision,
            "title": design.identity.title,
            "hand": hand_word(design.identity.hands),
        },
        "settings": list(design.settings),
        "drawn_units": design.drawn_unit,
        "train": train_entry(spec, layout, design.budgets, design.auto_added),
        "shafts": [shaft_entry(spec, shaft) for shaft in from_the_output(layout.shafts)] if layout else [],
        "gears": [gear_entry(gear) for gear in layout.gears] if layout else [],
        "plates": [plate_entry(cut, design.shops.get(cut.plate.side), written) for cut in design.cut_plates],
        "checks": [{"check": check, "compared": compared} for check, compared in sorted(design.checks)],
        "findings": [finding_entry(finding) for finding in in_order(design.findings)],
        "motors": [motor_entry(spec, layout, motor) for motor in spec.motors],
        "stack": stack_entry(layout.stack) if layout else None,
        "layout": layout_entry(spec, layout) if layout else None,
        "rail": rail_entry(spec.rail, layout),
        "axial": axial_entry(spec, layout) if layout else None,
        "bodies": [body_entry(body) for body in layout.bodies if body.kind is not BodyKind.PLATE] if layout else [],
        "shop": shop_entry(design.shops),
        "assumptions": [
            {"key": item.key, "value": item.value, "standing": item.standing.value, "why": item.why}
            for item in sorted(design.assumptions, key=lambda item: item.key)
        ],
        "strength": None if design.ratings is None else strength_entry(design.ratings),
        "no_place": None if design.no_place is None else no_place_entry(design.no_place),
        "solver": design.solver_note or (layout.solver_note if layout else "") or None,
    }


def rail_entry(rail: RailSpec | None, layout: Layout | None) -> dict[str, Any] | None:
    """What whoever drills the rail must know: the hole at the axle, the screws' places, holes where something of the
    plate stands proud. None without a rail."""
    if rail is None:
        return None
    places = {shaft.name: (shaft.x_mm, shaft.y_mm) for shaft in layout.shafts} if layout else {}
    reliefs = []
    for relief in rail.reliefs:
        x, y = places.get(relief.shaft, (0.0, 0.0)) if relief.shaft is not None else (0.0, 0.0)
        reliefs.append(
            {
                "x_mm": length(x + relief.x_mm),
                "y_mm": length(y + relief.y_mm),
                "diameter_mm": length(relief.diameter_mm),
            }
        )
    return {
        "mount": rail.mount.value,
        "height_mm": length(rail.height_mm),
        "width_mm": length(rail.width_mm),
        "wall_mm": length(rail.wall_mm),
        "axle_from_bottom_mm": length(rail.axle_from_bottom_mm),
        "axle_hole_mm": length(rail.axle_hole_mm),
        "screw": rail.screw.name,
        "screw_hole_mm": length(rail.screw.normal_mm),
        "screws": [[length(x), length(y)] for x, y in layout.rail_holes] if layout else [],
        "reliefs": reliefs,
    }


def encoded(record: dict[str, Any]) -> bytes:
    """The bytes of a record."""
    return json_text(record).encode("ascii")


def hand_word(hands: tuple[Hand, ...]) -> str:
    """ "right", "left" or "both"."""
    return "both" if len(set(hands)) > 1 else hands[0].value


def finding_entry(finding: Finding) -> dict[str, Any]:
    """One finding; what a remedy sets is a table from dotted job key to value, null for a key that goes.

    `drop` lists those that go by themselves, as a job's own `drop` does; `--set KEY=null` takes one out too.
    """
    where, remedy = finding.where, finding.remedy
    return {
        "check": finding.check,
        "severity": finding.severity.value,
        "where": {
            "plate": where.plate,
            "shafts": list(where.shafts),
            "features": list(where.features),
            "x_mm": maybe(where.x_mm),
            "y_mm": maybe(where.y_mm),
        },
        "measured": maybe(finding.measured),
        "limit": maybe(finding.limit),
        "unit": finding.unit,
        "standing": finding.standing.value,
        "message": finding.message,
        "remedy": None
        if remedy is None
        else {
            "text": remedy.text,
            "set": {key: plain(value) for key, value in remedy.set},
            "drop": [key for key, value in remedy.set if value is None],
            "tried": remedy.tried,
        },
    }


def plain(value: object) -> Any:
    """A value of a job as JSON has it; what JSON has no word for (an exact fraction) becomes text."""
    if isinstance(value, Mapping):
        return {str(key): plain(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [plain(item) for item in value]
    if isinstance(value, float):
        return length(value)
    return value if value is None or isinstance(value, bool | int | str) else str(value)


def stack_entry(stack: Stack) -> dict[str, Any]:
    """Where everything stands along z: 0 is the outboard plate's outer face, z points toward the wheel."""
    return {
        "outboard_z_mm": pair(stack.outboard),
        "inboard_z_mm": pair(stack.inboard),
        "gap_mm": length(stack.gap_mm),
        "stage_planes_mm": [pair(plane) for plane in stack.stage_planes],
        "rail_z_mm": pair(stack.rail),
        "wheel_z_mm": pair(stack.wheel),
    }


def body_entry(body: Body) -> dict[str, Any]:
    """One body: a disc or a box with its extent along z. Of a square one `diameter_mm` is across its corners, and
    `square_mm` its side, with corners of `corner_mm`, across `angle_deg`; null for others."""
    disc = body.box is None
    square = disc and not body.round_in_plane and body.angle_rad is not None
    return {
        "name": body.name,
        "kind": body.kind.value,
        "shaft": body.shaft,
        "group": body.group or None,
        "turns": body.turns,
        "x_mm": length(body.x_mm),
        "y_mm": length(body.y_mm),
        "diameter_mm": length(2.0 * body.radius_mm) if disc else None,
        "box_mm": None if body.box is None else box(body.box),
        "square_mm": length(2.0 * (body.core_mm + body.rounding_mm)) if square else None,
        "corner_mm": length(body.rounding_mm) if square else None,
        "angle_deg": length(math.degrees(body.angle_rad)) if square and body.angle_rad is not None else None,
        "z_mm": [length(body.z0_mm), length(body.z1_mm)],
    }


def shop_entry(shops: Mapping[Side, Shop]) -> dict[str, Any]:
    """The cutter, and for each plate the material with what was measured on it."""
    made_on = [shops[side] for side in Side if side in shops]
    cutter = made_on[0].cutter if made_on else None
    return {
        "cutter": None if cutter is None else cutter.name,
        "process": None if cutter is None else cutter.process,
        "bed_mm": None if cutter is None else [length(cutter.bed_x_mm), length(cutter.bed_y_mm)],
        "machine_compensates": None if cutter is None else cutter.compensates,
        "standing": None if cutter is None else cutter.standing.value,
        "scale": [pure(made_on[0].scale_x), pure(made_on[0].scale_y)] if made_on else None,
        "materials": [material_entry(side, shops[side]) for side in Side if side in shops],
    }


def material_entry(side: Side, shop: Shop) -> dict[str, Any]:
    """The material of one plate, and the calibration that its kerf and fits come from."""
    material, calibration = shop.material, shop.calibration
    return {
        "plate": side.value,
        "material": material.name,
        "family": material.family,
        "cautions": list(material.cautions),
        "calibrated": calibration.dated,
        "measured_by": calibration.measured_by,
        "standing": calibration.standing.value,
        "kerf_standing": shop.kerf_standing.value,
        "kerf_spread_mm": length(shop.kerf.sigma_mm),
        "fits_mm": {seat: length(allowance) for seat, allowance in calibration.fits},
    }
