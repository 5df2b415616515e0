"""What `gearplate stretch` prints: for people, and for programs."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Any

from gearplate.finding import Severity
from gearplate.packet.characters import harmless
from gearplate.packet.columns import wrapped
from gearplate.packet.differences import difference_lines
from gearplate.packet.layout_text import area
from gearplate.record.design_record import design_record
from gearplate.studies.stretch import Stretched
from gearplate.studies.stretch_change import SAME_SHARE, Change, Verdict
from gearplate.studies.stretch_tried import Kept, Tried
from gearplate.studies.stretch_ways import Kind

FORMAT = "gearplate-stretch/1"
SHOWN_MM = 0.001
TOLD = 3  # of many gears or idlers that clear, those that are told one by one
FLAT_MM2 = 10.0  # less growth is not told: areas have a tenth of a cm² as their last digit
_ONE_BY_ONE = (Kind.TURN, Kind.INBOARD)
_ORDER = (Verdict.CLEARS, Verdict.NO_LESS, Verdict.NOT_FOUND, Verdict.IMPOSSIBLE)


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
        "interrupted": result.interrupted,
        "kept": _kept(result),
        "gave": _gave(result),
        "turning": _entry(result.turning),
        "tried": [_entry(one) for one in result.tried],
        "given_up": [_entry(one) for one in result.given_up],
        "change": None,
        "moving_less": None,
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
        less = _moving_less(chosen.tried, change)
        if less is not None:
            told["moving_less"] = {
                "growth_mm2": round(less.growth_mm2, 3),
                "largest_move_mm": round(less.move_mm, 6),
            }
        told["bounds"] = {
            "largest_move_mm": _bound(_least_move(chosen.tried)),
            "largest_move_in_such_plates_mm": _bound(turned.same_plates_bound_mm),
            "growth_mm2": _bound(turned.growth_bound_mm2),
            "largest_move_of_any_way_mm": _bound(_of_any_way(result)),
            "growth_of_any_way_mm2": _bound(_growth_of_any_way(result)),
        }
        told["differences"] = _differences(result)
        told["findings"] = [_finding(one) for one in chosen.design.findings]
    else:
        told["findings"] = [_finding(one) for one in (*result.in_the_way, *result.refused)]
    return told


def lines_for_people(result: Stretched, told: dict[str, Any], width: int) -> list[str]:
    """The answer in words."""
    text = ", ".join(harmless(one, 200) for one in told["set"])
    lines = [f"Stretch of {harmless(told['job'])}: {text}"]
    lines += wrapped(f"Kept as far as can be: {', '.join(told['kept'])}.", width, "", "  ")
    lines.append("")
    lines += wrapped(_turning(result), width, "", "  ")
    lines += _others(result.tried, "Other ways, all else kept", width)
    for gave in Kept:
        lines += _others([one for one in result.given_up if one.gave is gave], f"With {gave.value}", width)
    lines.append("")
    if result.interrupted:
        lines += wrapped("Stopped before all was tried. What follows is the best until then.", width, "", "  ")
    if result.chosen is None:
        return lines + list(_no_answer(result, width))
    for sentence in _answer(result, told):
        lines += wrapped(sentence, width, "", "  ")
    lines += ["", "Hole by hole, from the old plates to the new:"]
    for line in told["differences"]:
        lines += wrapped(line, width, "  ", "    ")
    warnings = [one for one in told["findings"] if one["severity"] != "note"]
    for one in warnings:
        lines += wrapped(f"{one['severity']}: {one['check']}: {one['message']}", width, "", "  ")
    return lines


def _differences(result: Stretched) -> list[str]:
    """What changes in the plates, but for the part's name in marks and file names."""
    assert result.chosen is not None
    old, new = design_record(result.old_design), design_record(result.chosen.design)
    before = {(plate["plate"], plate["hand"]): plate for plate in old["plates"]}
    for plate in new["plates"]:
        same = before.get((plate["plate"], plate["hand"]))
        if same is not None:
            plate["file"], plate["marks"] = same["file"], same["marks"]
    return [line.removeprefix("Changed: ") for line in difference_lines(old, new)]


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
    if chosen.tried.gave is Kept.RAIL:
        gave.append(chosen.tried.gave.value)
    if chosen.spacers_mm is not None:
        gave.append(f"spacers and standoffs of {chosen.spacers_mm[1]:.2f} mm instead of {chosen.spacers_mm[0]:.2f} mm")
    return gave


