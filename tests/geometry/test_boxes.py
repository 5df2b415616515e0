"""Upright boxes."""

from __future__ import annotations

import pytest

from gearplate.geometry.boxes import grown, united


def test_the_smallest_box_round_others() -> None:
    assert united([(0.0, 1.0, 2.0, 3.0), (-1.0, 2.0, 1.0, 7.0)]) == (-1.0, 1.0, 2.0, 7.0)
    with pytest.raises(ValueError):  # noqa: PT011  # whatever its words
        united([])


def test_more_on_every_side() -> None:
    assert grown((0.0, 1.0, 2.0, 3.0), 0.5) == (-0.5, 0.5, 2.5, 3.5)
