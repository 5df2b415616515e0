"""Motors: the body, the face that is screwed to a plate, the shaft, and the four numbers of the linear motor model."""

from __future__ import annotations

import math
from dataclasses import dataclass

from gearplate.catalog.common import Front, read_common
from gearplate.catalog.reading import Reader
from gearplate.catalog.row import Row

CURVE_KEYS = ("voltage_v", "free_speed_rpm", "stall_torque_n_m", "stall_current_a", "free_current_a")


@dataclass(frozen=True, slots=True)
class MotorCurve:
    """A brushed or brushless DC motor at its voltage: speed and current are straight lines over torque."""

    voltage_v: float
    free_speed_rpm: float
    stall_torque_n_m: float
    stall_current_a: float
    free_current_a: float


@dataclass(frozen=True, slots=True)
class Face:
    """The mounting face: pilot boss and screw circle.

    `screw` names a row of the fasteners. `thread_depth_mm` is how far a screw may go into the motor; it is None where
    the motor's own flange has through holes (`flange_hole_mm` wide in a flange `flange_thickness_mm` thick). Angles
    count from the motor's own zero, the same way as everywhere: from forward toward up.
    """

    pilot_diameter_mm: float
    pilot_height_mm: float
    screw: str
    screw_count: int
    bolt_circle_mm: float
    first_hole_deg: float
    thread_depth_mm: float | None
    flange_thickness_mm: float | None
    flange_hole_mm: float | None

    @property
    def through_holes(self) -> bool:
        """Whether the screws pass the motor's flange and want nuts, instead of threads in the motor."""
        return self.thread_depth_mm is None


@dataclass(frozen=True, slots=True, kw_only=True)
class Motor(Row):
    """A motor. One of `body_diameter_mm` and `body_square_mm` is given.

    `body_corner_mm` is the radius of the corners of a square body; `body_clearance_mm` what must stay free all round
    (2 mm where the body itself turns). `shaft_length_mm` counts from the face.
    """

    body_diameter_mm: float | None
    body_square_mm: float | None
    body_corner_mm: float
    body_length_mm: float
    body_clearance_mm: float
    face: Face
    shaft_diameter_mm: float
    shaft_length_mm: float
    mass_kg: float
    curve: MotorCurve | None

    @property
    def room_diameter_mm(self) -> float:
        """Diameter [mm] of the disc that holds the body however it is clocked: across the rounded corners of a square
        one. `body_clearance_mm` is not in it."""
        if self.body_diameter_mm is not None:
            return self.body_diameter_mm
        side = self.body_square_mm or 0.0
        return math.sqrt(2) * (side - 2 * self.body_corner_mm) + 2 * self.body_corner_mm


def square_to_circle_mm(side_mm: float) -> float:
    """Diameter [mm] of the bolt circle through four holes in a square of this side [mm] (geometry)."""
    return side_mm * math.sqrt(2)


def circle_points_mm(diameter_mm: float, count: int, start_deg: float = 0.0) -> tuple[tuple[float, float], ...]:
    """Centres (x, y) [mm] of `count` equally spaced holes on a circle, the first at `start_deg`, counter-clockwise."""
    angles = (math.radians(start_deg) + 2 * math.pi * n / count for n in range(count))
    return tuple((diameter_mm / 2 * math.cos(angle), diameter_mm / 2 * math.sin(angle)) for angle in angles)


def circle_chord_mm(diameter_mm: float, count: int) -> float:
    """Distance [mm] between neighbouring holes of `count` on a circle; 0 for a single hole (geometry)."""
    return diameter_mm * math.sin(math.pi / count) if count > 1 else 0.0


def read_motor(row: Reader, name: str, front: Front) -> Motor:
    """One row of motors.toml."""
    common = read_common(row, name, front)
    if row.has_length("body_diameter") == row.has_length("body_square"):
        row.fault("", name, "the body is either round or square.", "one of body_diameter_mm, body_square_mm")
    motor = Motor(
        **common,
        body_diameter_mm=row.maybe_length("body_diameter", 5, 300),
        body_square_mm=row.maybe_length("body_square", 5, 300),
        body_corner_mm=row.length("body_corner", 0, 50, 0.0),
        body_length_mm=row.length("body_length", 5, 500),
        body_clearance_mm=row.length("body_clearance", 0, 20, 0.0),
        face=_read_face(row),
        shaft_diameter_mm=row.length("shaft_diameter", 1, 50),
        shaft_length_mm=row.length("shaft_length", 1, 300),
        mass_kg=row.number("mass_kg", 0.005, 50, unit="kg"),
        curve=_read_curve(row),
    )
    row.done()
    return motor


def _read_face(row: Reader) -> Face:
    square = row.maybe_length("hole_square", 3, 300)
    if square is not None and row.has_length("bolt_circle"):
        row.fault("", "hole_square", "a bolt circle too: one of them must go.")
    depth = row.maybe_length("thread_depth", 1, 60)
    flange_thickness = row.maybe_length("flange_thickness", 1, 40)
    flange_hole = row.maybe_length("flange_hole", 1, 40)
    if (depth is None) == (flange_thickness is None or flange_hole is None):
        row.fault(
            "",
            "thread_depth",
            "tapped holes in the motor, or through holes in its flange.",
            "thread_depth_mm, or flange_thickness_mm with flange_hole_mm",
        )
    pilot = row.length("pilot_diameter", 1, 200)
    circle = row.length("bolt_circle", 3, 400) if square is None else square_to_circle_mm(square)
    if circle <= pilot:
        row.fault("pilot_diameter_mm", pilot, "the pilot is wider than the screw circle.", f"under {circle:g} mm")
    return Face(
        pilot_diameter_mm=pilot,
        pilot_height_mm=row.length("pilot_height", 0, 30),
        screw=row.text("screw"),
        screw_count=row.whole("screw_count", 1, 12, 4 if square is not None else None),
        bolt_circle_mm=circle,
        first_hole_deg=row.number("first_hole_deg", -360, 360, 45.0 if square is not None else 0.0, "deg"),
        thread_depth_mm=depth,
        flange_thickness_mm=flange_thickness,
        flange_hole_mm=flange_hole,
    )


def _read_curve(row: Reader) -> MotorCurve | None:
    if not any(row.has(key) for key in CURVE_KEYS):
        return None
    curve = MotorCurve(
        voltage_v=row.number("voltage_v", 1, 100, unit="V"),
        free_speed_rpm=row.number("free_speed_rpm", 10, 100_000, unit="rev/min"),
        stall_torque_n_m=row.number("stall_torque_n_m", 0.0005, 500, unit="N m"),
        stall_current_a=row.number("stall_current_a", 0.05, 2000, unit="A"),
        free_current_a=row.number("free_current_a", 0, 200, unit="A"),
    )
    if curve.free_current_a >= curve.stall_current_a:
        row.fault("free_current_a", curve.free_current_a, "not under the stall current.")
    return curve