def _entry(one: Tried) -> dict[str, Any]:
    change = one.turned.change
    return {
        "kind": one.way.kind.value,
        "what": one.way.text,
        "set": dict(one.way.set),
        "given_up": None if one.gave is None else one.gave.value,
        "verdict": one.turned.verdict.value,
        "ruled_out_by_its_train": one.ruled_out,
        "why": one.turned.why,
        "growth_mm2": None if change is None else round(change.growth_mm2, 3),
        "largest_move_mm": None if change is None else round(change.move_mm, 6),
        "move_bound_mm": _bound(one.turned.move_bound_mm),
        "growth_bound_mm2": _bound(one.turned.growth_bound_mm2),
        "boxes": one.turned.boxes,
    }


def _finding(one: Any) -> dict[str, Any]:
    return {"check": one.check, "severity": one.severity.value, "message": one.message}


def _bound(value: float) -> float | None:
    """Rounded down: a claim is never stronger than its proof."""
    return math.floor(value * 1e6) / 1e6 if math.isfinite(value) else None


def _least_move(one: Tried) -> float:
    """No layout of a way has a largest move below this, wherever the rail is drilled if it is drilled anew."""
    return one.anywhere_mm if one.gave is Kept.RAIL else one.turned.move_bound_mm


def _of_any_way(result: Stretched) -> float:
    """No way that was tried, all kept but what it changes, has a largest move below this."""
    return min(one.turned.move_bound_mm for one in (result.turning, *result.tried))


def _growth_of_any_way(result: Stretched) -> float:
    """In no way that was tried, all kept but what it changes, does the hull grow by less than this."""
    return min(one.turned.growth_bound_mm2 for one in (result.turning, *result.tried))


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


def _figure(result: Stretched, change: Change, farthest: str | None = None) -> str:
    far = f" ({farthest})" if farthest else ""
    grows = "the hull does not grow"
    if change.growth_mm2 > FLAT_MM2:
        grows = f"the hull grows by {area(change.growth_mm2)}"
        grows += "" if result.old.grows(change) else f" (under {100 * SAME_SHARE:g} %, which counts as none)"
    return f"{grows}, the largest move is {change.move_mm:.3f} mm{far}{_reach(change)}"


def _reach(change: Change) -> str:
    screws = change.out_of_reach
    return f", {screws} motor screw{'s' if screws > 1 else ''} more out of reach of a driver" if screws else ""


def _turning(result: Stretched) -> str:
    turned = result.turning.turned
    if turned.why:
        return f"Turning the shafts alone does not do: {turned.why.rstrip('.')}."
    if turned.verdict is Verdict.IMPOSSIBLE:
        return (
            "Turning the shafts alone does not do: with these gears and rail holes no layout clears "
            f"(proven, {turned.boxes:,} box{'es' if turned.boxes != 1 else ''} of angles)."
        )
    if turned.change is None:
        return "Turning the shafts alone: no layout that clears was found; that there is none is not proven."
    if result.unchanged:
        return "Nothing has to move: the old layout still clears."
    if result.refused and (result.chosen is None or result.chosen.tried is not result.turning):
        return f"Turning the shafts alone gives each its room, but is refused: {result.refused[0].message}"
    return f"Turning the shafts alone does it: {_figure(result, turned.change)}."


def _others(tried: Sequence[Tried], title: str, width: int) -> list[str]:
    """One line for each motor, one for all gears or idlers of a verdict."""
    if not tried:
        return []
    lines = [f"{title}:"]
    for kind in Kind:
        own = sorted((one for one in tried if one.way.kind is kind), key=lambda one: one.way.text)
        single = kind in _ONE_BY_ONE or len(own) == 1
        for one in own if single else _least(own):
            lines += wrapped(f"{one.way.text or kind.value}: {_verdict(one)}", width, "  ", "    ")
        if not single and own:
            lines += wrapped(f"{kind.value}: {_counted(own)}", width, "  ", "    ")
    return lines


def _least(tried: Sequence[Tried]) -> list[Tried]:
    """The least changes of many alike, by growth and then by move."""
    clear = [(change.growth_mm2, change.move_mm, one) for one in tried if (change := one.turned.change) is not None]
    return [one for _, _, one in sorted(clear, key=lambda each: each[:2])[:TOLD]]


def _verdict(one: Tried) -> str:
    change = one.turned.change
    if change is not None:
        size = f"hull grows by {area(change.growth_mm2)}, " if change.growth_mm2 > FLAT_MM2 else ""
        return f"clears; {size}largest move {change.move_mm:.3f} mm{_reach(change)}"
    return one.turned.why.rstrip(".") or _WORDS[one.turned.verdict]


