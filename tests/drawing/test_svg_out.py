"""Pictures for people: arcs where SVG's own formulas put them, text that cannot break out, the same bytes."""

from __future__ import annotations

import cmath
import math
import re
from xml.etree import ElementTree
from xml.etree.ElementTree import Element

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gearplate.drawing import pens
from gearplate.drawing.captions import wrapped
from gearplate.drawing.curves import segment
from gearplate.drawing.picture import Picture
from gearplate.drawing.svg_out import clean_text, number, path_data
from gearplate.finding import Severity
from gearplate.geometry.shapes import Circle, Path, Stroke
from tests.builders.pictures import overlay_picture, plate_picture, section_like_picture

SVG = "{http://www.w3.org/2000/svg}"
PICTURES = [plate_picture, overlay_picture, section_like_picture]


def parsed(picture: Picture) -> Element:
    return ElementTree.fromstring(picture.svg_bytes())


def arc_centre(start: complex, end: complex, radius: float, large: bool, sweep: bool) -> complex:
    """The centre of an A command, in the file's own frame (y down), by the W3C's conversion from end
    points to a centre (SVG 1.1, appendix F.6.5, for equal radii and no rotation)."""
    x1, y1 = (start.real - end.real) / 2.0, (start.imag - end.imag) / 2.0
    root = (radius**4 - radius**2 * y1**2 - radius**2 * x1**2) / (radius**2 * y1**2 + radius**2 * x1**2)
    factor = math.sqrt(max(0.0, root)) * (-1.0 if large == sweep else 1.0)
    return complex(factor * y1, -factor * x1) + (start + end) / 2.0


@given(
    st.floats(-1.0, 1.0).filter(lambda bulge: abs(bulge) > 0.01),
    st.floats(2.0, 80.0),
    st.floats(0.0, 6.28),
)
def test_arcs_turn_about_the_centre_that_they_should(bulge: float, length: float, angle: float) -> None:
    end = cmath.rect(length, angle) + complex(3.0, -7.0)
    vertices = ((3.0, -7.0, bulge), (end.real, end.imag, 0.0))
    asked = segment((3.0, -7.0), (end.real, end.imag), bulge)
    data = path_data(Path(vertices))
    first, *parts, last = re.findall(r"([MAL])([^MALZ]*)", data)
    assert (first, last) == (("M", "3 7 "), ("L", "3 7 "))
    at = complex(3.0, 7.0)
    for command, numbers in parts:
        radius, other, turn, large, sweep, x, y = (float(value) for value in numbers.split())
        assert (command, turn) == ("A", 0.0)
        assert radius == other == pytest.approx(asked.radius_mm, abs=5.1e-4)
        seen = arc_centre(at, complex(x, y), radius, bool(large), bool(sweep))
        # Roundings of 0.0005 mm move the centre of a flat arc by their multiple, and its line by no more than they.
        slack = 0.001 + 0.004 * radius / abs(complex(x, y) - at)
        assert abs(seen - complex(asked.centre[0], -asked.centre[1])) < slack
        at = complex(x, y)
    assert abs(at - complex(end.real, -end.imag)) < 0.001


def test_a_half_circle_hangs_on_the_right_side() -> None:
    """Counter-clockwise from (0, 0) to (2, 0): below, through (1, -1). In the file y runs down, and that is sweep 0."""
    assert path_data(Path(((0.0, 0.0, 1.0), (2.0, 0.0, 0.0)))) == "M0 0 A1 1 0 0 0 1 1 A1 1 0 0 0 2 0 L0 0 Z"
    assert path_data(Path(((0.0, 0.0, -1.0), (2.0, 0.0, 0.0)))) == "M0 0 A1 1 0 0 1 1 -1 A1 1 0 0 1 2 0 L0 0 Z"
    assert path_data(Stroke(((0.0, 0.0), (1.0, 2.0), (3.0, -4.0)))) == "M0 0 L1 -2 L3 4"


