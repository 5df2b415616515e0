"""Strengths by family: every gear and every sheet finds its row, and warmth takes what the row says."""

from __future__ import annotations

import pytest

from gearplate.catalog import Catalog


def test_every_gear_and_every_sheet_has_a_row(shipped: Catalog) -> None:
    for gear in shipped.gears().values():
        row = shipped.strength(gear.pattern.material)
        assert row.tooth_bending_mpa is not None
        assert row.tooth_contact_mpa is not None
    for sheet in shipped.materials().values():
        if not sheet.never_cut:
            assert shipped.strength(sheet.family).shear_mpa > 0


def test_handbook_values(shipped: Catalog) -> None:
    # AGMA 2001, through-hardened steel, grade 1, HB 200 (from memory): 77.3 HB + 12800 psi and 322 HB + 29100 psi
    steel = shipped.strength("steel")
    assert steel.tooth_bending_mpa == pytest.approx((77.3 * 200 + 12800) * 0.00689476, rel=0.01)
    assert steel.tooth_contact_mpa == pytest.approx((322 * 200 + 29100) * 0.00689476, rel=0.01)
    # engineering plastics handbook table: shear strength of acetal homopolymer 34 MPa (seen)
    assert shipped.strength("acetal").shear_mpa == 34
    assert shipped.strength("acetal").standing_for("shear_mpa") == "handbook"


def test_warmth(shipped: Catalog) -> None:
    acetal = shipped.strength("acetal")
    assert acetal.share_at(-10) == acetal.share_at(23) == 1.0
    assert acetal.share_at(60) == pytest.approx(0.65)
    assert acetal.share_at(41.5) == pytest.approx(0.825)
    assert acetal.share_at(300) == 0.1
    assert shipped.strength("steel").share_at(90) == 1.0
