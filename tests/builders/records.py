"""A design record made by hand: a three-motor drive, worked out without any code of gearplate.

The garden's compost rover: 12-tooth pinions on a 72-tooth gear, 32 teeth on 60 at the wheel, diametral pitch 20.
The places follow from the centre distances (12 + 72) / 40 in and (32 + 60) / 40 in, each with 0.05 mm added, and from
angles chosen by hand; the plates are the convex hulls of discs round their holes. All data is invented.
"""

from __future__ import annotations

import copy
import functools
import math
from typing import Any

MARGIN = 8.0
OUTBOARD_Z, INBOARD_Z = (-6.35, 0.0), (-44.0, -37.65)
GAP = (-37.65, -6.35)
PLANES = ((-21.05, -8.35), (-35.65, -22.95))
S1 = (58.47 * math.cos(math.radians(115)), 58.47 * math.sin(math.radians(115)))
MOTORS = {"M1": (170.0, "outboard"), "M2": (40.0, "outboard"), "M3": (100.0, "inboard")}
STANDOFFS = ((-92.0, 34.0), (50.0, 52.0), (14.0, 122.0))
RAIL_HOLES = ((-58.0, 12.0), (-58.0, -12.0), (58.0, 12.0), (58.0, -15.0))


def motor_place(name: str) -> tuple[float, float]:
    angle = math.radians(MOTORS[name][0])
    return S1[0] + 53.39 * math.cos(angle), S1[1] + 53.39 * math.sin(angle)


def hull(discs: list[tuple[float, float, float]]) -> list[list[float]]:
    """Vertices (x, y, bulge) of the convex hull of discs of about one size, by walking from tangent to tangent."""
    steps = 7200
    seen: list[int] = []
    for step in range(steps):
        a = 2 * math.pi * step / steps
        best = max(range(len(discs)), key=lambda i: discs[i][0] * math.cos(a) + discs[i][1] * math.sin(a) + discs[i][2])
        if not seen or seen[-1] != best:
            seen.append(best)
    if len(seen) > 1 and seen[0] == seen[-1]:
        seen.pop()
    if len(seen) == 1:
        x, y, r = discs[seen[0]]
        return [[x + r, y, 1.0], [x - r, y, 1.0]]
    normals = []
    for i, j in zip(seen, seen[1:] + seen[:1], strict=True):
        (x0, y0, r0), (x1, y1, r1) = discs[i], discs[j]
        d = math.hypot(x1 - x0, y1 - y0)
        normals.append(math.atan2(y1 - y0, x1 - x0) - math.acos((r0 - r1) / d))
    vertices = []
    for k, i in enumerate(seen):
        x, y, r = discs[i]
        before, after = normals[k - 1], normals[k]
        sweep = (after - before) % (2 * math.pi)
        vertices.append([x + r * math.cos(before), y + r * math.sin(before), math.tan(sweep / 4)])
        vertices.append([x + r * math.cos(after), y + r * math.sin(after), 0.0])
    return vertices


def circle_feature(
    id: str, kind: str, shaft: str | None, place: tuple[float, float], diameter: float, fit: float, sign: int
) -> dict[str, Any]:
    x, y = sign * place[0], place[1]
    finished, r = diameter + fit, (diameter + fit) / 2
    return {
        "id": id, "kind": kind, "form": "circle", "shaft": shaft, "x_mm": x, "y_mm": y,
        "finished_diameter_mm": finished, "path_diameter_mm": finished - 0.2, "length_mm": None, "angle_deg": None,
        "area_mm2": math.pi * r * r, "bbox_mm": [x - r, y - r, x + r, y + r],
        "part_diameter_mm": diameter, "fit_mm": fit, "fit_class": None, "seat": "free",
        "wide_face_diameter_mm": finished + 0.05, "shared": kind in ("standoff", "rail_hole", "bearing_bore"),
        "loaded": False, "lead_in": False, "lead_in_points_mm": None, "fault": None, "vertices": None,
    }  # fmt: skip


