"""Progress on a terminal, and Ctrl-C during a search that would take ages: the best so far, or nothing at all."""

from __future__ import annotations

import json
import math
import os
import select
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from gearplate.cli import interrupt
from gearplate.cli.progress import Shown
from gearplate.cli.watching import ENDING, seen_text, told_of_the_end, watching
from gearplate.layout.watch import Seen, Stage
from tests.builders.command import contents, job_in, surroundings

JOB = """\
format = 1
part = "slow-drive"
units = "mm"
material = "acetal-6mm"
cutter = "demo"
wheel = {diameter = "4 in"}
diametral_pitch = 20
stages = [{driven = 72}, {driver = 32, driven = 60}]
motors = {type = "generic-a", count = 2, pinion = 12}
"""

# The command with a search that goes on until it is proven to a billionth, which takes ages.
SLOW = """\
from gearplate.layout import proof, solve
for module in (proof, solve):
    settings = module.Settings
    module.Settings = lambda settings=settings, **given: settings(**{**given, "gap": 1e-9, "stop_boxes": 10**9})
from gearplate.cli import entry
entry()
"""

# What comes after the search takes its time too, so that there is one for a second interrupt.
SLOW_AFTERWARDS = """\
import time
from gearplate import build
rules = build.run_rules
def slowly(subject):
    time.sleep(60)
    return rules(subject)
build.run_rules = slowly
"""

posix = pytest.mark.skipif(sys.platform == "win32", reason="signals and pseudo-terminals of POSIX")


def interrupted(folder: Path, signals: int, *arguments: str) -> tuple[int, str, str]:
    """Exit code, stdout, and what stood on the terminal, of a command that is interrupted while it searches."""
    import pty

    here, there = pty.openpty()
    run = subprocess.Popen(
        [sys.executable, "-c", (SLOW_AFTERWARDS if signals > 1 else "") + SLOW, *arguments],
        cwd=folder, env=surroundings(), stdout=subprocess.PIPE, stderr=there, start_new_session=True,
    )  # fmt: skip
    os.close(there)
    assert run.stdout is not None
    seen, sent, until = b"", 0, time.monotonic() + 60.0
    try:
        while time.monotonic() < until:
            if sent < signals and (b"ending the search with" in seen if sent else b", at least " in seen):
                run.send_signal(signal.SIGINT)
                sent += 1
            if select.select([here], [], [], 0.05)[0]:
                chunk = os.read(here, 65536)
                if not chunk:
                    break
                seen += chunk
    except OSError:  # how Linux says that the other end is closed
        pass
    finally:
        if time.monotonic() >= until:
            run.kill()
    os.close(here)
    out = run.stdout.read().decode()
    return run.wait(), out, seen.decode().replace("\r\n", "\n")


@posix
def test_the_first_ctrl_c_ends_the_search_and_builds_the_best_so_far(tmp_path: Path) -> None:
    job_in(tmp_path, JOB)
    code, out, shown = interrupted(tmp_path, 1, "build")
    assert code == 0, shown
    assert "The search was interrupted: this is the best layout until then" in " ".join(out.split())
    certificate = json.loads((tmp_path / "out/job/design.json").read_text())["layout"]["certificate"]
    assert (certificate["status"], certificate["interrupted"], certificate["proven"]) == ("stopped", True, False)
    assert certificate["bound"] <= certificate["value"]
    assert len(list((tmp_path / "out/job").glob("*.dxf"))) == 2
    # the terminal had the best so far and its bound, and nothing of that is left on it
    # (on a quick machine the search has ended, and its proof goes on, before the first line is shown)
    assert "job: searching: hull " in shown or "job: proving: hull " in shown
    assert " cm², at least " in shown
    assert ENDING in shown
    assert all(line.rpartition("\r")[2] in ("", ENDING) for line in shown.split("\n"))


@posix
def test_the_second_leaves_at_once_and_the_old_build_as_it_was(tmp_path: Path) -> None:
    job_in(tmp_path, JOB)
    before = contents(tmp_path)
    code, out, shown = interrupted(tmp_path, 2, "build")
    assert (code, out) == (130, "")
    assert shown.rstrip().endswith("gearplate: stopped. Nothing was written.")
    assert contents(tmp_path) == before


@posix
def test_what_is_reckoned_from_a_layout_is_not_reckoned_from_half_a_search(tmp_path: Path) -> None:
    job_in(tmp_path, JOB)
    code, out, shown = interrupted(tmp_path, 1, "play")
    assert (code, out) == (130, "")
    assert "gearplate: stopped. Nothing was written." in shown


def test_an_interrupt_is_put_down_only_while_a_search_runs() -> None:
    told: list[str] = []
    with interrupt.ending_a_search(lambda: told.append("asked")) as asked:
        with pytest.raises(KeyboardInterrupt):
            interrupt._handle(signal.SIGINT, None)
        assert (asked.to_end, told) == (False, [])
        asked.begun = True
        interrupt._handle(signal.SIGINT, None)
        assert (asked.to_end, told) == (True, ["asked"])
        with pytest.raises(KeyboardInterrupt):
            interrupt._handle(signal.SIGINT, None)
    with pytest.raises(KeyboardInterrupt):
        interrupt._handle(signal.SIGINT, None)
    assert told == ["asked"]
    interrupt._came.clear()


HALF = Seen(Stage.SEARCH, "area", 12_410.0, 12_100.0, 0.38)


@pytest.mark.parametrize(
    ("seen", "text"),
    [
        (HALF, "searching: hull 124.1 cm², at least 121.0; 38 % of the boxes"),
        (Seen(Stage.SEARCH, "area", None, 0.0, 0.02), "searching: hull none yet; 2 % of the boxes"),
        (
            Seen(Stage.PROOF, "height", 152.4, 127.0, 1.0),
            "proving: height 6.0000 in, at least 5.0000; 100 % of the boxes",
        ),
        (Seen(Stage.PROOF, "area", None, math.inf, 0.1), "proving: hull none; 10 % of the boxes"),
        (Seen(Stage.SEARCH, "height", None, math.inf, 0.1), "searching: height none; 10 % of the boxes"),
        (Seen(Stage.SEARCH, "width", 152.4, math.inf, 1.0), "searching: width 6.0000 in; 100 % of the boxes"),
    ],
)
def test_words_of_progress(seen: Seen, text: str) -> None:
    assert seen_text(seen, "inch") == text


def test_a_watch_goes_on_until_it_is_asked_to_end(capsys: pytest.CaptureFixture[str]) -> None:
    shown = Shown("drive", "placing", None)
    asked = interrupt.Asked(told_of_the_end(shown))
    watch = watching(shown, "mm", asked)
    assert not asked.begun
    assert watch(HALF)
    assert asked.begun
    asked.to_end = True
    asked.tell()
    assert not watch(HALF)
    assert not watch(HALF)
    assert capsys.readouterr().err == f"{ENDING}\n"
