"""ISO 286 against printed limit tables, the standard's own formulas, and the rules between its letters."""

from __future__ import annotations

import math
import tomllib
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearplate.shop.fits import (
    FitError,
    Limits,
    class_allowance_mm,
    fit,
    grade_formula_um,
    grade_um,
    limits,
    outer_ring,
    split_class,
    tolerance_unit_um,
)
from gearplate.shop.iso286_tables import (
    FINE_RANGES_MM,
    GRADES_UM,
    RANGES_MM,
    SHAFT_LOWER_FINE_UM,
    SHAFT_LOWER_UM,
    SHAFT_UPPER_FINE_UM,
    SHAFT_UPPER_UM,
)

TRUTH = tomllib.loads((Path(__file__).parents[1] / "truth" / "fits.toml").read_text(encoding="utf-8"))


def printed(name: str) -> list[list[Any]]:
    found = [row for table in TRUTH["table"] if table["name"] == name for row in table["rows"]]
    assert found
    return found


@pytest.mark.parametrize(("tolerance_class", "over", "up_to", "lower", "upper"), printed("hole_limits_um"))
def test_hole_limits_as_printed(tolerance_class: str, over: int, up_to: int, lower: float, upper: float) -> None:
    for nominal in (over + 0.001, (over + up_to) / 2, up_to):
        assert limits(nominal, tolerance_class) == Limits(nominal, lower, upper)


@pytest.mark.parametrize(("tolerance_class", "over", "up_to", "lower", "upper"), printed("shaft_limits_um"))
def test_shaft_limits_as_printed(tolerance_class: str, over: int, up_to: int, lower: float, upper: float) -> None:
    for nominal in (over + 0.001, (over + up_to) / 2, up_to):
        assert limits(nominal, tolerance_class) == Limits(nominal, lower, upper)


def test_grades_as_printed() -> None:
    for grade, *values in printed("tolerance_grade_um"):
        assert [grade_um(end, grade) for end in RANGES_MM[:7]] == values


def test_deviations_as_printed() -> None:
    for letter, *values in printed("fundamental_deviation_shaft_um"):
        found = [limits(end, f"{letter}6") for end in RANGES_MM[:7]]
        assert [row.upper_um if letter in "fgh" else row.lower_um for row in found] == values


def test_deltas_as_printed() -> None:
    # delta is what N7 and n7 differ by beyond the mirror image
    for grade, *values in printed("delta_um"):
        found = [limits(end, f"N{grade}").upper_um + limits(end, f"n{grade}").lower_um for end in RANGES_MM[:7]]
        assert found == values


def test_outer_rings_as_printed() -> None:
    for over, up_to, lower, upper in printed("outer_ring_um"):
        assert outer_ring(over + 0.1) == Limits(over + 0.1, lower, upper)
        assert outer_ring(up_to) == Limits(up_to, lower, upper)
    with pytest.raises(FitError):
        outer_ring(500)


@pytest.mark.parametrize("grade", range(5, 19))
def test_the_table_of_grades_is_its_formula_rounded(grade: int) -> None:
    # ISO 286-1: multiples of i = 0.45 D^(1/3) + 0.001 D, D the geometric mean of the range. The table rounds it to 5 %
    # or to a micrometre; the range up to 3 mm is set higher in print, by up to 16 %.
    low = 1
    for end, value in zip(RANGES_MM, GRADES_UM[str(grade)], strict=True):
        formula = grade_formula_um(low, end, grade)
        assert value == pytest.approx(formula, rel=0.16 if end == 3 else 0.05, abs=0.7), f"IT{grade} up to {end}"
        low = end


@pytest.mark.parametrize("grade", range(1, 5))
def test_the_finest_grades_are_near_their_series(grade: int) -> None:
    low = 1
    for end, value in zip(RANGES_MM, GRADES_UM[str(grade)], strict=True):
        # a geometric series in print only roughly: the greatest step apart is 21 %
        assert value == pytest.approx(grade_formula_um(low, end, grade), rel=0.215), f"IT{grade} up to {end}"
        low = end


def _it(end: float, grade: int) -> float:
    return grade_um(end, grade)


