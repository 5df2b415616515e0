"""Remedies are tried by building: what holds is marked, what does not is not told, and the builds are counted."""

from __future__ import annotations

import time
from dataclasses import replace

import pytest

import gearplate.studies.remedies as remedies
from gearplate.build import make
from gearplate.finding import Remedy, Severity
from gearplate.job.load import load_job, load_job_text
from gearplate.job.spec import JobSpec
from gearplate.record.design import Design, Status
from gearplate.studies.remedies import BUDGET, SEARCH, with_tried_remedies
from tests.builders.subjects import BAD, FAIR, job_of


@pytest.fixture
def builds(monkeypatch: pytest.MonkeyPatch) -> list[JobSpec]:
    """The jobs that were built while trying."""
    seen: list[JobSpec] = []

    def counted(job: JobSpec, draft: bool = False, quick: bool = False) -> Design:
        seen.append(job)
        return make(job, draft, quick)

    monkeypatch.setattr(remedies, "make", counted)
    return seen


def wrong(name: str) -> tuple[JobSpec, Design]:
    job = job_of(BAD / f"{name}.toml")
    return job, make(job)


def test_a_design_without_findings_is_not_built_again(builds: list[JobSpec]) -> None:
    job = job_of(FAIR)
    design = make(job)
    assert with_tried_remedies(job, design) is design
    assert builds == []


def test_what_holds_is_marked_as_tried(builds: list[JobSpec]) -> None:
    job, design = wrong("gap-room")
    after = with_tried_remedies(job, design)
    assert [one.remedy.tried for one in after.findings if one.remedy] == [True]
    assert [one.remedy.tried for one in design.findings if one.remedy] == [False], "the design itself stays as it is"
    assert len(builds) == 1
    assert job.raw == job_of(BAD / "gap-room.toml").raw


def with_remedies(design: Design, *sets: dict[str, object]) -> Design:
    """The design with these remedies for its first finding instead of its own."""
    first, *others = design.findings
    found = [Remedy(f"way {number}", tuple(one.items())) for number, one in enumerate(sets)]
    return replace(design, findings=(replace(first, remedy=found[0], alternatives=tuple(found[1:])), *others))


def test_the_next_one_is_tried_where_the_first_does_not_hold(builds: list[JobSpec]) -> None:
    job, design = wrong("gap-room")
    design = with_remedies(design, {"plates.gap": "30.1 mm"}, {"plates.gap": "not a length"}, {"plates.gap": "33 mm"})
    remedy = with_tried_remedies(job, design).findings[0].remedy
    assert remedy == Remedy("way 2", (("plates.gap", "33 mm"),), tried=True)
    assert len(builds) == 2, "what is no job is not built"


def test_where_none_holds_the_rule_speaks_in_general() -> None:
    job, design = wrong("gap-room")
    design = with_remedies(design, {"plates.gap": "30.1 mm"}, {"nonsense": 1})
    remedy = with_tried_remedies(job, design).findings[0].remedy
    assert remedy is not None
    assert remedy.set == ()
    assert not remedy.tried
    assert remedy.text.startswith("Leave plates.gap out")


def test_a_remedy_that_brings_another_error_does_not_hold() -> None:
    job, design = wrong("gap-room")
    design = with_remedies(design, {"plates.gap": "33 mm", "places.M1": {"angle": 0}})
    remedy = with_tried_remedies(job, design).findings[0].remedy
    assert remedy is not None
    assert remedy.set == ()


def test_an_errors_remedy_that_brings_a_warning_comes_last_and_says_so() -> None:
    job, design = wrong("gap-room")
    warns = {"plates.gap": "33 mm", "shaft.bearing": "R8ZZ-hex"}
    remedy = with_tried_remedies(job, with_remedies(design, warns)).findings[0].remedy
    assert remedy is not None
    assert remedy.tried
    assert "Then there is a warning instead: bearing-retainer." in remedy.text
    better = with_tried_remedies(job, with_remedies(design, warns, {"plates.gap": "33 mm"})).findings[0].remedy
    assert better == Remedy("way 1", (("plates.gap", "33 mm"),), tried=True)


def test_a_warning_is_not_mended_by_another() -> None:
    job, design = wrong("bearing-retainer")
    design = with_remedies(design, {"shaft.retainer": True, "plates.margin": 4})
    remedy = with_tried_remedies(job, design).findings[0].remedy
    assert remedy is not None
    assert not remedy.tried


def test_builds_are_counted_and_searches_count_more(builds: list[JobSpec]) -> None:
    job, design = wrong("gap-room")
    ways = [{"plates.gap": f"{30 + 0.01 * number} mm"} for number in range(9)]
    with_tried_remedies(job, with_remedies(design, *ways), budget=3)
    assert len(builds) == 3
    builds.clear()
    text = FAIR.read_text().partition("[places]")[0] + "[plates]\ngap = 30\n"
    free = load_job_text(text)
    with_tried_remedies(free, with_remedies(make(free), *ways), budget=2 * SEARCH)
    assert len(builds) == 2


