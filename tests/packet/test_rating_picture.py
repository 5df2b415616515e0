"""Bars of the weakest links, read back from the picture."""

from __future__ import annotations

import re
from typing import Any
from xml.etree import ElementTree

import pytest

from gearplate.packet.rating_picture import WIDTH, rating_picture

SVG = "{http://www.w3.org/2000/svg}"


def data(*margins: float | None) -> dict[str, Any]:
    ratings = [
        {
            "part": f"part {number}",
            "kind": "strength",
            "load_case": "hardest push",
            "formula": f"formula {number}",
            "value": 1.0,
            "limit": 1.0,
            "margin": margin,
            "holds": True,
            "rules": True,
        }
        for number, margin in enumerate(margins)
    ]
    return {"job": {"part": "p", "revision": "A"}, "ratings": ratings}


def ends(text: str, group: str) -> list[float]:
    """The greatest x of every path of a group."""
    found = [
        max(float(number) for number in re.findall(r"-?[\d.]+", path.get("d") or "")[::2])
        for element in ElementTree.fromstring(text).iter(f"{SVG}g")
        if (element.get("id") or "").endswith(group)
        for path in element.iter(f"{SVG}path")
    ]
    return sorted(found)


@pytest.mark.parametrize("margin", [16.001, 99.0, 4000.0, None])
def test_a_bar_past_the_scale_is_marked(margin: float | None) -> None:
    text = rating_picture(data(2.0, margin)).svg_text()
    assert "goes on past 16" in text
    assert ends(text, "goes-on") == pytest.approx([WIDTH - 1.75, WIDTH])
    bars = ends(text, "holds")
    # 2 lies half-way between 1/4 and 16
    assert bars == pytest.approx([WIDTH / 2, WIDTH - 5.0])


def test_a_bar_that_ends_on_the_scale_is_not() -> None:
    text = rating_picture(data(2.0, 16.0)).svg_text()
    assert ends(text, "goes-on") == []
    assert ends(text, "holds") == pytest.approx([WIDTH / 2, WIDTH])
    assert "goes on" not in text
