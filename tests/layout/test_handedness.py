"""How far a plate of the wrong hand misses: patterns whose answer is plain."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gearplate.layout.handedness import mirrored_misfit_mm

BORES = [(0.0, 0.0, 28.0), (30.0, 60.0, 28.0)]


def moved(points: list[tuple[float, ...]], angle: float, dx: float, dy: float) -> list[tuple[float, ...]]:
    cos, sin = math.cos(angle), math.sin(angle)
    return [(cos * p[0] - sin * p[1] + dx, sin * p[0] + cos * p[1] + dy, *p[2:]) for p in points]


def test_screws_in_pairs_about_the_line_of_the_bores_would_let_it_bolt_on() -> None:
    # Two bores on the y axis, screws left and right of it: the image is the pattern itself.
    assert mirrored_misfit_mm([(0, 0, 28), (0, 70, 22)], [(-20, 10), (20, 10), (0, 100)]) == pytest.approx(0.0)


def test_one_odd_screw_misses_by_twice_its_offset() -> None:
    # The image of a screw 3 mm right of the axis stands 3 mm left of it: 6 mm from the hole.
    assert mirrored_misfit_mm([(0, 0, 28), (0, 70, 22)], [(-20, 10), (20, 10), (3, 100)]) == pytest.approx(6.0)


def test_equal_bores_may_also_be_exchanged() -> None:
    # Alike above and below the middle: turned end for end the image fits, with unlike bores it does not.
    screws = [(20, 10), (20, 60)]
    assert mirrored_misfit_mm([(0, 0, 28), (0, 70, 28)], screws) == pytest.approx(0.0)
    assert mirrored_misfit_mm([(0, 0, 28), (0, 70, 22)], screws) > 5.0


def test_one_bore_alone_can_be_turned_about() -> None:
    # Two screws at one distance from the only bore always fit their image; at unlike distances and a third one not.
    assert mirrored_misfit_mm([(0, 0, 28)], [(30, 0), (0, 30)]) == pytest.approx(0.0)
    assert mirrored_misfit_mm([(0, 0, 28)], [(30, 0), (0, 40), (-10, -35)]) > 3.0


def test_nothing_to_compare_is_no_protection() -> None:
    assert mirrored_misfit_mm([], []) == 0.0
    assert mirrored_misfit_mm([(5, 5, 28)], []) == pytest.approx(0.0)
    assert mirrored_misfit_mm([], [(3, 4)]) == pytest.approx(0.0)
    assert mirrored_misfit_mm([], [(3, 4), (9, 1)]) == pytest.approx(0.0)


@settings(max_examples=60)
@given(
    st.lists(st.tuples(st.floats(-80, 80), st.floats(-80, 80)), min_size=1, max_size=6),
    st.floats(-math.pi, math.pi),
    st.floats(-50, 50),
    st.floats(-50, 50),
)
def test_where_the_plate_lies_does_not_matter(
    screws: list[tuple[float, float]], angle: float, dx: float, dy: float
) -> None:
    before = mirrored_misfit_mm(BORES, screws)
    after = mirrored_misfit_mm(moved(BORES, angle, dx, dy), moved(screws, angle, dx, dy))  # type: ignore[arg-type]
    assert after == pytest.approx(before, abs=1e-6)
