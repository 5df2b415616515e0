from __future__ import annotations

import re
import subprocess
import sys
import time
from pathlib import Path

import gearplate
from gearplate.cli.group import MOST_TOLD
from gearplate.job.load import load_job
from tests.builders.command import call

PRINT_HEAVY = (
    "import sys; print([name for name in ('pydantic', 'numpy', 'shapely', 'ezdxf', 'tomlkit') if name in sys.modules])"
)


def heavy_after(code: str) -> str:
    run = subprocess.run([sys.executable, "-c", f"{code}\n{PRINT_HEAVY}"], capture_output=True, text=True, check=True)
    return run.stdout.strip()


def test_the_public_name_is_this_one() -> None:
    assert gearplate.load_job is load_job


def test_loading_a_job_needs_no_heavy_library() -> None:
    assert heavy_after("import gearplate; gearplate.load_job('compost-drive')") == "[]"
    modules = "'gearplate.job.model' in sys.modules"
    assert heavy_after(f"import sys, gearplate.job.load, gearplate.job.new; assert not ({modules})") == "[]"


def test_thousands_of_unknown_keys_take_a_moment_and_end_in_a_list_that_ends(tmp_path: Path) -> None:
    """Of each file key by key, so that the time grows as the file does: 8,000 took 4 s when it did not."""
    (tmp_path / "job.toml").write_text("format = 1\n" + "\n".join(f"k{n} = 1" for n in range(8000)), encoding="utf-8")
    begun = time.process_time()
    answer = call("check", folder=tmp_path)
    assert time.process_time() - begun < 2.0
    assert answer.code == 2
    lines = answer.err.splitlines()
    assert re.fullmatch(r"80\d\d things to mend\. Nothing was written\.", lines[0])
    assert len(lines) == MOST_TOLD + 2
    assert re.fullmatch(r"  and 78\d\d more, which --json tells", lines[-1])


def test_a_key_as_long_as_a_book_is_not_told_whole(tmp_path: Path) -> None:
    (tmp_path / "job.toml").write_text(f"format = 1\n{'k' * 100_000} = 1\n", encoding="utf-8")
    assert max(map(len, call("check", folder=tmp_path).err.splitlines())) < 2000
