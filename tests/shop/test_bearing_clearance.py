"""Clearance inside bearings. The table is from memory: held to its own rules and to known rows."""

from __future__ import annotations

import pytest

from gearplate.shop.bearing_clearance import CLEARANCE_UM, internal_clearance_mm


def test_internal_clearance_by_iso_5753() -> None:
    assert internal_clearance_mm(12.7) == pytest.approx((0.003, 0.018))  # normal group, 10 to 18 mm; from memory
    assert internal_clearance_mm(20.0, "C3") == pytest.approx((0.013, 0.028))
    assert internal_clearance_mm(1.0) == internal_clearance_mm(5.0)
    assert internal_clearance_mm(60.0) == internal_clearance_mm(45.0)
    for _, _, groups in CLEARANCE_UM:
        assert groups["C2"] < groups["CN"] < groups["C3"]
    with pytest.raises(ValueError, match="groups are"):
        internal_clearance_mm(12.0, "C9")
