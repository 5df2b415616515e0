"""Cutter, material and fits as one value that is passed in; ISO 286 limits; kerf in plain sums."""

from gearplate.shop.fits import FitError, Limits, class_allowance_mm, fit, limits, outer_ring
from gearplate.shop.shop import NoCalibration, Shop, shop_for

__all__ = [
    "FitError",
    "Limits",
    "NoCalibration",
    "Shop",
    "class_allowance_mm",
    "fit",
    "limits",
    "outer_ring",
    "shop_for",
]
