"""Findings of placed bodies that stand too near each other, and of bodies outside the limits.

Shared by the checks and by the nearest miss of a search that found no place.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

from gearplate.finding import Finding, Severity, Standing, Where
from gearplate.layout.bodies import plate_bodies
from gearplate.layout.clearance import Pair, pairs, pairs_between, widest_gap_mm
from gearplate.layout.constraints import Model
from gearplate.layout.design import LIMITED_KINDS, Body, BodyKind, Layout
from gearplate.layout.shapes import upright_box
from gearplate.layout.spec import LayoutSpec

EPSILON_MM = 5e-4  # below half a micrometre nothing is told


def placed_pairs(spec: LayoutSpec, layout: Layout, within_mm: float = math.inf) -> tuple[Pair, ...]:
    """Every pair of the finished layout that must keep apart, the plates' margins among them; `within_mm` as pairs."""
    places = {shaft.name: (shaft.x_mm, shaft.y_mm) for shaft in layout.shafts}
    return tuple(pairs(layout.bodies, spec, places, within_mm)) + tuple(plate_pairs(spec, layout))


def plate_pairs(spec: LayoutSpec, layout: Layout) -> Iterable[Pair]:
    """Pairs of a plate's margin with the user's keep-outs."""
    keeps = [body for body in layout.bodies if body.kind is BodyKind.KEEP_OUT]
    if not keeps:
        return ()
    rims = plate_bodies(spec, layout.stack, layout.holes)
    return tuple(pairs_between(rims, keeps, spec, {}))


def too_near(pair: Pair) -> Finding | None:
    """The finding of one pair, or None where it keeps its gap."""
    if pair.gap_mm >= pair.need.gap_mm - EPSILON_MM:
        return None
    gap_mm = round(pair.gap_mm, 6)  # as the record has it: told from the same number, sentence and table agree
    error = pair.gap_mm < (pair.need.gap_mm if pair.need.hard else 0.0) - EPSILON_MM
    a, b = pair.a, pair.b
    if a.box is not None:
        a, b = b, a
    if pair.gap_mm < -EPSILON_MM:
        message = f"{_called(a)} and {_called(b)} overlap by {-gap_mm:.3f} mm"
    else:
        message = f"{_called(a)} and {_called(b)} are {gap_mm:.3f} mm apart"
    return Finding(
        check=pair.need.check,
        severity=Severity.ERROR if error else Severity.WARNING,
        message=f"{message}; {pair.need.gap_mm:.3f} mm is wanted." if pair.need.gap_mm else f"{message}.",
        where=_between(a, b),
        measured=gap_mm,
        # what touches cannot be built: that limit is 0 and no practice
        limit=0.0 if error and not pair.need.hard else pair.need.gap_mm,
        unit="mm",
        standing=Standing.GEOMETRY if error and not pair.need.hard else pair.need.standing,
    )


def _called(body: Body) -> str:
    """The body's name, and what it is where the name does not say so."""
    return body.name if body.kind.value in body.name else f"{body.name} ({body.kind.value})"


def _between(a: Body, b: Body) -> Where:
    """The spot to ring: on the line between two discs, at the nearest point of a box."""
    if b.box is not None:
        x0, y0, x1, y1 = b.box
        x, y = min(max(a.x_mm, x0), x1), min(max(a.y_mm, y0), y1)
    else:
        dx, dy = b.x_mm - a.x_mm, b.y_mm - a.y_mm
        length = (dx * dx + dy * dy) ** 0.5 or 1.0
        way = 0.5 * (a.radius_mm + length - b.radius_mm) / length
        x, y = a.x_mm + way * dx, a.y_mm + way * dy
    shafts = tuple(dict.fromkeys(name for name in (a.shaft, b.shaft) if name))
    return Where(shafts=shafts, x_mm=x, y_mm=y)


def nearest_miss(spec: LayoutSpec, layout: Layout) -> tuple[Finding, ...]:
    """What is in the way in a layout that does not fit: one finding for each pair too near, worst first."""
    found = [finding for pair in placed_pairs(spec, layout, widest_gap_mm(spec)) if (finding := too_near(pair))]
    found += limit_findings(spec, layout)
    return tuple(sorted(found, key=lambda f: (f.severity is not Severity.ERROR, -_missed_mm(f))))


def _missed_mm(finding: Finding) -> float:
    """By how much, whether the limit is a least or a most."""
    return abs((finding.measured or 0.0) - (finding.limit or 0.0))


