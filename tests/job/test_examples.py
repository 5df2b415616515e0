"""The shipped jobs: they load, say that they are invented, and show every key."""

from __future__ import annotations

import re
import tomllib

import pytest

from gearplate.job.base import shipped_jobs
from gearplate.job.load import load_job
from gearplate.job.model import JobFile
from gearplate.job.model.table import Shape, Table
from gearplate.layout.spec import Mount, Side

JOBS = shipped_jobs()


@pytest.mark.parametrize("name", JOBS)
def test_it_loads_and_says_that_it_is_invented(name: str) -> None:
    text = JOBS[name].read_text(encoding="utf-8")
    assert "invented" in text
    assert re.search(r"^format = 1\b", text, re.MULTILINE)
    job = load_job(name)
    assert job.name == name
    assert (job.wish is None) == (name != "hopper-ratio")


def test_parts_are_not_called_alike() -> None:
    parts = [load_job(name).identity.part for name in JOBS]
    assert len(set(parts)) == len(parts)


def test_the_set_shows_what_it_is_there_for() -> None:
    jobs = {name: load_job(name) for name in JOBS}
    standard, tall = jobs["compost-drive"].layout_spec, jobs["compost-drive-tall"].layout_spec
    assert (standard.wheel.diameter_mm, tall.wheel.diameter_mm) == (101.6, 127.0)
    assert len(standard.motors) == len(tall.motors) == 3
    assert len(JOBS["compost-drive-tall"].read_text().splitlines()) < 20
    sides = [motor.side for motor in jobs["compost-drive-inboard"].layout_spec.motors]
    assert sides == [Side.OUTBOARD, Side.OUTBOARD, Side.INBOARD]
    single = jobs["sieve-single"].layout_spec
    assert (len(single.motors), len(single.train.stages)) == (1, 1)
    assert jobs["barrow-idler"].layout_spec.train.stages[0].idlers
    assert jobs["sprayer-metric"].units == "mm"
    assert jobs["trench-astride"].layout_spec.rail is not None
    assert jobs["trench-astride"].layout_spec.rail.mount is Mount.ASTRIDE
    every = jobs["every-key"].layout_spec
    assert set(every.places) == {"S1", "M1", "M2"}
    assert every.keep_outs
    assert jobs["every-key"].plate_spec.own_holes


def keys_of(table: type[Table], seen: set[type[Table]]) -> set[str]:
    if table in seen:
        return set()
    seen.add(table)
    found = set(table.keys)
    for key in table.keys.values():
        if isinstance(key.shape, Shape):
            found |= keys_of(key.shape.table, seen)
    return found


def test_every_key_is_shown_in_the_reference() -> None:
    text = JOBS["every-key"].read_text(encoding="utf-8")
    shown = set(re.findall(r"([a-z_]+)(?= = |\]\])|\[([a-z_]+)[\].]", text))
    words = {word for pair in shown for word in pair if word}
    keys = keys_of(JobFile, set())
    assert keys - words == set()


def test_comments_do_not_hide_that_a_line_is_toml() -> None:
    """What is commented out in the reference is TOML as well: a reader may take the # away."""
    read: set[str] = set()
    for line in JOBS["every-key"].read_text(encoding="utf-8").splitlines():
        match = re.match(r"# ((?:[a-z_]+ = |\[).*)", line)
        if match and not line.startswith("#:"):
            read |= tomllib.loads(match[1]).keys()
    # what cannot stand beside the other keys of the reference
    assert {"base", "drop", "profiles", "module", "reduction", "ratio", "within"} <= read
