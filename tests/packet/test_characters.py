"""Text of a job is shown on every terminal, and steers none."""

from __future__ import annotations

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearplate.packet.characters import SPELT_OUT, fitted, harmless

any_text = st.text(st.characters())  # surrogates too


@given(any_text, st.integers(2, 80))
def test_nothing_that_steers_is_left(text: str, longest: int) -> None:
    shown = harmless(text, longest)
    assert len(shown) <= longest
    assert {unicodedata.category(c) for c in shown}.isdisjoint({"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"})
    shown.encode("utf-8")
    assert shown == shown.strip()


@given(any_text)
def test_it_is_harmless_twice(text: str) -> None:
    assert harmless(harmless(text)) == harmless(text)


@pytest.mark.parametrize("encoding", ["ascii", "cp1252", "cp437", "utf-8", "no-such-encoding"])
@given(text=any_text)
def test_what_is_fitted_can_be_written(encoding: str, text: str) -> None:
    plain, known = harmless(text), "ascii" if encoding == "no-such-encoding" else encoding
    shown = fitted(plain, encoding)
    assert shown.encode(known).decode(known) == shown
    assert shown == plain or not can_write(plain, known)  # nothing is spelt out without need


def can_write(text: str, encoding: str) -> bool:
    try:
        text.encode(encoding)
    except UnicodeEncodeError:
        return False
    return True


def test_our_own_characters_are_spelt_out() -> None:
    assert fitted("6.75 × 6.24 in, 20°, ±0.1 → 3 µm², Ø 5 …", "ascii") == (
        "6.75 x 6.24 in, 20 deg, +/-0.1 -> 3 um2, dia  5 ..."
    )
    assert all(spelling.isascii() for spelling in SPELT_OUT.values())
    assert fitted("6.75 × 6.24, 20°", "cp1252") == "6.75 × 6.24, 20°"


def test_line_breaks_escapes_and_direction_marks() -> None:
    assert harmless("a\nb\tc") == "a b c"
    assert harmless("red \x1b[31m") == "red ?[31m"
    assert harmless("abc\u202edef\u2066") == "abc?def?"
    assert harmless("x" * 100, 10) == "x" * 9 + "…"
    assert harmless("z" + "\u0301" * 50) == "z" + "\u0301" * 3
