"""Screws with all that goes with them: holes, heads, washers, nuts, keys, tap drills."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from gearplate.catalog.common import Front, read_common
from gearplate.catalog.reading import MM_PER_INCH, Reader
from gearplate.catalog.row import Row, corners_of_hexagon_mm

FITS = ("close", "normal", "loose")


@dataclass(frozen=True, slots=True, kw_only=True)
class Fastener(Row):
    """A socket head cap screw, the washer and the hexagon nut of its size.

    `close_mm`, `normal_mm`, `loose_mm` are clearance holes (fine, medium, coarse in ISO 273). The head's diameter is
    the largest allowed, a knurled one where the standard has both. `key_mm` is the hexagon key across flats,
    `driver_diameter_mm` the room that a straight driver's shank wants. `lengths_mm` are those on hand, under the head,
    rising; none where the table does not say.
    """

    nominal_mm: float
    pitch_mm: float
    threads_per_in: float | None
    close_mm: float
    normal_mm: float
    loose_mm: float
    head_diameter_mm: float
    head_height_mm: float
    key_mm: float
    driver_diameter_mm: float
    washer_outside_mm: float
    washer_thickness_mm: float
    nut_across_flats_mm: float
    nut_height_mm: float
    tap_drill_mm: float
    lengths_mm: tuple[float, ...] = ()

    def hole_mm(self, fit: str = "normal") -> float:
        """Clearance hole [mm] for "close", "normal" or "loose".

        Raises:
            ValueError: any other word.
        """
        if fit not in FITS:
            raise ValueError(f"clearance holes are {', '.join(FITS)}, not {fit!r}")
        return {"close": self.close_mm, "normal": self.normal_mm, "loose": self.loose_mm}[fit]

    @property
    def nut_corners_mm(self) -> float:
        """The nut across its corners [mm], as a sharp hexagon: the circle that it needs."""
        return corners_of_hexagon_mm(self.nut_across_flats_mm)


def read_fastener(row: Reader, name: str, front: Front) -> Fastener:
    """One row of fasteners.toml."""
    common = read_common(row, name, front)
    if row.has("threads_per_in") == row.has("pitch_mm"):
        row.fault("", name, "a thread has a pitch or a count per inch.", "one of pitch_mm, threads_per_in")
    threads = row.maybe_number("threads_per_in", 5, 100)
    screw = Fastener(
        **common,
        nominal_mm=row.length("nominal", 1, 30),
        pitch_mm=row.number("pitch_mm", 0.2, 4, unit="mm") if threads is None else MM_PER_INCH / threads,
        threads_per_in=threads,
        close_mm=row.length("close", 1, 40),
        normal_mm=row.length("normal", 1, 40),
        loose_mm=row.length("loose", 1, 40),
        head_diameter_mm=row.length("head_diameter", 1, 60),
        head_height_mm=row.length("head_height", 0.5, 40),
        key_mm=row.length("key", 0.5, 25),
        driver_diameter_mm=row.length("driver_diameter", 0.5, 40),
        washer_outside_mm=row.length("washer_outside", 1, 80),
        washer_thickness_mm=row.length("washer_thickness", 0.1, 10),
        nut_across_flats_mm=row.length("nut_across_flats", 1, 60),
        nut_height_mm=row.length("nut_height", 0.5, 40),
        tap_drill_mm=row.length("tap_drill", 0.5, 30),
        lengths_mm=row.lengths("lengths", 1, 400),
    )
    rising = (screw.tap_drill_mm, screw.nominal_mm, screw.close_mm, screw.normal_mm, screw.loose_mm)
    if any(b <= a for a, b in pairwise(rising)):
        row.fault("", name, "tap drill, thread and the three holes must grow in this order.")
    row.done()
    return screw
