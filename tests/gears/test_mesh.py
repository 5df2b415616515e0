"""gearplate.mesh: its identities, its symmetry, and what it refuses."""

from __future__ import annotations

import dataclasses
import math
import subprocess
import sys

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

import gearplate
from gearplate import mesh
from gearplate.gears.mesh import Mesh, mesh_arrays
from gearplate.gears.working import base_contact_centre_mm

FIELDS = [
    "centre_mm",
    "tightest_centre_mm",
    "working_pressure_angle_deg",
    "backlash_operating_mm",
    "backlash_reference_mm",
    "backlash_normal_mm",
    "contact_ratio",
    "contact_ratio_formula",
    "tip_clearance_1_mm",
    "tip_clearance_2_mm",
    "interference",
]
LENGTHS = [name for name in FIELDS if name.endswith("_mm")]


@st.composite
def pairs(draw, opened=(0.0, 0.2)):
    """Arguments of a pair that exists, module 1, standing some way beyond its zero-backlash centre."""
    arguments = {
        "z1": draw(st.integers(9, 80)),
        "z2": draw(st.integers(9, 80)),
        "module_mm": 1.0,
        "pressure_angle_deg": draw(st.sampled_from([14.5, 20.0, 25.0])),
        "x1": draw(st.floats(-0.2, 0.7)),
        "x2": draw(st.floats(-0.2, 0.7)),
        "thinning_1_mm": draw(st.floats(0, 0.05)),
        "thinning_2_mm": draw(st.floats(0, 0.05)),
    }
    try:
        free = mesh(**arguments)
    except ValueError:
        assume(False)
    return {**arguments, "centre_mm": free.centre_mm + draw(st.floats(*opened))}


def swapped(arguments):
    names = {"1": "2", "2": "1"}
    return {
        "".join(names.get(c, c) for c in key): value for key, value in arguments.items()
    }  # z1 <-> z2, thinning_1_mm <-> thinning_2_mm, and so on


def close(value, rel=1e-9, abs=1e-11):
    return pytest.approx(value, rel=rel, abs=abs)


def test_result_has_the_promised_fields_and_is_frozen():
    found = mesh(12, 60, diametral_pitch=20)
    assert [field.name for field in dataclasses.fields(Mesh)] == FIELDS
    assert all(type(getattr(found, name)) is float for name in FIELDS[:-1])
    assert found.interference == ("undercut_1",)
    with pytest.raises(dataclasses.FrozenInstanceError):
        found.centre_mm = 1.0


def test_small_equal_pinions_hardly_touch():
    # 12 on 12 at 14.5 degrees: about 0.4 where the textbook formula says 1.58 (the project's own convention).
    found = mesh(12, 12, module_mm=1, pressure_angle_deg=14.5)
    assert found.contact_ratio == pytest.approx(0.4, abs=0.01)
    assert found.contact_ratio_formula == pytest.approx(1.58, abs=0.005)
    assert found.interference == ("undercut_1", "undercut_2")


def test_no_centre_means_no_backlash_but_the_thinning():
    assert mesh(17, 44, module_mm=1.3, x1=0.2, x2=0.1).backlash_operating_mm == 0.0
    found = mesh(17, 44, module_mm=1.3, x1=0.2, x2=-0.2, thinning_1_mm=0.03, thinning_2_mm=0.02)
    assert found.centre_mm == 1.3 * 30.5
    assert found.backlash_operating_mm == close(0.05)
    assert found.tightest_centre_mm < found.centre_mm


@settings(max_examples=50, deadline=None)
@given(pairs())
def test_tightest_centre_has_no_backlash(arguments):
    tight = mesh(**arguments).tightest_centre_mm
    rest = {k: v for k, v in arguments.items() if k != "centre_mm"}
    base = float(
        base_contact_centre_mm(arguments["z1"], arguments["z2"], 1.0, math.radians(rest["pressure_angle_deg"]))
    )
    assume(tight > base * (1 + 1e-9))
    assert mesh(**rest, centre_mm=tight).backlash_operating_mm == pytest.approx(0.0, abs=1e-10)
    assert mesh(**rest, centre_mm=tight + 0.01).backlash_operating_mm > 0.001
    assert mesh(**rest).centre_mm >= tight - 1e-12


