"""Bearings of every shaft: static safety in the worst case, life at the usual load and speed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from gearplate.catalog.bearings import Bearing
from gearplate.finding import Standing
from gearplate.rating.bearing_life import (
    BALL_EXPONENT,
    equivalent_load,
    hours,
    life_million_turns,
    reliability_factor,
    static_load_n,
    static_safety,
)
from gearplate.rating.duty import Duty
from gearplate.rating.rating import Kind, Rating
from gearplate.rating.shaft_loads import USUAL, ShaftCase

HEX_SHARE = 0.8
"""Rating of a bearing with a hexagon bore over that of the round one of its envelope: our guess, no source."""


@dataclass(frozen=True, slots=True)
class KnownRatings:
    """C and C0 (N) to rate by, their standing, and a note where they are a guess."""

    dynamic_n: float
    static_n: float
    standing: Standing
    note: str = ""


def known_ratings(bearing: Bearing, table: Mapping[str, Bearing]) -> KnownRatings | None:
    """A bearing's ratings; for a hexagon bore without any four fifths of those of the round bearing of the same
    envelope, which is a guess; None where nothing is known."""
    if bearing.dynamic_n is not None and bearing.static_n is not None:
        return KnownRatings(bearing.dynamic_n, bearing.static_n, bearing.standing_for("dynamic_n"))
    for other in table.values():
        same = abs(other.outside_mm - bearing.outside_mm) < 0.01 and abs(other.width_mm - bearing.width_mm) < 0.01
        if bearing.bore.hexagonal and same and other.dynamic_n is not None and other.static_n is not None:
            return KnownRatings(
                HEX_SHARE * other.dynamic_n,
                HEX_SHARE * other.static_n,
                Standing.INVENTED,
                f"no rating known: four fifths of {other.name}'s, a guess",
            )
    return None


def rate_bearings(
    cases: Sequence[ShaftCase], speed_rpm: float | None, duty: Duty, table: Mapping[str, Bearing]
) -> tuple[Rating, ...]:
    """Both bearings of one shaft. `speed_rpm`: of the shaft in usual driving; None where no motor's speed is known, and
    then no hours are told. An axial force is taken by either bearing alone, the worse counts."""
    ratings: list[Rating] = []
    for index in (0, 1):
        support = cases[0].supports[index] if cases else None
        if support is None or support.bearing is None:
            continue
        known = known_ratings(support.bearing, table)
        if known is None:
            continue
        ratings.append(_static(cases, index, known))
        if speed_rpm is not None:
            ratings.append(_life([case for case in cases if case.case == USUAL], index, known, speed_rpm, duty))
    return tuple(ratings)


def _name(case: ShaftCase, index: int) -> str:
    support = case.supports[index]
    assert support.bearing is not None
    return f"{case.shaft} {support.name}, {support.bearing.name}"


def _static(cases: Sequence[ShaftCase], index: int, known: KnownRatings) -> Rating:
    load, case = max(((static_load_n(c.radial_n[index], c.axial_n), c) for c in cases), key=lambda one: one[0])
    side = case.supports[index].side
    return Rating(
        part=_name(case, index),
        kind=Kind.STRENGTH,
        load_case=case.case,
        formula="P0 = max(0.6 Fr + 0.5 Fa, Fr) against C0",
        source="ISO 76 (from memory), static safety 1",
        value=load,
        limit=known.static_n,
        unit="N",
        margin=static_safety(known.static_n, load),
        standing=known.standing,
        rules=not known.note,
        note="; ".join(
            (f"Fr = {case.radial_n[index]:.0f} N, Fa = {case.axial_n:.0f} N", *([known.note] if known.note else ()))
        ),
        shafts=(case.shaft,),
        plate=side.value if side else None,
        way=case.way,
    )


def _life(cases: Sequence[ShaftCase], index: int, known: KnownRatings, speed_rpm: float, duty: Duty) -> Rating:
    loads = [(equivalent_load(case.radial_n[index], case.axial_n, known.static_n), case) for case in cases]
    equivalent, case = max(loads, key=lambda one: one[0].load_n)
    load, a1 = equivalent.load_n, reliability_factor(duty.reliability_percent)
    million = life_million_turns(known.dynamic_n, load, BALL_EXPONENT, a1)
    life = hours(million, speed_rpm)
    side = case.supports[index].side
    return Rating(
        part=_name(case, index),
        kind=Kind.LIFE,
        load_case=case.case,
        formula="L = a1 (C / P)^3 million turns, P = X Fr + Y Fa; hours: times 10^6 / (60 n)",
        source="ISO 281; a1, X and Y of its tables from memory",
        value=life,
        limit=duty.hours,
        unit="h",
        margin=(life / duty.hours) ** (1.0 / BALL_EXPONENT),
        standing=known.standing,
        rules=not known.note,
        note=f"n = {speed_rpm:.0f} rev/min, C = {known.dynamic_n:.0f} N, Fr = {case.radial_n[index]:.0f} N, "
        f"Fa = {case.axial_n:.0f} N, X = {equivalent.x:g}, Y = {equivalent.y:.3g}, P = {load:.0f} N, a1 = {a1:g}"
        + (f"; {known.note}" if known.note else ""),
        shafts=(case.shaft,),
        plate=side.value if side else None,
        way=case.way,
    )
