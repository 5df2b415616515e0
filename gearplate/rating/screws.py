"""Screws: those that hold each motor against its own torque and weight, and those that hold the plates to the rail."""

from __future__ import annotations

import math
from collections.abc import Sequence

from gearplate.catalog.fasteners import Fastener
from gearplate.catalog.strengths import Strength
from gearplate.drive.grip import STANDARD_GRAVITY_M_S2
from gearplate.layout.design import HoleKind, Layout
from gearplate.layout.spec import CarriedBy, LayoutSpec, MotorSpec, Side
from gearplate.plate.plate import Feature
from gearplate.rating.duty import Duty
from gearplate.rating.loads import DriveLoads
from gearplate.rating.plates import HoleLoad, Sheet, wall_mm
from gearplate.rating.rating import Kind, Rating, over
from gearplate.rating.shaft_loads import HARDEST

COLLISION = "collision"
SHEAR_OVER_TENSION = 0.6
"""Strength of steel across over that along: 0.58 after von Mises, usually taken as 0.6 (machine design texts, from
memory)."""


def stress_area_mm2(screw: Fastener) -> float:
    """Stress area of a thread, pi/4 (d - k p)^2: k = 0.9382 metric (ISO 898-1), 0.9743 inch (ASME B1.1)."""
    k = 0.9382 if screw.threads_per_in is None else 0.9743
    return math.pi / 4.0 * (screw.nominal_mm - k * screw.pitch_mm) ** 2


def group_shear_n(
    places: Sequence[tuple[float, float]], force: tuple[float, float], at: tuple[float, float], moment_n_mm: float
) -> tuple[float, ...]:
    """Shear of each of some equal screws under a force at a point and a moment: shared alike, and the moment about
    their middle in proportion to the distance from it (elastic method, any text on joints).

    Raises ValueError without a screw, and where a moment meets screws that all stand in one point.
    """
    if not places:
        raise ValueError("there is no screw")
    n = len(places)
    mx, my = sum(x for x, _ in places) / n, sum(y for _, y in places) / n
    turning = moment_n_mm + (at[0] - mx) * force[1] - (at[1] - my) * force[0]
    polar = sum((x - mx) ** 2 + (y - my) ** 2 for x, y in places)
    if polar == 0.0:
        if abs(turning) > 1e-9:
            raise ValueError("one screw alone holds no moment")
        return tuple(math.hypot(*force) / n for _ in places)
    return tuple(
        math.hypot(force[0] / n - turning * (y - my) / polar, force[1] / n + turning * (x - mx) / polar)
        for x, y in places
    )


def rate_screw(part: str, case: str, screw: Fastener, shear_n: float, strength: Strength, note: str) -> Rating:
    """One screw across its thread."""
    area = stress_area_mm2(screw)
    stress = shear_n / area
    return Rating(
        part=f"{part}, {screw.name} across",
        kind=Kind.STRENGTH,
        load_case=case,
        formula="F / A, A = pi/4 (d - k p)^2 the stress area of the thread",
        source=f"stress area ISO 898-1, ASME B1.1; limit: {strength.source}",
        value=stress,
        limit=strength.shear_mpa,
        unit="MPa",
        margin=over(strength.shear_mpa, stress),
        standing=strength.standing_for("shear_mpa"),
        note=f"F = {shear_n:.0f} N: {note}; d = {screw.nominal_mm:.4g} mm, p = {screw.pitch_mm:.4g} mm, "
        f"A = {area:.3g} mm2",
    )


def weakest_of(sheet: Sheet, holes: Sequence[Feature]) -> tuple[Feature, ...]:
    """The hole with the least wall beside it: equal screws carry alike, and that one tears first. None of none."""
    return tuple(sorted(holes, key=lambda hole: wall_mm(sheet.plate, hole))[:1])


def motor_screw_n(motor: MotorSpec, torque_n_mm: float, duty: Duty) -> tuple[tuple[str, float], ...]:
    """Shear of one of a motor's screws: from its reaction torque on the bolt circle, and from its weight in a collision
    times `motor_shock_g`. One screw alone cannot hold torque: the pilot's friction is not counted."""
    n, circle = motor.screws_used, motor.motor.face.bolt_circle_mm
    weight = motor.motor.mass_kg * STANDARD_GRAVITY_M_S2 * duty.motor_shock_g
    return (HARDEST, 2.0 * torque_n_mm / (n * circle)), (COLLISION, weight / n)


