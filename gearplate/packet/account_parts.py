"""The paragraphs of an account, each as lines."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from gearplate.packet.auto_added import auto_words
from gearplate.packet.cautions import DEFERENCE, cautions
from gearplate.packet.centre_sums import centre_sum, tooth_system
from gearplate.packet.characters import harmless
from gearplate.packet.columns import columns, wrapped
from gearplate.packet.contents import CHANGES, CUT, OVERLAY, PAGE, PREVIEW, RECORD_NAME, SECTION, Packet
from gearplate.packet.findings_text import gap_words, it_needs, where, which, works
from gearplate.packet.sizes import (
    SIDE_WORDS,
    bare,
    both,
    counted,
    holes_of,
    kerf_origin,
    listed,
    one,
    other,
    size,
    unit_of,
    unit_word,
)

MOST_FINDINGS = 6
_COUNT_WORDS = {2: "two", 3: "three", 4: "four"}


def settings_lines(record: dict[str, Any], width: int) -> Iterator[str]:
    """What was set on the command line: the job file alone does not give this design."""
    said = settings_said(record)
    if said:
        yield from wrapped(f"{SET_OUTSIDE} {said}", width, "", "  ")


SET_OUTSIDE = "Not in the job file, set on the command line:"


def settings_said(record: dict[str, Any]) -> str:
    """What was set, as it is typed: in quotes where a shell would break it. Empty where nothing was."""
    from shlex import quote

    return " ".join(f"--set {quote(harmless(text, 300))}" for text in record.get("settings") or [])


def mesh_groups(record: dict[str, Any]) -> list[list[dict[str, Any]]]:
    """Meshes of the same gears at the same distance together: three motors on one gear are one row."""
    groups: dict[tuple[object, ...], list[dict[str, Any]]] = {}
    for mesh in record["train"]["meshes"]:
        key = (
            mesh["stage"], mesh["driver_teeth"], mesh["driven_teeth"], mesh["centre_mm"], mesh["module_mm"],
            tuple(mesh["profile_shift"]), tuple(mesh["tooth_thinning_mm"]), mesh["driven_shaft"],
        )  # fmt: skip
        groups.setdefault(key, []).append(mesh)
    return list(groups.values())


def train_lines(record: dict[str, Any], sums: bool, width: int) -> Iterator[str]:
    """Each stage: teeth, ratio, centre distance in both units, backlash and contact ratio; with its sum where asked."""
    groups = mesh_groups(record)
    if not groups:
        return
    unit = unit_of(record)
    systems = {tooth_system(group[0]) for group in groups}
    system = f"{systems.pop()}; " if len(systems) == 1 else ""
    yield f"Train: {system}backlash and contact ratio at nominal sizes"
    rows = [["stage", "teeth", "ratio", "centre distance", "backlash mm", "contact", ""]]
    for group in groups:
        mesh = group[0]
        rows.append(
            [
                str(mesh["stage"]),
                f"{mesh['driver_teeth']} on {mesh['driven_teeth']}",
                f"{mesh['driven_teeth'] / mesh['driver_teeth']:.4f}",
                both(mesh["centre_mm"], unit),
                _figure(mesh["backlash_mm"], 3),
                _figure(mesh["contact_ratio"], 2),
                f"{listed([one['driver_shaft'] for one in group])} to {mesh['driven_shaft']}",
            ]
        )
    lines = columns(rows)
    yield lines[0]
    left = {taken["stage"]: taken for taken in record["train"].get("auto_added", ())}  # older records have none
    for line, group in zip(lines[1:], groups, strict=True):
        yield line
        if sums:
            if len({tooth_system(one[0]) for one in groups}) > 1:
                yield f"         {tooth_system(group[0])}"
            for text in centre_sum(group[0]):
                yield from wrapped(text, width, "         ", "           ")
            taken = left.pop(group[0]["stage"], None)
            if taken is not None:
                yield from wrapped(auto_words(taken), width, "         ", "           ")


def _figure(value: float | None, decimals: int) -> str:
    return "none" if value is None else f"{value:.{decimals}f}"


def shaft_lines(record: dict[str, Any]) -> Iterator[str]:
    """Each shaft's place and what carries it."""
    if not record["shafts"]:
        return
    unit = unit_of(record)
    motors = {motor["name"]: motor for motor in record["motors"]}
    found = ", * placed by the tool" if any(shaft["free"] for shaft in record["shafts"]) else ""
    yield f"Shafts: forward and up from the axle in {unit_word(unit)}{found}"
    rows = []
    for shaft in record["shafts"]:
        about = _motor(motors[shaft["name"]]) if shaft["name"] in motors else _carried(shaft)
        rows.append(
            [
                f"{shaft['name']}{'*' if shaft['free'] else ''}",
                bare(shaft["x_mm"], unit).rjust(9),
                bare(shaft["y_mm"], unit).rjust(9),
                about,
            ]
        )
    yield from columns(rows)


