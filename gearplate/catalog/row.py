"""What every row of every table has: a name, a source, a standing, and the file that it stands in."""

from __future__ import annotations

from dataclasses import dataclass

from gearplate.finding import Standing


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """Base of all catalogue rows.

    `standing` holds for the whole row but for the keys listed in `standing_of`; `also` are other names that the
    trade uses for the same thing; `file` is the table's path as text, `line` the row's line in it where known.
    """

    name: str
    source: str
    standing: Standing
    file: str
    also: tuple[str, ...] = ()
    note: str = ""
    standing_of: tuple[tuple[str, Standing], ...] = ()

    def standing_for(self, key: str) -> Standing:
        """The standing of one value, named as in the table ("pilot_height_mm")."""
        return dict(self.standing_of).get(key, self.standing)


@dataclass(frozen=True, slots=True)
class Span:
    """A value that is only known to lie between `low` and `high` (both in the unit of the key)."""

    low: float
    high: float

    @property
    def middle(self) -> float:
        """Half-way between low and high."""
        return (self.low + self.high) / 2


@dataclass(frozen=True, slots=True)
class Bore:
    """The hole of a gear or bearing, or the section of a shaft: round, or a hexagon measured across its flats."""

    form: str
    across_mm: float

    @property
    def hexagonal(self) -> bool:
        """Whether this is a hexagon."""
        return self.form == "hex"

    @property
    def corners_mm(self) -> float:
        """Diameter of the circle that it turns in: its own for a round, across the corners for a hexagon."""
        return corners_of_hexagon_mm(self.across_mm) if self.hexagonal else self.across_mm

    def __str__(self) -> str:
        return f"{'hex' if self.hexagonal else 'round'} {self.across_mm:g} mm"


def corners_of_hexagon_mm(across_flats_mm: float) -> float:
    """Across corners of a hexagon [mm] from across flats [mm]: 2 / sqrt(3) times it (geometry)."""
    return across_flats_mm * 2 / 3**0.5