def slot_feature(
    id: str,
    kind: str,
    shaft: str | None,
    place: tuple[float, float],
    width: float,
    length: float,
    angle: float,
    sign: int,
) -> dict[str, Any]:
    """A slot `length` between its end centres, along `angle` degrees in the right hand's frame."""
    x, y = sign * place[0], place[1]
    a = math.radians(angle if sign > 0 else 180 - angle)
    ux, uy, r, h = math.cos(a), math.sin(a), width / 2, length / 2
    ends = [(x + s * h * ux, y + s * h * uy) for s in (-1, 1)]
    (x0, y0), (x1, y1) = ends
    vertices = [[x0 + r * uy, y0 - r * ux, 0.0], [x1 + r * uy, y1 - r * ux, 1.0],
                [x1 - r * uy, y1 + r * ux, 0.0], [x0 - r * uy, y0 + r * ux, 1.0]]  # fmt: skip
    return {
        **circle_feature(id, kind, shaft, place, width, 0.0, sign),
        "form": "slot", "length_mm": length, "angle_deg": math.degrees(a) % 180, "vertices": vertices,
        "area_mm2": math.pi * r * r + length * width,
        "bbox_mm": [min(x0, x1) - r, min(y0, y1) - r, max(x0, x1) + r, max(y0, y1) + r],
    }  # fmt: skip


def window_feature(id: str, place: tuple[float, float], width: float, height: float, sign: int) -> dict[str, Any]:
    x, y = sign * place[0], place[1]
    w, h = width / 2, height / 2
    return {
        **circle_feature(id, "window", None, place, 1.0, 0.0, sign),
        "form": "window", "finished_diameter_mm": None, "path_diameter_mm": None, "part_diameter_mm": None,
        "fit_mm": None, "wide_face_diameter_mm": None,
        "area_mm2": width * height, "bbox_mm": [x - w, y - h, x + w, y + h],
        "vertices": [[x - w, y - h, 0.0], [x + w, y - h, 0.0], [x + w, y + h, 0.0], [x - w, y + h, 0.0]],
    }  # fmt: skip


def plate_features(side: str, sign: int) -> list[dict[str, Any]]:
    features = [
        circle_feature("output-bore", "bearing_bore", "output", (0.0, 0.0), 28.575, -0.04, sign),
        circle_feature("S1-bore", "bearing_bore", "S1", S1, 22.0, -0.04, sign),
    ]
    for name, (angle, on) in MOTORS.items():
        if on != side:
            continue
        x, y = motor_place(name)
        features.append(circle_feature(f"{name}-pilot", "motor_pilot", name, (x, y), 13.0, 0.1, sign))
        for i, turn in enumerate((90.0, 270.0)):
            a = math.radians(angle + turn)
            at = (x + 12.5 * math.cos(a), y + 12.5 * math.sin(a))
            features.append(circle_feature(f"{name}-screw-{i + 1}", "motor_screw", name, at, 3.4, 0.05, sign))
    for i, at in enumerate(STANDOFFS):
        features.append(circle_feature(f"standoff-{i + 1}", "standoff", None, at, 5.2, 0.05, sign))
    for i, at in enumerate(RAIL_HOLES):
        features.append(circle_feature(f"rail-{i + 1}", "rail_hole", None, at, 5.2, 0.05, sign))
    if side == "outboard":
        features.append(slot_feature("sensor", "own", None, (32.0, 36.0), 4.0, 10.0, 30.0, sign))
    else:
        features.append(window_feature("window-1", (-62.0, 42.0), 16.0, 12.0, sign))
    return features