def _motor(motor: dict[str, Any]) -> str:
    return f"motor {harmless(motor['type'], 40)}, {SIDE_WORDS[motor['side']]}, {counted(motor['screws_used'], 'screw')}"


def _carried(shaft: dict[str, Any]) -> str:
    stock = harmless(shaft["stock"] or "", 30)
    if not shaft["turns"]:
        return f"{stock}, stands still"
    seats = {side: _seat(seat) for side, seat in shaft["bearings"].items() if seat is not None}
    if shaft["carried_by"] == "blocks" or not seats:
        return f"{stock} in blocks of its own"
    if len(seats) == 2 and len(set(seats.values())) == 1:
        text = f"{stock}, {seats['outboard']} in both plates"
    else:
        text = f"{stock}, " + " and ".join(f"{seat} {side}" for side, seat in seats.items())
    return text + (" and blocks" if shaft["carried_by"] == "both" else "")


def _seat(seat: dict[str, Any]) -> str:
    return harmless(seat["bearing"], 30) + ("" if seat["pressed_from"] == "gap" else " (pressed from outside)")


def rail_lines(record: dict[str, Any], width: int) -> Iterator[str]:
    """What the rail must have: the hole at the axle, those of its screws, those where the plate stands proud."""
    rail = record.get("rail")
    if rail is None:
        return
    unit = unit_of(record)
    assumed = any(item["key"].startswith("rail.axle_hole") for item in record["assumptions"])
    holes = []
    if rail["mount"] == "beside":
        origin = " (assumed: rail.axle_hole)" if assumed else ""
        holes.append(f"{one(rail['axle_hole_mm'], unit)} at the axle{origin}")
    if rail["screws"]:
        count = len(rail["screws"])
        holes.append(
            f"{count} of {one(rail['screw_hole_mm'], unit)} for {harmless(rail['screw'], 20)}, as in the plates"
        )
    for relief in rail["reliefs"]:
        place = f"{bare(relief['x_mm'], unit)}, {one(relief['y_mm'], unit)}"
        holes.append(f"{one(relief['diameter_mm'], unit)} at {place} from the axle")
    if holes:
        yield from wrapped(f"Rail: drill {'; '.join(holes)}", width, "", "  ")


def plate_lines(record: dict[str, Any]) -> Iterator[str]:
    """Each plate; the size first, because it is what the operator holds against the machine's screen."""
    if not record["plates"]:
        return
    unit = unit_of(record)
    yield "Plates: the size that the machine's screen must show"
    alike: dict[tuple[str, str, str], list[str]] = {}
    for plate in record["plates"]:
        width, height = plate["drawn"]["size_mm"]
        mass = "" if plate["mass_kg"] is None else f", {1000 * plate['mass_kg']:.0f} g"
        first = f"{size(width, height, unit)} ({size(width, height, other(unit))}), {plate['face_up']} face up"
        first += ", fits both hands" if plate["fits_both_hands"] else ""
        kerf = _kerf(plate, kerf_origin(record, plate))
        second = (
            f"{harmless(plate['material'], 30)}, {plate['thickness_mm']:.2f} mm, {counted(holes_of(plate), 'hole')}, "
            f"{plate['area_left_mm2'] / 100:.1f} cm²{mass}{_lightened(plate)}, {kerf}"
        )
        alike.setdefault((plate["plate"], first, second), []).append(plate["hand"])
    rows = []
    for (side, first, second), hands in alike.items():
        shown = f" {listed(hands)}" if record["job"]["hand"] == "both" else ""
        rows += [[side + shown, first], ["", second]]
    yield from columns(rows)


def _kerf(plate: dict[str, Any], origin: str) -> str:
    kerf = f"kerf {plate['kerf_mm']:.3f} mm"
    if plate["kerf_x_mm"] != plate["kerf_y_mm"]:
        kerf = f"kerf {plate['kerf_x_mm']:.3f} mm along x and {plate['kerf_y_mm']:.3f} mm along y"
    kerf += f" ({origin})" if origin else ""
    if plate["machine_compensates"]:
        return f"{kerf} left to the machine"
    scaled = (plate["scale_x"], plate["scale_y"]) != (1.0, 1.0)
    verb = "" if origin else "is "
    return f"{kerf} {verb}in the lines" + (", scale corrected" if scaled else "")


def _lightened(plate: dict[str, Any]) -> str:
    saved = 1000 * plate["mass_saved_kg"]
    return f" ({saved:.0f} g saved)" if saved > 0 else ""


