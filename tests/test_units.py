from __future__ import annotations

import contextlib
import math
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearplate.units import (
    UnreadableValue,
    angle_rad,
    both_units,
    exact_length_mm,
    format_length,
    in_unit,
    length_mm,
    module_mm_from_diametral_pitch,
    ratio,
)


# 1 in = 25.4 mm by definition (international yard and pound agreement, 1959); the products are done by hand.
@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("0.25 in", "6.35"),
        ("6 mm", "6"),
        ("6mm", "6"),
        ("1/4 in", "6.35"),
        ("1 / 4 in", "6.35"),
        ("3 1/4 in", "82.55"),
        ("3-1/4 in", "82.55"),
        ("3  1/4 in", "82.55"),
        ('1/4"', "6.35"),
        ("1/4″", "6.35"),
        ("1/4”", "6.35"),
        ('3 1/4"', "82.55"),
        ("-3 1/4 in", "-82.55"),
        ("-3-1/4 in", "-82.55"),
        ("−0.5 in", "-12.7"),
        ("+0.5 in", "12.7"),
        ("2.5cm", "25"),
        ("10 thou", "0.254"),
        ("10 mil", "0.254"),
        ("5 mils", "0.127"),
        ("100 um", "0.1"),
        ("100 µm", "0.1"),
        ("100 μm", "0.1"),
        (".5 in", "12.7"),
        ("5. mm", "5"),
        ("2 IN", "50.8"),
        ("2 Inches", "50.8"),
        ("2 in.", "50.8"),
        ("  2 in  ", "50.8"),
        ("82.55 mm", "82.55"),
        ("0 mm", "0"),
        ("-0 mm", "0"),
    ],
)
def test_reads_a_length_in_its_own_unit_whatever_the_default(text: str, mm: str) -> None:
    assert exact_length_mm(text, "inch") == exact_length_mm(text, "mm") == Fraction(mm)
    assert length_mm(text, "mm") == float(mm)


@pytest.mark.parametrize(
    ("value", "words"),
    [
        ("82,55 mm", "comma"),
        ("1,000 mm", "comma"),
        ("1.000,5 mm", "comma"),
        ("0.25", 'such as "0.25 mm"'),
        ("1/4", "needs its unit"),
        ("3 1/4", "needs its unit"),
        ("6'", "write inches"),
        ("6 ft", "write inches"),
        ("6’", "write inches"),
        ("1' 3\"", "not one number"),
        ("2 in 3 mm", "not one number"),
        ("2 x 3 mm", "not one number"),
        ("6 ± 0.1 mm", "not one number"),
        ("3.5 1/4 in", "not one number"),
        ("1/2 1/4 in", "not one number"),
        ("3 -1/4 in", "not one number"),
        ("3 - 1/4 in", "not one number"),
        ("0.5/2 in", "not one number"),
        ("1 000 mm", "not one number"),
        ("1_000 mm", "not one number"),
        ("1e3 mm", "not one number"),
        ("--3 mm", "not one number"),
        ("3¼ in", "not one number"),
        ("٣ mm", "not one number"),
        ("nan mm", "not one number"),
        ("3 5/4 in", "under 1"),
        ("3 4/4 in", "under 1"),
        ("1/0 in", "over 0"),
        ("mm", "missing"),
        ("3 furlong", "'furlong' is not a unit"),
        ("3 m", "'m' is not a unit"),
        ('3""', "is not a unit"),
        ("3°", "is not a unit"),
        ("", "empty"),
        ("   ", "empty"),
        ("1" * 41 + " mm", "40 characters"),
        ("999999 in", "100 m"),
        (True, "not a length"),
        (None, "not a length"),
        ([6], "not a length"),
        (1j, "not a length"),
        (math.nan, "finite"),
        (math.inf, "finite"),
        (-math.inf, "finite"),
        (10**400, "100 m"),
        (-1e308, "100 m"),
    ],
)
def test_refuses_what_has_no_single_meaning_and_says_what_is_accepted(value: object, words: str) -> None:
    with pytest.raises(ValueError, match="Accepted: a number, or text with a unit") as caught:
        exact_length_mm(value, "mm")
    assert isinstance(caught.value, UnreadableValue)
    assert words in caught.value.message
    assert str(caught.value) == f"{caught.value.message} Accepted: {caught.value.accepted}."