# ISO 286-1's formulas for fundamental deviations, D in mm, deviations in um (from memory). The tables are these
# rounded, to 6 %, from 14 mm up (c from 40 mm). Below, print departs from the formulas: there the order of the letters,
# the rows printed alike and the single classes further down hold the values.
FORMULAS = {
    "a": lambda d, end: -(265 + 1.3 * d) if end <= 120 else -3.5 * d,
    "b": lambda d, end: -(140 + 0.85 * d) if end <= 160 else -1.8 * d,
    "c": lambda d, end: -52 * d**0.2 if end <= 40 else -(95 + 0.8 * d),
    "d": lambda d, end: -16 * d**0.44,
    "e": lambda d, end: -11 * d**0.41,
    "f": lambda d, end: -5.5 * d**0.41,
    "g": lambda d, end: -2.5 * d**0.34,
    "m": lambda d, end: _it(end, 7) - _it(end, 6),
    "n": lambda d, end: 5 * d**0.34,
    "s": lambda d, end: _it(end, 8) + 2 if end <= 50 else _it(end, 7) + 0.4 * d,
    "t": lambda d, end: _it(end, 7) + 0.63 * d,
    "u": lambda d, end: _it(end, 7) + d,
    "v": lambda d, end: _it(end, 7) + 1.25 * d,
    "x": lambda d, end: _it(end, 7) + 1.6 * d,
    "y": lambda d, end: _it(end, 7) + 2 * d,
    "z": lambda d, end: _it(end, 7) + 2.5 * d,
    "za": lambda d, end: _it(end, 8) + 3.15 * d,
    "zb": lambda d, end: _it(end, 9) + 4 * d,
    "zc": lambda d, end: _it(end, 10) + 5 * d,
}


@pytest.mark.parametrize("letter", FORMULAS)
def test_deviations_are_their_formulas_rounded(letter: str) -> None:
    fine = SHAFT_UPPER_FINE_UM.get(letter) or SHAFT_LOWER_FINE_UM.get(letter)
    values = fine or SHAFT_UPPER_UM.get(letter) or SHAFT_LOWER_UM[letter]
    low, compared = 1, 0
    for end, value in zip(FINE_RANGES_MM if fine else RANGES_MM, values, strict=True):
        if value is not None and low >= (40 if letter == "c" else 14):
            formula = FORMULAS[letter](math.sqrt(low * end), end)
            assert value == pytest.approx(formula, rel=0.06, abs=3.2 if letter == "t" else 1.0), f"{letter} up to {end}"
            compared += 1
        low = end
    assert compared >= 9


def test_letters_stand_in_order() -> None:
    # each letter lies above the one before it, at every size where both are used
    order = ["a", "b", "c", "cd", "d", "e", "ef", "f", "fg", "g", "h"]
    order_up = ["k", "m", "n", "p", "r", "s", "t", "u", "v", "x", "y", "z", "za", "zb", "zc"]
    for nominal in FINE_RANGES_MM:
        for letters in (order, order_up):
            found = []
            for letter in letters:
                try:
                    found.append(limits(nominal, f"{letter}7").lower_um)
                except FitError:
                    continue
            assert found == sorted(found)
            assert len(set(found)) == len(found)
            assert len(found) >= 8


def test_numbers_grow_with_size() -> None:
    for table in (GRADES_UM, SHAFT_LOWER_UM, SHAFT_LOWER_FINE_UM):
        for values in table.values():
            known = [value for value in values if value is not None]
            assert known == sorted(known)
    for table in (SHAFT_UPPER_UM, SHAFT_UPPER_FINE_UM):
        for values in table.values():
            known = [value for value in values if value is not None]
            assert known == sorted(known, reverse=True)


@pytest.mark.parametrize(
    ("nominal", "tolerance_class", "lower", "upper"),
    [
        # ISO 286-2, single classes that workshop tables print (from memory)
        (25, "H7", 0, 21),
        (25, "f7", -41, -20),
        (25, "F8", 20, 53),
        (25, "D10", 65, 149),
        (25, "r6", 28, 41),
        (25, "s6", 35, 48),
        (25, "js6", -6.5, 6.5),
        (25, "j6", -4, 9),
        (25, "J7", -9, 12),
        (25, "S7", -48, -27),
        (25, "R7", -41, -20),
        (40, "k6", 2, 18),
        (40, "P9", -88, -26),
        (40, "N9", -62, 0),
        (40, "E9", 50, 112),
        (60, "u6", 87, 106),
        (45, "C11", 130, 290),
        (5, "k7", 1, 13),
        (5, "k8", 0, 18),
        (2, "N9", -29, -4),
        (2, "K7", -10, 0),
        (2, "p6", 6, 12),
        (22, "X8", -87, -54),
        (280, "M6", -41, -9),
        (150, "M6", -33, -8),
        (16, "h13", -270, 0),
        (400, "H8", 0, 89),
    ],
)
def test_classes_that_tables_print(nominal: float, tolerance_class: str, lower: float, upper: float) -> None:
    assert limits(nominal, tolerance_class) == Limits(nominal, lower, upper)


