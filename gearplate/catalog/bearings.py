"""Deep-groove ball bearings: boundary dimensions, flange, ratings."""

from __future__ import annotations

from dataclasses import dataclass

from gearplate.catalog.common import Front, read_common
from gearplate.catalog.reading import Reader
from gearplate.catalog.row import Bore, Row

CLOSURES = ("open", "shielded", "sealed", "any")
SHOULDER_SPARE_MM = 0.5  # shields stand a little below the rings' faces; common practice, no source


@dataclass(frozen=True, slots=True)
class Flange:
    """The flange on the outer ring: its diameter and thickness; the thickness lies within the bearing's width."""

    diameter_mm: float
    thickness_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Bearing(Row):
    """A ball bearing.

    `closure` "any": the size is the same open, shielded and sealed. `dynamic_n` is C, `static_n` is C0 (ISO 281,
    ISO 76); None where no figure is known.
    """

    bore: Bore
    outside_mm: float
    width_mm: float
    closure: str
    flange: Flange | None
    dynamic_n: float | None
    static_n: float | None

    @property
    def seat_width_mm(self) -> float:
        """Width [mm] of the outer ring that can sit in a bore: without the flange where there is one."""
        return self.width_mm - (self.flange.thickness_mm if self.flange else 0.0)

    @property
    def inner_shoulder_mm(self) -> float:
        """About the outside [mm] of the inner ring's face: 0.7 of the bore and 0.3 of the outside.

        Balls are about 0.3 (D - d) wide on the circle half-way between, and the shoulders stand two thirds of a ball
        apart (handbooks, from memory): within 0.3 mm of what lists say of 608, 6000 and 61801 (from memory too). A
        hexagonal bore counts across its corners.
        """
        return 0.7 * self.bore.corners_mm + 0.3 * self.outside_mm

    @property
    def outer_shoulder_mm(self) -> float:
        """About the inside [mm] of the outer ring's face, by the same proportions."""
        return 0.3 * self.bore.corners_mm + 0.7 * self.outside_mm


def read_bearing(row: Reader, name: str, front: Front) -> Bearing:
    """One row of bearings.toml."""
    common = read_common(row, name, front)
    bore = row.bore("bore")
    outside = row.length("outside", 2, 200)
    width = row.length("width", 1, 60)
    flange = None
    if row.has_length("flange_diameter") or row.has_length("flange_thickness"):
        flange = Flange(row.length("flange_diameter", 2, 250), row.length("flange_thickness", 0.2, 10))
        if flange.diameter_mm <= outside:
            row.fault("flange_diameter_mm", flange.diameter_mm, "not wider than the outer ring.")
        if flange.thickness_mm >= width:
            row.fault("flange_thickness_mm", flange.thickness_mm, "not thinner than the bearing is wide.")
    if bore.corners_mm >= outside:
        row.fault("", name, "the bore is wider than the outer ring.")
    bearing = Bearing(
        **common,
        bore=bore,
        outside_mm=outside,
        width_mm=width,
        closure=row.text("closure", CLOSURES),
        flange=flange,
        dynamic_n=row.maybe_number("dynamic_n", 10, 1_000_000, "N"),
        static_n=row.maybe_number("static_n", 10, 1_000_000, "N"),
    )
    row.done()
    return bearing
