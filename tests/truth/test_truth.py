"""Every worked example of outside truth in this folder, and the runner itself: it must be able to say no."""

from __future__ import annotations

import importlib.util
import subprocess
import sys
from pathlib import Path

import pytest

HERE = Path(__file__).resolve().parent
ROOT = HERE.parents[1]

_spec = importlib.util.spec_from_file_location("truth_run", HERE / "run.py")
assert _spec is not None
assert _spec.loader is not None
run = importlib.util.module_from_spec(_spec)
sys.modules["truth_run"] = run
_spec.loader.exec_module(run)

KINDS = run.all_kinds()
FILES = sorted(HERE.glob("*.toml"))
EXAMPLES = [
    pytest.param(path, example, id=f"{path.stem}-{example.get('id', number)}")
    for path in FILES
    for number, example in enumerate(run.read_examples(path))
]


@pytest.mark.parametrize(("path", "example"), EXAMPLES)
def test_example_agrees_with_its_source(path, example):
    outcome = run.run_example(example, KINDS, path.name)
    assert not outcome.misses, "\n".join(map(str, outcome.misses))
    assert outcome.compared > 0


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_examples_say_where_they_come_from(path):
    examples = run.read_examples(path)
    ids = [example["id"] for example in examples]
    assert len(ids) == len(set(ids))
    for example in examples:
        assert example["source"]
        assert example["mark"] in ("seen", "recomputed", "memory", "invented")


def test_gear_examples_are_all_there():
    examples = run.read_examples(HERE / "gears.toml")
    assert len(examples) == 23
    assert len({example["kind"] for example in examples}) == 15


@pytest.mark.parametrize(
    "example",
    [e for p in FILES for e in run.read_examples(p) if p.stem != "scatter"],
    ids=lambda example: example["id"],
)
def test_every_value_that_is_not_drawn_is_really_compared(example):
    """A value moved by two parts in a million must miss."""
    for key, wanted in example.get("expected", {}).items():
        if isinstance(wanted, list):
            off = wanted[:-1]
        else:
            off = wanted + 1 if isinstance(wanted, int) else wanted * (1 + 2e-6) if wanted else 2e-9
        changed = {**example, "expected": {key: off}, "published": {}}
        assert [miss.key for miss in run.run_example(changed, KINDS).misses] == [key]
    for key, wanted in example.get("published", {}).items():
        if key in example.get("published_disagrees", ()):
            continue
        off = wanted + 2.1 * example["published_tol"][key] + 1e-9
        changed = {**example, "expected": {}, "published": {key: off}}
        assert [miss.key for miss in run.run_example(changed, KINDS).misses] == [f"published {key}"]


@pytest.mark.parametrize(
    ("key", "off", "holds"),
    [("centre_mean", 0.0009, True), ("centre_mean", 0.0012, False), ("centre_q001", 0.002, True),
     ("centre_q999", 0.005, False), ("centre_std", 0.001, False), ("probability", 0.002, True),
     ("probability", 0.003, False)],
)  # fmt: skip
def test_drawn_results_are_held_to_the_tolerance_of_their_kind(key, off, holds):
    example = scatter_example("ps08")
    changed = {**example, "expected": {key: example["expected"][key] + off}}
    assert (run.run_example(changed, KINDS).misses == ()) is holds


@pytest.mark.parametrize(
    ("name", "key", "wanted"),
    [("ps05", "centre_mean", 30.050002), ("ps05", "centre_std", 2e-6), ("ps03", "probability", 0.0006)],
)
def test_what_follows_from_a_formula_alone_gets_no_room_for_draws(name, key, wanted):
    """The centre distance where the teeth alone scatter; a probability of none where the range ends above zero."""
    changed = {**scatter_example(name), "expected": {key: wanted}, "published": {}}
    assert [miss.key for miss in run.run_example(changed, KINDS).misses] == [key]


def scatter_example(name):
    (example,) = (one for one in run.read_examples(HERE / "scatter.toml") if one["id"] == name)
    return example


def script(*arguments, cwd=ROOT):
    return subprocess.run(
        [sys.executable, str(HERE / "run.py"), *map(str, arguments)], cwd=cwd, capture_output=True, text=True
    )


def test_runs_as_a_plain_script_from_anywhere(tmp_path):
    done = script(HERE / "gears.toml", cwd=tmp_path)
    assert done.returncode == 0, done.stdout + done.stderr
    assert "23 of 23 examples agree" in done.stdout


GOOD = """
[[held.example]]
id = "a1"
kind = "gear_min_profile_shift"
given = {z = 12, pressure_angle_deg = 20.0}
expected = {x_min = 0.298133329}
"""


@pytest.mark.parametrize(
    ("text", "code", "told"),
    [
        (GOOD, 0, "1 of 1"),
        (GOOD.replace("0.298133329", "0.298134"), 1, "a1: x_min: wanted 0.298134"),
        (GOOD.replace("x_min", "x_least"), 1, "not returned"),
        (GOOD.replace("gear_min_profile_shift", "gear_unheard_of"), 1, "no function of that kind"),
        (GOOD.replace("z = 12, ", ""), 1, "KeyError"),
        (GOOD + "published = {x_min = 0.31}\npublished_tol = {x_min = 0.02}", 0, "2 values compared"),
        (GOOD + "published = {x_min = 0.31}\npublished_tol = {x_min = 0.01}", 1, "published x_min"),
        (GOOD + "published = {x_min = 0.5}\npublished_disagrees = {x_min = 0.5}", 0, "1 values compared"),
        (GOOD.replace("held.example", "example"), 0, "1 of 1"),
        ("", 2, "no example"),
        ("= =", 2, ""),
        (GOOD.replace('kind = "gear_min_profile_shift"', ""), 2, "names no kind"),
        (GOOD.replace("expected", "unexpected"), 2, "neither expected nor published"),
    ],
)
def test_the_runner_says_what_missed(tmp_path, capsys, text, code, told):
    path = tmp_path / "case.toml"
    path.write_text(text, encoding="utf-8")
    assert run.main([str(path)]) == code
    shown = capsys.readouterr()
    assert told in shown.out + shown.err


def test_a_file_that_is_not_there_is_bad_input(tmp_path, capsys):
    assert run.main([str(tmp_path / "none.toml")]) == 2
    assert run.main([]) == 2
    capsys.readouterr()


@pytest.mark.parametrize(
    ("got", "wanted", "same"),
    [
        ([1.0, 2.0], [1.0, 2.0000001], True),
        ([1.0, 2.0], [1.0], False),
        ([1.0, [2.0, 3.0]], [1.0, [2.0, 3.1]], False),
        ((1, 2), [1, 2], True),
        (1e-14, 0.0, True),
        (1e-6, 0.0, False),
        (True, 1, False),
        (True, True, True),
        ("H7", "H7", True),
        ("H7", "h7", False),
        (None, 0.0, False),
        (float("nan"), 1.0, False),
        ({"a": 1.0}, {"a": 1.0}, True),
        ({}, {"a": 1.0}, False),
    ],
)
def test_comparison(got, wanted, same):
    assert run.agrees(got, wanted) is same