def test_the_same_change_is_built_once_for_all_findings(builds: list[JobSpec]) -> None:
    job, design = wrong("edge")
    assert len(design.findings) == 2
    after = with_tried_remedies(job, design)
    assert [one.remedy.tried for one in after.findings if one.remedy] == [True, True]
    assert len(builds) == 1


def test_where_no_place_was_found_the_way_out_is_told_there_too() -> None:
    """84 teeth beside an axle 58.5 mm away cannot be; 74 can. The lead would have tried that."""
    text = FAIR.read_text().partition("[places]")[0].replace("driven = 72", "driven = 84")
    job = load_job_text(text)
    design = make(job)
    assert design.status is Status.REFUSED
    started = time.perf_counter()
    after = with_tried_remedies(job, design)
    assert time.perf_counter() - started < 5.0
    told = {one.check: one.remedy for one in after.findings if one.severity is Severity.ERROR}
    assert set(told) == {"layout", "gear-to-shaft"}
    for remedy in told.values():
        assert remedy is not None
        assert remedy.tried
        assert dict(remedy.set) == {"stages[0].driven": 74}
        assert "11.56 to 1" in remedy.text  # 74/12 x 60/32 = 11.5625


def test_one_search_finds_the_first_tooth_count_that_fits() -> None:
    """40 teeth let the motor's body (64 mm) stand on the bearing beside it. The centre distance must grow by 13.12 mm,
    so the sum of the teeth by 2 x 13.12 / 1.27 = 20.7: 62, the next even count, and everything else goes with it."""
    text = FAIR.read_text().partition("[places]")[0].replace("driven = 72", "driven = 40")
    job = load_job_text(text)
    design = make(job)
    assert design.status is Status.REFUSED
    errors = [one for one in with_tried_remedies(job, design, SEARCH).findings if one.severity is Severity.ERROR]
    assert {one.check for one in errors} >= {"layout", "hardware-clearance"}
    for one in errors:
        assert one.remedy is not None
        assert one.remedy.tried
        assert dict(one.remedy.set) == {"stages[0].driven": 62}
        assert "becomes 9.688 to 1" in one.remedy.text  # 62/12 x 60/32


def test_a_count_that_is_not_enough_yet_leads_on_to_one_that_is() -> None:
    """With three motors over a 4 in wheel, the 62 teeth that clear the bearing leave no place: the motors still stand
    in each other and in the wheel. The way out is told at the first finding, not somewhere below, and it is true."""
    job = load_job("compost-drive").changed({"stages[0].driven": 40})
    first = with_tried_remedies(job, make(job)).findings[0]
    assert first.check == "layout"
    assert first.remedy is not None
    assert first.remedy.tried
    ((key, teeth),) = first.remedy.set
    assert key == "stages[0].driven"
    assert isinstance(teeth, int)
    assert f"becomes {teeth / 12 * 60 / 32:.4g} to 1" in first.remedy.text
    assert make(job.changed(dict(first.remedy.set))).status is Status.OK


def test_the_answer_is_the_same_every_time() -> None:
    job, design = wrong("motor-to-motor")
    assert with_tried_remedies(job, design).findings == with_tried_remedies(job, design).findings
    assert BUDGET >= 2 * SEARCH


def test_a_note_is_tried_after_all_else(builds: list[JobSpec]) -> None:
    job, design = wrong("marks-room")
    assert with_tried_remedies(job, design, budget=0).findings == design.findings
    for after in with_tried_remedies(job, design).findings:
        assert after.severity is Severity.NOTE
        assert after.remedy is not None
        assert after.remedy.tried
    assert len(builds) == 1


@pytest.mark.parametrize("key", ["height", "forward"])
def test_a_limit_that_leaves_no_place_is_told_with_the_room_that_is_enough(key: str) -> None:
    job = load_job("compost-drive", [f'limits.{key}="60 mm"'])
    after = with_tried_remedies(job, make(job))
    first = after.findings[0]
    assert first.check == "layout"
    assert f"limits.{key} = 2.3622 in" in first.message  # 60 mm, in a job in inches
    assert first.remedy is not None
    assert first.remedy.tried
    ((name, value),) = first.remedy.set
    assert name == f"limits.{key}"
    assert make(job.changed({name: value})).errors == ()


def test_a_keep_out_that_has_to_go_is_left_out_and_the_others_stay() -> None:
    far = '{name = "far", disc = {at = [9, 9.5], diameter = "10 mm"}, z = ["-5 mm", "12 mm"]}'
    job = load_job("compost-drive", [f'keep_outs=[{far}, {{name="x", box=[-3, 2, 0, 4]}}]'])
    first = with_tried_remedies(job, make(job)).findings[0]
    assert first.check == "layout"
    assert "Without keep_outs[1] there would be room for the shafts." in first.message
    assert first.remedy is not None
    assert first.remedy.tried
    after = job.changed(dict(first.remedy.set))
    assert make(after).errors == ()
    (left,), (was, _) = after.layout_spec.keep_outs, job.layout_spec.keep_outs
    assert (left.name, left.box) == ("far", None)
    # written to a tenth of a thou
    assert left.disc == pytest.approx(was.disc, abs=0.0015)
    assert (left.z0_mm, left.z1_mm) == pytest.approx((was.z0_mm, was.z1_mm), abs=0.0015)


