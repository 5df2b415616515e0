"""Span, pins and calipers: each held against the tooth's own geometry."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from gearplate.gears import measuring
from gearplate.gears.tooth import gear_sizes, thickness_at

TEETH = st.integers(12, 90)
ANGLES = st.sampled_from([14.5, 20.0, 25.0]).map(np.radians)


@given(TEETH, ANGLES, st.floats(-0.2, 0.7), st.floats(0, 0.1))
def test_span_grows_by_a_base_pitch_a_tooth(teeth, a, shift, thinning):
    gear = gear_sizes(teeth, 1.5, a, shift, thinning)
    three, four = measuring.span_mm(gear, 3), measuring.span_mm(gear, 4)
    assert float(four - three) == pytest.approx(float(gear.base_pitch_mm), rel=1e-12)
    # Over one tooth: its thickness along the base circle, extended.
    assert float(measuring.span_mm(gear, 1)) == pytest.approx(float(thickness_at(gear, gear.base_radius_mm)), rel=1e-12)


@given(st.integers(17, 90), st.floats(0.0, 0.7))
def test_usual_span_touches_real_flanks(teeth, shift):
    gear = gear_sizes(teeth, 1.0, np.radians(20), shift)
    touch = float(measuring.span_contact_diameter_mm(gear, measuring.usual_span_teeth(gear)))
    assert 2 * float(gear.form_radius_mm) < touch < float(gear.tip_diameter_mm)


@given(TEETH, ANGLES, st.floats(-0.2, 0.7), st.floats(0, 0.05), st.floats(1.5, 2.2))
def test_pin_rests_on_both_flanks_of_its_space(teeth, a, shift, thinning, pin):
    """The pin's centre is as far from the flank, along the flank's normal, as the pin's radius."""
    gear = gear_sizes(teeth, 1.0, a, shift, thinning)
    found = measuring.over_pins(gear, pin)
    touch = float(found.contact_diameter_mm) / 2
    assume(float(gear.base_radius_mm) * np.tan(found.pressure_angle_rad) > pin / 2)
    centre_radius = float(gear.base_radius_mm) / np.cos(float(found.pressure_angle_rad))
    # In a frame with the space's middle upward: the touching point of the tooth to its right.
    at = np.pi / teeth - float(gear.half_angle(touch))
    gap = np.hypot(touch * np.sin(at), touch * np.cos(at) - centre_radius)
    assert gap == pytest.approx(pin / 2, rel=1e-9)
    if teeth % 2 == 0:
        assert float(found.over_pins_mm) == pytest.approx(2 * centre_radius + pin, rel=1e-12)
    else:
        assert float(found.over_pins_mm) < 2 * centre_radius + pin


@given(TEETH, st.floats(0, 0.7))
def test_chord_lies_inside_its_arc(teeth, shift):
    gear = gear_sizes(teeth, 1.0, np.radians(20), shift)
    found = measuring.chordal_thickness(gear)
    assert found.chordal_thickness_mm < found.tooth_thickness_mm
    ends = float(gear.tip_diameter_mm) / 2 - float(found.chordal_height_mm)
    assert np.hypot(ends, found.chordal_thickness_mm / 2) == pytest.approx(teeth / 2, rel=1e-12)
