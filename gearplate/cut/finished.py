"""What a hole measures once it is cut: the part that goes in, plus the fit. Right-hand frame, before any kerf."""

from __future__ import annotations

from gearplate.geometry.offset import offset
from gearplate.geometry.shapes import Circle, Path
from gearplate.geometry.slot import slot_path
from gearplate.plate.contours import contour
from gearplate.plate.plate import Feature
from gearplate.shop.shop import Shop


def finished_diameter_mm(feature: Feature, shop: Shop) -> float | None:
    """Diameter of a circle or width of a slot, at the narrower face; None for a window.

    The feature's own allowance holds where it has one; else its ISO 286 class, aimed at the middle of the zone; else
    the shop's allowance for this seat in this material.

    Raises:
        NoCalibration: the shop has no allowance for this seat.
        FitError: no such class, or not for this size.
    """
    if feature.form == "window":
        return None
    return shop.finished_mm(feature.part_diameter_mm, feature.seat, feature.fit_mm, feature.fit_class)


def finished_shape(feature: Feature, diameter_mm: float | None) -> Circle | Path:
    """The contour that is to remain. A window's own allowance widens it by half on every side.

    Raises:
        ValueError: the allowance leaves nothing of the contour.
    """
    if feature.form == "window" or diameter_mm is None:
        path = contour(feature)
        assert isinstance(path, Path)
        return offset(path, 0.5 * feature.fit_mm) if feature.fit_mm else path
    if feature.form == "slot":
        return slot_path(feature.x_mm, feature.y_mm, feature.length_mm, diameter_mm, feature.angle_rad)
    if not diameter_mm > 0.0:
        raise ValueError(f"the allowance leaves no hole: a diameter of {diameter_mm:.4f} mm")
    return Circle(feature.x_mm, feature.y_mm, diameter_mm)
