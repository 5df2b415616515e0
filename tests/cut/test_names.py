"""Names of cut files: all that matters, and nothing that a file system trips over."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from gearplate.cut.make import cut_plate
from gearplate.cut.names import file_stem
from gearplate.files.names import is_plain_name
from gearplate.plate.spec import Hand, Identity
from tests.builders.plates import IDENTITY, ordinary, shop


def test_the_name_says_what_the_operator_must_not_mix_up() -> None:
    outboard, inboard = ordinary()
    assert file_stem(IDENTITY, outboard, Hand.RIGHT, "mm") == (
        "compost-drive-rev-A_outboard_right_acetal-6mm_inboard-face-up_mm"
    )
    assert file_stem(IDENTITY, inboard, Hand.LEFT, "inch", draft=True) == (
        "DRAFT_compost-drive-rev-A_inboard_left_acetal-6mm_outboard-face-up_inch"
    )
    quarter = replace(outboard, stock=replace(outboard.stock, material="acetal-quarter-inch", nominal_mm=6.35))
    assert "_acetal-quarter-inch-6.35mm_" in file_stem(IDENTITY, quarter, Hand.RIGHT, "mm")


@given(st.text(max_size=200), st.text(max_size=40), st.text(max_size=60), st.floats(0.2, 50.0))
def test_whatever_a_job_calls_things_the_name_is_plain(
    part: str, revision: str, material: str, thickness: float
) -> None:
    outboard, _ = ordinary()
    plate = replace(outboard, stock=replace(outboard.stock, material=material, nominal_mm=thickness))
    for hand in Hand:
        stem = file_stem(Identity(part, revision, "", (hand,)), plate, hand, "inch", draft=True)
        assert is_plain_name(f"{stem}.dxf")


def test_names_differ_by_plate_hand_unit_and_draft() -> None:
    names = {
        cut_plate(plate, hand, shop(), IDENTITY, unit, draft).file_name
        for plate in ordinary()
        for hand in Hand
        for unit in ("mm", "inch")
        for draft in (False, True)
    }
    assert len(names) == 16
