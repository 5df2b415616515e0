"""Growth of gears by warmth, from memory like the table itself: order of the materials, and a plate's acetal."""

from __future__ import annotations

import pytest

from gearplate.catalog import load_catalog, profiles_folder
from gearplate.shop.growth import CTE_PER_K, cte_per_k


def test_plastics_grow_most_and_steel_least() -> None:
    # metals handbooks: carbon steel 11 to 12.5, aluminium alloys 23.4 to 23.8, brass 18 to 20 millionths (from memory)
    middle = {name: sum(ends) / 2 for name, ends in CTE_PER_K.items()}
    assert sorted(middle, key=middle.__getitem__) == ["steel", "brass", "aluminium", "acetal"]
    assert middle["steel"] == pytest.approx(11.7e-6, rel=0.03)
    assert all(low <= high for low, high in CTE_PER_K.values())


def test_a_gear_of_acetal_grows_as_a_plate_of_it() -> None:
    sheet = load_catalog([profiles_folder()]).material("acetal-6mm").cte_per_k
    assert sheet is not None
    assert cte_per_k("acetal") == (sheet.low, sheet.high)


def test_every_gear_of_the_tables_has_its_own() -> None:
    rows = load_catalog([profiles_folder()]).gears().values()
    assert {row.pattern.material for row in rows} <= set(CTE_PER_K)
    assert cte_per_k("unheard of") == cte_per_k("steel")
