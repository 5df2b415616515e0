"""What materials of gears, sheets and screws stand, by family ("steel", "acetal", ...)."""

from __future__ import annotations

from dataclasses import dataclass

from gearplate.catalog.common import Front, read_common
from gearplate.catalog.reading import Reader
from gearplate.catalog.row import Row

ROOM_C = 23.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Strength(Row):
    """Strength of one family of material at room temperature, MPa.

    `tooth_bending_mpa` is what Lewis's stress may reach at the root of a gear's tooth, `tooth_contact_mpa` the
    pressure between flanks; None where no gears are made of it. `shear_mpa`: what tears a hole out of an edge or a
    screw across. `share_at_60c`: what of it all is left at 60 deg C, on a straight line from room temperature on.
    """

    youngs_modulus_gpa: float
    poisson: float
    tooth_bending_mpa: float | None
    tooth_contact_mpa: float | None
    shear_mpa: float
    share_at_60c: float

    def share_at(self, celsius: float) -> float:
        """What is left at a temperature: 1 up to 23 deg C, then a straight line through that at 60, never below 0.1."""
        return max(0.1, 1.0 - (1.0 - self.share_at_60c) * max(0.0, celsius - ROOM_C) / (60.0 - ROOM_C))


def read_strength(row: Reader, name: str, front: Front) -> Strength:
    """One row of strengths.toml."""
    common = read_common(row, name, front)
    strength = Strength(
        **common,
        youngs_modulus_gpa=row.number("youngs_modulus_gpa", 0.1, 400),
        poisson=row.number("poisson", 0.0, 0.49),
        tooth_bending_mpa=row.maybe_number("tooth_bending_mpa", 1, 2000, "MPa"),
        tooth_contact_mpa=row.maybe_number("tooth_contact_mpa", 1, 4000, "MPa"),
        shear_mpa=row.number("shear_mpa", 0.5, 2000, unit="MPa"),
        share_at_60c=row.number("share_at_60c", 0.05, 1.0, 1.0),
    )
    row.done()
    return strength
