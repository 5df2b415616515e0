"""The play of a job's gears in words, from the data of studies/play.py."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from gearplate.packet.auto_added import auto_words
from gearplate.packet.columns import columns, wrapped
from gearplate.packet.sizes import counted, listed

MORE = {
    "place of the holes": "measure where the cutter puts holes, or drill from one template",
    "scale of the cutter": "measure a long part and correct the cutter's scale",
    "play of bearings in their bores": "measure kerf and fit on a coupon, and press the bearings",
    "clearance inside the bearings": "take bearings of a smaller clearance group",
    "thickness of the teeth": "measure the teeth over pins and say their thinning",
    "runout of the gears": "take gears of a better class",
    "play of the motor's pilot": "a closer pilot hole, or slots in which the mesh is set by feel",
    "runout of the motor's shaft": "measure it; a better motor",
    "bending of the motor's shaft": "bring the pinion nearer to the plate",
    "warmth of the hall": "plates of a material that grows less",
    "heat of the motor": "let air to the motor, or plates of a material that grows less",
    "moisture of the plates": "keep the sheet as dry as it will be in use, or another material",
}


_SAME_MM = 0.005


def play_lines(data: dict[str, Any], width: int) -> Iterator[str]:
    """The whole text, line by line."""
    meshes = data["meshes"]
    if not meshes:
        yield "No mesh of this job can be reckoned."
        return
    yield "Play: operating backlash of every mesh, mm"
    rows: list[tuple[str, ...]] = [
        ("mesh", "added", "worst case", "999 of 1000", "hot dry", "cold wet", "binds", "above limit")
    ]
    rows += [_row(mesh) for mesh in meshes]
    yield from columns(rows)
    yield from wrapped(
        "Worst case: all ends added, those of normal causes at 3 standard deviations. 999 of 1000: what 1 in 1000 lies "
        "under at the tightest place of a turn and above at the slackest, by the distribution of the sum of all "
        "causes. Hot dry and cold wet: all else on the average. Binds: part of "
        f"{data['draws']:,} simulated gearboxes whose teeth touch on both sides somewhere in a turn.",
        width,
    )
    for mesh in unlike(meshes):
        yield ""
        yield from _one(mesh, data, width)
    if data["left_out"]:
        yield ""
        yield f"{counted(data['left_out'], 'mesh', 'meshes')} left out: gears that do not run together."
    yield ""
    yield "How it is reckoned:"
    yield from wrapped(data["reckoned"], width, "  ", "    ")
    yield from wrapped(data["spread_reckoned"], width, "  ", "    ")
    said = {part["cause"]: part["reckoned"] for mesh in meshes for part in mesh["contributors"]}
    for cause, how in said.items():
        yield from wrapped(f"{cause}: {how}.", width, "  ", "    ")
        for mesh in unlike(meshes):
            taken = [part["from"] for part in mesh["contributors"] if part["cause"] == cause]
            if taken:
                yield from wrapped(f"{mesh_name(mesh)}: {taken[0]}", width, "    ", "      ")
    yield ""
    yield from wrapped(
        "Not modelled: the bending of the plates under load (gearplate rate tells how far their bores give way), "
        "bearing blocks in the rail, bearings inside gears, and that a shaft with two meshes gives way "
        "along both forces at once. In slots a mesh is reckoned as set by feel (0.03 mm, common practice).",
        width,
        "",
    )
    cutter = data["cutter"]
    yield from wrapped(
        f"The cutter {cutter['name']}: a hole's place {cutter['position_sigma_mm'][0]:g} mm along x and "
        f"{cutter['position_sigma_mm'][1]:g} mm along y, scale {100 * cutter['scale_sigma']:g} %, kerf "
        f"{cutter['kerf_sigma_mm']:g} mm, each as one standard deviation ({cutter['standing']}).",
        width,
        "",
    )
    for taken in data["materials_taken"]:
        yield from wrapped(f"{taken}.", width, "", "  ")
    if data["assumed"]:
        yield from wrapped("Assumed (say otherwise in [play]):", width, "")
        for one in data["assumed"]:
            yield from wrapped(f"{one['key']} = {one['value']}: {one['why']} ({one['standing']})", width, "  ", "    ")


def _row(mesh: dict[str, Any]) -> tuple[str, ...]:
    over = mesh["simulated"]["probability_over"]
    return (
        mesh_name(mesh),
        f"{mesh['added_centre_mm']:.3f}",
        _span(mesh["worst_mm"]),
        _span(mesh["likely_mm"]),
        f"{mesh['hot_dry_mm']:.3f}",
        f"{mesh['cold_wet_mm']:.3f}",
        _percent(mesh["simulated"]["probability_binds"]),
        "-" if over is None else _percent(over),
    )


def _one(mesh: dict[str, Any], data: dict[str, Any], width: int) -> Iterator[str]:
    mean, ratio, drawn = mesh["mean"], mesh["contact_ratio"], mesh["simulated"]
    yield f"{mesh_name(mesh)} at {mesh['centre_mm']:.3f} mm" + (
        ", set by hand in its slots" if mesh["set_by_hand"] else ""
    )
    yield from wrapped(
        f"On the average {mean['operating_mm']:.3f} mm operating, {mean['reference_mm']:.3f} mm on the reference "
        f"circle, {mean['normal_mm']:.3f} mm normal to the flanks; "
        f"standard deviation from gearbox to gearbox {mesh['sigma_mm']:.3f} mm (root sum square, without what turns). "
        f"Simulated: tightest {drawn['tightest']['q001_mm']:.3f} mm (0.1 %), "
        f"slackest {drawn['slackest']['q999_mm']:.3f} mm (99.9 %), between {drawn['between']['mean_mm']:.3f} mm with a "
        f"standard deviation of {drawn['between']['std_mm']:.3f} mm. Contact ratio {ratio['mean']:.2f} at the average "
        f"distance, {ratio['widest']:.2f} at the widest of 999 of 1000; gearplate check tells it at the nominal one.",
        width,
    )
    rows = [("cause", "centre or thinning, mm", "deviation, mm", "share of spread")]
    rows += [
        (
            part["cause"],
            f"{part['low_mm']:+.3f} to {part['high_mm']:+.3f}" + (" thinning" if part["acts_on"] == "thinning" else ""),
            f"{part['sigma_mm']:.4f}",
            _percent(part["share_of_variance"]),
        )
        for part in mesh["contributors"]
    ]
    yield from columns(rows, indent="    ")
    first = mesh["contributors"][0]["cause"] if mesh["contributors"] else None
    if first is not None:
        yield from wrapped(f"Most of the spread: {first}. What helps: {MORE[first]}.", width)
    asked, low_high = mesh["proposal"], mesh["proposal"]["likely_mm"]
    kept = low_high[0] >= data["least_mm"] - 1e-5
    yield from wrapped(
        f"For {data['least_mm']:g} mm left at the tightest place in 999 of 1000: added_centre = "
        f"{asked['added_centre_mm']:.3f} mm{'' if kept else ' (the least there is)'}; then up to "
        f"{low_high[1]:.3f} mm at the slackest, and a contact ratio of {asked['contact_ratio_widest']:.2f} there.",
        width,
    )
    for taken in data["auto"]:
        if taken["stage"] == mesh["stage"]:
            yield from wrapped(f"{auto_words(taken)}.", width)


def unlike(meshes: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """The first of those that are alike in stage, gears and what comes out: three motors on one gear are told once."""
    found: list[dict[str, Any]] = []
    for mesh in meshes:
        if not any(_alike(mesh, other) for other in found):
            found.append(mesh)
    return found


def likewise(mesh: dict[str, Any], meshes: list[dict[str, Any]]) -> str:
    """ "M1 12T on S1 72T, M2 and M3 likewise": a mesh by name, with the drivers of those that are told with it."""
    others = [one["driver_shaft"] for one in meshes if one is not mesh and _alike(mesh, one)]
    return f"{mesh_name(mesh)}, {listed(others)} likewise" if others else mesh_name(mesh)


def _alike(one: dict[str, Any], other: dict[str, Any]) -> bool:
    keys = ("stage", "driver_teeth", "driven_teeth", "added_centre_mm", "set_by_hand")
    ends = zip(one["likely_mm"], other["likely_mm"], strict=True)
    return all(one[key] == other[key] for key in keys) and all(abs(a - b) < _SAME_MM for a, b in ends)


def mesh_name(mesh: dict[str, Any]) -> str:
    """ "M1 12T on S1 72T"."""
    return f"{mesh['driver_shaft']} {mesh['driver_teeth']}T on {mesh['driven_shaft']} {mesh['driven_teeth']}T"


def _span(span: list[float]) -> str:
    return f"{span[0]:.3f} to {span[1]:.3f}"


def _percent(part: float) -> str:
    """A part in per cent; so little that the draws cannot tell it from nothing is not told as nothing."""
    return "< 0.01 %" if part < 1e-4 else f"{100 * part:.2f} %" if part < 0.0995 else f"{100 * part:.0f} %"