_WORDS = {
    Verdict.CLEARS: "clears",
    Verdict.NO_LESS: "no less of a change (proven)",
    Verdict.NOT_FOUND: "nothing less was found (not proven)",
    Verdict.IMPOSSIBLE: "no layout clears (proven)",
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
    gave = "; ".join(told["gave"])
    yield f"What gives: {gave}." if gave else "What gives: nothing that was to be kept."
    if result.unchanged:
        yield "No shaft moves, and the plates do not grow."
        return
    figure = _figure(result, chosen.change, told["change"]["farthest_shaft"])
    yield f"Then {figure}; the hull is that of all margins but the standoffs'."
    other = _moving_less(chosen.tried, chosen.change)
    if other is not None:
        yield f"Plates that grow by {area(other.growth_mm2)} would do with a largest move of {other.move_mm:.3f} mm."
    yield f"The cut outlines, standoffs in them: {_outlines(result)}."
    yield from _bounds(result)
    lesser = _lesser(result)
    for one in lesser[:3]:
        size = _verdict(one).removeprefix("clears; ")
        yield f"Another kept thing given up makes it less: {_instead(result, one)}: {size}."
    if not lesser and not result.interrupted and (result.given_up or result.tried) and chosen.tried.gave is None:
        yield "No other kept thing that was given up in a trial makes the change less."
    if chosen.tried.way.ratio != 1:
        yield f"The reduction becomes {float(chosen.tried.way.ratio):.4f} times the old one."


def _moving_less(tried: Tried, change: Change) -> Change | None:
    """A change of the same way that moves much less, in plates that grow more; None where none was found."""
    found = [one for one, _ in tried.turned.found if not one.out_of_reach and one.move_mm < 0.5 * change.move_mm]
    least = min(found, key=lambda one: one.move_mm, default=None)
    return least if least is not None and change.move_mm > 1.0 else None


def _bounds(result: Stretched) -> Iterator[str]:
    """Below what no change does: of the chosen way, then of all that were tried."""
    chosen = result.chosen
    assert chosen is not None
    one, turned, grows = chosen.tried, chosen.tried.turned, result.old.grows(chosen.change)
    drilled = one.gave is Kept.RAIL
    move, least = _least_move(one), _down(turned.same_plates_bound_mm)
    if move >= SHOWN_MM:
        anywhere = ", wherever the rail is drilled," if drilled else ""
        yield (
            f"No layout with these gears and motors' sides{anywhere} moves its farthest shaft by less than "
            f"{_down(move)} mm."
        )
    there = " with the rail drilled as told here" if drilled else ""
    if turned.same_plates_bound_mm > max(SHOWN_MM, move * 1.001):
        yield f"Where the hull grows no more than here, none{there} moves it by less than {least} mm."
    if grows and turned.growth_bound_mm2 >= FLAT_MM2:
        yield f"None{there} grows the hull by less than {_down(turned.growth_bound_mm2 / 100, 1)} cm²."
    if result.tried and one.gave is None and not result.interrupted:
        least_move, least_growth = _of_any_way(result), _growth_of_any_way(result)
        if grows and FLAT_MM2 <= least_growth < math.inf:
            grown = _down(least_growth / 100, 1)
            yield f"Turning and the other ways, all else kept: none grows the hull by less than {grown} cm²."
        elif SHOWN_MM <= least_move < math.inf:
            yield f"Turning and the other ways, all else kept: none has a largest move below {_down(least_move)} mm."


def _instead(result: Stretched, one: Tried) -> str:
    """What is given up in a trial, and instead of what."""
    assert result.chosen is not None
    own = result.chosen.tried.way.text
    parts = [part for part in (one.gave.value if one.gave is not None else "", one.way.text) if part]
    if one.way.text == own:
        return parts[0]
    return f"{' and '.join(parts)}{f' instead of {own}' if own else ''}"


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
    if result.interrupted:
        yield from wrapped("Nothing that clears was found until then.", width, "", "  ")
        return
    yield from wrapped("Nothing that was tried clears: no file is written.", width, "", "  ")
    if result.in_the_way:
        errors = any(finding.severity is Severity.ERROR for finding in result.in_the_way)
        title = "Nearest, with the old gears" if errors else "With the old gears it can be built, but not all clears"
        yield f"{title}:"
    for finding in dict.fromkeys((*result.in_the_way, *result.refused)):
        yield from wrapped(f"{finding.check}: {finding.message}", width, "  ", "    ")