def test_a_layout_error_is_offered_no_change_that_was_not_tried() -> None:
    """Nor one that the budget did not reach: without a place for its motors it has many findings with changes."""
    job = load_job("compost-drive", ['keep_outs=[{name="x", box=[-3, 2, 0, 4]}]'])
    design = make(job)
    for budget in (0, 1, SEARCH, BUDGET):
        first = with_tried_remedies(job, design, budget, boxes=0).findings[0]
        assert first.check == "layout"
        assert first.remedy is None or first.remedy.tried
        assert first.alternatives == ()


def test_where_other_errors_stay_the_remedy_says_so() -> None:
    job = load_job("compost-drive", ['limits.height="60 mm"', 'limits.inward="20 mm"'])
    after = with_tried_remedies(job, make(job))
    told = {one.check: one.remedy for one in after.findings if one.remedy is not None and one.remedy.tried}
    assert all("Other errors stay." in remedy.text for check, remedy in told.items() if check != "layout")


def test_under_a_large_wheel_all_motors_go_to_the_other_side_at_once() -> None:
    """One alone toward the middle does not mend what both of them miss by 27 mm."""
    job = load_job_text(
        """
        format = 1
        part = "pair"
        units = "inch"
        material = "acetal-6mm"
        cutter = "demo"
        wheel = {diameter = 8}
        motors = {type = "generic-a", count = 2, pinion = 12}
        stages = [{driven = 72}, {driver = 32, driven = 60}]
        diametral_pitch = 20
        """,
        "pair.toml",
    )
    design = with_tried_remedies(job, make(job))
    assert [finding.check for finding in design.errors] == ["layout", "motor-to-wheel", "motor-to-wheel"]
    for finding in design.errors:
        assert finding.remedy is not None
        assert finding.remedy.tried
        assert finding.remedy.set == (("motors.side", "inboard"),)
    assert make(job.changed({"motors.side": "inboard"})).findings == ()


TWO_MOTORS = """
format = 1
part = "pair"
units = "inch"
material = "acetal-6mm"
cutter = "demo"
wheel = {{diameter = {wheel}}}
diametral_pitch = 20
stages = [{{driven = 72}}, {{driver = 32, driven = 60}}]
motors = {motors}
"""
GROUP = '{{type = "generic-a", count = 2, pinion = 12{}}}'


@pytest.mark.parametrize(
    ("wheel", "motors", "fault", "wanted"),
    [
        # no clocking reaches all four: the driven gear stands before one of them
        (5, GROUP.format(", screws = 4"), "motor-service", {"motors.screws": 2}),
        (
            5,
            GROUP.format(", screws = 4, clocking = 20"),
            "motor-service",
            {"motors.screws": 2, "motors.clocking": None},
        ),
        (5, GROUP.format(", clocking = 90"), "hardware-clearance", {"motors.clocking": None}),
        (8, GROUP.format(""), "motor-to-wheel", {"motors.side": "inboard"}),
        (8, f"[{GROUP.format('')}]", "motor-to-wheel", {"motors[0].side": "inboard"}),
        (5, GROUP.format(', slots = "3 mm"'), "slot-travel", {"motors.slots": "0.022 in"}),
    ],
)
def test_what_mends_motors_of_one_table_is_set_there_and_tried(
    wheel: float, motors: str, fault: str, wanted: dict[str, object]
) -> None:
    """Of every finding, the first too."""
    job = load_job_text(TWO_MOTORS.format(wheel=wheel, motors=motors), "pair.toml")
    design = with_tried_remedies(job, make(job))
    assert fault in {finding.check for finding in design.findings}
    for finding in design.findings:
        assert finding.remedy is not None
        assert finding.remedy.tried
        assert dict(finding.remedy.set) == wanted
    assert not {one.check for one in make(job.changed(wanted)).findings} & {"layout", fault}


def test_a_note_is_tried_and_a_warning_in_its_place_is_no_remedy() -> None:
    job, design = wrong("gap-room")
    note = replace(design.findings[0], severity=Severity.NOTE)
    design = replace(design, findings=(note,))
    tried = with_tried_remedies(job, with_remedies(design, {"plates.gap": "33 mm"})).findings[0].remedy
    assert tried == Remedy("way 0", (("plates.gap", "33 mm"),), tried=True)
    warns = {"plates.gap": "33 mm", "shaft.bearing": "R8ZZ-hex"}
    other = with_tried_remedies(job, with_remedies(design, warns)).findings[0].remedy
    assert other is not None
    assert not other.tried