@functools.cache  # `record` hands out copies
def plate(side: str, hand: str) -> dict[str, Any]:
    sign = 1 if hand == "right" else -1
    features = plate_features(side, sign)
    discs = [(f["x_mm"], f["y_mm"], f["finished_diameter_mm"] / 2 + MARGIN) for f in features if f["form"] == "circle"]
    outline = hull(discs)
    x0, y0 = min(x - r for x, _, r in discs), min(y - r for _, y, r in discs)
    x1, y1 = max(x + r for x, _, r in discs), max(y + r for _, y, r in discs)
    turned = side == "inboard"
    sheet = -1 if turned else 1
    enclosed = 14000.0
    thickness = 6.35
    left = enclosed - sum(f["area_mm2"] for f in features)
    drawn_x = [sheet * x0, sheet * x1]
    return {
        "plate": side, "hand": hand, "file": f"compost-drive-A-{side}-{hand}-acetal-6.35mm-inch.dxf",
        "face_up": side if side == "outboard" else "inboard",
        "material": "acetal-6mm", "thickness_mm": thickness, "kerf_mm": 0.2,
        "outline": {"area_mm2": enclosed, "bbox_mm": [x0, y0, x1, y1], "vertices": outline},
        "features": features,
        "nominal_thickness_mm": 6.0, "thickness_measured": True, "kerf_x_mm": 0.2, "kerf_y_mm": 0.2,
        "scale_x": 1.0, "scale_y": 1.0, "taper_mm_per_mm": 0.008, "machine_compensates": False,
        "turned": turned, "fits_both_hands": False,
        "drawn": {
            "bbox_mm": [min(drawn_x) - 0.1, y0 - 0.1, max(drawn_x) + 0.1, y1 + 0.1],
            "size_mm": [x1 - x0 + 0.2, y1 - y0 + 0.2], "cut_length_mm": 1380.0, "pierces": len(features) + 1,
        },
        "area_left_mm2": left, "mass_kg": left * thickness * 1415e-9, "mass_saved_kg": 0.0,
        "marks": [
            _mark("name", "COMPOST-DRIVE A", sheet * sign * -28.0, 20.0),
            _mark("S1", "S1", sheet * sign * S1[0], 38.0),
        ],
        "outline_fault": None, "marks_left_out": [],
    }  # fmt: skip


def _mark(id: str, text: str, x: float, y: float) -> dict[str, Any]:
    """Strokes that stand in for letters: an upright box for each."""
    strokes = []
    start = x - 1.25 * len(text)
    for i, letter in enumerate(text):
        if letter != " ":
            a, b = start + 2.5 * i, start + 2.5 * i + 1.8
            strokes.append([[a, y - 1.5], [b, y - 1.5], [b, y + 1.5], [a, y + 1.5], [a, y - 1.5]])
    return {"id": id, "text": text, "strokes_mm": strokes}


def disc(
    name: str,
    kind: str,
    shaft: str | None,
    at: tuple[float, float],
    diameter: float,
    z: tuple[float, float],
    turns: bool = False,
    group: str | None = None,
) -> dict[str, Any]:
    return {
        "name": name, "kind": kind, "shaft": shaft, "group": group, "turns": turns, "x_mm": at[0], "y_mm": at[1],
        "diameter_mm": diameter, "box_mm": None, "square_mm": None, "corner_mm": None, "angle_deg": None,
        "z_mm": [min(z), max(z)],
    }  # fmt: skip


def gears() -> list[dict[str, Any]]:
    def gear(shaft: str, stage: int, teeth: int) -> dict[str, Any]:
        return {
            "shaft": shaft, "stage": stage, "teeth": teeth, "tip_diameter_mm": 1.27 * (teeth + 2),
            "face_width_mm": 12.7,
            "z_mm": list(PLANES[stage - 1]), "module_mm": 1.27, "reference_diameter_mm": 1.27 * teeth,
            "profile_shift": 0.0, "catalogue": None,
        }  # fmt: skip

    return [*(gear(name, 1, 12) for name in MOTORS), gear("S1", 1, 72), gear("S1", 2, 32), gear("output", 2, 60)]


