"""The stages together: what a draft may hold, and what never becomes a file."""

from __future__ import annotations

from dataclasses import replace

import pytest

from gearplate.build import cut_files, make
from gearplate.errors import NoSolution, ToolBug
from gearplate.geometry.transform import translated
from gearplate.job.load import load_job_text
from gearplate.record.design import Design, Status

SIEVE = """
format = 1
part = "sieve-drive"
cutter = "demo"
material = "acetal-6mm"
wheel = {diameter = "4 in", width = 20}
module = 1.25
stages = [{driven = 60}]
motors = {type = "generic-b", pinion = 11, side = "inboard"}
shaft = {stock = "round-12mm"}
places = {M1 = {angle = 75}}
"""
HOLE = '[[holes]]\nname = "{}"\nat = [{}, {}]\ndiameter = {}\n'


def built(extra: str, draft: bool) -> Design:
    return make(load_job_text(SIEVE + extra), draft)


@pytest.mark.parametrize(
    ("extra", "meeting"),
    [
        (HOLE.format("own", 0, 14, 8), "into the output's bore"),
        (HOLE.format("own", -40, 0, 8) + HOLE.format("twin", -40, 0, 8), "drawn twice"),
        (HOLE.format("own", -40, 0, 8) + HOLE.format("twin", -40, 5, 8), "into each other"),
    ],
)
def test_a_draft_holds_holes_that_run_into_each_other(extra: str, meeting: str) -> None:
    assert built(extra, draft=False).status is Status.REFUSED, meeting
    design = built(extra, draft=True)
    assert design.status is Status.DRAFT
    assert design.errors
    written = cut_files(design)
    assert len(written.files) == 2
    assert all(name.startswith("DRAFT") for name, _ in written.files)
    assert all(found == asked for found, asked in written.holes)


@pytest.mark.parametrize("extra", [HOLE.format("pin", -40, 0, 0.6) + "fit = -0.5\n"])
def test_what_no_beam_can_cut_is_refused_even_as_a_draft(extra: str) -> None:
    design = built(extra, draft=True)
    assert any(cut.faults for cut in design.cut_plates)
    assert design.status is Status.REFUSED


def test_what_must_never_be_cut_is_refused_even_as_a_draft() -> None:
    design = make(load_job_text(SIEVE.replace("acetal-6mm", "pvc")), draft=True)
    assert design.cut_plates == ()
    assert design.status is Status.REFUSED
    assert any(finding.check == "forbidden-material" for finding in design.errors)


def test_an_ordinary_design_is_no_draft_even_where_one_was_asked_for() -> None:
    design = built("", draft=True)
    assert design.errors == ()
    assert design.status is Status.OK
    assert not any(cut.draft or "DRAFT" in cut.file_name for cut in design.cut_plates)


def with_moved_hole(design: Design, hole: str, by_mm: float) -> Design:
    """The design with one hole of its second plate drawn elsewhere: its file still reads back as it was asked."""
    first, second = design.cut_plates
    features = tuple(
        replace(one, shape=translated(one.shape, by_mm, 0.0)) if one.feature.id == hole else one
        for one in second.features
    )
    assert features != second.features
    return replace(design, cut_plates=(first, replace(second, features=features)))


@pytest.mark.parametrize("hole", ["output-bore", "rail-2", "standoff-1"])
def test_no_files_of_plates_whose_shared_holes_miss_each_other_by_more_than_a_micrometre(hole: str) -> None:
    design = built("", draft=False)
    for by_mm in (0.0005, -0.0005):
        assert len(cut_files(with_moved_hole(design, hole, by_mm)).files) == 2
    for by_mm in (0.002, -0.002, 1.0):
        with pytest.raises(ToolBug, match=r"shared holes of .*outboard.* and .*inboard.* miss each other by"):
            cut_files(with_moved_hole(design, hole, by_mm))


@pytest.mark.parametrize("ratio", ["6.5", "9.5", "12"])
def test_a_wanted_reduction_is_built_from_gears_that_fit_their_shafts(ratio: str) -> None:
    # many trains of small gears come nearer to such a ratio, but their motors would stand in the bearings
    text = SIEVE.replace("stages = [{driven = 60}]", f'reduction = {{ratio = "{ratio}"}}').replace(
        'motors = {type = "generic-b", pinion = 11, side = "inboard"}', 'motors = {type = "generic-a", pinion = 12}'
    )
    text = text.replace("module = 1.25", "diametral_pitch = 20").replace("places = {M1 = {angle = 75}}", "")
    text = text.replace('shaft = {stock = "round-12mm"}', "")
    design = make(load_job_text(text))
    assert design.status is Status.OK
    assert not [finding for finding in design.findings if finding.check == "layout"]
    turns = 1.0
    for mesh in design.layout.meshes if design.layout else ():
        turns *= mesh.driven.gear.teeth / mesh.driver.gear.teeth
    assert turns == pytest.approx(float(ratio), rel=0.02)


def test_a_reduction_that_no_gears_make_comes_back_with_the_nearest() -> None:
    text = SIEVE.replace("stages = [{driven = 60}]", 'reduction = {ratio = "1000", driven = [60, 72], drivers = [18]}')
    text = text.replace("places = {M1 = {angle = 75}}", "")
    design = make(load_job_text(text))
    assert design.status is Status.REFUSED
    told = next(finding for finding in design.errors if finding.check == "layout")
    # 72/11 x 72/18 is the most that two stages of these gears make
    assert f"the nearest has {72 / 11 * 72 / 18:.5g}" in told.message
    assert design.layout is not None


def test_gears_that_reduce_nothing_make_no_train() -> None:
    text = SIEVE.replace("stages = [{driven = 60}]", 'reduction = {ratio = "2", driven = [10], drivers = [10]}')
    with pytest.raises(NoSolution, match="comes near"):
        make(load_job_text(text.replace("places = {M1 = {angle = 75}}", "")))


def test_where_no_train_fits_it_is_said_for_how_many_that_is_proven() -> None:
    gears = "pinions = [11, 12], drivers = [28, 32], driven = [60, 64]"
    wanted = f'reduction = {{ratio = "10", within = 0.1, {gears}}}\nlimits = {{height = 120}}'
    text = SIEVE.replace("stages = [{driven = 60}]", wanted).replace("places = {M1 = {angle = 75}}", "")
    text = text.replace("module = 1.25", "diametral_pitch = 20").replace('shaft = {stock = "round-12mm"}', "")
    text = text.replace('{type = "generic-b", pinion = 11, side = "inboard"}', '{type = "generic-a", count = 3}')
    design = make(load_job_text(text), quick=True)
    assert design.status is Status.REFUSED
    (told,) = [finding for finding in design.errors if finding.check == "layout"]
    # 60 or 64 on 11 or 12 and on 28 or 32: of these products over products those from 9 to 11
    drivers = [p * d for p in (11, 12) for d in (28, 32)]
    count = sum(9 * d <= a * b <= 11 * d for d in drivers for a in (60, 64) for b in (60, 64))
    assert told.message.startswith(
        f"{count} trains have the wanted reduction and none could be placed; for all of them"
    )