def test_the_hint_for_a_missing_unit_names_the_unit_of_the_file() -> None:
    with pytest.raises(UnreadableValue, match=r'"0\.25 in"'):
        length_mm("0.25", "inch")


def test_a_bare_number_is_in_the_default_unit_and_means_its_decimal_digits() -> None:
    assert exact_length_mm(0.1, "mm") == Fraction(1, 10)
    assert exact_length_mm(2.1, "inch") == Fraction("53.34")
    assert exact_length_mm(4, "inch") == Fraction("101.6")
    assert exact_length_mm(1e-300, "mm") == Fraction(1, 10**300)
    assert length_mm(np.float64(2.1), "inch") == 53.34
    assert exact_length_mm(Fraction(1, 3), "mm") == Fraction(1, 3)


@given(
    st.integers(0, 99),
    st.integers(1, 63),
    st.integers(2, 64),
    st.sampled_from(["", "-"]),
    st.sampled_from(" -"),
)
def test_mixed_inch_fractions_are_exact(whole: int, top: int, bottom: int, sign: str, joint: str) -> None:
    top %= bottom
    exact = (whole + Fraction(top, bottom)) * Fraction("25.4") * (-1 if sign else 1)
    assert exact_length_mm(f"{sign}{whole}{joint}{top}/{bottom} in", "mm") == exact
    assert exact_length_mm(f'{sign}{whole}{joint}{top}/{bottom}"', "mm") == exact


@given(st.decimals(-999, 999, places=4), st.sampled_from(["in", "mm"]))
def test_text_with_a_unit_and_a_bare_number_in_that_unit_agree(number: object, unit: str) -> None:
    bare = exact_length_mm(float(str(number)), "inch" if unit == "in" else "mm")
    assert exact_length_mm(f"{number} {unit}", "mm") == bare


@given(st.floats(-5000, 5000))
def test_what_is_shown_reads_back_to_within_its_last_digit(mm: float) -> None:
    assert abs(length_mm(format_length(mm, "mm"), "inch") - mm) <= 0.000_500_1
    assert abs(length_mm(format_length(mm, "inch"), "mm") - mm) <= 0.00005 * 25.4 + 1e-9
    shown_mm, shown_inch = both_units(mm).rstrip(")").split(" (")
    assert (shown_mm, shown_inch) == (format_length(mm, "mm"), format_length(mm, "inch"))


@given(st.integers(-5_000_000, 5_000_000))
def test_a_whole_number_of_micrometres_survives_the_round_trip(um: int) -> None:
    assert exact_length_mm(format_length(um / 1000, "mm"), "inch") == Fraction(um, 1000)


@given(st.text(max_size=50), st.sampled_from(["inch", "mm"]))
def test_no_text_brings_anything_but_a_value_or_the_error(text: str, unit: str) -> None:
    for read in (lambda: length_mm(text, unit), lambda: angle_rad(text), lambda: ratio(text)):  # type: ignore[arg-type]
        with contextlib.suppress(UnreadableValue):
            assert math.isfinite(read())


@given(st.one_of(st.integers(), st.floats(), st.booleans(), st.none(), st.binary(max_size=3)))
def test_no_bare_value_brings_anything_but_a_value_or_the_error(value: object) -> None:
    for read in (lambda: length_mm(value, "inch"), lambda: angle_rad(value), lambda: ratio(value)):
        with contextlib.suppress(UnreadableValue):
            assert math.isfinite(read())


