"""Marks set for each hand and face, so that they read on the sheet."""

from __future__ import annotations

from dataclasses import replace

import pytest

from gearplate.cut.etch import etched, text_of
from gearplate.cut.make import cut_plate
from gearplate.geometry.shapes import Stroke
from gearplate.geometry.strokes import text_strokes, text_width_mm
from gearplate.plate.marks import DRAFT
from gearplate.plate.plate import Mark
from gearplate.plate.spec import Hand
from tests.builders.plates import IDENTITY, ordinary, shop


def as_written(text: str, mark: Mark, x: float) -> tuple[Stroke, ...]:
    """The text as the lettering room writes it about (x, y of the mark), left to right."""
    width = text_width_mm(text, mark.height_mm)
    return text_strokes(text, x - 0.5 * width, mark.y_mm - 0.5 * mark.height_mm, mark.height_mm)


@pytest.mark.parametrize("hand", list(Hand))
def test_text_reads_from_left_to_right_on_every_sheet(hand: Hand) -> None:
    for plate in ordinary():
        made = cut_plate(plate, hand, shop(), IDENTITY, "mm")
        strokes = dict(made.etch)
        mirrored = made.turned != (hand is Hand.LEFT)
        compared = 0
        for mark in plate.marks:
            if mark.kind == "text":
                wanted = as_written(text_of(mark, hand), mark, -mark.x_mm if mirrored else mark.x_mm)
                assert strokes[mark.id] == wanted
                compared += 1
        assert compared >= 6


def test_only_the_line_with_the_hand_differs_between_hands() -> None:
    for plate in ordinary():
        differing = [mark.id for mark in plate.marks if text_of(mark, Hand.LEFT) != text_of(mark, Hand.RIGHT)]
        assert differing == ["plate"]
        mark = next(mark for mark in plate.marks if mark.id == "plate")
        assert "LEFT" in text_of(mark, Hand.LEFT)


def test_arrows_point_the_other_way_where_the_sheet_is_mirrored() -> None:
    for plate in ordinary():
        ends = {}
        for hand in Hand:
            made = cut_plate(plate, hand, shop(), IDENTITY, "mm")
            (x0, _), (x1, _) = dict(made.etch)["forward"][0].points
            ends[hand] = x1 - x0
            assert (x1 - x0 < 0.0) == (made.turned != (hand is Hand.LEFT))
            (_, y0), (_, y1) = dict(made.etch)["up"][0].points
            assert y1 > y0
        assert ends[Hand.LEFT] == pytest.approx(-ends[Hand.RIGHT])


def test_a_draft_says_so_and_nothing_else_does() -> None:
    for plate in ordinary():
        final = cut_plate(plate, Hand.RIGHT, shop(), IDENTITY, "mm")
        draft = cut_plate(plate, Hand.RIGHT, shop(), IDENTITY, "mm", draft=True)
        assert "draft" not in dict(final.etch)
        mark = next(mark for mark in plate.marks if mark.kind == "draft")
        assert dict(draft.etch)["draft"] == as_written(DRAFT, mark, -mark.x_mm if draft.turned else mark.x_mm)
        assert draft.file_name.startswith("DRAFT_")
        assert draft.draft
        assert not final.draft
        assert replace(draft, etch=final.etch, draft=False, file_name=final.file_name) == final


def test_a_draft_without_room_for_the_word_takes_a_line_of_lettering() -> None:
    plate = ordinary()[0]
    cramped = replace(plate, marks=tuple(mark for mark in plate.marks if mark.kind != "draft"))
    strokes = dict(etched(cramped, Hand.RIGHT, turned=False, draft=True))
    part = next(mark for mark in cramped.marks if mark.id == "part")
    assert strokes["part"] == as_written(DRAFT, part, part.x_mm)
    assert dict(etched(cramped, Hand.RIGHT, turned=False, draft=False))["part"] == as_written(
        part.text, part, part.x_mm
    )