@pytest.mark.parametrize(
    ("nominal", "tolerance_class"),
    [
        (25, "H"), (25, "7"), (25, "H19"), (25, "Q7"), (25, "I6"), (25, "hJ7"), (25, "Js7"), (25, "H7/g6"), (25, ""),
        (0, "H7"), (-3, "H7"), (500.1, "H7"), (math.nan, "H7"), (math.inf, "H7"),
        (25, "K9"), (25, "j8"), (25, "J9"), (25, "P2"), (0.8, "a11"), (0.8, "N9"),
        (5, "t6"), (20, "t6"), (12, "v6"), (16, "y6"), (30, "cd7"),
    ],
)  # fmt: skip
def test_what_the_standard_does_not_have_is_refused(nominal: float, tolerance_class: str) -> None:
    with pytest.raises(FitError) as caught:
        limits(nominal, tolerance_class)
    assert caught.value.accepted


LETTERS = st.sampled_from([*"abcdefghjkmnprstuvxyz", "cd", "ef", "fg", "js", "za", "zb", "zc"])


@given(st.floats(0.001, 500), LETTERS, st.booleans(), st.sampled_from(list(GRADES_UM)))
def test_a_class_is_as_wide_as_its_grade(nominal: float, letter: str, hole: bool, grade: str) -> None:
    try:
        found = limits(nominal, (letter.upper() if hole else letter) + grade)
    except FitError:
        return
    assert found.upper_um - found.lower_um == pytest.approx(grade_um(nominal, grade))
    assert found.min_mm < found.max_mm
    assert found.lower_um <= found.middle_um <= found.upper_um


@given(st.floats(3.001, 500), st.sampled_from([*"prsuxz", "za", "zb", "zc"]))
def test_hole_and_shaft_bases_give_the_same_press(nominal: float, letter: str) -> None:
    """What delta is for: H7 with p6 and P7 with h6 leave the same interference."""
    hole_based = fit(limits(nominal, "H7"), limits(nominal, f"{letter}6"))
    shaft_based = fit(limits(nominal, f"{letter.upper()}7"), limits(nominal, "h6"))
    assert shaft_based.min_um == pytest.approx(hole_based.min_um)
    assert shaft_based.max_um == pytest.approx(hole_based.max_um)


@given(st.floats(1.001, 500), st.sampled_from([*"cdefgh"]), st.integers(5, 11))
def test_a_to_h_mirror_each_other(nominal: float, letter: str, grade: int) -> None:
    hole, shaft = limits(nominal, f"{letter.upper()}{grade}"), limits(nominal, f"{letter}{grade}")
    assert (hole.lower_um, hole.upper_um) == (-shaft.upper_um, -shaft.lower_um)


def test_a_bearing_in_a_plate() -> None:
    # bearing catalogue, table of resultant fits: 22 mm ring in H7 0 to +30 um; in N7 (turning outer ring) -28 to +2
    assert fit(limits(22, "H7"), outer_ring(22)).max_um == 30
    assert fit(limits(22, "H7"), outer_ring(22)).min_um == 0
    assert (fit(limits(22, "N7"), outer_ring(22)).min_um, fit(limits(22, "N7"), outer_ring(22)).max_um) == (-28, 2)


def test_an_allowance_aims_at_the_middle_of_its_class() -> None:
    assert class_allowance_mm(28.575, "N7") == pytest.approx(-0.0175)
    assert class_allowance_mm(22, "H7") == pytest.approx(0.0105)
    assert class_allowance_mm(47, "JS7") == 0
    with pytest.raises(FitError, match="shafts"):
        class_allowance_mm(22, "h6")


def test_the_tolerance_unit() -> None:
    assert tolerance_unit_um(18, 30) == pytest.approx(1.30737524, abs=1e-8)
    assert tolerance_unit_um(0, 3) == tolerance_unit_um(1, 3)
    with pytest.raises(FitError):
        grade_formula_um(18, 30, 0)
    with pytest.raises(FitError):
        grade_um(20, 19)


def test_a_class_splits() -> None:
    assert split_class("H7") == ("H", "7")
    assert split_class(" zc01 ") == ("zc", "01")
