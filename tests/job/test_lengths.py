from __future__ import annotations

import math
import re
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearplate.job.kinds import Count, ListOf, Number, Ratio, Refused, Text, WordOf
from gearplate.job.lengths import POINT, Angle, Fit, Gap, InchFloat, InchInt, Length

WHEEL = Length(20, 500)


# 1 in = 25.4 mm by definition; the products are done by hand.
@pytest.mark.parametrize(
    ("value", "mm"),
    [
        (InchInt(4), 101.6),
        (InchFloat(4.5), 114.3),
        (100, 100.0),
        ("4 in", 101.6),
        ("82.55 mm", 82.55),
        ("3 1/4 in", 82.55),
    ],
)
def test_a_bare_number_is_in_the_units_of_its_file(value: object, mm: float) -> None:
    assert WHEEL.read(value) == pytest.approx(mm, abs=1e-12)


@pytest.mark.parametrize(
    ("value", "meaning"), [(InchFloat(101.6), '"101.6 mm"'), (4, '"4 in"'), (InchInt(127), '"127 mm"'), (5, '"5 in"')]
)
def test_an_implausible_bare_number_is_refused_with_its_likely_meaning(value: object, meaning: str) -> None:
    with pytest.raises(Refused, match="did you mean") as caught:
        WHEEL.read(value)
    assert meaning in caught.value.message


def test_without_a_likely_meaning_none_is_told() -> None:
    for value in (900, "900 mm", "900 in"):
        with pytest.raises(Refused) as caught:
            WHEEL.read(value)
        assert "did you mean" not in caught.value.message


@pytest.mark.parametrize(
    ("value", "meaning"),
    [("4 mm", '"4 in"'), ("101.6 in", '"101.6 mm"'), ("3 1/4 mm", '"3 1/4 in"'), ("10 thou", "."), ("0.5 cm", ".")],
)
def test_a_unit_does_not_make_a_length_plausible(value: str, meaning: str) -> None:
    with pytest.raises(Refused, match="Out of range") as caught:
        WHEEL.read(value)
    assert meaning in caught.value.message
    assert caught.value.accepted.startswith("20 to 500 mm (0.7874 to 19.69 in)")  # by hand: over 25.4


@pytest.mark.parametrize(
    "value", ["1 mm", "6 m", "5001 mm", 0, "0 mm", -3, "-3 in", True, None, [], math.nan, math.inf, 10**400]
)
def test_what_no_wheel_can_be_is_refused_whatever_its_unit(value: object) -> None:
    with pytest.raises(Refused):
        WHEEL.read(value)


def test_nothing_is_a_length_only_where_it_makes_sense() -> None:
    assert Length(0.5, 50, zero=True).read(0) == 0.0
    assert Length(0, 1500, signed=True).read(-30) == -30.0
    with pytest.raises(Refused):
        Length(0.5, 50).read(0)


@given(st.floats(20, 500), st.sampled_from(["mm", "in"]))
def test_units_agree(size: float, unit: str) -> None:
    written = size if unit == "mm" else size / 25.4
    assert WHEEL.read(f"{written:.6f} {unit}") == pytest.approx(size, abs=1e-4)


@pytest.mark.parametrize(
    ("value", "fit"), [("H7", "H7"), ("JS6", "JS6"), ("-0.04 mm", -0.04), (-0.03, -0.03), (0, 0.0)]
)
def test_a_fit_is_a_length_or_a_class(value: object, fit: object) -> None:
    assert Fit().read(value) == fit


# ISO 286-1 has hole classes for capital letters without I, L, O, Q, W, and grades to 18.
@pytest.mark.parametrize("value", ["I7", "O7", "h7", "H19", "7", "press", InchFloat(-0.05), "3 mm", True])
def test_what_is_neither_is_refused(value: object) -> None:
    with pytest.raises(Refused):
        Fit().read(value)


def test_angles_and_points() -> None:
    assert Angle().read(90) == pytest.approx(math.pi / 2)
    assert POINT.read([1, "1 in"]) == (1.0, 25.4)
    assert POINT.read([InchInt(-1), InchFloat(0.5)]) == pytest.approx((-25.4, 12.7))
    with pytest.raises(Refused, match="y:"):
        POINT.read([1, "1"])
    with pytest.raises(Refused, match="2 lengths"):
        POINT.read([1, 2, 3])


