from __future__ import annotations

import math

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from gearplate.errors import JobError
from gearplate.job.load import job_from, load_job, load_job_text
from gearplate.job.setting import with_setting
from gearplate.job.spec import JobSpec
from gearplate.layout.spec import Side

OUT, IN = Side.OUTBOARD, Side.INBOARD


@pytest.fixture(scope="module")
def job() -> JobSpec:
    return load_job("compost-drive")  # a file in inches, three motors in one table


def sides(job: JobSpec) -> list[Side]:
    return [motor.side for motor in job.layout_spec.motors]


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ('wheel.diameter="5 in"', 127.0),
        ("wheel.diameter=5", 127.0),  # bare: the file is in inches
        ("wheel.diameter=5 in", 127.0),  # the shell took the quotes
        ("wheel.diameter = 130 mm", 130.0),
        ("wheel={diameter=5}", 127.0),
    ],
)
def test_a_value_is_toml_or_a_bare_word(text: str, mm: float) -> None:
    assert load_job("compost-drive", [text]).layout_spec.wheel.diameter_mm == pytest.approx(mm)


def test_settings_hold_in_order(job: JobSpec) -> None:
    later = load_job("compost-drive", ["motors.count=2", "hand=left", "motors.count=1", "limits.height=9"])
    assert len(later.layout_spec.motors) == 1
    assert later.identity.hands[0].value == "left"
    assert later.layout_spec.limits.height_mm == pytest.approx(228.6)
    assert len(job.layout_spec.motors) == 3


@pytest.mark.parametrize("text", ["motors[1].side=inboard", "motors.1.side=inboard", 'motors.M2.side="inboard"'])
def test_one_motor_of_a_group_is_set_alone(text: str) -> None:
    job = load_job("compost-drive", [text])
    assert sides(job) == [OUT, IN, OUT]
    assert {motor.motor.name for motor in job.layout_spec.motors} == {"generic-a"}


def test_all_motors_of_a_table_are_set_at_once() -> None:
    assert sides(load_job("compost-drive", ["motors.side=inboard"])) == [IN, IN, IN]


def test_an_index_into_a_list_of_groups_is_a_group_and_a_name_is_a_motor() -> None:
    groups = 'motors=[{type="generic-a",count=2,pinion=12},{type="generic-b",pinion=11}]'
    assert sides(load_job("compost-drive", [groups, "motors[0].side=inboard"])) == [IN, IN, OUT]
    named = load_job("compost-drive", [groups, "motors.M2.side=inboard", "motors.M3.pinion=10"])
    assert sides(named) == [OUT, IN, OUT]
    assert [motor.pinion.teeth for motor in named.layout_spec.motors] == [12, 12, 10]


def test_a_bare_gear_becomes_a_table_where_one_of_its_keys_is_set(job: JobSpec) -> None:
    changed = job.changed(
        {"stages[0].driven.shift": 0.1, "stages.1.driver.thinning": "0.05 mm", "motors.pinion.shift": 0.3}
    )
    first, second = changed.layout_spec.train.stages
    assert (first.driven.teeth, first.driven.shift) == (72, 0.1)
    assert second.driver is not None
    assert (second.driver.teeth, second.driver.thinning_mm) == (32, 0.05)
    assert changed.layout_spec.motors[2].pinion.shift == 0.3


def test_changes_leave_the_job_as_it_was(job: JobSpec) -> None:
    before = str(job.raw)
    changed = job.changed({"places.S1.angle": 90, "rail.height": "2.5 in", "motors.M1.side": "inboard"})
    assert changed.layout_spec.places["S1"].angle_rad == pytest.approx(math.pi / 2)
    assert changed.layout_spec.rail is not None
    assert changed.layout_spec.rail.height_mm == pytest.approx(63.5)
    assert str(job.raw) == before
    assert sides(job) == [OUT, OUT, OUT]
    assert changed.changed({"places.S1": None}).layout_spec.places == {}


