"""Lettering: sizes, anchors, mirror, and that no two glyphs are taken for each other."""

from __future__ import annotations

import itertools
import string

import pytest
import shapely

from gearplate.geometry.glyphs import CAPITAL_UNITS, GAP_UNITS, glyph
from gearplate.geometry.strokes import text_strokes, text_width_mm
from gearplate.geometry.transform import mirrored, rotated

WANTED = string.ascii_uppercase + string.digits + ".,;:!?-_+±=×*/%&()#°'\"Ø→←↑↓↔"


def box(strokes: tuple) -> tuple[float, float, float, float]:  # type: ignore[type-arg]
    points = [point for stroke in strokes for point in stroke.points]
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return min(xs), min(ys), max(xs), max(ys)


def test_all_wanted_characters_have_a_glyph() -> None:
    unknown, _ = glyph("∆")
    for character in WANTED:
        strokes, width = glyph(character)
        assert strokes != unknown, character
        assert all(len(stroke) >= 2 for stroke in strokes)
        assert all(a != b for stroke in strokes for a, b in itertools.pairwise(stroke))
        xs = [x for stroke in strokes for x, _ in stroke]
        assert min(xs) >= 0.0
        assert max(xs) == width
        if character.isalnum() and character != "Ø":
            ys = [y for stroke in strokes for _, y in stroke]
            assert max(ys) == CAPITAL_UNITS
            assert min(ys) == (0.0 if character != "Q" else -0.6)


def ink(character: str) -> shapely.Geometry:
    """The glyph as cut at 3 mm with a beam of 0.25 mm: a stroke width of two thirds of a unit."""
    strokes, width = glyph(character)
    lines = [[(x - 0.5 * width, y) for x, y in stroke] for stroke in strokes]
    return shapely.MultiLineString(lines).buffer(0.33)


def test_no_two_glyphs_look_alike() -> None:
    letters = (string.ascii_uppercase + string.digits).replace(" ", "")
    inks = {character: ink(character) for character in letters}
    nearest = {
        (a, b): inks[a].symmetric_difference(inks[b]).area / min(inks[a].area, inks[b].area)
        for a, b in itertools.combinations(letters, 2)
    }
    pair, share = min(nearest.items(), key=lambda item: item[1])
    assert share > 0.25, pair
    for pair in (("G", "6"), ("O", "0"), ("I", "1"), ("S", "5"), ("B", "8")):
        assert nearest[pair] > 0.5


def test_size_and_anchors() -> None:
    width = text_width_mm("HI", 4.0)
    assert width == pytest.approx((5.0 + GAP_UNITS + 3.0) * 4.0 / CAPITAL_UNITS)
    assert box(text_strokes("HI", 10.0, 20.0, 4.0)) == pytest.approx((10.0, 20.0, 10.0 + width, 24.0))
    assert box(text_strokes("HI", 10.0, 20.0, 4.0, anchor="right")) == pytest.approx((10.0 - width, 20.0, 10.0, 24.0))
    middle = box(text_strokes("HI", 10.0, 20.0, 4.0, anchor="centre"))
    assert middle == pytest.approx((10.0 - 0.5 * width, 20.0, 10.0 + 0.5 * width, 24.0))
    assert text_strokes("", 0.0, 0.0, 4.0) == ()
    assert text_width_mm("", 4.0) == 0.0
    with pytest.raises(ValueError, match="tall"):
        text_strokes("A", 0.0, 0.0, 0.0)


def test_mirrored_text_reads_once_the_plate_is_turned_over() -> None:
    for anchor in ("left", "centre", "right"):
        turned = text_strokes("R2", -7.0, 3.0, 4.0, 0.4, anchor, mirrored=True)
        plain = text_strokes("R2", 7.0, 3.0, 4.0, -0.4, anchor)
        for a, b in zip(turned, plain, strict=True):
            for p, q in zip(mirrored(a).points, b.points, strict=True):
                assert p == pytest.approx(q)


def test_text_at_an_angle() -> None:
    for a, b in zip(text_strokes("A4", 3.0, 2.0, 5.0, 0.7), text_strokes("A4", 3.0, 2.0, 5.0), strict=True):
        for p, q in zip(a.points, rotated(b, 0.7, about=(3.0, 2.0)).points, strict=True):
            assert p == pytest.approx(q)


def test_lower_case_accents_and_unknown_characters() -> None:
    assert text_strokes("rev b", 0.0, 0.0, 3.0) == text_strokes("REV B", 0.0, 0.0, 3.0)
    assert text_strokes("é–", 0.0, 0.0, 3.0) == text_strokes("E-", 0.0, 0.0, 3.0)
    (unknown,) = text_strokes("∆", 0.0, 0.0, 8.0)
    assert unknown.points == ((0.0, 0.0), (5.0, 0.0), (5.0, 8.0), (0.0, 8.0), (0.0, 0.0))
    assert text_strokes("\t", 0.0, 0.0, 3.0) == ()
