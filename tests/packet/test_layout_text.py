"""What the account says of the choice of train, from the record alone."""

from __future__ import annotations

from typing import Any

import pytest

from gearplate.packet.layout_text import layout_lines

CERTIFICATE = {
    "wish": "hull",
    "value": 15_000.0,
    "bound": 14_900.0,
    "gap": 0.00667,
    "proven": True,
    "interrupted": False,
    "boxes": 900,
    "spent": 0.0,
}
TRAINS = {
    "wish": "hull",
    "found": 214,
    "counted": True,
    "ruled_out": 40,
    "settled": 174,
    "left": 0,
    "unlisted": 0,
    "value": 19_900.0,
    "bound": 19_741.2,
    "gap": 0.00798,
    "interrupted": False,
    "boxes": 2500,
}


def told(**changed: Any) -> str:
    layout = {"hull_mm2": 15_500.0, "certificate": CERTIFICATE, "trains": TRAINS | changed, "contacts": []}
    text = " ".join(" ".join(layout_lines({"layout": layout, "plates": []}, 80)).split())
    return text[text.index("Trains:") :]


def test_how_many_trains_there_are_and_how_much_better_another_could_be() -> None:
    assert told() == (
        "Trains: 214 have the wanted reduction; in 40 two axes are too near each other for what is on them, wherever "
        "they turn. None has a layout with a hull more than 0.8 % smaller, each motor counted with its whole screw "
        "circle, rail screws set by one rule."
    )
    assert "two axes" not in told(ruled_out=0)


@pytest.mark.parametrize(("wish", "than"), [("height", "lower by more than 0.8 %"), ("width", "narrower by more than")])
def test_other_wishes_have_their_own_words(wish: str, than: str) -> None:
    assert f"None has a layout that is {than}" in told(wish=wish)


def test_what_is_not_settled_is_said() -> None:
    assert "ended at the work of 2,500 boxes of angles: 12 may hold a better one." in told(left=12)
    assert "The search was interrupted: 12 may hold a better one." in told(left=12, interrupted=True)
    assert "None has a layout" not in told(left=12, bound=0.0, gap=1.0)
    assert told(unlisted=90).endswith(". 90 others, none nearer to the wanted ratio, were not looked at.")
    many = told(found=9000, unlisted=8000, counted=False)
    assert many.startswith("Trains: at least 9,000 have the wanted reduction")
    assert many.endswith(". At least 8,000 others, none nearer to the wanted ratio, were not looked at.")


def test_one_train_needs_no_comparison() -> None:
    assert told(found=1, ruled_out=0, settled=1) == "Trains: this one alone has the wanted reduction."


@pytest.mark.parametrize(
    ("wish", "words"),
    [
        ("height", "Without standoffs it is 121.4 mm high; no layout is lower by more than 2.1 %."),
        ("width", "Without standoffs it is 121.4 mm wide; no layout is narrower by more than 2.1 %."),
        ("move", "A shaft moves by 121.4 mm at most; no layout has a largest move that is shorter by more than 2.1 %."),
    ],
)
def test_what_is_wished_is_told_with_how_much_better_it_could_be(wish: str, words: str) -> None:
    certificate = CERTIFICATE | {"wish": wish, "value": 121.36, "bound": 118.92, "gap": 0.0201}
    layout = {"hull_mm2": 16_770.0, "certificate": certificate, "trains": None, "contacts": []}
    assert words in " ".join(" ".join(layout_lines({"layout": layout, "plates": []}, 80)).split())
