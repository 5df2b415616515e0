"""Sums whose distribution is known in closed form, and one that is drawn."""

from __future__ import annotations

import math
from statistics import NormalDist

import numpy as np
import pytest

from gearplate.gears.play.summed import Deviation, Form, Summed

FLAT = Deviation(Form.FLAT, 1.0 / math.sqrt(12.0))  # as wide as 1


def test_normal_ones_add_to_a_normal_one() -> None:
    found = Summed([(1.0, Deviation(Form.NORMAL, 0.03)), (-2.0, Deviation(Form.NORMAL, 0.02))])
    assert found.sigma_mm == pytest.approx(0.05)
    for at in (-4.0, -3.0902, -1.0, 0.0, 0.5, 3.0):
        assert found.chance_under(at * 0.05) == pytest.approx(NormalDist().cdf(at), abs=1e-8)
    assert found.outer_mm() == pytest.approx((-3.0902 * 0.05, 3.0902 * 0.05), rel=3e-4)  # tables of it


@pytest.mark.parametrize("count", [2, 3, 5])
def test_flat_ones_as_irwin_and_hall_add_them(count: int) -> None:
    """F(x) = sum over k of (-1)^k C(n, k) (x - k)^n / n!, k up to x (Irwin, Hall 1927; from memory)."""
    found = Summed([(1.0, FLAT)] * count)
    for x in (0.05, 0.3, 0.5 * count, count - 0.6):
        wanted = sum(
            (-1) ** k * math.comb(count, k) * (x - k) ** count / math.factorial(count) for k in range(math.ceil(x))
        )
        assert found.chance_under(x - 0.5 * count) == pytest.approx(wanted, abs=2e-5)
    least = (0.001 * math.factorial(count)) ** (1.0 / count) - 0.5 * count  # while it is under 1 from the end
    assert found.outer_mm()[0] == pytest.approx(least, abs=0.004)


def test_a_size_in_any_direction_is_an_arcsine() -> None:
    """P(r cos f < x) = 1/2 + asin(x / r) / pi; some normal deviation beside it, as it never is alone."""
    found = Summed([(1.0, Deviation(Form.CIRCLE, 1.0 / math.sqrt(2.0))), (1.0, Deviation(Form.NORMAL, 0.02))])
    for x in (-0.8, 0.0, 0.3, 0.9):
        assert found.chance_under(x) == pytest.approx(0.5 + math.asin(x) / math.pi, abs=2e-3)


def test_what_cannot_go_below_zero_against_draws() -> None:
    """max(0, X) twice over, X normal, with flat and normal ones: a lopsided sum, against a million draws."""
    about, sigma = 0.01, 0.03
    random = np.random.default_rng(3)
    floored = [np.maximum(0.0, about + sigma * random.standard_normal(1_000_000)) for _ in range(2)]
    deviation = float(floored[0].std())
    part = Deviation(Form.FLOORED, deviation, (about, sigma))
    found = Summed([(1.0, part), (-0.5, part), (0.02, FLAT), (1.0, Deviation(Form.NORMAL, 0.005))])
    drawn = floored[0] - 0.5 * floored[1] + 0.02 * random.random(1_000_000) + 0.005 * random.standard_normal(1_000_000)
    drawn -= drawn.mean()
    assert found.sigma_mm == pytest.approx(drawn.std(), rel=0.005)
    assert found.outer_mm() == pytest.approx(np.quantile(drawn, (0.001, 0.999)), abs=0.03 * found.sigma_mm)
    for x in (-0.03, -0.01, 0.0, 0.02, 0.05):
        assert found.chance_under(x) == pytest.approx(np.mean(drawn < x), abs=0.002)


def test_nothing_that_scatters() -> None:
    still = Summed([(1.0, Deviation(Form.FLAT, 0.0))])
    assert (still.sigma_mm, still.outer_mm()) == (0.0, (0.0, 0.0))
    assert (still.chance_under(-1e-9), still.chance_under(1e-9)) == (0.0, 1.0)
    alone = Summed([(1.0, FLAT)])
    assert (alone.chance_under(-20.0), alone.chance_under(20.0)) == (0.0, 1.0)
