"""Ratings over drives of other kinds: every number finite, text and picture can be made of them."""

from __future__ import annotations

import math

import pytest

from gearplate.packet.rating_picture import rating_picture
from gearplate.packet.rating_text import rating_lines
from gearplate.rating.duty import ChainPull, Duty, assumed
from gearplate.rating.rate import rate, tables_of
from gearplate.record.rating_record import rating_record
from tests.zoo import built, job

NAMES = ["carried-by-blocks", "no-rail", "steep-teeth", "shifted-teeth", "metric-both-hands", "fixed-round-shaft"]


@pytest.mark.parametrize("name", NAMES)
def test_it_can_be_rated(name: str) -> None:
    made = built(name)
    duty = Duty(chain=ChainPull(6.35, 16, 0.4))
    ratings = rate(made.layout, made.spec, tables_of(job(name).catalog), duty, made.plates)
    for one in ratings.items:
        assert math.isfinite(one.value)
        assert one.limit > 0
        assert one.margin > 0
    data = rating_record(
        made.identity.part, made.identity.revision, ratings, assumed(duty), made.spec.wheel.diameter_mm
    )
    lines = rating_lines(data, 80, everything=True)
    assert max(map(len, lines)) <= 80
    assert "</svg>" in rating_picture(data).svg_text()
    blocks = name == "carried-by-blocks"
    assert any("rail, outer wall" in text for text in ratings.unrated) == blocks
