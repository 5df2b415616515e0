"""Teeth of every gear in every mesh: bending after Lewis, bending with J beside it, contact pressure after Hertz."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from gearplate.catalog.strengths import Strength
from gearplate.finding import Standing
from gearplate.gears import contact_stress as contact
from gearplate.gears import lewis
from gearplate.gears.bending_j import bending_geometry
from gearplate.gears.form_factor import TEETH_20, form_factor_20, form_factor_generated
from gearplate.gears.involute import Array
from gearplate.gears.spec import GearSpec
from gearplate.gears.tooth import GearSizes, gear_sizes
from gearplate.layout.design import GearOnShaft
from gearplate.rating.forces import MeshForce
from gearplate.rating.rating import Kind, Rating, over
from gearplate.rating.shaft_loads import HARDEST

IDLER_SHARE = 0.7
"""Of the bending that a tooth stands, where it is bent both ways a turn, as an idler's is (AGMA 2001, from memory)."""


@dataclass(frozen=True, slots=True)
class _Tooth:
    """One gear of one mesh."""

    force: MeshForce
    gear: GearOnShaft
    mate: GearOnShaft
    strength: Strength
    speed_m_s: float
    both_ways: bool
    hall_c: float

    @property
    def contact_mpa(self) -> float:
        """What its flanks stand at the hall's temperature."""
        return (self.strength.tooth_contact_mpa or 0.0) * self.strength.share_at(self.hall_c)

    def warmth(self, cold_mpa: float | None) -> str:
        """What the hall's temperature leaves of a strength, for the note; nothing where all of it."""
        share = self.strength.share_at(self.hall_c)
        if share == 1.0:
            return ""
        return f"; {share:.0%} of the strength left at {self.hall_c:.0f} deg C, of {cold_mpa or 0.0:.3g} MPa"


def rate_teeth(
    forces: Sequence[MeshForce],
    strength_of: Callable[[GearSpec, bool], Strength],
    speed_rpm: Callable[[str], float | None],
    hall_c: float,
) -> tuple[Rating, ...]:
    """Bending of both gears and contact of every mesh, in the hardest push.

    `strength_of(gear, is_pinion)`: what its material stands. `speed_rpm(shaft)`: at the hardest push; None where no
    motor's speed is known: then the velocity factor is that of rest. `hall_c`: the hottest hall; plastic teeth stand
    less in it (what they gain by running is not in it). Their modulus stays that of the cold, so that the pressure
    between flanks, which softer ones share, comes out too high rather than too low.
    """
    motors = {force.mesh.driver.shaft for force in forces if force.mesh.driver.shaft.startswith("M")}
    teeth = []
    for force in forces:
        driver, driven = force.mesh.driver, force.mesh.driven
        if driver.gear.system != driven.gear.system or force.face_mm <= 0.0:
            continue
        turning = speed_rpm(driver.shaft)
        diameter = 2.0 * force.torque_n_mm / force.tangential_n if force.tangential_n > 0.0 else 0.0
        speed = 0.0 if turning is None else float(lewis.pitch_line_speed_m_s(diameter, turning))
        for gear, mate in ((driver, driven), (driven, driver)):
            both_ways = gear.shaft.startswith("I")
            strength = strength_of(gear.gear, gear.shaft in motors)
            teeth.append(_Tooth(force, gear, mate, strength, speed, both_ways, hall_c))
    if not teeth:
        return ()
    sizes, mates = _sizes([tooth.gear.gear for tooth in teeth]), _sizes([tooth.mate.gear for tooth in teeth])
    generated = form_factor_generated(sizes)
    centres = np.array([tooth.force.mesh.centre_mm for tooth in teeth])
    j = bending_geometry(sizes, mates, centres).j
    ratings: list[Rating] = []
    for index, tooth in enumerate(teeth):
        ratings += _bending(tooth, float(generated[index]), float(j[index]))
    for first, second in zip(teeth[::2], teeth[1::2], strict=True):
        ratings.append(_contact(first, second))
    return tuple(ratings)


def _sizes(gears: list[GearSpec]) -> GearSizes:
    def each(value: Callable[[GearSpec], float]) -> Array:
        return np.array([value(gear) for gear in gears])

    return gear_sizes(
        each(lambda gear: gear.teeth),
        each(lambda gear: gear.system.module_mm),
        each(lambda gear: gear.system.pressure_angle_rad),
        each(lambda gear: gear.shift),
        each(lambda gear: gear.thinning_mm),
        each(lambda gear: math.nan if gear.tip_diameter_mm is None else gear.tip_diameter_mm),
    )


def _part(tooth: _Tooth) -> str:
    gear, mate = tooth.gear, tooth.mate
    return f"{gear.shaft} {gear.gear.teeth}T on {mate.shaft} {mate.gear.teeth}T"


def _as_printed(gear: GearSpec) -> bool:
    """Whether the printed table of form factors is of such a gear."""
    twenty = abs(math.degrees(gear.system.pressure_angle_rad) - 20.0) < 1e-6
    return twenty and gear.shift == 0.0 and gear.tip_diameter_mm is None and gear.teeth >= TEETH_20[0]


