"""What holds each gear, from a whole job: levers, slots, blocks and a bent motor shaft, by sums of their own."""

from __future__ import annotations

import math

import pytest

from gearplate.build import make
from gearplate.gears.play.model import HeldGear
from gearplate.job.load import load_job
from gearplate.job.play import play_assumptions
from gearplate.layout.design import Stack
from gearplate.layout.play import MeshBudget, materials_taken, mesh_budgets
from gearplate.layout.spec import Side
from gearplate.rating.rate import rate, tables_of


def budgets(*settings: str) -> tuple[tuple[MeshBudget, ...], Stack]:
    job = load_job("compost-drive", settings)
    design = make(job)
    assert design.layout is not None
    return mesh_budgets(design.spec, design.shops, job.play, job.gear_materials, design.layout), design.layout.stack


@pytest.fixture(scope="module")
def plain() -> tuple[tuple[MeshBudget, ...], Stack]:
    return budgets()


def driver(found: tuple[MeshBudget, ...], shaft: str) -> HeldGear:
    return next(one.play.driver for one in found if one.driver_shaft == shaft)


def test_the_bearing_nearer_to_a_gear_takes_more_of_it(plain: tuple[tuple[MeshBudget, ...], Stack]) -> None:
    """A beam on two supports: the shares add up to one, and weighted with the supports' places give the gear's."""
    found, stack = plain
    for one in found:
        z0, z1 = stack.stage_planes[one.stage - 1]
        shares = {hole.name: share for hole, share in one.play.driven.holes}
        assert set(shares) == {f"{one.driven_shaft} {side.value}" for side in Side}
        assert sum(shares.values()) == pytest.approx(1.0)
        places = {f"{one.driven_shaft} {side.value}": 0.5 * sum(stack.plate(side)) for side in Side}
        assert sum(places[name] * share for name, share in shares.items()) == pytest.approx(0.5 * (z0 + z1))
    first = {hole.name: share for hole, share in found[0].play.driven.holes}
    assert first["S1 outboard"] > first["S1 inboard"]  # the first stage runs next to the outboard plate


def test_a_stalled_motor_bends_its_shaft(plain: tuple[tuple[MeshBudget, ...], Stack]) -> None:
    """F L^3 / 3 E I by hand: 2.54 N m on 12 teeth of 1.27 mm at 20 degrees, a shaft of 8 mm, of steel."""
    found, stack = plain
    force = 2540.0 / (0.5 * 12 * 1.27 * math.cos(math.radians(20.0)))
    away = stack.outboard[1] - 0.5 * sum(stack.stage_planes[0])
    bent = force * away**3 / (3.0 * 205e3 * math.pi * 8.0**4 / 64.0)
    assert driver(found, "M1").bending_mm == pytest.approx(bent)
    assert 0.001 < bent < 0.1
    assert driver(found, "S1").bending_mm == 0.0
    assert driver(found, "M1").shaft_runout_mm == 0.015  # half of 0.030 mm, up to 10 mm
    (pilot,) = driver(found, "M1").holes
    assert pilot[0].clamped
    assert pilot[1] == 1.0


def test_in_slots_a_motor_is_set_by_feel(plain: tuple[tuple[MeshBudget, ...], Stack]) -> None:
    found, _ = budgets('motors.slots="1 mm"')
    ((slots, share),) = driver(found, "M1").holes
    assert (slots.sigma_x_mm, slots.sigma_y_mm, slots.loose_mm, share) == (0.03, 0.03, 0.0, 1.0)
    by_hand = [one for one in found if one.set_by_hand]
    assert {one.driver_shaft for one in by_hand} == {"M1", "M2", "M3"}
    assert all(one.play.scale_sigma == 0.0 for one in by_hand)
    assert not any(one.set_by_hand for one in plain[0])


def test_nothing_is_known_of_bearing_blocks() -> None:
    found, _ = budgets('shafts.output.carried_by="blocks"')
    (last,) = [one for one in found if one.driven_shaft == "output"]
    assert last.play.driven.holes == ()
    assert len(last.play.driver.holes) == 2


def test_a_measured_runout_takes_the_place_of_the_class(plain: tuple[tuple[MeshBudget, ...], Stack]) -> None:
    found, _ = budgets('play.runout="0.1 mm"')
    assert {gear.eccentric_mm for one in found for gear in (one.play.driver, one.play.driven)} == {0.05}
    usual, _ = plain
    # 12 teeth of 1.27 mm, class 9: 0.9 (0.002 d + 0.55 sqrt d + 0.7 m + 12) um x 4, half of it
    by_hand = 0.5 * 0.9e-3 * (0.002 * 15.24 + 0.55 * math.sqrt(15.24) + 0.7 * 1.27 + 12.0) * 4.0
    assert driver(usual, "M1").eccentric_mm == pytest.approx(by_hand)
    job = load_job("compost-drive", ('play.runout="0.1 mm"',))
    assert "play.gear_class" not in {one.key for one in play_assumptions(job.reading)}


def test_a_gear_is_of_one_material_in_strength_and_in_growth() -> None:
    """61 teeth are in no class: rated as aluminium, so it grows as aluminium; the pinion of 12 is of steel."""
    job = load_job("compost-drive", ("stages[0].driven=61",))
    design = make(job)
    assert design.layout is not None
    found = mesh_budgets(design.spec, design.shops, job.play, job.gear_materials, design.layout)
    ratings = rate(design.layout, design.spec, tables_of(job.catalog))
    assert next(one for one in ratings.items if one.part == "S1 61T on M1 12T, bending").note.startswith("aluminium")
    steel, aluminium = (11.0e-6, 12.5e-6), (23.4e-6, 23.8e-6)  # metals handbooks, from memory
    by_hand = [(12 * s + 61 * a) / 73 for s, a in zip(steel, aluminium, strict=True)]
    assert found[0].play.gear_cte_per_k == pytest.approx(by_hand)
    assert materials_taken(design.spec, job.gear_materials) == (
        "S1 61T is of no class of the gear table: taken as aluminium",
    )


def test_a_material_whose_growth_nobody_knows_is_told() -> None:
    job = load_job("compost-drive")
    assert job.layout_spec is not None
    assert materials_taken(job.layout_spec, job.gear_materials) == ()
    strange = dict.fromkeys(job.gear_materials, "bronze")
    assert materials_taken(job.layout_spec, strange) == ("gears of bronze: no growth by warmth known; taken as steel",)
