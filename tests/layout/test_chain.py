"""The tree of shafts: who turns whom, and how far apart."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from gearplate.gears.spec import GearSpec, StageSpec, ToothSystem, TrainSpec
from gearplate.layout.chain import free_shafts, links, mesh_needs, place_all, role_of, zero_backlash_centre_mm
from gearplate.layout.spec import Place, Role, ShaftSpec
from tests.builders.specs import DP20, drive_spec


def test_every_motor_meshes_with_the_first_gear() -> None:
    needs = mesh_needs(drive_spec(motors=3))
    assert [(need.stage, need.driver_shaft, need.driven_shaft) for need in needs] == [
        (1, "M1", "S1"),
        (1, "M2", "S1"),
        (1, "M3", "S1"),
        (2, "S1", "output"),
    ]


def test_unshifted_centres_are_the_handbook_sum() -> None:
    # (z1 + z2) / (2 P) inch: AGMA 933-B03 symbols; 20 and 60 teeth at DP 20 stand 2.000 in apart
    assert zero_backlash_centre_mm(GearSpec(20, DP20), GearSpec(60, DP20)) == pytest.approx(50.8, abs=1e-12)


def test_unlike_teeth_get_the_sum_of_their_radii() -> None:
    module = ToothSystem(1.25, math.radians(20))
    assert zero_backlash_centre_mm(GearSpec(20, DP20), GearSpec(60, module)) == pytest.approx(12.7 + 37.5)


def test_parents_come_before_their_children() -> None:
    placed = {"output"}
    for link in links(drive_spec(motors=2)):
        assert link.parent in placed
        placed.add(link.child)


def test_idlers_stand_between() -> None:
    spec = drive_spec(motors=1, teeth=(60,))
    stage = replace(spec.train.stages[0], idlers=(GearSpec(24, DP20), GearSpec(30, DP20)))
    output = spec.shafts[0]
    idlers = tuple(replace(output, name=name, role=Role.IDLER) for name in ("I1", "I2"))
    spec = replace(spec, train=TrainSpec((stage,)), shafts=(output, *idlers))
    assert [(need.driver_shaft, need.driven_shaft) for need in mesh_needs(spec)] == [
        ("M1", "I1"),
        ("I1", "I2"),
        ("I2", "output"),
    ]
    assert role_of(spec, "I1") is Role.IDLER
    assert role_of(spec, "M1") is Role.MOTOR


def test_places_by_angle_and_by_coordinate() -> None:
    spec = drive_spec(motors=1, places={"S1": Place(angle_rad=math.pi / 2), "M1": Place(x_mm=10.0, y_mm=110.0)})
    assert free_shafts(spec) == ()
    at = place_all(spec, {})
    assert at["S1"] == pytest.approx((0.0, mesh_needs(spec)[-1].centre_mm))
    assert at["M1"] == (10.0, 110.0)


def test_a_free_shaft_without_an_angle_is_an_error() -> None:
    with pytest.raises(KeyError):
        place_all(drive_spec(motors=1), {})


def test_shafts_are_named_through_the_train() -> None:
    spec = drive_spec()
    third = StageSpec(GearSpec(20, DP20), GearSpec(40, DP20), 0.05)
    shafts = (*spec.shafts, replace(spec.shafts[1], name="S2"))
    spec = replace(spec, train=TrainSpec((*spec.train.stages, third)), shafts=shafts)
    assert isinstance(spec.shaft("S2"), ShaftSpec)
    assert [need.driven_shaft for need in mesh_needs(spec)][-2:] == ["S2", "output"]
