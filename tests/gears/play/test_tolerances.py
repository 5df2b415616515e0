"""Tolerance classes of teeth. The tables are from memory: held to their own rules and to known rows."""

from __future__ import annotations

import math

import pytest

from gearplate.gears.play.tolerances import ALLOWANCE_UM, TOLERANCE_UM, runout_mm, thinning_range_mm


def test_runout_follows_the_formula_and_steps_by_the_root_of_two() -> None:
    # d = 100, m = 2, class 5: F_p = 0.2 + 5.5 + 1.4 + 12 = 19.1 um, F_r = 0.9 F_p (ISO 1328-1, from memory)
    assert runout_mm(100.0, 2.0, 5) == pytest.approx(0.01719)
    assert runout_mm(100.0, 2.0, 7) == pytest.approx(2 * 0.01719)
    assert runout_mm(100.0, 2.0, 8) == pytest.approx(math.sqrt(8) * 0.01719)
    with pytest.raises(ValueError, match="class 2"):
        runout_mm(100.0, 2.0, 2)


def test_tooth_thickness_by_din_3967() -> None:
    assert thinning_range_mm(40.0, "cd25") == pytest.approx((0.054, 0.084))  # 10 to 50 mm: -54, 30 um; from memory
    assert thinning_range_mm(50.1, "e26") == pytest.approx((0.040, 0.100))
    assert thinning_range_mm(10.0, "h21") == pytest.approx((0.0, 0.003))
    for wrong in ("i26", "e20", "e31", "E26", "26e", ""):
        with pytest.raises(ValueError, match="no class"):
            thinning_range_mm(40.0, wrong)


def test_tables_grow_with_size_and_with_coarser_classes() -> None:
    for row in (*ALLOWANCE_UM.values(), *TOLERANCE_UM.values()):
        assert list(row) == sorted(row)
    for column in range(4):
        assert [row[column] for row in TOLERANCE_UM.values()] == sorted(row[column] for row in TOLERANCE_UM.values())
        falling = [row[column] for row in ALLOWANCE_UM.values()]
        assert falling == sorted(falling, reverse=True)