@pytest.mark.parametrize("mm", [0.0, -0.0, -0.0004, 1e-9, -1e-300])
def test_zero_is_shown_without_a_sign(mm: float) -> None:
    assert both_units(mm) == "0.000 mm (0.0000 in)"


def test_both_units_either_way_round() -> None:
    assert both_units(53.34) == "53.340 mm (2.1000 in)"
    assert both_units(53.34, "inch") == "2.1000 in (53.340 mm)"
    assert both_units(-0.127) == "-0.127 mm (-0.0050 in)"
    assert in_unit(53.34, "inch") == pytest.approx(2.1, abs=1e-15)
    assert in_unit(53.34, "mm") == 53.34


@pytest.mark.parametrize("mm", [math.nan, math.inf])
def test_what_is_no_length_is_not_shown_as_one(mm: float) -> None:
    with pytest.raises(ValueError, match="not a length"):
        format_length(mm, "mm")


@pytest.mark.parametrize(
    ("value", "degrees"),
    [
        (30, 30),
        (-14.5, -14.5),
        ("30 deg", 30),
        ("22 1/2 deg", 22.5),
        ("30°", 30),
        ("-30 Degrees", -30),
        (360, 360),
        (-360, -360),
    ],
)
def test_angles_are_degrees_unless_they_say_otherwise(value: object, degrees: float) -> None:
    assert angle_rad(value) == pytest.approx(degrees * math.pi / 180, abs=1e-15)


def test_radians_are_read_as_they_stand() -> None:
    assert angle_rad("0.5 rad") == 0.5


@pytest.mark.parametrize(
    "value",
    [
        "30",
        "30'",
        "30 grad",
        "30 mm",
        "1/2 turn",
        "30,5 deg",
        True,
        361,
        "7 rad",
        10**400,
        "9" * 36 + "rad",
        math.nan,
    ],
)
def test_refuses_unclear_angles(value: object) -> None:
    with pytest.raises(UnreadableValue, match="Accepted: a number in degrees"):
        angle_rad(value)


@pytest.mark.parametrize(
    ("value", "exact"),
    [
        ("41/2", Fraction(41, 2)),
        (10.5, Fraction(21, 2)),
        ("10.5:1", Fraction(21, 2)),
        ("10.5 : 1", Fraction(21, 2)),
        ("21:2", Fraction(21, 2)),
        ("10.5", Fraction(21, 2)),
        ("10 1/2", Fraction(21, 2)),
        (7, Fraction(7)),
        (0.1, Fraction(1, 10)),
        ("1:1", Fraction(1)),
        ("41/2:3/2", Fraction(41, 3)),
    ],
)
def test_ratios_are_exact(value: object, exact: Fraction) -> None:
    assert ratio(value) == exact


@pytest.mark.parametrize(
    ("value", "words"),
    [
        ("1:10.5", "'10.5:1' for a reduction"),
        ("10,5", "comma"),
        ("10.5:0", "above zero"),
        ("-3:1", "above zero"),
        ("-3:-1", "above zero"),
        (0, "above zero"),
        (-2.5, "above zero"),
        ("10:1:2", "not one number"),
        (":", "missing"),
        ("10 to 1", "not one number"),
        (True, "not a ratio"),
        (1e300, "million"),
        (1e-300, "million"),
        (math.inf, "finite"),
    ],
)
def test_refuses_unclear_ratios(value: object, words: str) -> None:
    with pytest.raises(UnreadableValue) as caught:
        ratio(value)
    assert words in caught.value.message
    assert "10.5:1" in caught.value.accepted


def test_module_of_a_diametral_pitch() -> None:
    # m = 25.4 / P, so P 20 is module 1.27 and P 32 is 0.79375 (AGMA 1012; the quotients by hand).
    assert module_mm_from_diametral_pitch(20) == 1.27
    assert module_mm_from_diametral_pitch(32) == 0.79375