@settings(max_examples=50, deadline=None)
@given(pairs())
def test_the_three_backlashes_are_one(arguments):
    found = mesh(**arguments)
    working, rack = (math.radians(v) for v in (found.working_pressure_angle_deg, arguments["pressure_angle_deg"]))
    assert found.backlash_normal_mm == close(found.backlash_operating_mm * math.cos(working))
    assert found.backlash_reference_mm == close(found.backlash_normal_mm / math.cos(rack))
    standard = (arguments["z1"] + arguments["z2"]) / 2
    assert found.centre_mm * math.cos(working) == close(standard * math.cos(rack))


@settings(max_examples=50, deadline=None)
@given(pairs())
def test_swapping_the_gears_swaps_the_answer(arguments):
    one, two = mesh(**arguments), mesh(**swapped(arguments))
    for name in FIELDS[:-1]:
        mate = name.replace("_1_", "_x_").replace("_2_", "_1_").replace("_x_", "_2_")
        assert getattr(two, mate) == close(getattr(one, name))
    turned = {"".join({"1": "2", "2": "1"}.get(c, c) for c in fault) for fault in one.interference}
    assert set(two.interference) == turned


@settings(max_examples=50, deadline=None)
@given(pairs(), st.floats(0.3, 5))
def test_everything_scales_with_the_module(arguments, module):
    one = mesh(**arguments)
    scaled = {k: v * module if k.endswith("_mm") else v for k, v in arguments.items()}
    other = mesh(**scaled)
    for name in FIELDS[:-1]:
        wanted = getattr(one, name) * (module if name in LENGTHS else 1.0)
        assert getattr(other, name) == close(wanted, rel=1e-8, abs=1e-9)
    assert other.interference == one.interference


@settings(max_examples=50, deadline=None)
@given(pairs(), st.sampled_from([10, 16, 20, 24, 32, 48]))
def test_diametral_pitch_is_the_module_in_inches(arguments, pitch):
    scaled = {k: v * 25.4 / pitch if k.endswith("_mm") else v for k, v in arguments.items()}
    del scaled["module_mm"]
    inch = mesh(**scaled, diametral_pitch=pitch)
    assert inch == mesh(**scaled, module_mm=25.4 / pitch)


@settings(max_examples=50, deadline=None)
@given(pairs(), st.floats(0.001, 0.1))
def test_opening_the_centre_loosens_the_mesh(arguments, more):
    near = mesh(**arguments)
    far = mesh(**{**arguments, "centre_mm": arguments["centre_mm"] + more})
    assert far.contact_ratio_formula < near.contact_ratio_formula
    assert far.backlash_operating_mm > near.backlash_operating_mm
    assert far.tip_clearance_1_mm == close(near.tip_clearance_1_mm + more)
    assert far.working_pressure_angle_deg > near.working_pressure_angle_deg
    for found in (near, far):
        assert 0 <= found.contact_ratio <= max(found.contact_ratio_formula, 0) + 1e-12


@given(st.integers(32, 80), st.integers(32, 80), st.floats(0, 0.1), st.floats(0.001, 0.1))
def test_contact_ratio_of_whole_flanks_falls_as_the_centre_opens(z1, z2, opened, more):
    """Without undercut or early fillets the real flanks are the textbook's, and the ratio falls with the distance."""
    centre = (z1 + z2) / 2 + opened
    near, far = (mesh(z1, z2, module_mm=1, centre_mm=c) for c in (centre, centre + more))
    assert near.contact_ratio == close(near.contact_ratio_formula)
    assert far.contact_ratio < near.contact_ratio


