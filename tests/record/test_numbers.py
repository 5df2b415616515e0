"""Numbers of the record: rounded, finite, never a negative zero."""

from __future__ import annotations

import math

import pytest

from gearplate.errors import ToolBug
from gearplate.geometry.shapes import Path
from gearplate.record.numbers import known, length, pure, vertices


def test_a_negative_zero_is_a_zero() -> None:
    assert math.copysign(1.0, length(-0.0)) == 1.0
    assert math.copysign(1.0, length(-4e-7)) == 1.0
    assert vertices(Path(((-0.0, -1e-9, -0.0),))) == [[0.0, 0.0, 0.0]]
    assert str(vertices(Path(((-0.0, -1e-9, -0.0),)))) == "[[0.0, 0.0, 0.0]]"


def test_lengths_to_a_nanometre_and_pure_numbers_to_a_thousandth_of_it() -> None:
    assert length(1.23456789) == 1.234568
    assert pure(1.23456789012) == 1.23456789


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_what_is_no_number_never_reaches_the_record(value: float) -> None:
    with pytest.raises(ToolBug):
        length(value)
    assert known(value) is None
