"""How much material a plate wants between cut-outs and to its edge, and how small a cut-out may be: limits in mm."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from gearplate.finding import Standing

if TYPE_CHECKING:
    from gearplate.checks.subject import Subject
    from gearplate.layout.spec import Side

SHEET_PART = 0.9
PLASTIC_MM = 3.0
BURNT_MM = 0.5
HOLE_PART = 0.5
SCREW_EDGE = 1.5
METALS = ("aluminium", "steel")
BRITTLE = "acrylic"
TOUCHING_MM = 1e-6


class Limit(NamedTuple):
    """A least length, where it comes from, and how it came about in words."""

    mm: float
    standing: Standing
    words: str


def is_metal(subject: Subject, side: Side) -> bool:
    """Whether the plate is of metal: no least web of 3 mm then."""
    sheet = subject.sheet(side)
    return sheet is not None and any(metal in sheet.family for metal in METALS)


def strong_web(subject: Subject, side: Side) -> Limit:
    """Between cut-outs one of which carries something: the job's own web, else as for a wall."""
    asked = subject.layout_spec.clearances.web_mm
    return wall(subject, side) if asked is None else Limit(asked, Standing.JOB, "the job's least web")


def wall(subject: Subject, side: Side) -> Limit:
    """From a bore to the edge: one nominal thickness less the tenth by which sheets differ from their names, and at
    least 3 mm but in metal."""
    thick = subject.layout_spec.stock(side).nominal_mm
    sheet = SHEET_PART * thick
    if not is_metal(subject, side) and sheet < PLASTIC_MM:
        return Limit(PLASTIC_MM, Standing.COMMON_PRACTICE, "3 mm in anything but metal")
    return Limit(sheet, Standing.COMMON_PRACTICE, f"{SHEET_PART:g} of the sheet's {thick:g} mm")


def bar(subject: Subject, side: Side) -> Limit:
    """Of a bar between cut-outs that carry nothing: the job's own web where it asks for less than a rim has to have."""
    asked = subject.layout_spec.clearances.web_mm
    limit = rim(subject, side)
    return limit if asked is None or asked >= limit.mm else Limit(asked, Standing.JOB, "the job's least web")


def rim(subject: Subject, side: Side) -> Limit:
    """From a cut-out that carries nothing to the edge: what the cutter's profile says was cut, else the sheet."""
    shop = subject.shops.get(side)
    if shop is not None and shop.calibration.smallest_web_mm is not None:
        return Limit(shop.calibration.smallest_web_mm, Standing.MEASURED, "the smallest web measured on this cutter")
    thick = subject.layout_spec.stock(side).nominal_mm
    return Limit(SHEET_PART * thick, Standing.HANDBOOK, f"{SHEET_PART:g} of the sheet's {thick:g} mm")


def hole(subject: Subject, side: Side) -> Limit:
    """Least width of a cut-out: what the cutter's profile says was cut, else half the nominal thickness."""
    shop = subject.shops.get(side)
    if shop is not None and shop.calibration.smallest_hole_mm is not None:
        return Limit(shop.calibration.smallest_hole_mm, Standing.MEASURED, "the smallest hole measured on this cutter")
    thick = subject.layout_spec.stock(side).nominal_mm
    return Limit(HOLE_PART * thick, Standing.HANDBOOK, f"half of the sheet's {thick:g} mm")
