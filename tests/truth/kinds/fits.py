"""Worked examples of ISO 286: limits of one size, a hole with its mate, a standard tolerance by its formula."""

from __future__ import annotations

from collections.abc import Callable

from gearplate.shop.fits import Limits, fit, grade_formula_um, grade_um, limits, tolerance_unit_um


def fit_limits(nominal_mm: float, tolerance_class: str) -> dict[str, object]:
    found = limits(nominal_mm, tolerance_class)
    return {
        "lower_deviation_um": found.lower_um,
        "upper_deviation_um": found.upper_um,
        "min_size_mm": found.min_mm,
        "max_size_mm": found.max_mm,
    }


def fit_pair(
    nominal_mm: float,
    hole_class: str,
    mate_lower_um: float | None = None,
    mate_upper_um: float | None = None,
    shaft_class: str | None = None,
) -> dict[str, object]:
    """The mate by its deviations, or by a class of its own."""
    if shaft_class is not None:
        mate = limits(nominal_mm, shaft_class)
    elif mate_lower_um is not None and mate_upper_um is not None:
        mate = Limits(nominal_mm, mate_lower_um, mate_upper_um)
    else:
        raise TypeError("the mate has neither deviations nor a class")
    found = fit(limits(nominal_mm, hole_class), mate)
    return {
        "max_clearance_um": found.max_um,
        "min_clearance_um": found.min_um,
        "max_interference_um": -found.min_um,
        "min_interference_um": -found.max_um,
    }


def it_formula(range_low_mm: float, range_high_mm: float, grade: int) -> dict[str, object]:
    return {
        "tolerance_unit_um": tolerance_unit_um(range_low_mm, range_high_mm),
        "it_unrounded_um": grade_formula_um(range_low_mm, range_high_mm, grade),
        "it_table_um": grade_um(range_high_mm, grade),
    }


KINDS: dict[str, Callable[..., dict[str, object]]] = {
    "fit_limits": fit_limits,
    "fit_pair": fit_pair,
    "it_formula": it_formula,
}