@pytest.mark.parametrize(
    ("value", "text"), [(1.0, "1"), (-0.0001, "0"), (0.12345, "0.123"), (-2.5, "-2.5"), (1e6, "1000000")]
)
def test_numbers(value: float, text: str) -> None:
    assert number(value) == text


@pytest.mark.parametrize("value", [math.nan, math.inf])
def test_numbers_that_are_none(value: float) -> None:
    with pytest.raises(ValueError, match="cannot be drawn"):
        number(value)


@pytest.mark.parametrize("build", PICTURES)
def test_pictures_stand_alone_and_are_the_same_bytes(build) -> None:
    data = build().svg_bytes()
    assert data == build().svg_bytes()
    root = ElementTree.fromstring(data)
    assert root.tag == f"{SVG}svg"
    assert root[0].tag == f"{SVG}title"
    assert root[1].tag == f"{SVG}desc"
    ids = [element.get("id") for element in root.iter() if element.get("id")]
    assert len(ids) == len(set(ids))
    assert (root.get("aria-labelledby") or "").split() == ids[:2]
    text = data.decode("utf-8")
    assert not re.search(r"href|<script|<style|<image|@import|font-face|\son\w+=", text)
    assert set(re.findall(r"url\(#([^)]*)\)", text)) <= set(ids)
    assert re.findall(r"https?://[^\"]*", text) == ["http://www.w3.org/2000/svg"]
    assert {element.get("font-family") for element in root.iter()} == {"sans-serif", None}


@pytest.mark.parametrize("build", PICTURES)
def test_the_view_holds_all_that_is_drawn(build) -> None:
    root = parsed(build())
    x, y, width, height = (float(value) for value in (root.get("viewBox") or "").split())
    for circle in root.iter(f"{SVG}circle"):
        cx, cy, r = (float(circle.get(name) or "nan") for name in ("cx", "cy", "r"))
        assert x <= cx - r
        assert cx + r <= x + width
        assert y <= cy - r
        assert cy + r <= y + height
    for label in root.iter(f"{SVG}text"):
        if label.get("x"):
            assert x < float(label.get("x") or "nan") < x + width
            assert y < float(label.get("y") or "nan") < y + height


def test_y_runs_up_for_us_and_down_in_the_file() -> None:
    picture = Picture("one", "One", "A circle high up.")
    picture.group("holes", pens.HOLE).circle(10.0, 30.0, 4.0).circle(0.0, 0.0, 1.0)
    (group,) = (element for element in parsed(picture) if element.get("id") == "one-holes")
    assert (group[0].get("cx"), group[0].get("cy"), group[0].get("r")) == ("10", "-30", "2")


def test_areas_leave_their_holes_free() -> None:
    picture = Picture("area", "Area", "A disc with a hole.")
    picture.group("sheet", pens.SHEET).area(Circle(0.0, 0.0, 10.0), Circle(0.0, 0.0, 4.0))
    (shape,) = (element for element in parsed(picture).iter() if element.get("fill-rule") == "evenodd")
    assert (shape.get("d") or "").count("Z") == 2
    assert (shape.get("d") or "").count("A") == 8


def test_true_scale_is_told_in_millimetres() -> None:
    picture = Picture("box", "1:1", "A box at true scale.", true_scale=True, scale_bar=False)
    picture.group("box", pens.OUTLINE).box(0.0, 0.0, 150.0, 40.0)
    root = parsed(picture)
    _, _, width, height = (root.get("viewBox") or "").split()
    assert (root.get("width"), root.get("height")) == (f"{width}mm", f"{height}mm")
    (group,) = (element for element in root if element.get("id") == "box-box")
    assert group.get("stroke-width") == number(pens.WIDE)
    assert parsed(plate_picture()).get("width") is None