def test_a_change_may_name_a_key_that_a_shorthand_hides(job: JobSpec) -> None:
    bare = job.changed({"rail": False})
    assert bare.layout_spec.rail is None
    assert bare.changed({"rail.height": 3}).layout_spec.rail is not None
    assert job.changed({"holes[0]": {"name": "a", "at": [1, 2], "diameter": 0.25}}).plate_spec.own_holes[0].x_mm == 25.4


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("wheel.diametr=5", 'Did you mean "diameter"'),
        ("whel.diameter=5", 'Did you mean "wheel"'),
        ("wheel.diameter", "not key=value"),
        ("wheel.diameter=", "not key=value"),
        ("=5", "dotted key"),
        ("wheel..diameter=5", "dotted key"),
        ("wheel.diameter=[1", "not a TOML value"),
        ("wheel.diameter=5\nhand='left'", "one line"),
        ("stages[7].driven=60", "no entry 7"),
        ("part.name=x", "not a table"),
        ("reduction=9", "a table { ... } with ratio"),
        ("units=mm", "belongs to the file"),
        ("base=other", "belongs to the file"),
        ("wheel.diameter=127", 'did you mean "127 mm"'),
        ("hand=up", "not known here"),
        ("motors.M9.side=inboard", "no entry"),
        ("a" * 3000 + "=1", "at most 2000"),
        (".".join("abcdefghijklmnopq") + "=1", "dotted key"),
    ],
)
def test_a_setting_that_cannot_be_is_refused_in_words(text: str, words: str) -> None:
    with pytest.raises(JobError) as caught:
        load_job("compost-drive", [text])
    (problem,) = caught.value.problems
    assert words in str(problem)
    assert problem.file.startswith("--set ")


def test_every_fault_of_every_setting_is_told_at_once() -> None:
    with pytest.raises(JobError) as caught:
        load_job("compost-drive", ["a=b=c", "wheel.diamter=5", "=5", "motors.count=9", "hand=left"])
    assert [problem.file for problem in caught.value.problems] == [
        "--set a=b=c",
        "--set =5",
        "--set motors.count=9",
        "--set wheel.diamter=5",
    ]


def test_a_fault_that_a_setting_makes_elsewhere_names_what_was_set() -> None:
    with pytest.raises(JobError) as caught:
        load_job("compost-drive", ["motors.screws=5"])
    (problem,) = caught.value.problems
    assert (problem.file, problem.key, problem.value) == ("--set motors.screws=5", "motors.screws", "5")


def test_single_motors_keep_the_line_that_they_came_from() -> None:
    text = 'format = 1\nbase = "compost-drive"\nunits = "inch"\n[motors]\ntype = "generic-x"\n'
    with pytest.raises(JobError) as caught:
        load_job_text(text, "job.toml", sets=["motors.M2.side=inboard"])
    assert {(problem.file, problem.line) for problem in caught.value.problems} == {("job.toml", 5)}


KEYS = ["motors", "M2", "M9", "0", "1", "[0]", "[7]", "stages", "driven", "teeth", "shift", "rail", "height", "wheel"]
KEYS += ["diameter", "places", "S1", "angle", "holes", "shafts", "outboard", "plates", "limits", "x", "-", "é", ""]
VALUES = [
    "5",
    "-1",
    "1e99",
    "true",
    "5 in",
    "x",
    '"5 mm"',
    "{}",
    "[]",
    "[{}]",
    "{teeth=12}",
    "[[1,2]]",
    "'",
    "",
    "=",
    "1979-05-27",
]


@given(st.lists(st.sampled_from(KEYS), min_size=1, max_size=5), st.sampled_from(VALUES), st.booleans())
@settings(max_examples=300, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_random_settings_are_taken_or_refused_in_words(job: JobSpec, keys: list[str], value: str, plain: bool) -> None:
    key = ".".join(keys).replace(".[", "[")
    refusal: JobError | None = None
    try:
        if plain:
            job.changed({key: value})
        else:
            job_from(with_setting(job.document, f"{key}={value}"), job.catalog)
    except JobError as error:
        refusal = error
    assert refusal is None or all(problem.message for problem in refusal.problems)


def test_null_takes_a_key_out_as_a_remedy_of_the_record_does() -> None:
    sets = ['limits={height="9 in", width="9 in"}', "limits.height=null"]
    limits = load_job("compost-drive", sets=sets).layout_spec.limits
    assert limits.height_mm is None
    assert limits.width_mm == pytest.approx(228.6)
    assert load_job("compost-drive", sets=['part="null"']).identity.part == "null", "in quotes it is a word"
    with pytest.raises(JobError, match="no such key to take out"):
        load_job("compost-drive", sets=["limits.height=null"])


def test_what_was_set_is_remembered_and_trials_are_not() -> None:
    job = load_job("compost-drive", sets=["wheel.diameter = 5", "motors.count=2"])
    assert job.document.settings == ("wheel.diameter=5", "motors.count=2")
    assert job.changed({"motors.count": 3}).document.settings == job.document.settings


def test_text_of_another_encoding_is_told_as_such() -> None:
    with pytest.raises(JobError, match="not UTF-8 text"):
        load_job("compost-drive", sets=["part=\udcff\udcfe"])