def test_the_shape_of_the_arguments_is_the_shape_of_the_answer():
    z1, angle = np.array([[9], [12], [20]]), np.radians([14.5, 20.0, 25.0])
    tips = np.array([np.nan, 63.0, np.nan])
    many = mesh_arrays(z1, 60, 1.0, angle, 0.2, thinning_1_mm=0.01, tip_diameter_2_mm=tips, centre_mm=40.5)
    assert many.contact_ratio.shape == (3, 3)
    for i in range(3):
        for j, degrees in enumerate((14.5, 20.0, 25.0)):
            tip = None if np.isnan(tips[j]) else tips[j]
            single = mesh(
                int(z1[i, 0]), 60, 1.0, None, degrees, 0.2, thinning_1_mm=0.01, tip_diameter_2_mm=tip, centre_mm=40.5
            )
            for name in FIELDS[:-1]:
                assert getattr(many, name)[i, j] == close(getattr(single, name), rel=1e-12)
            faults = {f.name for f in dataclasses.fields(many.interference) if getattr(many.interference, f.name)[i, j]}
            assert faults == set(single.interference)


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        ({"module_mm": None}, "one of the two is needed"),
        ({"diametral_pitch": 20}, "not both"),
        ({"module_mm": 0}, "above zero"),
        ({"module_mm": -1.0}, "above zero"),
        ({"module_mm": float("nan")}, "finite"),
        ({"module_mm": "1"}, "finite number"),
        ({"z1": 2}, "at least 3 teeth"),
        ({"z2": -12}, "at least 3 teeth"),
        ({"z1": 12.5}, "whole number"),
        ({"z1": True}, "whole number"),
        ({"z2": "60"}, "whole number"),
        ({"z2": float("inf")}, "whole number"),
        ({"pressure_angle_deg": 0}, "from 10 to 30"),
        ({"pressure_angle_deg": 45}, "from 10 to 30"),
        ({"x1": float("inf")}, "x1"),
        ({"x2": None}, "x2"),
        ({"x1": -20}, "leave no tooth"),
        ({"x1": -1.9}, "severs the teeth"),
        ({"thinning_1_mm": 1.6}, "leave no tooth"),
        ({"thinning_2_mm": -1.6}, "no space"),
        ({"tip_diameter_1_mm": 9.0}, "not above its root diameter"),
        ({"tip_diameter_1_mm": -1}, "not above its root diameter"),
        ({"centre_mm": 30.0}, "sum of the base radii"),
        ({"centre_mm": 36 * math.cos(math.radians(20))}, "sum of the base radii"),
        ({"centre_mm": float("nan")}, "centre_mm"),
        ({"pressure_angle_deg": 14.5, "x1": 0.0, "x2": -0.9}, "so far below zero"),
    ],
)
def test_what_cannot_be_is_refused_in_words(changes, told):
    arguments = {"z1": 12, "z2": 60, "module_mm": 1.0, **changes}
    with pytest.raises(ValueError, match=told):
        mesh(**arguments)


@settings(max_examples=150, deadline=None)
@given(
    st.integers(-5, 200),
    st.integers(-5, 200),
    st.floats(-1, 5),
    st.floats(5, 35),
    st.tuples(*[st.floats(-3, 3)] * 2),
    st.tuples(*[st.floats(-2, 4)] * 2),
    st.tuples(*[st.one_of(st.none(), st.floats(-10, 500))] * 2),
    st.one_of(st.none(), st.floats(-10, 600)),
)
def test_any_numbers_give_a_mesh_or_a_reason(z1, z2, module, angle, shifts, thinnings, tips, centre):
    try:
        found = mesh(z1, z2, module, None, angle, *shifts, *thinnings, *tips, centre)
    except ValueError:
        return  # anything else is a fault
    assert all(math.isfinite(getattr(found, name)) for name in FIELDS[:-1])
    assert found.contact_ratio >= 0


def test_whole_floats_and_numpy_counts_are_teeth():
    assert mesh(12.0, np.int64(60), module_mm=np.float64(1)) == mesh(12, 60, module_mm=1)


def test_gears_thinned_beyond_reason_still_have_a_tightest_centre():
    found = mesh(12, 12, module_mm=0.5, pressure_angle_deg=14.5, thinning_1_mm=0.05, thinning_2_mm=0.05)
    assert found.tightest_centre_mm == close(float(base_contact_centre_mm(12, 12, 0.5, math.radians(14.5))))


def test_the_package_gives_mesh_without_loading_numpy_first():
    assert gearplate.mesh is mesh
    assert "mesh" in dir(gearplate)
    with pytest.raises(AttributeError, match="no attribute 'mash'"):
        _ = gearplate.mash
    code = "import sys, gearplate; assert 'numpy' not in sys.modules; gearplate.mesh; assert 'numpy' in sys.modules"
    subprocess.run([sys.executable, "-c", code], check=True)
