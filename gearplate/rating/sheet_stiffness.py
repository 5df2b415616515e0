"""How far sheets give way: bores pushed apart in the plane by the teeth, a sheet bent out of it between its posts.

Posts (standoffs, and tubes round the rail's screws) tie both plates together. In the plane they hold nothing, since
both plates are pushed alike: what moves a mesh there is the sheet's own stretch between two bores. Across it they do.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from gearplate.finding import Standing
from gearplate.geometry.crossing import meetings
from gearplate.geometry.path import bbox
from gearplate.geometry.segments import Line, segments
from gearplate.layout.design import HoleKind, Layout
from gearplate.layout.spec import LayoutSpec
from gearplate.plate.plate import Feature, Plate
from gearplate.rating.forces import MeshForce
from gearplate.rating.plates import Sheet
from gearplate.rating.rating import Kind, Rating, over
from gearplate.rating.shaft_loads import HARDEST, ON_THE_SPOT, ShaftCase, supports_of

OWN_GIVE, STRETCH = 1.2, 0.39
"""How far one of two bores gives way over F / (E t): 1.2 + 0.39 C / n, n the sheet's width beside it less its own. Our
fit to plane stress on a grid (tests/rating): 12 sheets, n from 0.3 to 2.4 of C, within 12 %."""

BENT, BENT_NARROW = 0.033, 0.11
"""Deflection over F a^2 / D at a bore between posts: 0.033 + 0.11 (a / B)^2, a the cube root of the product of its
distances from the three nearest posts, B the narrower side of the sheet. Our fit to a bent plate on a grid
(tests/rating): 12 sheets on 3 to 5 posts, within 20 %."""

TILT = 0.4
"""Most that a couple M tilts a bore between posts, over M / D, on the same grid: 0.08 to 0.38."""

_FAR_MM = 1e4
_HOLDS = (HoleKind.BEARING_BORE, HoleKind.SHAFT_CLEARANCE, HoleKind.MOTOR_PILOT)
_POSTS = (HoleKind.STANDOFF, HoleKind.RAIL_HOLE)


@dataclass(frozen=True, slots=True)
class Held:
    """A gear's shaft in one plate: the share of the tooth force that reaches this bore by the lever, the net width of
    the sheet beside it, and how far from the sheet's middle it is held."""

    sheet: Sheet
    bore: Feature
    share: float
    net_mm: float
    off_mm: float

    def apart_mm(self, force_n: float, centre_mm: float, warm_c: float) -> float:
        """How far the gear moves because this bore gives way to its share of the force."""
        modulus, used = modulus_mpa(self.sheet, warm_c), self.sheet.plate.stock.used_mm
        return self.share**2 * give_mm(force_n, centre_mm, self.net_mm, used, modulus)

    def tilted_mm(self, force_n: float, warm_c: float) -> float:
        """Most that the gear moves besides because a force off the sheet's middle tilts the bore."""
        modulus, used = modulus_mpa(self.sheet, warm_c), self.sheet.plate.stock.used_mm
        stiffness = plate_stiffness_n_mm(modulus, used, self.sheet.strength.poisson)
        return self.share**2 * TILT * force_n * self.off_mm**2 / stiffness


def modulus_mpa(sheet: Sheet, warm_c: float) -> float:
    """Of the sheet, as warm as that: it falls as the strength does."""
    return 1000.0 * sheet.strength.youngs_modulus_gpa * sheet.strength.share_at(warm_c)


def give_mm(force_n: float, centre_mm: float, net_mm: float, thickness_mm: float, modulus_mpa: float) -> float:
    """How far one of two bores, `centre_mm` apart, gives way to a force that pushes it from the other (`OWN_GIVE`)."""
    return (OWN_GIVE + STRETCH * centre_mm / max(net_mm, 1e-3)) * force_n / (modulus_mpa * thickness_mm)


def plate_stiffness_n_mm(modulus_mpa: float, thickness_mm: float, poisson: float) -> float:
    """D = E t^3 / (12 (1 - v^2)) (theory of thin plates)."""
    return modulus_mpa * thickness_mm**3 / (12.0 * (1.0 - poisson**2))


