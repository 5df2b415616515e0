"""Plates to test with: the compost rover's drive (invented) with every shaft in its place, and changes to it."""

from __future__ import annotations

import functools
import math
from dataclasses import replace
from typing import Any

import shapely
from shapely.geometry import LineString, Point, Polygon

from gearplate.catalog import load_catalog, profiles_folder
from gearplate.catalog.cutters import Calibration, Cutter, Kerf
from gearplate.geometry.shapes import Circle, Path
from gearplate.layout.design import Layout
from gearplate.layout.solve import solve_layout
from gearplate.layout.spec import LayoutSpec, Place
from gearplate.plate.make import make_plates
from gearplate.plate.plate import Feature, Plate
from gearplate.plate.spec import Hand, Identity, OutlineStyle, PlateSpec
from gearplate.shop.shop import Shop, shop_for
from tests.builders.regions import polygon
from tests.builders.specs import drive_spec

IDENTITY = Identity("compost-drive", "A", "Compost rover (invented)", (Hand.RIGHT,))
PLACES = {
    "S1": Place(angle_rad=math.radians(77.0)),
    "M1": Place(angle_rad=math.radians(15.0)),
    "M2": Place(angle_rad=math.radians(95.0)),
    "M3": Place(angle_rad=math.radians(172.0)),
}


@functools.cache
def placed() -> tuple[LayoutSpec, Layout]:
    """The ordinary drive, solved once."""
    spec = drive_spec()
    return spec, solve_layout(spec)


def fixed(**changes: object) -> tuple[LayoutSpec, Layout]:
    """A one-stage drive with one motor (quick to solve), with changes to its spec."""
    spec = drive_spec(motors=1, teeth=(72,), places={"M1": Place(angle_rad=math.radians(80.0))})
    spec = replace(spec, **changes)  # type: ignore[arg-type]
    return spec, solve_layout(spec)


def wishes(**changes: object) -> PlateSpec:
    """An ordinary hull with marks."""
    spec = PlateSpec(
        identity=IDENTITY,
        margin_mm=6.0,
        outline=OutlineStyle.HULL,
        waist_radius_mm=15.0,
        cover_gears=False,
        lightening=False,
        lightening_web_mm=None,
        marks=True,
        letter_height_mm=3.0,
    )
    return replace(spec, **changes)  # type: ignore[arg-type]


@functools.cache
def ordinary() -> tuple[Plate, Plate]:
    """Both plates of the ordinary drive."""
    spec, layout = placed()
    return make_plates(layout, spec, wishes())


def shop(cutter: str = "demo", kerf: Kerf | None = None, **changes: Any) -> Shop:
    """A shipped cutter with 6 mm acetal; `kerf` instead of its own, `changes` to the cutter's row."""
    catalog = load_catalog([profiles_folder()])
    row: Cutter = replace(catalog.cutter(cutter), **changes)
    found = shop_for(row, catalog.material("acetal-6mm"))
    return found if kerf is None else replace(found, kerf=kerf)


def calibration_of(made: Shop) -> Calibration:
    return made.calibration


def region(shape: Circle | Path) -> Any:
    """A contour as a polygon of the polygon library, chords within 1e-4 mm."""
    if isinstance(shape, Circle):
        return Point(shape.x_mm, shape.y_mm).buffer(0.5 * shape.diameter_mm, quad_segs=64)
    return polygon(shape, 1e-4)


def nominal(feature: Feature) -> Any:
    """A feature's nominal region, drawn by the polygon library alone."""
    if feature.path is not None:
        return polygon(feature.path, 1e-4)
    dx = 0.5 * feature.length_mm * math.cos(feature.angle_rad)
    dy = 0.5 * feature.length_mm * math.sin(feature.angle_rad)
    line = LineString(
        [(feature.x_mm - dx, feature.y_mm - dy), (feature.x_mm + dx, feature.y_mm + dy)]
        if feature.length_mm
        else [(feature.x_mm, feature.y_mm), (feature.x_mm, feature.y_mm)]
    )
    base = line if feature.length_mm else Point(feature.x_mm, feature.y_mm)
    return base.buffer(0.5 * feature.part_diameter_mm, quad_segs=64)


def metal(plate: Plate) -> Polygon:
    """What is left of a plate in nominal sizes."""
    holes = shapely.union_all([nominal(feature) for feature in plate.features])
    return polygon(plate.outline, 1e-4).difference(holes)
