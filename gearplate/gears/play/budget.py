"""The tolerance budget of one mesh in closed form: every contributor, worst case, root sum square, extremes.

Each contributor is told as what it does to the centre distance (or to the teeth's thickness), as range and as mean and
standard deviation. Worst case: all ends added (arithmetic), each hole's and each axis's on its own. Statistical: means
added, and about them as far out as 1 in 1000 of the sum of all deviations lies, by their own distributions
(`gears/play/summed.py`: 3.09 of its standard deviation, the root sum square, where normal ones rule, less where a few
uniform ones make up most of it), and never beyond the worst case. Both then go through the exact relation or its slope
(gears/play/pair.py). Lengths in mm.

Left out: what errors across the line of centres add (square of it over twice the distance: under a micrometre).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from statistics import NormalDist

from gearplate.gears.play.model import Climate, Hole, MeshPlay, Range
from gearplate.gears.play.pair import Pair
from gearplate.gears.play.summed import Deviation, Form, Summed

DEVIATIONS = 3.0
"""A normal deviation counts in the worst case with three of its standard deviations."""

EXACT_MM = 1e-9
_FLAT = math.sqrt(12.0)


class Cause(StrEnum):
    """What scatters, in the words that people read."""

    POSITION = "place of the holes"
    SCALE = "scale of the cutter"
    BORE = "play of bearings in their bores"
    INTERNAL = "clearance inside the bearings"
    THICKNESS = "thickness of the teeth"
    RUNOUT = "runout of the gears"
    PILOT = "play of the motor's pilot"
    SHAFT_RUNOUT = "runout of the motor's shaft"
    BENDING = "bending of the motor's shaft"
    HALL = "warmth of the hall"
    HEAT = "heat of the motor"
    MOISTURE = "moisture of the plates"


@dataclass(frozen=True, slots=True)
class Contributor:
    """One cause. `thins`: it acts on the sum of both thinnings instead of the centre distance. `turns`: it goes up and
    down once a turn; `low` and `high` are then its ends within a turn, `mean` is that of its amplitude. `deviations`:
    the independent ones that it is the sum of."""

    cause: Cause
    low_mm: float
    high_mm: float
    mean_mm: float
    sigma_mm: float
    thins: bool = False
    turns: bool = False
    deviations: tuple[Deviation, ...] = ()


@dataclass(frozen=True, slots=True)
class Budget:
    """What the contributors leave of the operating backlash.

    `tight_mm` and `slack_mm` are the backlash at the tightest and the slackest place of a turn, on the average over
    gearboxes; `worst_mm` and `likely_mm` (lowest, highest) hold both ends of a turn. `share` = part of the variance by
    cause. `hot_dry_mm`, `cold_wet_mm`: all else at its mean. `probability_binds`: of a gearbox that binds somewhere in
    its turn, by the distribution of the sum of all contributors.
    """

    contributors: tuple[Contributor, ...]
    centre_mm: float
    thinning_mm: float
    operating_mm: float
    reference_mm: float
    normal_mm: float
    sigma_mm: float
    tight_mm: float
    slack_mm: float
    worst_mm: Range
    likely_mm: Range
    worst_centre_mm: Range
    likely_centre_mm: Range
    hot_dry_mm: float
    cold_wet_mm: float
    probability_binds: float
    per_centre: float
    per_thinning: float

    @property
    def share(self) -> tuple[tuple[Cause, float], ...]:
        """Part of the variance by cause, the greatest first. Both signs of a turn count as its spread."""
        found = [(one.cause, self._spread(one) ** 2) for one in self.contributors]
        whole = sum(part for _, part in found) or 1.0
        return tuple(sorted(((cause, part / whole) for cause, part in found), key=lambda item: -item[1]))

    def _spread(self, one: Contributor) -> float:
        slope = self.per_thinning if one.thins else self.per_centre
        return slope * (math.hypot(one.sigma_mm, one.mean_mm) / math.sqrt(2.0) if one.turns else one.sigma_mm)


def budget(play: MeshPlay, climate: Climate) -> Budget:
    """The budget of one mesh."""
    pair = play.pair
    parts = contributors(play, climate)
    steady = [one for one in parts if not one.turns and not one.thins]
    thinner = [one for one in parts if one.thins]
    turning = [one for one in parts if one.turns]
    centre = play.centre_mm + sum(one.mean_mm for one in steady)
    thinning = sum(one.mean_mm for one in thinner)
    amplitude = sum(one.mean_mm for one in turning)
    slope, thin_slope = pair.per_centre(centre, thinning), pair.per_thinning(centre)
    sigma = math.hypot(*(slope * one.sigma_mm for one in steady), *(thin_slope * one.sigma_mm for one in thinner))
    # as if the distance alone did it all: then the exact relation tells what is left
    low, high = _summed(parts, 1.0, thin_slope / slope).outer_mm()
    likely = pair.backlash_mm(centre - amplitude + low, thinning), pair.backlash_mm(centre + amplitude + high, thinning)
    middle = pair.backlash_mm(centre, thinning)
    tight = pair.backlash_mm(centre - amplitude, thinning)
    slack = pair.backlash_mm(centre + amplitude, thinning)
    all_centres = (*steady, *turning)
    ends = (
        play.centre_mm + sum(one.low_mm for one in all_centres),
        play.centre_mm + sum(one.high_mm for one in all_centres),
    )
    worst = (
        pair.backlash_mm(ends[0], sum(one.low_mm for one in thinner)),
        pair.backlash_mm(ends[1], sum(one.high_mm for one in thinner)),
    )
    nearer, farther = _summed(all_centres, 1.0, 0.0).outer_mm()
    likely_centre = max(ends[0], centre - amplitude + nearer), min(ends[1], centre + amplitude + farther)
    cosine = pair.base_centre_mm / centre
    weather = climate_centre_mm(play, climate)
    still = centre - sum(one.mean_mm for one in steady if one.cause in _WEATHER)
    return Budget(
        contributors=tuple(parts),
        centre_mm=centre,
        thinning_mm=thinning,
        operating_mm=middle,
        reference_mm=middle * cosine / math.cos(pair.pressure_angle_rad),
        normal_mm=middle * cosine,
        sigma_mm=sigma,
        tight_mm=tight,
        slack_mm=slack,
        worst_mm=worst,
        likely_mm=(max(worst[0], likely[0]), min(worst[1], likely[1])),
        worst_centre_mm=ends,
        likely_centre_mm=likely_centre,
        hot_dry_mm=pair.backlash_mm(still + weather[0], thinning),
        cold_wet_mm=pair.backlash_mm(still + weather[1], thinning),
        probability_binds=_binds(pair, parts, centre - amplitude, thinning, tight),
        per_centre=slope,
        per_thinning=thin_slope,
    )


def _summed(parts: Sequence[Contributor], slope: float, thin_slope: float) -> Summed:
    return Summed([(thin_slope if one.thins else slope, each) for one in parts for each in one.deviations])


def _binds(pair: Pair, parts: Sequence[Contributor], centre_mm: float, thinning_mm: float, tight_mm: float) -> float:
    """Probability that no backlash is left at the tightest place of a turn: along the straight line through what is
    left on the average and the distance at which nothing is left, since there it is decided."""
    touching = pair.centre_for_mm(0.0, thinning_mm)
    away = centre_mm - touching
    slope = tight_mm / away if abs(away) > EXACT_MM else pair.per_centre(centre_mm, thinning_mm)
    if not slope > 0.0:
        return float(not tight_mm > 0.0)
    summed = _summed(parts, slope, pair.per_thinning(touching))
    return summed.chance_under(-tight_mm) if summed.sigma_mm > 0.0 else float(not tight_mm > 0.0)


_WEATHER = (Cause.HALL, Cause.HEAT, Cause.MOISTURE)


def middle_of(span: Range) -> float:
    """Half-way between both ends."""
    return 0.5 * (span[0] + span[1])


def climate_centre_mm(play: MeshPlay, climate: Climate) -> tuple[float, float]:
    """What hot dry and cold wet do to the centre distance against the gears, mm, with growth at its middle values."""
    less = middle_of(play.plate.cte_per_k) - middle_of(play.gear_cte_per_k)
    heat = play.plate.heat_share * climate.motor_heat_k * middle_of(play.plate.cte_per_k)
    wet = middle_of(play.plate.swelling)
    hot_dry = less * climate.hall_k[1] + heat + wet * climate.moisture[0]
    cold_wet = less * climate.hall_k[0] + wet * climate.moisture[1]
    return play.centre_mm * hot_dry, play.centre_mm * cold_wet


def contributors(play: MeshPlay, climate: Climate) -> list[Contributor]:
    """Every cause of one mesh that does anything."""
    centre, ux, uy = play.centre_mm, math.cos(play.direction_rad), math.sin(play.direction_rad)
    push = math.sin(play.pair.working_angle_rad(centre))
    gears = (play.driver, play.driven)
    held = [(hole, weight) for gear in gears for hole, weight in gear.holes]
    places = [weight * math.hypot(ux * hole.sigma_x_mm, uy * hole.sigma_y_mm) for hole, weight in held]
    scales = [centre * play.scale_sigma * along * along for along in (ux, uy)]
    known = centre * (ux * ux * (play.cut_per_drawn[0] - 1.0) + uy * uy * (play.cut_per_drawn[1] - 1.0))
    found = [
        _normal(Cause.POSITION, 0.0, places),
        _normal(Cause.SCALE, known, scales),
        _bores(play, climate, push),
        _added(Cause.INTERNAL, [(w * push / 2.0, hole.internal_mm) for hole, w in held if not hole.clamped]),
        _added(Cause.THICKNESS, [(1.0, gear.thinning_mm) for gear in gears], thins=True),
        _turning(Cause.RUNOUT, [gear.eccentric_mm for gear in gears]),
        _pilot(held),
        _turning(Cause.SHAFT_RUNOUT, [gear.shaft_runout_mm for gear in gears]),
        _added(Cause.BENDING, [(push, (0.0, gear.bending_mm)) for gear in gears]),
        *_weather(play, climate),
    ]
    return [one for one in found if (one.high_mm, one.low_mm) != (0.0, 0.0)]


def _normal(cause: Cause, mean: float, sigmas: list[float]) -> Contributor:
    """Independent normal deviations: their ends add up, their deviations by root sum square (a normal one again)."""
    most, sigma = DEVIATIONS * sum(sigmas), math.hypot(*sigmas)
    return Contributor(cause, mean - most, mean + most, mean, sigma, deviations=(Deviation(Form.NORMAL, sigma),))


def _added(cause: Cause, parts: list[tuple[float, Range]], thins: bool = False) -> Contributor:
    """Independent uniform deviations, each times its own factor (not below zero)."""
    low, high = (sum(factor * span[end] for factor, span in parts) for end in (0, 1))
    sigmas = [factor * (span[1] - span[0]) / _FLAT for factor, span in parts]
    return Contributor(cause, low, high, 0.5 * (low + high), math.hypot(*sigmas), thins, deviations=_flat(*sigmas))


def _flat(*sigmas: float) -> tuple[Deviation, ...]:
    return tuple(Deviation(Form.FLAT, sigma) for sigma in sigmas)


def _turning(cause: Cause, most: list[float]) -> Contributor:
    """Eccentricities, each anything up to its most; their high places meet sooner or later."""
    whole = sum(most)
    sigmas = [one / _FLAT for one in most]
    return Contributor(cause, -whole, whole, 0.5 * whole, math.hypot(*sigmas), turns=True, deviations=_flat(*sigmas))


def _pilot(held: list[tuple[Hole, float]]) -> Contributor:
    """A clamped part lies anywhere on the circle of its play: it stays where it was screwed down."""
    sigmas = [weight * max(0.0, hole.loose_mm) / math.sqrt(8.0) for hole, weight in held if hole.clamped]
    whole = math.sqrt(2.0) * sum(sigmas)
    parts = tuple(Deviation(Form.CIRCLE, sigma) for sigma in sigmas)
    return Contributor(Cause.PILOT, -whole, whole, 0.0, math.hypot(*sigmas), deviations=parts)


def _bores(play: MeshPlay, climate: Climate, push: float) -> Contributor:
    """Under load each shaft gives way along the tooth force by max(0, looseness) / 2, looseness counted on the
    diameter with the hole's growth over the bearing's; a tight bore locates exactly."""
    low = high = mean = variance = 0.0
    parts = []
    grown, ends = bore_growth(play, climate), bore_growth_ends(play, climate)
    for gear in (play.driver, play.driven):
        for hole, weight in gear.holes:
            if hole.clamped:
                continue
            about = hole.loose_mm + middle_of(hole.part_under_mm) + hole.diameter_mm * middle_of(grown)
            sigma = math.hypot(
                hole.loose_sigma_mm,
                (hole.part_under_mm[1] - hole.part_under_mm[0]) / _FLAT,
                hole.diameter_mm * (grown[1] - grown[0]) / _FLAT,
            )
            factor = 0.5 * weight * push
            first, second = clipped_moments(about, sigma)
            mean += factor * first
            deviation = factor * math.sqrt(max(0.0, second - first * first))
            variance += deviation * deviation
            parts.append(Deviation(Form.FLOORED, deviation, (factor * about, factor * sigma)))
            spread = DEVIATIONS * hole.loose_sigma_mm
            least = hole.loose_mm - spread + hole.part_under_mm[0] + hole.diameter_mm * ends[0]
            most = hole.loose_mm + spread + hole.part_under_mm[1] + hole.diameter_mm * ends[1]
            low += factor * max(0.0, least)
            high += factor * max(0.0, most)
    return Contributor(Cause.BORE, low, max(high, 0.0), mean, math.sqrt(variance), deviations=tuple(parts))


def clipped_moments(mean: float, sigma: float) -> tuple[float, float]:
    """First and second moment of max(0, X), X normal (the integrals of the normal density by parts)."""
    if sigma == 0.0:
        return max(0.0, mean), max(0.0, mean) ** 2
    normal = NormalDist(mean, sigma)
    above, density = 1.0 - normal.cdf(0.0), sigma * sigma * normal.pdf(0.0)
    return mean * above + density, (mean * mean + sigma * sigma) * above + mean * density


def bore_growth(play: MeshPlay, climate: Climate) -> Range:
    """Strain of the plates over that of a steel bearing in the hall, away from the motor, from coldest and driest to
    hottest and wettest, with the material's coefficients at their middle: what scatters."""
    less = middle_of(play.plate.cte_per_k) - climate.bearing_cte_per_k
    wet = middle_of(play.plate.swelling)
    return (
        less * climate.hall_k[0] + wet * climate.moisture[0],
        less * climate.hall_k[1] + wet * climate.moisture[1],
    )