def bent_mm(force_n: float, away_mm: Sequence[float], narrow_mm: float, stiffness_n_mm: float) -> float:
    """Deflection at a place so far from three posts, under a force across the plate there (`BENT`)."""
    a = math.prod(away_mm) ** (1.0 / len(away_mm))
    return (BENT + BENT_NARROW * (a / narrow_mm) ** 2) * force_n * a * a / stiffness_n_mm


def net_width_mm(plate: Plate, bore: Feature, along_rad: float) -> float:
    """Sheet beside a bore, on both sides together, across a line of centres that runs so: to the outline or to the
    first other round hole."""
    return sum(_beside(plate, bore, along_rad + turn) for turn in (0.5 * math.pi, -0.5 * math.pi))


def _beside(plate: Plate, bore: Feature, toward_rad: float) -> float:
    ux, uy = math.cos(toward_rad), math.sin(toward_rad)
    radius = 0.5 * bore.part_diameter_mm
    ray = Line(bore.x_mm, bore.y_mm, bore.x_mm + _FAR_MM * ux, bore.y_mm + _FAR_MM * uy)
    paths = [plate.outline, *(other.path for other in plate.features if other is not bore and other.path is not None)]
    reached = [
        (x - bore.x_mm) * ux + (y - bore.y_mm) * uy
        for path in paths
        for piece in segments(path)
        for x, y in meetings(ray, piece)
    ]
    for other in plate.features:
        if other is bore or other.path is not None:
            continue
        dx, dy = other.x_mm - bore.x_mm, other.y_mm - bore.y_mm
        along, across = dx * ux + dy * uy, dx * uy - dy * ux
        half = 0.5 * (other.part_diameter_mm + other.length_mm)
        if along > 0.0 and abs(across) < half:
            reached.append(along - math.sqrt(half * half - across * across))
    return max(min(reached, default=radius) - radius, 0.0)


def rate_spread(
    spec: LayoutSpec, layout: Layout, sheets: Sequence[Sheet], forces: Sequence[MeshForce], warm_c: float
) -> tuple[Rating, ...]:
    """How much each mesh opens because its bores give way, against the play that it was given."""
    ratings = []
    for force in forces:
        mesh = force.mesh
        lean = math.radians(mesh.mesh.working_pressure_angle_deg)
        apart = force.whole_n * math.sin(lean)
        here, there = layout.shaft(mesh.driver.shaft), layout.shaft(mesh.driven.shaft)
        along = math.atan2(there.y_mm - here.y_mm, there.x_mm - here.x_mm)
        held = [
            one
            for name in (mesh.driver.shaft, mesh.driven.shaft)
            for one in _held(spec, layout, sheets, name, force, along)
        ]
        if not held or mesh.added_centre_mm <= 0.0:
            continue
        value = sum(one.apart_mm(apart, mesh.centre_mm, warm_c) for one in held)
        tilted = sum(one.tilted_mm(apart, warm_c) for one in held)
        bores = "; ".join(
            f"{one.bore.shaft} {one.sheet.plate.side.value}: s = {one.share:.2f}, n = {one.net_mm:.1f} mm, "
            f"E t = {modulus_mpa(one.sheet, warm_c) * one.sheet.plate.stock.used_mm:.0f} N/mm"
            for one in held
        )
        ratings.append(
            Rating(
                part=f"{mesh.driver.shaft} to {mesh.driven.shaft}, bores pushed apart",
                kind=Kind.STIFFNESS,
                load_case=HARDEST,
                formula=f"sum over bores of s^2 F sin a ({OWN_GIVE} + {STRETCH} C / n) / (E t), s the share "
                "by the lever, n the sheet's width beside the bore less its own",
                source="fit to plane stress on a grid, our own: within 12 % of it; limit: the running play that the "
                "job adds",
                value=value,
                limit=mesh.added_centre_mm,
                unit="mm",
                margin=over(mesh.added_centre_mm, value),
                standing=Standing.COMMON_PRACTICE,
                note=f"{2.0 * value * math.tan(lean):.3f} mm more backlash; F sin a = {apart:.0f} N, C = "
                f"{mesh.centre_mm:.2f} mm, {bores}; bores that tilt add {tilted:.4f} mm at most",
                shafts=(mesh.driver.shaft, mesh.driven.shaft),
            )
        )
    return tuple(ratings)


