"""Which old hole is which new one: held against the numbering that the test itself made."""

from __future__ import annotations

import itertools
import math
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from gearplate.packet.renumbered import numbered_as, paired

Hole = dict[str, Any]
SPACING = 20.0


def hole(number: int, x: float, y: float) -> Hole:
    return {"id": f"standoff-{number}", "kind": "standoff", "x_mm": x, "y_mm": y}


def same(one: Hole, other: Hole) -> bool:
    return math.hypot(one["x_mm"] - other["x_mm"], one["y_mm"] - other["y_mm"]) < 1e-3


def names(pairs: list[tuple[Hole, Hole]]) -> dict[str, str]:
    return {old["id"]: new["id"] for old, new in pairs}


@settings(max_examples=60, deadline=None)
@given(st.data())
def test_holes_that_moved_little_are_found_whatever_their_numbers(data: st.DataObject) -> None:
    """On a grid of 20 mm, moved by under 5 mm each: every hole's own is nearer than any other."""
    count = data.draw(st.integers(1, 8))
    cells = data.draw(st.permutations([(i, j) for i in range(4) for j in range(3)]))[:count]
    numbers = data.draw(st.permutations(range(1, count + 1)))
    step = st.sampled_from([0.0, -3.0, 2.0, 3.5])
    old = [hole(index + 1, SPACING * i, SPACING * j) for index, (i, j) in enumerate(cells)]
    new = [
        hole(number, one["x_mm"] + data.draw(step), one["y_mm"] + data.draw(step))
        for number, one in zip(numbers, old, strict=True)
    ]
    truth = {one["id"]: other["id"] for one, other in zip(old, new, strict=True)}
    dropped = data.draw(st.integers(0, count))  # one of them gone, or none
    kept = [one for index, one in enumerate(new, start=1) if index != dropped]
    shuffled = data.draw(st.permutations(kept))
    found = names(paired(old, shuffled, same))
    assert found == {one: other for one, other in truth.items() if other in {each["id"] for each in kept}}
    assert names([(b, a) for a, b in paired(shuffled, old, same)]) == found


def test_no_other_pairing_of_a_few_holes_is_shorter_by_one_swap() -> None:
    old = [hole(1, 0, 0), hole(2, 9, 4), hole(3, 30, 1), hole(4, 13, 22)]
    new = [hole(1, 14, 20), hole(2, 28, 6), hole(3, 3, 2), hole(4, 5, 9)]
    pairs = paired(old, new, same)
    assert len(pairs) == 4
    for (a, b), (c, d) in itertools.combinations(pairs, 2):
        assert dist(a, b) + dist(c, d) <= dist(a, d) + dist(c, b) + 1e-6


def dist(one: Hole, other: Hole) -> float:
    return math.hypot(one["x_mm"] - other["x_mm"], one["y_mm"] - other["y_mm"])


def test_a_pattern_that_moves_as_a_whole_keeps_its_names() -> None:
    old = [hole(n, 20.0 * n, 0.0) for n in range(1, 5)]
    new = [hole(n, 20.0 * n + 9.0, 0.0) for n in range(1, 5)]
    assert names(paired(old, new, same)) == {f"standoff-{n}": f"standoff-{n}" for n in range(1, 5)}


def test_a_hole_that_stayed_is_never_told_as_moved() -> None:
    """By one pitch: three of four holes of the old plate are in the new one too."""
    old = [hole(n, 20.0 * n, 0.0) for n in range(1, 5)]
    new = [hole(n, 20.0 * n + 20.0, 0.0) for n in range(1, 5)]
    assert sum(same(a, b) for a, b in paired(old, new, same)) == 3


def test_screws_of_a_motor_that_moved_far_are_paired_as_they_stand_round_it() -> None:
    """The motor goes 99 mm off and its pattern turns by 80 degrees, under half of the half turn that maps it on itself:
    by bare distance the screws would pass for swapped."""
    old = [hole(1, 12.5, 0.0), hole(2, -12.5, 0.0)]
    new = [hole(1, 72.2, 82.3), hole(2, 67.8, 57.7)]
    assert names(paired(old, new, same)) == {"standoff-1": "standoff-2", "standoff-2": "standoff-1"}
    for one in (*old, *new):
        one |= {"kind": "motor_screw", "id": one["id"].replace("standoff", "M1-screw")}
    assert names(paired(old, new, same)) == {"M1-screw-1": "M1-screw-1", "M1-screw-2": "M1-screw-2"}


def test_what_the_tool_numbers_and_what_it_does_not() -> None:
    assert numbered_as(hole(12, 0, 0)) == ("standoff", "standoff")
    assert numbered_as({"id": "M2-screw-1", "kind": "motor_screw"}) == ("motor_screw", "M2-screw")
    assert numbered_as({"id": "M2-pilot", "kind": "motor_pilot"}) is None
    assert numbered_as({"id": "eye-1", "kind": "own"}) is None