def check_lines(record: dict[str, Any], packet: Packet | None, width: int) -> Iterator[str]:
    """ "31 of 31 holes found again in each of the two cut files.", and under it "14 checks ran, 212
    comparisons, 0 findings."."""
    yield ""
    if packet is not None and packet.of(CUT):
        yield from wrapped(_found_again(record, packet), width, "", "  ")
    ran = [check for check in record["checks"] if check["compared"] > 0]
    yield (
        f"{counted(len(ran), 'check')} ran, {counted(sum(check['compared'] for check in ran), 'comparison')}, "
        f"{findings_count(record)}."
    )


def _found_again(record: dict[str, Any], packet: Packet) -> str:
    """How many holes each cut file holds of those asked for: told once where they are alike."""
    cut = packet.of(CUT)
    counts = [f"{file.holes_found} of {file.holes_asked}" for file in cut]
    if len(set(counts)) == 1:
        files = f"each of the {_COUNT_WORDS.get(len(cut), len(cut))} cut files" if len(cut) > 1 else "the cut file"
        return f"{counts[0]} holes found again in {files}."
    plates = {plate["file"]: plate for plate in record["plates"]}
    names = [f"{plates[file.name]['plate']} {plates[file.name]['hand']}" for file in cut]
    told = ", ".join(f"{name} {count}" for name, count in zip(names, counts, strict=True))
    return f"Holes found again: {told}."


def findings_count(record: dict[str, Any]) -> str:
    """ "0 findings", or "3 findings (1 error, 2 warnings)"."""
    findings = record["findings"]
    if not findings:
        return "0 findings"
    kinds = [
        counted(sum(finding["severity"] == severity for finding in findings), severity)
        for severity in ("error", "warning", "note")
        if any(finding["severity"] == severity for finding in findings)
    ]
    return f"{counted(len(findings), 'finding')} ({', '.join(kinds)})"


def the_record(packet: Packet | None) -> str:
    """Where the record stands: in a file of the folder, or nowhere until it is asked for."""
    return "the record (--json prints it)" if packet is None else RECORD_NAME


def finding_lines(record: dict[str, Any], packet: Packet | None, width: int) -> Iterator[str]:
    """Findings in four parts, the gravest first; beyond a handful they are only counted, with where they stand."""
    findings = record["findings"]
    told: dict[str, int] = {}
    for number, finding in enumerate(findings[:MOST_FINDINGS], start=1):
        yield ""
        place = where(finding)
        head = f"{number}. {finding['severity'].upper()} {finding['check']}"
        yield head + (f" at {place}" if place else "")
        yield from wrapped(which(finding), width, "   ", "   ")
        needs = it_needs(finding)
        gap = "; ".join(text for text in (gap_words(finding), f"it needs {needs}" if needs else "") if text)
        if gap:
            yield from wrapped(gap, width, "   ", "   ")
        remedy = works(finding)
        if remedy:
            first = told.setdefault(remedy, number)
            yield from wrapped(f"change: {remedy if first == number else f'as for {first}'}", width, "   ", "     ")
    more = len(findings) - MOST_FINDINGS
    if more > 0:
        yield f"and {counted(more, 'finding')} more, in {the_record(packet)}"
    if findings:
        yield f"`gearplate explain {findings[0]['check']}` tells more about a code."


def files_lines(packet: Packet) -> Iterator[str]:
    """What lies in the folder, the page to start with first."""
    yield f"Files in {harmless(packet.folder, 200)}"
    rows = []
    page = [harmless(file.name, 120) for file in packet.of(PAGE)]
    if page:
        rows.append(["start with", page[0]])
    rows += [["cut" if index == 0 else "", harmless(file.name, 120)] for index, file in enumerate(packet.of(CUT))]
    pictures = [harmless(file.name, 120) for file in (*packet.of(OVERLAY), *packet.of(SECTION))]
    previews = packet.of(PREVIEW)
    if previews:
        pictures.append(counted(len(previews), "preview"))
    if pictures:
        rows.append(["look at", ", ".join(pictures)])
    changes = [harmless(file.name, 120) for file in packet.of(CHANGES)]
    if changes:
        rows.append(["what changed", ", ".join(changes)])
    shown = {CHANGES, CUT, OVERLAY, PAGE, PREVIEW, SECTION}
    rest = [harmless(file.name, 120) for file in packet.files if file.role not in shown]
    if rest:
        rows.append(["for programs", ", ".join(rest)])
    yield from columns(rows)


def caution_lines(record: dict[str, Any], width: int) -> Iterator[str]:
    """Cautions, a line each, under the deference to those who know the machine."""
    yield from wrapped(f"Cautions. {DEFERENCE}", width, "", "  ")
    for caution in cautions(record):
        yield from wrapped(f"{caution.topic}: {caution.short}", width, "  ", "    ")
