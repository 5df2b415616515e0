"""Shafts: bending and torsion together after von Mises, and the slope at each gear."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from gearplate.catalog.row import Bore
from gearplate.finding import Standing
from gearplate.layout.spec import ShaftSpec
from gearplate.rating.rating import Kind, Rating, over
from gearplate.rating.shaft_loads import USUAL, ShaftCase

NOTCH = 2.0
"""Stress at a keyway or cross hole over that of the plain bar: about 2 (machine design texts, from memory)."""

SLOPE_RAD = 0.001
"""Most slope at a spur gear: 0.0005 to 0.001 rad (machine design texts, from memory)."""


@dataclass(frozen=True, slots=True)
class Section:
    """Of a bar: second moment of area (mm4), section moduli against bending and torsion (mm3); `words`: how the moduli
    follow from the bar's size."""

    second_moment_mm4: float
    bending_mm3: float
    torsion_mm3: float
    words: str


def section(bar: Bore) -> Section:
    """Round: pi d^4 / 64, pi d^3 / 32, pi d^3 / 16. Hexagon of width s: 5 sqrt(3) / 144 s^4; bent over its corners,
    the weaker way, 5 / 48 s^3; twisted 0.217 A s with A = sqrt(3) / 2 s^2 (torsion of prisms, handbooks, from memory;
    held against a solution by numbers in the tests)."""
    s = bar.across_mm
    if bar.hexagonal:
        return Section(
            5.0 * math.sqrt(3.0) / 144.0 * s**4,
            5.0 / 48.0 * s**3,
            0.217 * math.sqrt(3.0) / 2.0 * s**3,
            "hexagon of width s: W = 5/48 s^3, Wt = 0.188 s^3, I = 0.0601 s^4",
        )
    return Section(
        math.pi * s**4 / 64.0,
        math.pi * s**3 / 32.0,
        math.pi * s**3 / 16.0,
        "round of diameter s: W = pi s^3 / 32, Wt = 2 W, I = pi s^4 / 64",
    )


def von_mises_mpa(bar: Bore, moment_n_mm: float, torque_n_mm: float) -> float:
    """sqrt(sb^2 + 3 t^2) of bending and torsion at the bar's surface."""
    found = section(bar)
    return math.hypot(moment_n_mm / found.bending_mm3, math.sqrt(3.0) * torque_n_mm / found.torsion_mm3)


def rate_shaft(shaft: ShaftSpec, cases: Sequence[ShaftCase]) -> tuple[Rating, ...]:
    """Strength of one shaft in its worst case, and its slope at the gears. Round bar is keyed or pinned to its gears:
    its stress is taken twice, and it is said."""
    if not cases:
        return ()
    stock = shaft.stock
    keyed = not stock.section.hexagonal and shaft.turns
    factor = NOTCH if keyed else 1.0
    worst = max(
        (
            (factor * von_mises_mpa(stock.section, bend, twist), z, bend, twist, case)
            for case in cases
            for z, bend, twist in case.sections
        ),
        key=lambda one: one[0],
    )
    stress, z, bend, twist, case = worst
    bar = section(stock.section)
    stiffness = 1000.0 * stock.youngs_modulus_gpa * bar.second_moment_mm4
    slopes = [
        (math.hypot(sx, sy), one, place)
        for one in cases
        if one.case != USUAL
        for place, sx, sy in zip(
            one.gear_places_mm,
            one.beams[0].slopes_rad(stiffness, one.gear_places_mm),
            one.beams[1].slopes_rad(stiffness, one.gear_places_mm),
            strict=True,
        )
    ]
    ratings = [
        Rating(
            part=f"{shaft.name} shaft, {stock.name}",
            kind=Kind.STRENGTH,
            load_case=case.case,
            formula=("twice, for its key, " if keyed else "")
            + f"von Mises: sqrt((M / W)^2 + 3 (T / Wt)^2); {bar.words}",
            source="any text on machine elements"
            + (", the factor of 2 from memory" if keyed else "")
            + f"; yield: {stock.source}",
            value=stress,
            limit=stock.yield_mpa,
            unit="MPa",
            margin=over(stock.yield_mpa, stress),
            standing=stock.standing_for("yield_mpa"),
            note=f"at z = {z:.1f} mm M = {bend / 1000.0:.3g} N m, T = {twist / 1000.0:.3g} N m; "
            f"s = {stock.section.across_mm:.4g} mm, W = {bar.bending_mm3:.4g} mm3, Wt = {bar.torsion_mm3:.4g} mm3"
            + ("; round bar needs keys or pins, whose notch is taken as twice the stress" if keyed else ""),
            shafts=(shaft.name,),
            way=case.way,
        )
    ]
    if slopes:
        slope, one, place = max(slopes, key=lambda found: found[0])
        ratings.append(
            Rating(
                part=f"{shaft.name} shaft, slope at its gears",
                kind=Kind.STIFFNESS,
                load_case=one.case,
                formula="bending line of a bar on two supports: slope = integral of M / (E I) along it",
                source="strength of materials; limit: machine design texts, from memory",
                value=slope,
                limit=SLOPE_RAD,
                unit="rad",
                margin=over(SLOPE_RAD, slope),
                standing=Standing.FROM_MEMORY,
                note=f"at z = {place:.1f} mm; E = {stock.youngs_modulus_gpa:g} GPa, I = {bar.second_moment_mm4:.4g} "
                "mm4; the load moves to one end of the teeth; plates and bearings give way besides",
                shafts=(shaft.name,),
                way=one.way,
            )
        )
    return tuple(ratings)