def _held(
    spec: LayoutSpec, layout: Layout, sheets: Sequence[Sheet], name: str, force: MeshForce, along: float
) -> list[Held]:
    motor = next((one for one in spec.motors if one.name == name), None)
    if motor is not None:
        shares = {motor.side: (1.0, 0.0)}  # its flange lies on the sheet and keeps it from tilting
    else:
        supports = supports_of(spec, layout, spec.shaft(name))
        if supports is None:
            return []
        reach = supports[1].z_mm - supports[0].z_mm
        part = (force.z_mm - supports[0].z_mm) / reach
        shares = {
            support.side: (share, abs(support.z_mm - 0.5 * sum(layout.stack.plate(support.side))))
            for support, share in zip(supports, (1.0 - part, part), strict=True)
            if support.side is not None
        }
    found = []
    for sheet in sheets:
        bore = _bore(sheet.plate, name)
        if bore is not None and sheet.plate.side in shares:
            share, off = shares[sheet.plate.side]
            found.append(Held(sheet, bore, share, net_width_mm(sheet.plate, bore, along), off))
    return found


def _bore(plate: Plate, shaft: str) -> Feature | None:
    return next((one for one in plate.features if one.shaft == shaft and one.kind in _HOLDS and one.path is None), None)


def rate_bending(
    spec: LayoutSpec, sheets: Sequence[Sheet], cases: Sequence[ShaftCase], warm_c: float
) -> tuple[Rating, ...]:
    """How far a sheet is bent out of its plane, at each bore that an axial force may reach, between the posts nearest
    to it: against the axial clearance beside the gears, since shaft and gears go with the bore."""
    ratings: list[Rating] = []
    for case in cases:
        if case.case != ON_THE_SPOT or case.axial_n <= 0.0 or case.sense < 0:
            continue
        for support in case.supports:
            sheet = next((one for one in sheets if one.plate.side is support.side), None)
            bore = None if sheet is None else _bore(sheet.plate, case.shaft)
            if sheet is None or bore is None or any(one.plate == sheet.plate.side.value for one in ratings):
                continue
            posts = sorted(
                (math.dist((bore.x_mm, bore.y_mm), (one.x_mm, one.y_mm)), one.id)
                for one in sheet.plate.features
                if one.kind in _POSTS
            )[:3]
            if len(posts) < 3:
                continue
            ratings.append(_bent(spec, sheet, case, bore, posts, warm_c))
    return tuple(ratings)


def _bent(
    spec: LayoutSpec,
    sheet: Sheet,
    case: ShaftCase,
    bore: Feature,
    posts: Sequence[tuple[float, str]],
    warm_c: float,
) -> Rating:
    left, low, right, high = bbox(sheet.plate.outline)
    narrow, used, side = min(right - left, high - low), sheet.plate.stock.used_mm, sheet.plate.side.value
    modulus = modulus_mpa(sheet, warm_c)
    stiffness = plate_stiffness_n_mm(modulus, used, sheet.strength.poisson)
    value = bent_mm(case.axial_n, [away for away, _ in posts], narrow, stiffness)
    limit = spec.clearances.axial_mm
    told = ", ".join(f"{name} {away:.1f} mm" for away, name in posts)
    return Rating(
        part=f"{case.shaft} bore in the {side} plate, sheet bent between its posts",
        kind=Kind.STIFFNESS,
        load_case=case.case,
        formula=f"({BENT} + {BENT_NARROW} (a / B)^2) F a^2 / D, D = E t^3 / (12 (1 - v^2)), a = cube root of the "
        "product of the distances to the three nearest posts, B = narrower side of the sheet",
        source="theory of thin plates; factor: fit to a bent plate on a grid, our own: within 20 % of it; limit: the "
        "axial clearance beside the gears",
        value=value,
        limit=limit,
        unit="mm",
        margin=over(limit, value),
        standing=Standing.COMMON_PRACTICE,
        note=f"F = {case.axial_n:.0f} N sideways, taken by this plate alone; posts: {told}; B = {narrow:.1f} mm, t = "
        f"{used:.3f} mm, E = {modulus:.0f} MPa, v = {sheet.strength.poisson:g}; gears go with it, so much less of "
        "their faces meets; holes in the sheet are left out, and a bore outside of its posts gives way more",
        shafts=(case.shaft,),
        plate=side,
        features=(bore.id,),
    )
