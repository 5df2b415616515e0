"""GDAL/OGR reads the cut files: a reader that shares no code with ezdxf nor with ours.

Facts about that reader, measured on GDAL 3.12: it gives circles and arcs as chords whose vertices lie on
the curve; a closed contour comes back to its first vertex; it drops the unit, which is read from the
header by a few own lines.
"""

from __future__ import annotations

import math
from pathlib import Path as FilePath

import numpy as np
import numpy.typing as npt
import pytest

from gearplate.drawing.curves import distance_to, segments
from gearplate.drawing.dxf_out import dxf_bytes
from gearplate.drawing.model import DrawnUnit, Entity, Operation, Sheet
from gearplate.geometry.shapes import Circle, Path, Stroke
from tests.builders.sheets import crowded_sheet, demo_sheet, own_mirror_sheet

pyogrio = pytest.importorskip("pyogrio.raw")
shapely = pytest.importorskip("shapely")

Points = npt.NDArray[np.float64]


def seen_by_ogr(data: bytes, folder: FilePath) -> list[tuple[str, Points]]:
    """Layer and vertices, in mm, of everything in the file, in its order."""
    file = folder / "plate.dxf"
    file.write_bytes(data)
    _, _, shapes, fields = pyogrio.read(file, columns=["Layer"])
    lines = data.decode("ascii").split("\n")
    insunits, measurement = (int(lines[lines.index(name) + 2]) for name in ("$INSUNITS", "$MEASUREMENT"))
    mm = {(4, 1): 1.0, (1, 0): 25.4}[insunits, measurement]
    return [
        (str(layer), mm * shapely.get_coordinates(shapely.from_wkb(shape)))
        for layer, shape in zip(fields[0], shapes, strict=True)
    ]


def layer_of(entity: Entity) -> str:
    return {Operation.ETCH: "etch", Operation.CUT_INSIDE: "inner", Operation.CUT_OUTSIDE: "outer"}[entity.operation]


@pytest.mark.parametrize("unit", list(DrawnUnit))
@pytest.mark.parametrize(
    "sheet", [demo_sheet(), own_mirror_sheet(), crowded_sheet()], ids=["demo", "mirror", "crowded"]
)
def test_the_same_contours_on_the_same_layers(sheet: Sheet, unit: DrawnUnit, tmp_path: FilePath) -> None:
    seen = seen_by_ogr(dxf_bytes(Sheet(sheet.entities, unit)), tmp_path)
    assert [layer for layer, _ in seen] == [layer_of(entity) for entity in sheet.entities]
    for (_, points), entity in zip(seen, sheet.entities, strict=True):
        shape = entity.shape
        ends_meet = math.dist(points[0], points[-1]) < 1e-6
        assert ends_meet is not isinstance(shape, Stroke), entity.tag
        if isinstance(shape, Stroke):
            assert points == pytest.approx(np.array(shape.points), abs=1e-6)
            continue
        # every vertex lies on the curve that was asked for ...
        pieces = segments(shape)
        assert max(min(distance_to((x, y), piece) for piece in pieces) for x, y in points.tolist()) < 2e-6
        # ... and the chords go all the way round it
        assert area_of(points) == pytest.approx(exact_area(shape), rel=3e-3)


def area_of(points: Points) -> float:
    x, y = points[:, 0], points[:, 1]
    return abs(float(np.sum(x[:-1] * y[1:] - x[1:] * y[:-1]))) / 2.0


def exact_area(shape: Circle | Path) -> float:
    """Shoelace formula, plus a circular segment r^2 (theta - sin theta) / 2 for each arc (any handbook)."""
    if isinstance(shape, Circle):
        return math.pi * shape.diameter_mm**2 / 4.0
    total = 0.0
    run = shape.vertices
    for (x0, y0, bulge), (x1, y1, _) in zip(run, (*run[1:], run[0]), strict=True):
        theta, chord = 4.0 * math.atan(bulge), math.hypot(x1 - x0, y1 - y0)
        total += (x0 * y1 - x1 * y0) / 2.0
        if bulge:
            total += (chord / (2.0 * math.sin(theta / 2.0))) ** 2 * (theta - math.sin(theta)) / 2.0
    return abs(total)


@pytest.mark.parametrize("unit", list(DrawnUnit))
def test_round_holes_are_round_within_a_millionth(unit: DrawnUnit, tmp_path: FilePath) -> None:
    sheet = Sheet(demo_sheet().entities, unit)
    circles = 0
    for (_, points), entity in zip(seen_by_ogr(dxf_bytes(sheet), tmp_path), sheet.entities, strict=True):
        if isinstance(entity.shape, Circle) or (entity.tag == "bore_output" and isinstance(entity.shape, Path)):
            circles += 1
            # least squares circle: x^2 + y^2 = 2 a x + 2 b y + c
            design = np.column_stack((2.0 * points, np.ones(len(points))))
            a, b, c = np.linalg.lstsq(design, (points**2).sum(axis=1), rcond=None)[0]
            radii = np.hypot(points[:, 0] - a, points[:, 1] - b)
            assert np.ptp(radii) < 1e-6
            assert radii.mean() == pytest.approx(math.sqrt(c + a * a + b * b), abs=1e-6)
            diameter = entity.shape.diameter_mm if isinstance(entity.shape, Circle) else 28.575
            assert 2.0 * radii.mean() == pytest.approx(diameter, abs=2e-6)
    assert circles == 5