def bodies() -> list[dict[str, Any]]:
    places = {"output": (0.0, 0.0), "S1": S1, **{name: motor_place(name) for name in MOTORS}}
    made = [
        disc("output", "shaft", "output", (0.0, 0.0), 14.66, (-50.0, 75.5), True),
        disc("S1", "shaft", "S1", S1, 14.66, (-44.0, 0.0), True),
    ]
    for gear in gears():
        name, z = f"{gear['shaft']} {gear['teeth']}T", (gear["z_mm"][0], gear["z_mm"][1])
        made.append(disc(name, "gear", gear["shaft"], places[gear["shaft"]], gear["tip_diameter_mm"], z, True))
    for name, (angle, side) in MOTORS.items():
        outboard = side == "outboard"
        z = (0.0, 70.0) if outboard else (-114.0, -44.0)
        made.append(disc(name, "motor", name, places[name], 37.0, z, False, name))
        for i, turn in enumerate((90.0, 270.0)):
            a = math.radians(angle + turn)
            at = (places[name][0] + 12.5 * math.cos(a), places[name][1] + 12.5 * math.sin(a))
            z = (-9.35, -6.35) if outboard else (-37.65, -34.65)
            made.append(disc(f"{name} screw {i + 1} head", "screw head", name, at, 5.5, z, False, name))
    for i, at in enumerate(STANDOFFS):
        made.append(disc(f"standoff-{i + 1}", "standoff", None, at, 12.7, GAP, False, f"standoff-{i + 1}"))
    for i, at in enumerate(RAIL_HOLES):
        made.append(disc(f"rail-{i + 1}", "rail spacer", None, at, 12.7, GAP, False, f"rail-{i + 1}"))
    made.append(disc("wheel", "wheel", "output", (0.0, 0.0), 101.6, (44.1, 69.5), True, "wheel"))
    made.append(
        {
            **disc("rail", "rail", None, (0.0, 0.0), 0.0, (0.0, 38.1), False, "rail"),
            "diameter_mm": None,
            "box_mm": [-1e4, -25.4, 1e4, 25.4],
        }
    )
    return made


def meshes() -> list[dict[str, Any]]:
    def mesh(stage: int, driver: str, driven: str, z1: int, z2: int) -> dict[str, Any]:
        reference = 1.27 * (z1 + z2) / 2
        return {
            "stage": stage, "driver_shaft": driver, "driven_shaft": driven, "driver_teeth": z1, "driven_teeth": z2,
            "module_mm": 1.27, "pressure_angle_deg": 20.0, "profile_shift": [0.0, 0.0], "tooth_thinning_mm": [0.0, 0.0],
            "added_centre_mm": 0.05, "centre_mm": reference + 0.05, "working_pressure_angle_deg": 20.147,
            "backlash_mm": 0.0364, "contact_ratio": 1.61, "reference_centre_mm": reference,
            "zero_backlash_centre_mm": reference, "contact_ratio_formula": 1.62, "tip_clearance_mm": [0.3675, 0.3675],
            "interference": [],
            "play": None,
        }  # fmt: skip

    return [*(mesh(1, name, "S1", 12, 72) for name in MOTORS), mesh(2, "S1", "output", 32, 60)]


def shafts() -> list[dict[str, Any]]:
    def seat(name: str, outside: float) -> dict[str, Any]:
        return {
            "bearing": name,
            "outside_mm": outside,
            "width_mm": 7.938,
            "flanged": True,
            "pressed_from": "gap",
            "retained": False,
        }

    def shaft(
        name: str, role: str, at: tuple[float, float], free: bool, bearing: dict[str, Any] | None
    ) -> dict[str, Any]:
        return {
            "name": name, "role": role, "x_mm": at[0], "y_mm": at[1], "free": free,
            "stock": None if bearing is None else "hex-1/2-in", "turns": True,
            "bearings": {"outboard": bearing, "inboard": bearing}, "carried_by": "plates" if name == "output" else None,
        }  # fmt: skip

    return [
        shaft("output", "output", (0.0, 0.0), False, seat("hex-1/2-in-flanged", 28.575)),
        shaft("S1", "intermediate", S1, True, seat("608", 22.0)),
        *(shaft(name, "motor", motor_place(name), True, None) for name in MOTORS),
    ]