def motor_pull_n(motor: MotorSpec, duty: Duty) -> float:
    """Pull in one of a motor's screws in a collision across its axis: its weight times `motor_shock_g` at half of its
    length tips it over the rim of its body, and the screw farthest from there holds it alone (statics)."""
    weight = motor.motor.mass_kg * STANDARD_GRAVITY_M_S2 * duty.motor_shock_g
    return weight * 0.5 * motor.motor.body_length_mm / _tipping_arm_mm(motor)


def _tipping_arm_mm(motor: MotorSpec) -> float:
    """From the rim of the body to the farthest screw; of a square body from a side, its screws being in the corners."""
    body, circle = motor.motor, motor.motor.face.bolt_circle_mm
    if body.body_square_mm is not None:
        return 0.5 * (body.body_square_mm + circle * math.sqrt(0.5))
    return 0.5 * (body.room_diameter_mm + circle)


def rate_pull(motor: MotorSpec, duty: Duty, strength: Strength, sheet: Sheet | None, washers: bool) -> list[Rating]:
    """A hanging motor's screw along its thread, and its head pressed into the sheet."""
    pull, screw = motor_pull_n(motor, duty), motor.screw
    area, limit = stress_area_mm2(screw), strength.shear_mpa / SHEAR_OVER_TENSION
    body = motor.motor
    told = (
        f"F = {pull:.0f} N: m g x {duty.motor_shock_g:g} x L / (2 r), m = {body.mass_kg:g} kg, L = "
        f"{body.body_length_mm:g} mm, r = {_tipping_arm_mm(motor):.1f} mm from the body's rim to the farthest screw"
    )
    found = [
        Rating(
            part=f"{motor.name} screws, {screw.name} pulled",
            kind=Kind.STRENGTH,
            load_case=COLLISION,
            formula="F / A, A = pi/4 (d - k p)^2 the stress area of the thread",
            source=f"stress area ISO 898-1, ASME B1.1; limit: shear over {SHEAR_OVER_TENSION:g}; {strength.source}",
            value=pull / area,
            limit=limit,
            unit="MPa",
            margin=over(limit, pull / area),
            standing=strength.standing_for("shear_mpa"),
            note=f"{told}; A = {area:.3g} mm2",
            shafts=(motor.name,),
        )
    ]
    holes = [
        one
        for one in (() if sheet is None else sheet.plate.features)
        if one.shaft == motor.name and one.kind is HoleKind.MOTOR_SCREW and one.form == "circle"
    ]
    if sheet is None or not holes or sheet.material.bearing_stress_mpa is None:
        return found
    outside = screw.washer_outside_mm if washers else screw.head_diameter_mm
    ring = 0.25 * math.pi * (outside**2 - holes[0].part_diameter_mm ** 2)
    if ring <= 0.0:
        return found
    warm = duty.hall_c + duty.motor_heat_k
    share = sheet.strength.share_at(warm)
    stands = sheet.material.bearing_stress_mpa.low
    found.append(
        Rating(
            part=f"{motor.name} screw heads in the {motor.side.value} plate, pressed into the sheet",
            kind=Kind.STRENGTH,
            load_case=COLLISION,
            formula="F / (pi/4 (D^2 - d^2)), D the washer or head, d the hole",
            source=f"any text on joints; limit as a hole's wall: {sheet.material.source}",
            value=pull / ring,
            limit=stands * share,
            unit="MPa",
            margin=over(stands * share, pull / ring),
            standing=sheet.material.standing_for("bearing_stress_mpa"),
            note=f"{told}; D = {outside:.3f} mm, d = {holes[0].part_diameter_mm:.3f} mm"
            + (f"; {share:.0%} of the strength left at {warm:.0f} deg C, of {stands:.3g} MPa" if share < 1.0 else ""),
            shafts=(motor.name,),
            plate=motor.side.value,
            features=(holes[0].id,),
        )
    )
    return found