def demand_misses(model: Model, layout: Layout, floor_mm: float) -> tuple[Finding, ...]:
    """Demands of the search itself that a layout misses, webs between holes among them; worst first."""
    at = {shaft.name: (shaft.x_mm, shaft.y_mm) for shaft in layout.shafts}
    found = []
    for demand in model.demands:
        away = math.dist(at[demand.a], at[demand.b])
        if away < demand.least_mm - EPSILON_MM:
            found.append(_demand_finding(demand.why, (demand.a, demand.b), away, demand.least_mm, at[demand.a]))
    for fixed in model.fixed:
        x, y = at[fixed.a]
        x0, y0, x1, y1 = fixed.box
        away = math.hypot(max(x0 - x, 0.0, x - x1), max(y0 - y, 0.0, y - y1))
        if away < fixed.least_mm - EPSILON_MM:
            found.append(_demand_finding(fixed.why, (fixed.a,), away, fixed.least_mm, (x, y)))
    for name, reach in zip(model.names[1:], model.reach[1:], strict=True):
        x, y = at[name]
        if y - reach < floor_mm - EPSILON_MM:
            text = (
                f"{name}: its lowest point stands at y = {y - reach:.3f} mm; {floor_mm:.3f} mm keeps it off the floor."
            )
            where = Where(shafts=(name,), x_mm=x, y_mm=y - reach)
            found.append(
                Finding("ground", Severity.ERROR, text, where, y - reach, floor_mm, "mm", Standing.COMMON_PRACTICE)
            )
    return tuple(sorted(found, key=_missed_mm, reverse=True))


def _demand_finding(why: str, shafts: tuple[str, ...], away: float, least: float, spot: tuple[float, float]) -> Finding:
    return Finding(
        check=why.split()[0],
        severity=Severity.ERROR,
        message=f"{' and '.join(shafts)}: axes {away:.3f} mm apart where {why} needs {least:.3f} mm.",
        where=Where(shafts=shafts, x_mm=spot[0], y_mm=spot[1]),
        measured=away,
        limit=least,
        unit="mm",
    )


def limit_findings(spec: LayoutSpec, layout: Layout) -> list[Finding]:
    """Bodies and plate margins outside the limits in the plane."""
    return [finding for _, finding in limit_results(spec, layout) if finding is not None]


def limit_results(spec: LayoutSpec, layout: Layout) -> list[tuple[str, Finding | None]]:
    """One entry for each limit that the job sets in the plane: its key, and the finding where it is broken."""
    bodies = [body for body in layout.bodies if body.kind in LIMITED_KINDS]
    bodies += plate_bodies(spec, layout.stack, layout.holes)
    room = [(body, upright_box(body)) for body in bodies]
    (left, (x0, *_)), (low, (_, y0, *_)) = min(room, key=lambda one: one[1][0]), min(room, key=lambda one: one[1][1])
    (right, (*_, x1, _)), (top, (*_, y1)) = max(room, key=lambda one: one[1][2]), max(room, key=lambda one: one[1][3])
    limits = spec.limits
    table = (
        ("forward", x1, limits.forward_mm, (right,), (x1, right.y_mm)),
        ("back", -x0, limits.back_mm, (left,), (x0, left.y_mm)),
        ("up", y1, limits.up_mm, (top,), (top.x_mm, y1)),
        ("down", -y0, limits.down_mm, (low,), (low.x_mm, y0)),
        ("width", x1 - x0, limits.width_mm, (left, right), (x1, right.y_mm)),
        ("height", y1 - y0, limits.height_mm, (low, top), (top.x_mm, y1)),
    )
    results: list[tuple[str, Finding | None]] = []
    for key, extent, limit, ends, spot in table:
        if limit is None:
            continue
        if extent <= limit + EPSILON_MM:
            results.append((key, None))
            continue
        names = " to ".join(body.name for body in ends)
        results.append(
            (
                key,
                Finding(
                    "limits-plane",
                    Severity.ERROR,
                    f"{names}: {extent:.3f} mm where limits.{key} allows {limit:.3f} mm.",
                    Where(shafts=tuple(b.shaft for b in ends if b.shaft), x_mm=spot[0], y_mm=spot[1]),
                    extent,
                    limit,
                    "mm",
                    Standing.JOB,
                ),
            )
        )
    return results