def test_numbers_and_counts_are_not_mixed_up() -> None:
    assert Count(6, 500).read(InchInt(12)) == 12
    assert type(Count(6, 500).read(InchInt(12))) is int
    for wrong in (12.0, True, "12", 5, 501, 10**400, None):
        with pytest.raises(Refused):
            Count(6, 500).read(wrong)
    assert Number(4, 128).read(InchInt(20)) == 20.0
    for other in (True, "20", math.nan, 10**400, 3.9):
        with pytest.raises(Refused):
            Number(4, 128).read(other)


def test_ratios_are_exact() -> None:
    kind = Ratio(Fraction(1, 10), Fraction(1000))
    assert kind.read(0.1) == Fraction(1, 10)
    assert kind.read("41/2") == Fraction(41, 2)
    assert kind.read(InchFloat(10.5)) == Fraction(21, 2)
    with pytest.raises(Refused):
        kind.read(0)


def test_lists_know_their_size_and_one_value_may_stand_for_a_list() -> None:
    kind = ListOf(Count(1, 4), "counts", single=True, distinct=True)
    assert kind.read(2) == (2,)
    assert kind.read([1, 2]) == (1, 2)
    for wrong in ([], [1, 1], [5], list(range(101)), "2"):
        with pytest.raises(Refused):
            kind.read(wrong)


@pytest.mark.parametrize("text", ["", " ", "a\nb", "a\x00", "\u202eabc", "x" * 61, "\ud800", 3])
def test_text_that_cannot_be_etched_is_refused(text: object) -> None:
    with pytest.raises(Refused):
        Text(60).read(text)


def test_a_word_has_a_near_one() -> None:
    with pytest.raises(Refused, match='Did you mean "right"'):
        WordOf(("right", "left")).read("rihgt")


@given(
    st.floats(1e-4, 3900),
    st.sampled_from(["bare", "bare inch", "mm", "in"]),
    st.sampled_from([WHEEL, Gap(0.5, 50, zero=True), Length(3, 20), Length(0, 1500, signed=True)]),
)
def test_what_a_refusal_asks_about_is_accepted_as_it_is_said(number: float, written: str, kind: Length) -> None:
    """For every number in every file: the text in quotes after "did you mean" reads, and is the same number."""
    digits = f"{number:.3g}" if number < 1000 else f"{number:.0f}"
    values = {"bare": float(digits), "bare inch": InchFloat(digits)}
    message = ""
    try:
        kind.read(values.get(written, f"{digits} {written}"))
    except Refused as refused:
        message = refused.message
    if advised := re.search(r'did you mean "([^"]+)"', message):
        said, unit = advised[1].split()
        assert float(said) == pytest.approx(float(digits), rel=1e-3)
        assert kind.read(advised[1]) == pytest.approx(float(said) * (25.4 if unit == "in" else 1.0), rel=1e-9)
    elif message:  # then the number is no answer in either unit
        assert "out of range" in message.lower()
        assert not kind._plausible(float(digits))
        assert not kind._plausible(float(digits) * 25.4)


def test_a_number_far_out_of_its_files_unit_may_be_meant_in_the_other() -> None:
    with pytest.raises(Refused, match='did you mean "500 mm"'):
        WHEEL.read(InchInt(500))  # 12.7 m


def test_a_gap_may_be_small_where_it_says_its_unit() -> None:
    gap = Gap(0.5, 50, zero=True)
    assert gap.read("0.1 mm") == 0.1
    with pytest.raises(Refused) as caught:
        gap.read(0.1)
    assert caught.value.message.endswith('did you mean "0.1 in"? If it is meant, write "0.1 mm".')
    for value in ("0.04 mm", "51 mm", 0.04):
        with pytest.raises(Refused) as caught:
            gap.read(value)
        assert "If it is meant" not in caught.value.message


def test_a_bare_number_says_what_it_means() -> None:
    with pytest.raises(Refused) as caught:
        WHEEL.read(4)
    assert caught.value.message == 'a bare 4 here means 4 mm (the file\'s units: mm); did you mean "4 in"?'
    with pytest.raises(Refused) as caught:
        WHEEL.read(InchFloat(0.2))  # 0.2 x 25.4
    assert caught.value.message == "a bare 0.2 here means 0.2 in = 5.08 mm (the file's units: inch); out of range."