def motor_screws(
    spec: LayoutSpec, sheets: Sequence[Sheet], loads: DriveLoads, duty: Duty, strength: Strength
) -> tuple[list[Rating], dict[Side, list[HoleLoad]]]:
    """Every motor's screws: ratings across, and what their holes must take."""
    ratings: list[Rating] = []
    holes: dict[Side, list[HoleLoad]] = {}
    torques = {motor.name: motor.torque_n_mm for motor in loads.motors}
    for motor in spec.motors:
        case, shear = max(motor_screw_n(motor, torques[motor.name], duty), key=lambda one: one[1])
        if case is HARDEST:
            how = f"2 T / (n D), T = {torques[motor.name] / 1000.0:.3g} N m on the circle D = "
            how += f"{motor.motor.face.bolt_circle_mm:.4g} mm of n = {motor.screws_used} screws"
        else:
            how = f"m g x {duty.motor_shock_g:g} / n, m = {motor.motor.mass_kg:g} kg on n = {motor.screws_used} screws"
        ratings.append(rate_screw(f"{motor.name} screws", case, motor.screw, shear, strength, how))
        own_sheet = next((sheet for sheet in sheets if sheet.plate.side is motor.side), None)
        ratings += rate_pull(motor, duty, strength, own_sheet, spec.washers)
        warm = duty.hall_c + duty.motor_heat_k
        for sheet in sheets:
            if sheet.plate.side is motor.side:
                own = [f for f in sheet.plate.features if f.shaft == motor.name and f.kind is HoleKind.MOTOR_SCREW]
                used = weakest_of(sheet, [f for f in own if f.form == "circle"])
                holes.setdefault(motor.side, []).extend(
                    HoleLoad(
                        f"{motor.name} screw holes in the {motor.side.value} plate",
                        feature,
                        case,
                        shear,
                        motor.screw.nominal_mm,
                        sheet.plate.stock.used_mm,
                        warm,
                        (motor.name,),
                    )
                    for feature in used
                )
    return ratings, holes


def rail_screws(
    spec: LayoutSpec, layout: Layout, sheets: Sequence[Sheet], loads: DriveLoads, duty: Duty, strength: Strength
) -> tuple[list[Rating], dict[Side, list[HoleLoad]]]:
    """The screws into the rail: they hold the output's torque, and the wheel's load where the plates carry it."""
    if spec.rail is None or not layout.rail_holes:
        return [], {}
    if len(set(layout.rail_holes)) < 2:
        return [], {}  # one screw holds no moment: the standoffs would have to
    carried = spec.carried_by is CarriedBy.PLATES
    push = loads.output_n_mm / (spec.wheel.diameter_mm / 2.0)
    force = (push, loads.wheel_weight_n) if carried else (0.0, 0.0)
    worst = 0.0
    for sense in (1.0, -1.0):
        shears = group_shear_n(layout.rail_holes, (sense * force[0], force[1]), (0.0, 0.0), sense * loads.output_n_mm)
        worst = max(worst, *shears)
    case = HARDEST
    if carried:
        landing = group_shear_n(layout.rail_holes, (0.0, duty.shock * loads.wheel_weight_n), (0.0, 0.0), 0.0)
        if max(landing) > worst:
            worst, case = max(landing), "landing"
    note = f"{len(layout.rail_holes)} screws by the elastic method, under "
    if case is HARDEST:
        mx, my = (sum(place[axis] for place in layout.rail_holes) / len(layout.rail_holes) for axis in (0, 1))
        note += f"{force[0]:.0f} N across, {force[1]:.0f} N up at the axle and {loads.output_n_mm / 1000.0:.3g} N m, "
        note += f"about their middle at x = {mx:.1f}, y = {my:.1f} mm; the outboard plate taken alone"
    else:
        note += f"{duty.shock * loads.wheel_weight_n:.0f} N up at the axle; the outboard plate taken alone"
    ratings = [rate_screw("rail screws", case, spec.rail.screw, worst, strength, note)]
    holes: dict[Side, list[HoleLoad]] = {}
    for sheet in sheets:
        if sheet.plate.side is Side.OUTBOARD:
            own = weakest_of(sheet, [f for f in sheet.plate.features if f.kind is HoleKind.RAIL_HOLE])
            holes[Side.OUTBOARD] = [
                HoleLoad(
                    "rail screw holes in the outboard plate",
                    feature,
                    case,
                    worst,
                    spec.rail.screw.nominal_mm,
                    sheet.plate.stock.used_mm,
                    duty.hall_c,
                )
                for feature in own
            ]
    return ratings, holes
