"""Whether a plate equals its own mirror image about a vertical line: then it fits both hands."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from gearplate.geometry.path import bbox
from gearplate.geometry.shapes import Path
from gearplate.geometry.symmetry import TOLERANCE_MM, same_curve
from gearplate.geometry.transform import mirrored, translated
from gearplate.plate.plate import Feature

SAME_RAD = 1e-6


def mirror_axis_x_mm(outline: Path, features: Sequence[Feature], same_mm: float = TOLERANCE_MM) -> float | None:
    """x of the vertical line about which outline and every hole mirror into themselves, or None where there is none.

    Holes match by form, size and fit, not by name: what counts is whether the cut metal is the same.
    """
    x0, _, x1, _ = bbox(outline)
    axis = 0.5 * (x0 + x1)
    left = list(features)
    while left:
        feature = left.pop()
        image = _image(feature, axis)
        if _same_hole(feature, image, same_mm):
            continue
        partner = next((other for other in left if _same_hole(other, image, same_mm)), None)
        if partner is None:
            return None
        left.remove(partner)
    return axis if same_curve(outline, _image_path(outline, axis), same_mm) else None


def _image(feature: Feature, axis: float) -> Feature:
    path = None if feature.path is None else _image_path(feature.path, axis)
    return replace(feature, x_mm=2.0 * axis - feature.x_mm, angle_rad=math.pi - feature.angle_rad, path=path)


def _image_path(path: Path, axis: float) -> Path:
    return translated(mirrored(path), 2.0 * axis, 0.0)


def _same_hole(first: Feature, second: Feature, same_mm: float) -> bool:
    if math.hypot(first.x_mm - second.x_mm, first.y_mm - second.y_mm) > same_mm:
        return False
    if (first.form, first.seat, first.fit_mm, first.fit_class) != (
        second.form,
        second.seat,
        second.fit_mm,
        second.fit_class,
    ):
        return False
    if abs(first.part_diameter_mm - second.part_diameter_mm) > same_mm:
        return False
    if abs(first.length_mm - second.length_mm) > same_mm:
        return False
    if first.form == "slot" and abs(math.sin(first.angle_rad - second.angle_rad)) > SAME_RAD:
        return False
    if first.path is None or second.path is None:
        return first.path is second.path
    return same_curve(first.path, second.path, same_mm)
