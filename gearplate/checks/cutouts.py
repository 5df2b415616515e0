"""Holes, slots and windows in the size that they have once cut: what webs and edges are measured from."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from gearplate.geometry.boxes import Box
    from gearplate.geometry.shapes import Circle, Path
    from gearplate.plate.plate import Feature, Plate
    from gearplate.shop.shop import Shop


class Cutout(NamedTuple):
    """One hole as cut. `width_mm` is its finished diameter or a slot's width, None for a window; `box` encloses it."""

    feature: Feature
    shape: Circle | Path
    width_mm: float | None
    box: Box

    @property
    def loaded(self) -> bool:
        """Whether a screw that carries load stands in it."""
        return self.feature.loaded

    @property
    def seat(self) -> bool:
        """Whether a bearing, a motor's pilot or a shaft that stands still sits in it."""
        kind = self.feature.kind.value
        fixed_shaft = kind == "shaft_clearance" and self.feature.fit_mm is not None
        return kind in ("bearing_bore", "motor_pilot") or fixed_shaft

    @property
    def carries(self) -> bool:
        """Whether it carries anything at all."""
        return self.loaded or self.seat


def cutouts_of(plate: Plate, shop: Shop | None) -> tuple[Cutout, ...]:
    """Every cut-out of one plate. Without a shop (a material that must never be cut) the sizes are nominal."""
    return tuple(_cutout(feature, shop) for feature in plate.features)


def _cutout(feature: Feature, shop: Shop | None) -> Cutout:
    from gearplate.cut.finished import finished_diameter_mm, finished_shape
    from gearplate.plate.contours import box_of, contour

    width = None
    shape = contour(feature)
    if feature.form != "window":
        width = feature.part_diameter_mm
    if shop is not None:
        width = finished_diameter_mm(feature, shop)
        try:
            shape = finished_shape(feature, width)
        except ValueError:
            shape = contour(feature)  # nothing is left of it: told by smallest-feature
    return Cutout(feature, shape, width, box_of(shape))
