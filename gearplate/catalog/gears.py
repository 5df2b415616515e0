"""Bought gears: classes of stock gears, and the gear of one tooth count out of a class."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from gearplate.catalog.common import Front, read_common
from gearplate.catalog.reading import MM_PER_INCH, Reader
from gearplate.catalog.row import Bore, Row

ROLES = ("pinion", "gear")


@dataclass(frozen=True, slots=True, kw_only=True)
class BoughtGear(Row):
    """One stock gear; `name` is that of its class.

    `diametral_pitch_per_in` is None for a module gear; `module_mm` always holds. `profile_shift` in modules. The tip
    circle is r + (1 + x) m unless `tip_diameter_mm` is given. `bores` are those it can be had with. A `role` of
    "pinion" means that it is made for a motor's shaft or a small shaft, "gear" that it goes on a larger one.
    `hub_length_mm` counts beyond the face width and is 0 without a hub.
    """

    teeth: int
    role: str
    module_mm: float
    diametral_pitch_per_in: float | None
    pressure_angle_deg: float
    profile_shift: float
    tip_diameter_mm: float | None
    face_width_mm: float
    bores: tuple[Bore, ...]
    material: str
    hub_diameter_mm: float | None
    hub_length_mm: float


@dataclass(frozen=True, slots=True)
class GearClass:
    """A class of stock gears that differ by their tooth count alone: the counts on hand, and the first of them."""

    counts: tuple[int, ...]
    pattern: BoughtGear

    @property
    def name(self) -> str:
        """Name of the class."""
        return self.pattern.name

    @property
    def also(self) -> tuple[str, ...]:
        """Other names of the class."""
        return self.pattern.also

    def gear(self, teeth: int) -> BoughtGear:
        """The gear of this tooth count.

        Raises:
            KeyError: the class has no such gear.
        """
        if teeth not in self.counts:
            raise KeyError(teeth)
        return replace(self.pattern, teeth=teeth)


def shift_by_tips(teeth: int, module_mm: float, pressure_angle_deg: float, tip_diameter_mm: float) -> float:
    """The profile shift, modules, that a small gear's tip diameter tells of, where nobody says its shift; else 0.

    Gears below z = 2 / sin(alpha)^2 teeth (17.1 at 20 degrees), which an unshifted cutter would undercut, are sold cut
    long: tips of (z + 2 + 2 x) modules are how that shows on a caliper. Longer tips on larger gears, and shorter ones,
    are the maker's own and say nothing of a shift. Common practice, no source.
    """
    if teeth >= 2.0 / math.sin(math.radians(pressure_angle_deg)) ** 2:
        return 0.0
    return max(0.0, round(0.5 * (tip_diameter_mm / module_mm - teeth - 2.0), 6))


def pitch_key(module_mm: float, pressure_angle_deg: float) -> tuple[float, float]:
    """What two gears must have in common to be of one kind: module and pressure angle, rounded past all doubt."""
    return (round(module_mm, 9), round(pressure_angle_deg, 9))


def read_gear_class(row: Reader, name: str, front: Front) -> GearClass:
    """One row of gears.toml."""
    common = read_common(row, name, front)
    if row.has("diametral_pitch") == row.has("module_mm"):
        row.fault("", name, "gears have a diametral pitch or a module.", "one of diametral_pitch, module_mm")
    pitch = row.maybe_number("diametral_pitch", 2, 100, "teeth per inch")
    counts = row.whole_numbers("teeth", 6, 400)
    shift_said = row.has("profile_shift")
    pattern = BoughtGear(
        **common,
        teeth=counts[0] if counts else 0,
        role=row.text("role", ROLES),
        module_mm=row.number("module_mm", 0.2, 12.7, unit="mm") if pitch is None else MM_PER_INCH / pitch,
        diametral_pitch_per_in=pitch,
        pressure_angle_deg=row.number("pressure_angle_deg", 14.0, 30.0, unit="deg"),
        profile_shift=row.number("profile_shift", -1.0, 1.5, 0.0, "modules"),
        tip_diameter_mm=row.maybe_length("tip_diameter", 1, 1000),
        face_width_mm=row.length("face_width", 0.5, 100),
        bores=_read_bores(row),
        material=row.text("material"),
        hub_diameter_mm=row.maybe_length("hub_diameter", 1, 200),
        hub_length_mm=row.length("hub_length", 0, 100, 0.0),
    )
    if pattern.tip_diameter_mm is not None and len(counts) > 1:
        row.fault("", name, "one tip diameter cannot hold for several tooth counts.", "a row of its own")
    elif pattern.tip_diameter_mm is not None and not shift_said:
        angle_deg, tip = pattern.pressure_angle_deg, pattern.tip_diameter_mm
        pattern = replace(pattern, profile_shift=shift_by_tips(pattern.teeth, pattern.module_mm, angle_deg, tip))
    row.done()
    return GearClass(counts, pattern)


def _read_bores(row: Reader) -> tuple[Bore, ...]:
    tables = row.subs("bores")
    if not tables:
        row.fault("bores", [], "this list is missing or empty.", "bores = [{round_mm = 8}, {hex_in = 0.5}]")
    bores = []
    for table in tables:
        form = "hex" if table.has_length("hex") else "round"
        bores.append(Bore(form, table.length(form, 1, 100)))
        table.done()
    return tuple(bores)
