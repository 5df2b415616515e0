"""What the tests measure paths with, by closed formulas; and that paths themselves need neither shapely nor arrays."""

from __future__ import annotations

import math
import subprocess
import sys

import numpy as np
import pytest

from gearplate.geometry.nearest import distance_to_path
from gearplate.geometry.path import area, circle_path
from gearplate.geometry.shapes import Circle
from gearplate.geometry.slot import rectangle_path
from tests.builders.outlines import random_outline
from tests.builders.regions import (
    chord_points,
    distances_to_path,
    largest_deviation,
    polygon,
)

A, B = rectangle_path(0.0, 0.0, 10.0, 10.0), rectangle_path(4.0, 0.0, 10.0, 10.0)


def test_chords_keep_the_tolerance() -> None:
    circle = circle_path(Circle(0.0, 0.0, 20.0))
    points = chord_points(circle, 1e-3)
    for a, b in zip(points, [*points[1:], points[0]], strict=True):
        assert 10.0 - math.hypot(0.5 * (a[0] + b[0]), 0.5 * (a[1] + b[1])) <= 1.0001e-3
    assert polygon(circle, 1e-6).area == pytest.approx(100.0 * math.pi, rel=1e-6)
    assert polygon(circle).area < area(circle)


def test_deviation_is_two_sided() -> None:
    assert largest_deviation(A, A) == 0.0
    assert largest_deviation(A, B) == pytest.approx(4.0)
    spiked = rectangle_path(0.0, 0.0, 10.0, 10.0, 0.0, 1.0)
    gap = math.sqrt(2.0) - 1.0  # a sharp corner stands out of a rounded one by (sqrt 2 - 1) r
    assert largest_deviation(A, spiked) == pytest.approx(gap)
    assert largest_deviation(spiked, A) == pytest.approx(gap)


def test_many_distances_at_once() -> None:
    path = random_outline(11)
    points = np.random.default_rng(3).uniform(-70.0, 70.0, (200, 2))
    expected = [distance_to_path(path, x, y) for x, y in points]
    assert distances_to_path(points, path) == pytest.approx(expected, abs=1e-9)


def test_ordinary_outlines_load_neither_the_polygon_library_nor_arrays() -> None:
    code = (
        "import sys\n"
        "from gearplate.geometry import fillet, kerf_curve, nearest, offset, slot\n"
        "from gearplate.geometry import discs, strokes, symmetry, transform\n"
        "outline = discs.hull_of_discs([(0, 0, 9.0), (30, 5, 8.0), (9, 30, 7.0)])\n"
        "offset.offset(outline, 0.1); kerf_curve.anisotropic_offset(outline, 0.2, 0.3, True)\n"
        "print(sorted({'numpy', 'shapely', 'ezdxf'} & set(sys.modules)))\n"
        "from gearplate.geometry import waists\n"
        "waists.waisted_outline([(0, 0, 9.0), (30, 5, 8.0), (9, 30, 7.0)], 6.0)\n"
        "print(sorted({'shapely', 'ezdxf'} & set(sys.modules)))\n"
    )
    result = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert result.stdout.split() == ["[]", "[]"]
