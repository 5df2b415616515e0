"""Chain and belt runs against lengths measured along the drawn line, which shares no formula with ours."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearplate.drive import belt, chain


def drawn_belt_mm(radius_1, radius_2, centre, count=4000):
    """Length of the hull of two circles, by the support function: its mean width times pi (Cauchy)."""
    total = 0.0
    for k in range(count):
        angle = 2 * math.pi * (k + 0.5) / count
        total += max(radius_1, centre * math.cos(angle) + radius_2)
    return total * 2 * math.pi / count


@given(st.integers(10, 60), st.integers(10, 60), st.floats(1.05, 8.0))
def test_exact_belt_is_the_drawn_one(teeth_1, teeth_2, far):
    radii = [belt.pulley_pitch_diameter_mm(5.0, teeth) / 2 for teeth in (teeth_1, teeth_2)]
    centre = far * sum(radii)
    found = belt.belt_run(5.0, teeth_1, teeth_2, centre)
    assert found.length_exact_mm == pytest.approx(drawn_belt_mm(*radii, centre), rel=1e-6)
    assert found.length_approx_mm == pytest.approx(found.length_exact_mm, rel=0.01)


@given(st.integers(9, 60), st.integers(9, 60), st.floats(10.0, 80.0))
def test_corrected_centre_takes_the_even_length(teeth_1, teeth_2, pitches):
    pitch = 6.35
    least = (chain.pitch_diameter_mm(pitch, teeth_1) + chain.pitch_diameter_mm(pitch, teeth_2)) / 2
    centre = max(pitches * pitch, 1.02 * least)
    found = chain.chain_run(pitch, teeth_1, teeth_2, centre)
    assert found.length_even_pitches % 2 == 0
    assert 0 <= found.length_even_pitches - found.length_pitches + 1e-9 < 2 + 1e-9
    again = chain.chain_run(pitch, teeth_1, teeth_2, found.corrected_centre_mm)
    assert again.length_pitches == pytest.approx(found.length_even_pitches)
    assert again.length_even_pitches == found.length_even_pitches


def test_equal_sprockets_are_wrapped_half():
    found = chain.chain_wrap(6.35, 16, 16, 100.0)
    assert math.degrees(found.small_rad) == pytest.approx(180.0)
    assert found.teeth_small == pytest.approx(8.0)


@given(st.integers(9, 40), st.integers(9, 80), st.floats(1.0, 5.0))
def test_both_wraps_make_a_turn(teeth_1, teeth_2, far):
    centre = far * (chain.pitch_diameter_mm(9.525, teeth_1) + chain.pitch_diameter_mm(9.525, teeth_2)) / 2
    found = chain.chain_wrap(9.525, teeth_1, teeth_2, centre)
    assert found.small_rad + found.large_rad == pytest.approx(2 * math.pi)
    assert found.small_rad <= found.large_rad + 1e-12


def test_a_sprocket_is_as_large_as_its_polygon():
    """Neighbouring joints lie one pitch apart on the pitch circle."""
    radius = chain.sprocket(9.525, 15).pitch_diameter_mm / 2
    assert math.dist((radius, 0.0), (radius * math.cos(2 * math.pi / 15), radius * math.sin(2 * math.pi / 15))) == (
        pytest.approx(9.525)
    )


def test_a_tube_too_low_for_any():
    found = chain.chain_in_tube(6.35, 10.0, 20.0, 9.1)
    assert found.largest_teeth == 0
    assert found.width_needed_mm == pytest.approx(13.1)
    assert chain.chain_in_tube(6.35, 44.45, 20.0, 9.1, strands=2).width_spare_mm < 0


@pytest.mark.parametrize(
    "call",
    [
        lambda: chain.pitch_diameter_mm(6.35, 2),
        lambda: chain.chain_run(6.35, 16, 16, 20.0),
        lambda: chain.chain_wrap(6.35, 10, 60, 20.0),
        lambda: chain.chain_in_tube(6.35, 44.0, 30.0, 9.1, strands=0),
        lambda: belt.belt_run(5.0, 10, 60, 20.0),
        lambda: belt.pulley_pitch_diameter_mm(5.0, 0),
    ],
)
def test_what_cannot_be_is_refused(call):
    with pytest.raises(ValueError, match=r"\w"):
        call()
