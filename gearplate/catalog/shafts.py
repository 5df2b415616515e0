"""Shaft stock and chain, by the standard's or the trade's sizes."""

from __future__ import annotations

from dataclasses import dataclass

from gearplate.catalog.common import Front, read_common
from gearplate.catalog.reading import Reader
from gearplate.catalog.row import Bore, Row


@dataclass(frozen=True, slots=True, kw_only=True)
class ShaftStock(Row):
    """Bar for shafts. `section` is round (diameter) or hex (across flats); a hexagon turns in its corners."""

    section: Bore
    material: str
    density_kg_m3: float
    youngs_modulus_gpa: float
    yield_mpa: float

    @property
    def across_corners_mm(self) -> float:
        """Diameter [mm] of the circle that the bar turns in."""
        return self.section.corners_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Chain(Row):
    """A roller chain (or rollerless, where `roller_mm` is the bushing). Widths and heights are the greatest allowed."""

    pitch_mm: float
    roller_mm: float
    rollerless: bool
    inner_width_mm: float
    pin_mm: float
    plate_thickness_mm: float
    inner_plate_height_mm: float
    outer_plate_height_mm: float
    overall_width_mm: float
    tensile_n: float

    @property
    def sprocket_width_mm(self) -> float:
        """Width of a single sprocket's teeth: 0.93 W - 0.006 in, W the width between the inner plates (ASME B29.1,
        from memory)."""
        return 0.93 * self.inner_width_mm - 0.006 * 25.4


def read_shaft(row: Reader, name: str, front: Front) -> ShaftStock:
    """One row of shafts.toml."""
    common = read_common(row, name, front)
    shaft = ShaftStock(
        **common,
        section=Bore("hex", row.length("hex", 2, 60)) if row.has_length("hex") else _round(row),
        material=row.text("material"),
        density_kg_m3=row.number("density_kg_m3", 500, 20_000),
        youngs_modulus_gpa=row.number("youngs_modulus_gpa", 0.5, 400),
        yield_mpa=row.number("yield_mpa", 10, 3000),
    )
    row.done()
    return shaft


def _round(row: Reader) -> Bore:
    return Bore("round", row.length("round", 1, 60))


def read_chain(row: Reader, name: str, front: Front) -> Chain:
    """One row of chain.toml."""
    common = read_common(row, name, front)
    chain = Chain(
        **common,
        pitch_mm=row.length("pitch", 2, 60),
        roller_mm=row.length("roller", 1, 40),
        rollerless=row.flag("rollerless", False),
        inner_width_mm=row.length("inner_width", 1, 40),
        pin_mm=row.length("pin", 0.5, 20),
        plate_thickness_mm=row.length("plate_thickness", 0.2, 8),
        inner_plate_height_mm=row.length("inner_plate_height", 2, 60),
        outer_plate_height_mm=row.length("outer_plate_height", 2, 60),
        overall_width_mm=row.length("overall_width", 2, 80),
        tensile_n=row.number("tensile_n", 100, 1_000_000, unit="N"),
    )
    row.done()
    return chain