def test_legend_notes_and_rings_say_the_same_in_words_and_lines() -> None:
    picture = plate_picture()
    root = parsed(picture)
    words = [element.text for element in root.iter(f"{SVG}text") if element.get("aria-hidden") is None]
    for expected in ("material", "etched", "error", "warning", "note", "50 mm", "1", "2", "3", "145.00"):
        assert expected in words
    dashes = {
        name: next(element for element in root if element.get("id") == f"plate-finding-{name}").get("stroke-dasharray")
        for name in Severity
    }
    assert len(set(dashes.values())) == 3


def test_rings_of_one_severity_share_a_group() -> None:
    picture = Picture("rings", "Rings", "Two rings.")
    picture.finding(0.0, 0.0, 5.0, Severity.ERROR, "1", "first")
    picture.finding(40.0, 0.0, 5.0, Severity.ERROR, "2", "second")
    assert [group.name for group in picture.groups] == ["finding-error"]


def test_a_picture_of_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="nothing"):
        Picture("none", "None", "").svg_text()
    point = Picture("point", "Point", "")
    point.group("text", pens.DIMENSION).text(1.0, 1.0, "here")
    with pytest.raises(ValueError, match="single point"):
        point.svg_text()


def test_two_pictures_on_one_page_share_no_id() -> None:
    ids = [re.findall(r'id="([^"]*)"', build().svg_text()) for build in (plate_picture, overlay_picture)]
    assert not set(ids[0]) & set(ids[1])


@settings(max_examples=150, deadline=None)
@given(st.text(st.characters(), max_size=60))
def test_no_text_breaks_out(text: str) -> None:
    built = []
    for words in (text, "x"):
        picture = plate_picture(words)
        group = picture.group("free", pens.DIMENSION, "label " + words)
        group.text(0.0, 0.0, words).leader((5.0, 5.0), (1.0, 1.0), words)
        picture.note("9", words)
        built.append(parsed(picture))
    picture_of_text, picture_of_x = built
    kinds, known = ([element.tag for element in one.iter() if element.tag != f"{SVG}text"] for one in built)
    assert kinds == known
    assert (picture_of_text[0].text or "") == clean_text(text)
    assert picture_of_x[0].text == "x"


def test_what_cannot_stand_in_a_file_is_left_out() -> None:
    assert clean_text("a\x00b\x1bc\td\ne\u202ef\u2066g\ud800h\ufffei\ufeff") == "abc d efghi"
    assert clean_text("⌀ 28.6 <b> & “x” é 刻") == "⌀ 28.6 <b> & “x” é 刻"


def test_names_become_harmless_ids() -> None:
    picture = Picture('a" onload="x', "T", "D")
    picture.group("G <1>", pens.HOLE).circle(0.0, 0.0, 3.0)
    assert 'id="a-onload-x-g-1"' in picture.svg_text()


@given(st.text(st.sampled_from("ab cdefg"), max_size=80), st.floats(20.0, 200.0))
def test_wrapping_keeps_every_word(text: str, width: float) -> None:
    lines = wrapped(text, width, 4.0)
    assert "".join(lines).replace(" ", "") == text.replace(" ", "")


def test_colours_stand_out_from_the_paper_and_meanings_do_not_hang_on_them() -> None:
    """4.5 to 1 for text and thin lines (WCAG 2.1, 1.4.3); black on white is 21 to 1 by its definition."""
    assert pens.contrast("#000000", "#ffffff") == pytest.approx(21.0)
    assert pens.contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.01)  # W3C's own example of a near miss
    for name in ("INK", "BLUE", "RUST", "TEAL", "VIOLET", "RED", "AMBER", "GREY"):
        assert pens.contrast(getattr(pens, name)) >= 4.5, name
        assert pens.contrast(getattr(pens, name), pens.PALE_GREY) >= 4.5, name
    names = "OUTBOARD INBOARD PITCH_CIRCLE TIP_CIRCLE MOTOR WHEEL RAIL KEEP_OUT"
    shown_together = [getattr(pens, name) for name in names.split()]
    without_colour = {(pen.width, pen.dash, pen.hatch) for pen in shown_together}
    assert len(without_colour) == len(shown_together)