def _bending(tooth: _Tooth, generated: float, j: float) -> list[Rating]:
    gear, strength = tooth.gear.gear, tooth.strength
    allowed = (strength.tooth_bending_mpa or 0.0) * (IDLER_SHARE if tooth.both_ways else 1.0)
    allowed *= strength.share_at(tooth.hall_c)
    printed = _as_printed(gear)
    y = float(form_factor_20(gear.teeth)) if printed else generated
    if not y > 0.0:
        return []
    load, face, module = tooth.force.tangential_n, tooth.force.face_mm, gear.system.module_mm
    found = lewis.bending(load, face, module, y, tooth.speed_m_s)
    told = (
        f"{strength.name}; F = {load:.0f} N over b = {face:.1f} mm, Y = {y:.3f} "
        f"{'(table)' if printed else '(this tooth)'}"
    )
    told += f", m = {module:.4g} mm, v = {tooth.speed_m_s:.2f} m/s, Kv = {float(found.velocity_factor):.3f}"
    told += tooth.warmth(strength.tooth_bending_mpa)
    told += "; bent both ways each turn: 0.7 of the limit (AGMA 2001, from memory)" if tooth.both_ways else ""
    source = "Lewis, Barth (Shigley)" + ("" if printed else "; Y by Lewis's parabola in the generated tooth")
    standing = strength.standing_for("tooth_bending_mpa")
    ratings = [
        Rating(
            part=_part(tooth) + ", bending",
            kind=Kind.STRENGTH,
            load_case=HARDEST,
            formula="Lewis: Kv F / (b m Y), Kv = (6.1 + v) / 6.1, v at the pitch circle in m/s",
            source=f"{source}; limit: {strength.source}",
            value=float(found.stress),
            limit=allowed,
            unit="MPa",
            margin=over(allowed, float(found.stress)),
            standing=standing,
            note=told,
            shafts=(tooth.gear.shaft, tooth.mate.shaft),
        )
    ]
    if math.isfinite(j) and j > 0.0:
        stress = float(lewis.bending(load, face, module, j, tooth.speed_m_s).stress)
        ratings.append(
            Rating(
                part=_part(tooth) + ", bending with J",
                kind=Kind.STRENGTH,
                load_case=HARDEST,
                formula="Kv F / (b m J)",
                source="method of AGMA 908 for the generated tooth, from memory",
                value=stress,
                limit=allowed,
                unit="MPa",
                margin=over(allowed, stress),
                standing=Standing.FROM_MEMORY,
                rules=False,
                note=f"F = {load:.0f} N over b = {face:.1f} mm, m = {module:.4g} mm, "
                f"Kv = {float(found.velocity_factor):.3f}, J = {j:.3f}, not checked in print",
                shafts=(tooth.gear.shaft, tooth.mate.shaft),
            )
        )
    return ratings


def _contact(one: _Tooth, two: _Tooth) -> Rating:
    force = one.force
    centre, z1, z2 = force.mesh.centre_mm, one.gear.gear.teeth, two.gear.gear.teeth
    d1, d2 = 2.0 * centre * z1 / (z1 + z2), 2.0 * centre * z2 / (z1 + z2)
    elastic = contact.elastic_coefficient(
        1000.0 * one.strength.youngs_modulus_gpa,
        one.strength.poisson,
        1000.0 * two.strength.youngs_modulus_gpa,
        two.strength.poisson,
    )
    factor = float(lewis.velocity_factor(one.speed_m_s))
    a = math.radians(force.mesh.mesh.working_pressure_angle_deg)
    pressure = float(contact.contact_stress(force.tangential_n, force.face_mm, d1, d2, a, elastic, factor))
    softer = min((one, two), key=lambda tooth: tooth.contact_mpa)
    weaker, allowed = softer.strength, softer.contact_mpa
    return Rating(
        part=f"{one.gear.shaft} {z1}T on {two.gear.shaft} {z2}T, flanks",
        kind=Kind.STRENGTH,
        load_case=HARDEST,
        formula="Hertz at the pitch point: Cp sqrt(Kv F / (b cos a) (1/r1 + 1/r2)), r = d/2 sin a",
        source=f"Hertz; AGMA 2001's I says the same; limit: {weaker.source}",
        value=pressure,
        limit=allowed,
        unit="MPa",
        margin=over(allowed, pressure) ** 2,  # pressure grows with the root of the load
        standing=weaker.standing_for("tooth_contact_mpa"),
        note=f"{one.strength.name} on {two.strength.name}; F = {force.tangential_n:.0f} N over b = {force.face_mm:.1f} "
        f"mm, d = {d1:.2f} and {d2:.2f} mm, a = {math.degrees(a):.2f} deg, Kv = {factor:.3f}, "
        f"Cp = {elastic:.1f} sqrt(MPa){softer.warmth(weaker.tooth_contact_mpa)}; wear and lubrication are not in it",
        shafts=(one.gear.shaft, two.gear.shaft),
    )
