"""What `gearplate stretch` prints: for people, and for programs."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Any

from gearplate.packet.characters import harmless
from gearplate.packet.columns import wrapped
from gearplate.packet.differences import difference_lines
from gearplate.packet.layout_text import area
from gearplate.record.design_record import design_record
from gearplate.studies.stretch import Stretched, Tried
from gearplate.studies.stretch_turn import Change, Verdict
from gearplate.studies.stretch_ways import Kind

FORMAT = "gearplate-stretch/1"
FLAT_MM2 = 10.0  # less growth is not told: areas have a tenth of a cm² as their last digit
_ONE_BY_ONE = (Kind.TURN, Kind.INBOARD)
_ORDER = (Verdict.CLEARS, Verdict.NO_LESS, Verdict.NOT_FOUND, Verdict.IMPOSSIBLE, Verdict.NOT_TRIED)


def data(result: Stretched, sets: Sequence[str], job_text: str | None, path: str | None) -> dict[str, Any]:
    """The answer as plain data. `job_text`: the file with the differences; `path`: where it was written.

    Lengths in mm, areas in mm2. A bound is null where there is none to tell: proven impossible, or not asked for.
    """
    chosen = result.chosen
    told: dict[str, Any] = {
        "stretch": FORMAT,
        "job": result.base.name,
        "set": list(sets),
        "answer": "none" if chosen is None else "nothing moves" if result.unchanged else "clears",
        "kept": _kept(result),
        "gave": _gave(result),
        "turning": _entry(result.turning),
        "tried": [_entry(one) for one in result.tried],
        "given_up": [_entry(one) for one in result.given_up],
        "change": None,
        "bounds": None,
        "less": [_entry(one) for one in _lesser(result)],
        "differences": [],
        "findings": [],
        "job_text": job_text,
        "written": path,
    }
    if chosen is not None:
        change, turned = chosen.change, chosen.tried.turned
        told["change"] = {
            "way": chosen.tried.way.text or chosen.tried.way.kind.value,
            "growth_mm2": round(change.growth_mm2, 3),
            "hull_before_mm2": round(result.old.hull_mm2, 3),
            "largest_move_mm": round(change.move_mm, 6),
            "farthest_shaft": _farthest(result),
            "motor_screws_out_of_reach": change.out_of_reach,
            "ratio": float(chosen.tried.way.ratio),
        }
        told["bounds"] = {
            "largest_move_mm": _bound(turned.move_bound_mm),
            "largest_move_in_such_plates_mm": _bound(turned.same_plates_bound_mm),
            "growth_mm2": _bound(turned.growth_bound_mm2),
            "largest_move_of_any_way_mm": _bound(_of_any_way(result)),
        }
        new = design_record(chosen.design)
        told["differences"] = list(difference_lines(design_record(result.old_design), new))
        told["findings"] = [_finding(one) for one in chosen.design.findings]
    else:
        told["miss"] = result.miss
        told["findings"] = [_finding(one) for one in (*result.misses, *result.refused)]
    return told


def lines_for_people(result: Stretched, told: dict[str, Any], width: int) -> list[str]:
    """The answer in words."""
    text = ", ".join(harmless(one, 200) for one in told["set"])
    lines = [f"Stretch of {harmless(told['job'])}: {text}"]
    lines += wrapped(f"Kept as far as can be: {', '.join(told['kept'])}.", width, "", "  ")
    lines.append("")
    lines += wrapped(_turning(result), width, "", "  ")
    lines += _others(result.tried, "Other ways, all else kept", width)
    lines += _others(result.given_up, "With the rail's holes given up", width)
    lines.append("")
    if result.chosen is None:
        return lines + list(_no_answer(result, width))
    for sentence in _answer(result, told):
        lines += wrapped(sentence, width, "", "  ")
    lines.append("")
    for line in told["differences"]:
        lines += wrapped(line, width, "", "  ")
    warnings = [one for one in told["findings"] if one["severity"] != "note"]
    for one in warnings:
        lines += wrapped(f"{one['severity']}: {one['check']}: {one['message']}", width, "", "  ")
    return lines


def _kept(result: Stretched) -> list[str]:
    kept = ["output bore", "gears", "length of the spacers", "motors' sides"]
    return ["rail holes", *kept] if result.old_design.layout and result.old_design.layout.rail_holes else kept


def _gave(result: Stretched) -> list[str]:
    """What could not be kept."""
    chosen = result.chosen
    if chosen is None:
        return []
    gave = []
    if chosen.tried.way.set:
        gave.append(chosen.tried.way.text)
    if chosen.tried.rail_given_up:
        gave.append("new rail holes")
    if chosen.spacers_mm is not None:
        gave.append(f"spacers and standoffs of {chosen.spacers_mm[1]:.2f} mm instead of {chosen.spacers_mm[0]:.2f} mm")
    return gave


def _entry(one: Tried) -> dict[str, Any]:
    change = one.turned.change
    return {
        "kind": one.way.kind.value,
        "what": one.way.text,
        "set": dict(one.way.set),
        "rail_holes_given_up": one.rail_given_up,
        "verdict": one.turned.verdict.value,
        "ruled_out_by_its_train": one.ruled_out,
        "growth_mm2": None if change is None else round(change.growth_mm2, 3),
        "largest_move_mm": None if change is None else round(change.move_mm, 6),
        "move_bound_mm": _bound(one.turned.move_bound_mm),
        "boxes": one.turned.boxes,
    }


def _finding(one: Any) -> dict[str, Any]:
    return {"check": one.check, "severity": one.severity.value, "message": one.message}


def _bound(value: float) -> float | None:
    """Rounded down: a claim is never stronger than its proof."""
    return math.floor(value * 1e6) / 1e6 if math.isfinite(value) else None


def _of_any_way(result: Stretched) -> float:
    """No way that was tried, all kept but what it changes, has a largest move below this."""
    return min(one.turned.move_bound_mm for one in (result.turning, *result.tried))


def _lesser(result: Stretched) -> list[Tried]:
    """What would be a lesser change than the chosen one, were something else given up; the least first."""
    chosen = result.chosen
    if chosen is None:
        return []
    found: list[Tried] = []
    for one in (*result.tried, *result.given_up):
        change = one.turned.change
        if one is not chosen.tried and change is not None and result.old.less(change, chosen.change):
            place = next((i for i, two in enumerate(found) if _before(result, one, two)), len(found))
            found.insert(place, one)
    return found


def _before(result: Stretched, one: Tried, two: Tried) -> bool:
    a, b = one.turned.change, two.turned.change
    return a is not None and b is not None and result.old.less(a, b)


def _farthest(result: Stretched) -> str | None:
    chosen = result.chosen
    if chosen is None or chosen.design.layout is None or chosen.change.move_mm < 0.001:
        return None
    places = result.old.places
    moves = {
        shaft.name: math.dist(places[shaft.name], (shaft.x_mm, shaft.y_mm))
        for shaft in chosen.design.layout.shafts
        if shaft.name in places
    }
    return max(moves, key=lambda name: moves[name])


def _figure(result: Stretched, change: Change) -> str:
    grows = "the hull does not grow"
    if change.growth_mm2 > FLAT_MM2:
        grows = f"the hull grows by {area(change.growth_mm2)}"
        grows += "" if result.old.grows(change) else " (under 0.5 %, which counts as none)"
    return f"{grows}, the largest move is {change.move_mm:.3f} mm{_reach(change)}"


def _reach(change: Change) -> str:
    screws = change.out_of_reach
    return f", {screws} motor screw{'s' if screws > 1 else ''} more out of reach of a driver" if screws else ""


def _turning(result: Stretched) -> str:
    turned = result.turning.turned
    if result.turning.ruled_out:
        return "Turning the shafts alone does not do: the distances that the train itself fixes leave no layout."
    if turned.verdict is Verdict.IMPOSSIBLE:
        return (
            "Turning the shafts alone does not do: with these gears and rail holes no layout clears "
            f"(proven, {turned.boxes:,} box{'es' if turned.boxes != 1 else ''} of angles)."
        )
    if turned.change is None:
        return "Turning the shafts alone: no layout that clears was found; that there is none is not proven."
    if result.unchanged:
        return "Nothing has to move: the old layout still clears."
    return f"Turning the shafts alone does it: {_figure(result, turned.change)}."


def _others(tried: Sequence[Tried], title: str, width: int) -> list[str]:
    """One line for each motor, one for all gears or idlers of a verdict."""
    if not tried:
        return []
    lines = [f"{title}:"]
    for kind in Kind:
        own = [one for one in tried if one.way.kind is kind]
        for one in own if kind in _ONE_BY_ONE else [one for one in own if one.turned.change is not None]:
            lines += wrapped(f"{one.way.text or kind.value}: {_verdict(one)}", width, "  ", "    ")
        if kind not in _ONE_BY_ONE and own:
            lines += wrapped(f"{kind.value}: {_counted(own)}", width, "  ", "    ")
    return lines


def _verdict(one: Tried) -> str:
    change = one.turned.change
    if change is not None:
        size = f"hull grows by {area(change.growth_mm2)}, " if change.growth_mm2 > FLAT_MM2 else ""
        return f"clears; {size}largest move {change.move_mm:.3f} mm{_reach(change)}"
    return _WORDS[one.turned.verdict]


_WORDS = {
    Verdict.CLEARS: "clears",
    Verdict.NO_LESS: "no less of a change (proven)",
    Verdict.NOT_FOUND: "nothing less was found (not proven)",
    Verdict.IMPOSSIBLE: "no layout clears (proven)",
    Verdict.NOT_TRIED: "not tried, the search had come to its count",
}


def _counted(tried: Sequence[Tried]) -> str:
    fixed = sum(one.ruled_out for one in tried)
    counts = {verdict: sum(one.turned.verdict is verdict and not one.ruled_out for one in tried) for verdict in _ORDER}
    parts = [f"{count} {_WORDS[verdict]}" for verdict, count in counts.items() if count]
    if fixed:
        parts.append(f"{fixed} ruled out by the distances that their train fixes")
    return f"of {len(tried)}: {'; '.join(parts)}"


def _answer(result: Stretched, told: dict[str, Any]) -> Iterator[str]:
    chosen = result.chosen
    assert chosen is not None
    change, turned = chosen.change, chosen.tried.turned
    gave = "; ".join(told["gave"])
    yield f"What gives: {gave}." if gave else "What gives: nothing that is drilled or bought."
    if result.unchanged:
        yield "No shaft moves, and the plates do not grow."
        return
    far = f" ({told['change']['farthest_shaft']})" if told["change"]["farthest_shaft"] else ""
    yield f"Then {_figure(result, chosen.change)}{far}; the hull is that of all margins but the standoffs'."
    yield f"The cut outlines, standoffs in them: {_outlines(result)}."
    if turned.move_bound_mm > 0.0:
        least = _down(turned.move_bound_mm)
        yield f"No layout with these gears and motors' sides moves its farthest shaft by less than {least} mm."
    if turned.same_plates_bound_mm > turned.move_bound_mm * 1.001:
        least = _down(turned.same_plates_bound_mm)
        yield f"Where the hull grows no more than here, none moves it by less than {least} mm."
    if result.old.grows(change) and turned.growth_bound_mm2 >= FLAT_MM2:
        yield f"None grows the hull by less than {_down(turned.growth_bound_mm2 / 100, 1)} cm²."
    if result.tried and chosen.tried is not result.turning and not chosen.tried.rail_given_up:
        of_any = _of_any_way(result)
        if math.isfinite(of_any) and of_any > 0.0:
            yield f"None of all the ways above moves it by less than {_down(of_any)} mm."
    lesser = _lesser(result)
    for one in lesser[:3]:
        what = "new rail holes" if one.rail_given_up else one.way.text
        yield f"Giving up one more kept thing makes it less: {what}: {_verdict(one).removeprefix('clears; ')}."
    if not lesser and (result.given_up or result.tried) and not chosen.tried.rail_given_up:
        yield "No other kept thing that was given up in a trial makes the change less."
    if chosen.tried.way.ratio != 1:
        yield f"The reduction becomes {float(chosen.tried.way.ratio):.4f} times the old one."


def _outlines(result: Stretched) -> str:
    """ "outboard 172.0 to 175.1 cm², ..."."""
    assert result.chosen is not None
    new = design_record(result.chosen.design)["plates"]
    old = {
        (plate["plate"], plate["hand"]): plate["outline"]["area_mm2"]
        for plate in design_record(result.old_design)["plates"]
    }
    first = new[0]["hand"] if new else ""
    return ", ".join(
        f"{plate['plate']} {old[plate['plate'], first] / 100:.1f} to {area(plate['outline']['area_mm2'])}"
        for plate in new
        if plate["hand"] == first and (plate["plate"], first) in old
    )


def _down(value: float, digits: int = 3) -> str:
    return f"{math.floor(value * 10**digits) / 10**digits:.{digits}f}"


def _no_answer(result: Stretched, width: int) -> Iterator[str]:
    yield from wrapped("Nothing that was tried clears: no file is written.", width, "", "  ")
    if result.miss:
        yield from wrapped(f"Nearest, with the old gears: {result.miss}", width, "", "  ")
    for finding in (*result.misses, *result.refused)[:6]:
        yield from wrapped(f"{finding.check}: {finding.message}", width, "  ", "    ")