def finding(
    check: str = "gear-to-body", severity: str = "error", at: tuple[float, float] | None = (-4.0, 47.0),
    measured: float | None = -0.412,
    limit: float | None = 1.0, message: str = "The 72-tooth gear of S1 runs into standoff-2.", tried: bool = True,
    plate: str | None = None, set: dict[str, Any] | None = None,
) -> dict[str, Any]:  # fmt: skip
    return {
        "check": check, "severity": severity,
        "where": {
            "plate": plate, "shafts": ["S1"], "features": ["standoff-2"], "x_mm": at and at[0], "y_mm": at and at[1],
        },
        "measured": measured, "limit": limit, "unit": "mm", "standing": "common practice, no source",
        "message": message,
        "remedy": {
            "text": "Turn S1 to 118 degrees.", "set": {"places.S1.angle": 118} if set is None else set, "drop": [],
            "tried": tried,
        },
    }  # fmt: skip


def record(hand: str = "right", status: str = "ok", **changes: Any) -> dict[str, Any]:
    """The whole record; `changes` replace top-level keys, keys of "job" are given as job_KEY."""
    hands = ("right", "left") if hand == "both" else (hand,)
    places = [copy.deepcopy(plate(side, one)) for one in hands for side in ("outboard", "inboard")]
    if status == "refused":
        for one in places:
            one["file"] = None
    if status == "draft":
        for one in places:
            one["file"] = f"DRAFT-{one['file']}"
    job = {"part": "compost-drive", "revision": "A", "title": "Drive of the compost rover", "hand": hand}
    job |= {key.removeprefix("job_"): changes.pop(key) for key in list(changes) if key.startswith("job_")}
    made = {
        "record": "gearplate-design/1",
        "status": status,
        "job": job,
        "settings": [],
        "drawn_units": "inch",
        "train": {"ratio": 72 / 12 * 60 / 32, "meshes": meshes(), "auto_added": []},
        "shafts": shafts(),
        "gears": gears(),
        "plates": places,
        "checks": [{"check": "gear-to-body", "compared": 48}, {"check": "mesh-centre", "compared": 4},
                   {"check": "web", "compared": 160}],
        "findings": [],
        "motors": [
            {
                "name": name, "type": "generic-a", "side": side, "pinion_teeth": 12, "ratio": 11.25, "screws_used": 2,
                "clocking_deg": (angle + 90.0) % 360,
            }
            for name, (angle, side) in MOTORS.items()
        ],
        "layout": None,
        "stack": {
            "outboard_z_mm": list(OUTBOARD_Z), "inboard_z_mm": list(INBOARD_Z), "gap_mm": 31.3,
            "stage_planes_mm": [list(plane) for plane in PLANES], "rail_z_mm": [0.0, 38.1], "wheel_z_mm": [44.1, 69.5],
        },
        "bodies": bodies(),
        "shop": {
            "cutter": "demo", "process": "co2 laser", "bed_mm": [600.0, 400.0], "machine_compensates": False,
            "standing": "invented", "scale": [1.0, 1.0],
            "materials": [
                {
                    "plate": side, "material": "acetal-6mm", "family": "acetal",
                    "cautions": [
                        "Breaks down to formaldehyde in the beam: extraction to outdoors, lid closed.",
                        "Its flame is pale: watch the cut line.",
                    ],
                    "calibrated": "2025-09-30", "measured_by": "an invented coupon", "standing": "invented",
                    "kerf_standing": "invented", "kerf_spread_mm": 0.02, "fits_mm": {"bearing_press": -0.04},
                }
                for side in ("outboard", "inboard")
            ],
        },
        "assumptions": [
            {"key": key, "value": value, "standing": "common practice, no source", "why": why}
            for key, value, why in (
                ("added_centre", "0.05 mm", "play at every mesh"), ("plates.margin", "6 mm", ""),
                ("wheel.clear", "3 mm", ""),
            )
        ],
        "rail": None,
        "axial": None,
        "strength": None,
        "no_place": None,
        "solver": None,
    }  # fmt: skip
    return copy.deepcopy({**made, **changes})
