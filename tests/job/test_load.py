from __future__ import annotations

import subprocess
import sys

import gearplate
from gearplate.job.load import load_job

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
