"""What a code comes to in one design: its formula with the numbers put in, and its findings. From the record alone."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from typing import Any

from gearplate.checks.order import NO_LAYOUT
from gearplate.packet.centre_sums import centre_sum, tooth_system
from gearplate.packet.columns import wrapped
from gearplate.packet.findings_text import gap_words, it_needs, which, works
from gearplate.packet.no_place_text import no_place_lines
from gearplate.packet.sizes import both, counted, unit_of

Record = dict[str, Any]
MOST_LINES = 14


def design_data(code: str, record: Record) -> dict[str, Any]:
    """For programs: the formula with its numbers, how much was compared, the findings as in the record."""
    return {
        "part": record["job"]["part"],
        "revision": record["job"]["revision"],
        "numbers": _numbers(code, record),
        "compared": _compared(code, record),
        "findings": _findings(code, record),
    }


def _numbers(code: str, record: Record) -> list[str]:
    return list(NUMBERS[code](record)) if code in NUMBERS else []


def _compared(code: str, record: Record) -> int | None:
    return next((entry["compared"] for entry in record["checks"] if entry["check"] == code), None)


def _findings(code: str, record: Record) -> list[Record]:
    return [finding for finding in record["findings"] if finding["check"] == code]


def design_lines(code: str, record: Record, width: int) -> list[str]:
    """The part of the page that speaks of one design."""
    job = record["job"]
    lines = [f"In {job['part']} {job['revision']}"]
    numbers = _numbers(code, record)
    most = len(numbers) if code == NO_LAYOUT else MOST_LINES
    for text in numbers[:most]:
        lines += wrapped(text, width, "  ", "    " if text.startswith(" ") else "  ")
    if len(numbers) > most:
        lines.append(f"  ... and {len(numbers) - most} more")
    compared, findings = _compared(code, record), _findings(code, record)
    if compared is not None:
        found = counted(len(findings), "finding") if findings else "nothing found"
        lines += wrapped(f"{counted(compared, 'comparison')}, {found}.", width)
    for finding in findings:
        if code != NO_LAYOUT or not numbers:  # else all of it was told one by one
            lines += wrapped(f"{finding['severity']}: {which(finding)}", width)
        there, needs = gap_words(finding), it_needs(finding)
        if there and needs is not None:
            lines += wrapped(f"{there}, it needs {needs}", width, "    ", "    ")
        cure = works(finding)
        if cure is not None:
            lines += wrapped(cure, width, "    ", "    ")
    return lines


def _meshes(record: Record) -> Iterator[tuple[str, Record]]:
    for mesh in record["train"]["meshes"]:
        names = f"{mesh['driver_shaft']} {mesh['driver_teeth']}T, {mesh['driven_shaft']} {mesh['driven_teeth']}T"
        yield names, mesh


def _centres(record: Record) -> Iterator[str]:
    for names, mesh in _meshes(record):
        yield f"{names}: " + "; ".join(centre_sum(mesh))


def _backlash(record: Record) -> Iterator[str]:
    for names, mesh in _meshes(record):
        added, thin = mesh["added_centre_mm"], sum(mesh["tooth_thinning_mm"])
        rough = 2.0 * added * math.tan(math.radians(mesh["pressure_angle_deg"])) + thin
        thinning = f" + {thin:.3f} mm" if thin else ""
        known = "jammed" if mesh["backlash_mm"] is None else f"{mesh['backlash_mm']:.4f} mm"
        yield (
            f"{names}: about 2 × {added:.4f} mm × tan {mesh['pressure_angle_deg']:g}°{thinning} = {rough:.4f} mm; "
            f"exactly {known}"
        )


def _contact(record: Record) -> Iterator[str]:
    for names, mesh in _meshes(record):
        if mesh["contact_ratio"] is None:
            continue
        pitch = math.pi * mesh["module_mm"] * math.cos(math.radians(mesh["pressure_angle_deg"]))
        path = mesh["contact_ratio"] * pitch
        yield (
            f"{names}: path of contact {path:.3f} mm / (pi × {mesh['module_mm']:g} mm × cos "
            f"{mesh['pressure_angle_deg']:g}°) = {path:.3f} mm / {pitch:.3f} mm = {mesh['contact_ratio']:.3f}; by the "
            f"textbook {mesh['contact_ratio_formula']:.3f}"
        )


def _undercut(record: Record) -> Iterator[str]:
    angles = {}
    for _, mesh in _meshes(record):
        for end in ("driver_shaft", "driven_shaft"):
            angles[mesh[end], mesh["stage"]] = mesh["pressure_angle_deg"]
    for gear in record["gears"]:
        angle = angles.get((gear["shaft"], gear["stage"]), 20.0)
        least = 1.0 - 0.5 * gear["teeth"] * math.sin(math.radians(angle)) ** 2
        if least > 0.0:
            yield (
                f"{gear['shaft']} {gear['teeth']}T: least shift 1 - {gear['teeth']} × sin({angle:g}°)² / 2 = "
                f"{least:.3f} modules, it has {gear['profile_shift']:g}"
            )


def _sizes(record: Record) -> Iterator[str]:
    for names, mesh in _meshes(record):
        yield f"{names}: {tooth_system(mesh)} (the driver's)"


def _seats(record: Record) -> Iterator[str]:
    thick = {plate["plate"]: plate["thickness_mm"] for plate in record["plates"]}
    for shaft in record["shafts"]:
        for side, seat in shaft["bearings"].items():
            if seat is not None and side in thick:
                half = 0.5 * seat["width_mm"]
                yield (
                    f"{shaft['name']} {side}: {seat['bearing']}, half of {seat['width_mm']:.3f} mm = {half:.3f} mm, in "
                    f"a plate of {thick[side]:.3f} mm"
                )


def _held(record: Record) -> Iterator[str]:
    for shaft in record["shafts"]:
        for side, seat in shaft["bearings"].items():
            if seat is not None:
                by = "its flange" if seat["flanged"] else "a retainer" if seat["retained"] else "nothing but its fit"
                yield f"{shaft['name']} {side}: {seat['bearing']}, held by {by}"


def _carriers(record: Record) -> Iterator[str]:
    for shaft in record["shafts"]:
        plates = sum(seat is not None for seat in shaft["bearings"].values())
        if plates:
            blocks = ", and a block in the rail" if shaft["carried_by"] in ("blocks", "both") else ""
            yield f"{shaft['name']}: {counted(plates, 'bearing')} in the plates{blocks}"


def _fits(record: Record) -> Iterator[str]:
    for plate, hole in _holes(record):
        if hole["kind"] == "bearing_bore" and hole["fit_mm"] is not None:
            yield (
                f"{hole['id']} {plate['plate']}: bearing {hole['part_diameter_mm']:.3f} mm, bore finished "
                f"{hole['finished_diameter_mm']:.3f} mm: {hole['fit_mm']:+.3f} mm in {plate['material']}"
            )


def _holes(record: Record) -> Iterator[tuple[Record, Record]]:
    for plate in _one_hand(record):
        for hole in plate["features"]:
            yield plate, hole


def _one_hand(record: Record) -> list[Record]:
    hand = record["plates"][0]["hand"] if record["plates"] else ""
    return [plate for plate in record["plates"] if plate["hand"] == hand]


def _edges(record: Record) -> Iterator[str]:
    sizes = sorted({round(hole["finished_diameter_mm"], 3) for _, hole in _holes(record) if hole["loaded"]})
    for size in sizes:
        yield f"loaded screw holes of {size:.3f} mm: 1.5 × {size:.3f} mm = {1.5 * size:.3f} mm from centre to edge"
    for plate in _one_hand(record):
        yield f"bores of the {plate['plate']} plate: 0.9 × {_nominal(plate):g} mm = {_wall(plate):.3f} mm of material"


def _nominal(plate: Record) -> float:
    return float(plate["nominal_thickness_mm"])


def _wall(plate: Record) -> float:
    return 0.9 * _nominal(plate)


def _webs(record: Record) -> Iterator[str]:
    for plate in _one_hand(record):
        least = f"0.9 × {_nominal(plate):g} mm = {_wall(plate):.3f} mm"
        yield f"{plate['plate']} plate: {least}, unless clearances.web is given"


def _smallest(record: Record) -> Iterator[str]:
    for plate in _one_hand(record):
        widths = [
            (hole["finished_diameter_mm"], hole["id"]) for hole in plate["features"] if hole["finished_diameter_mm"]
        ]
        if widths:
            width, name = min(widths)
            yield (
                f"{plate['plate']} plate: half of {_nominal(plate):g} mm = {0.5 * _nominal(plate):.3f} mm, unless "
                f"measured; its smallest is {name} with {width:.3f} mm"
            )


def _bed(record: Record) -> Iterator[str]:
    bed = record["shop"]["bed_mm"]
    for plate in _one_hand(record):
        x, y = plate["drawn"]["size_mm"]
        yield f"{plate['plate']} plate: {x:.2f} × {y:.2f} mm as drawn" + (
            f", bed {bed[0]:g} × {bed[1]:g} mm" if bed is not None else ""
        )


def _sheets(record: Record) -> Iterator[str]:
    for plate in _one_hand(record):
        yield f"{plate['plate']} plate: {plate['material']}, cut by {record['shop']['process']}"


def _gap(record: Record) -> Iterator[str]:
    stack = record["stack"]
    if stack is None:
        return
    planes = stack["stage_planes_mm"]
    widths = [high - low for low, high in planes]
    yield (
        f"the gap is {both(stack['gap_mm'], unit_of(record))}; the stages' faces take "
        f"{' + '.join(f'{width:.3f} mm' for width in widths)} = {sum(widths):.3f} mm of it"
    )
    faces = (stack["outboard_z_mm"][0], stack["inboard_z_mm"][1])
    for number, (low, high) in enumerate(planes, start=1):
        yield (
            f"stage {number}: {faces[0] - high:.3f} mm from the outboard plate, {low - faces[1]:.3f} mm from the "
            "inboard one"
        )


def _reach(record: Record) -> Iterator[str]:
    for motor in record["motors"]:
        shaft = _body(record, motor["name"], "motor shaft")
        gear = next((gear for gear in record["gears"] if gear["shaft"] == motor["name"]), None)
        if shaft is not None and gear is not None:
            held = min(shaft["z_mm"][1], gear["z_mm"][1]) - max(shaft["z_mm"][0], gear["z_mm"][0])
            yield f"{motor['name']}: {max(held, 0.0):.3f} mm of its pinion's {gear['face_width_mm']:.3f} mm face"


def _body(record: Record, shaft: str, kind: str) -> Record | None:
    return next((body for body in record["bodies"] if body["shaft"] == shaft and body["kind"] == kind), None)


def _floor(record: Record) -> Iterator[str]:
    wheel = next((body for body in record["bodies"] if body["kind"] == "wheel"), None)
    if wheel is None:
        return
    radius = 0.5 * wheel["diameter_mm"]
    yield f"the floor is {radius:.3f} mm below the axle"
    for plate in _one_hand(record):
        low = plate["outline"]["bbox_mm"][1]
        yield f"{plate['plate']} plate: {radius:.3f} mm - {-low:.3f} mm = {radius + low:.3f} mm above it"
    gears = [
        (body["y_mm"] - 0.5 * body["diameter_mm"], body["name"]) for body in record["bodies"] if body["kind"] == "gear"
    ]
    if gears:
        low, name = min(gears)
        yield f"lowest gear {name}: {radius:.3f} mm - {-low:.3f} mm = {radius + low:.3f} mm above it"


def _motors_at_wheel(record: Record) -> Iterator[str]:
    """Round motors that stand beside the wheel along z, with the sum of their gap."""
    wheel = next((body for body in record["bodies"] if body["kind"] == "wheel"), None)
    if wheel is None:
        return
    for motor in (body for body in record["bodies"] if body["kind"] == "motor" and body["diameter_mm"] is not None):
        along = f"{motor['name']}: "
        if min(motor["z_mm"][1], wheel["z_mm"][1]) <= max(motor["z_mm"][0], wheel["z_mm"][0]):
            yield f"{along}not beside the wheel, since they do not overlap along the axle"
            continue
        apart = math.hypot(motor["x_mm"] - wheel["x_mm"], motor["y_mm"] - wheel["y_mm"])
        radii = 0.5 * (motor["diameter_mm"] + wheel["diameter_mm"])
        yield (
            f"{along}centres {apart:.3f} mm apart - {wheel['diameter_mm']:.3f} mm / 2 - {motor['diameter_mm']:.3f} mm "
            f"/ 2 = {apart - radii:.3f} mm"
        )


def _pinions(record: Record) -> Iterator[str]:
    for motor in record["motors"]:
        gear = next((gear for gear in record["gears"] if gear["shaft"] == motor["name"]), None)
        pilot = next((hole for _, hole in _holes(record) if hole["id"] == f"{motor['name']}-pilot"), None)
        if gear is not None and pilot is not None:
            yield (
                f"{motor['name']}: pinion's tips {gear['tip_diameter_mm']:.3f} mm, pilot's hole "
                f"{pilot['finished_diameter_mm']:.3f} mm"
            )


def _marks(record: Record) -> Iterator[str]:
    for plate in _one_hand(record):
        left_out = ", ".join(plate["marks_left_out"]) or "none"
        yield f"{plate['plate']} plate: {counted(len(plate['marks']), 'mark')}, left out: {left_out}"


NUMBERS: dict[str, Callable[[Record], Iterator[str]]] = {
    "mesh-centre": _centres,
    "backlash": _backlash,
    "contact-ratio": _contact,
    "tooth-interference": _undercut,
    "look-alike-teeth": _sizes,
    "bearing-seat": _seats,
    "bearing-retainer": _held,
    "bearing-count": _carriers,
    "acrylic-press-fit": _fits,
    "edge": _edges,
    "web": _webs,
    "smallest-feature": _smallest,
    "bed-size": _bed,
    "forbidden-material": _sheets,
    "gap-room": _gap,
    "shaft-reach": _reach,
    "ground": _floor,
    "motor-service": _pinions,
    "motor-to-wheel": _motors_at_wheel,
    "marks-room": _marks,
    NO_LAYOUT: no_place_lines,
}
"""Codes whose formula can be written out with a design's numbers; the others tell their findings alone."""