def bore_growth_ends(play: MeshPlay, climate: Climate) -> Range:
    """Least and greatest that this strain can be, each coefficient at the end that counts: for the worst case."""
    warm = [(cte - climate.bearing_cte_per_k) * t for cte in play.plate.cte_per_k for t in climate.hall_k]
    wet = [swelling * moist for swelling in play.plate.swelling for moist in climate.moisture]
    return min(warm) + min(wet), max(warm) + max(wet)


def _weather(play: MeshPlay, climate: Climate) -> list[Contributor]:
    """Growth of the plates less that of the gears; it is one for both plates and does not average out."""
    centre, plate, gear = play.centre_mm, play.plate, play.gear_cte_per_k
    warm = [(p - g) * t for p in plate.cte_per_k for g in gear for t in climate.hall_k]
    heat = [p * plate.heat_share * climate.motor_heat_k for p in plate.cte_per_k]
    wet = [s * m for s in plate.swelling for m in climate.moisture]
    less = middle_of(plate.cte_per_k) - middle_of(gear)

    def one(cause: Cause, ends: list[float], about: Range, unsure: float) -> Contributor:
        low, high = centre * min(0.0, *ends), centre * max(0.0, *ends)
        sigmas = centre * abs(about[1] - about[0]) / _FLAT, centre * unsure
        return Contributor(cause, low, high, centre * middle_of(about), math.hypot(*sigmas), deviations=_flat(*sigmas))

    hot = 0.0, plate.heat_share * climate.motor_heat_k
    return [
        one(
            Cause.HALL,
            warm,
            (less * climate.hall_k[0], less * climate.hall_k[1]),
            math.hypot(_sigma(plate.cte_per_k), _sigma(gear)) * _root_of_squares(climate.hall_k),
        ),
        one(Cause.HEAT, heat, (0.0, middle_of((heat[0], heat[1]))), _sigma(plate.cte_per_k) * _root_of_squares(hot)),
        one(
            Cause.MOISTURE,
            wet,
            (middle_of(plate.swelling) * climate.moisture[0], middle_of(plate.swelling) * climate.moisture[1]),
            _sigma(plate.swelling) * _root_of_squares(climate.moisture),
        ),
    ]


def _sigma(span: Range) -> float:
    return (span[1] - span[0]) / _FLAT


def _root_of_squares(span: Range) -> float:
    """Of the mean square of what is uniform in the span: with it the spread of a coefficient adds to that of a product
    (variance of a product of independent deviations)."""
    return math.hypot(middle_of(span), _sigma(span))
