"""What must be quick loads no library that is slow."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from tests.builders.command import job_in, surroundings

SLOW = ("ezdxf", "shapely", "numpy", "pydantic", "tomlkit", "json", "tomllib", "decimal", "hashlib")
LOADED = """\
import sys
from gearplate.cli import main
code = main(sys.argv[1:])
print(code, *[name for name in {slow} if name in sys.modules], file=sys.stderr)
"""


def loaded(*arguments: str, folder: Path, slow: tuple[str, ...] = SLOW) -> list[str]:
    """The exit code, and which of the slow modules a command loads."""
    run = subprocess.run(
        [sys.executable, "-c", LOADED.format(slow=slow), *arguments],
        cwd=folder, env=surroundings(), capture_output=True, text=True, check=True,
    )  # fmt: skip
    return run.stderr.splitlines()[-1].split()


@pytest.mark.parametrize(
    ("arguments", "code"),
    [
        ([], "0"),
        (["--help"], "0"),
        (["--version"], "0"),
        (["build", "--help"], "0"),
        (["explain", "backlash"], "0"),
        (["explain", "kerf"], "0"),
        (["explain"], "0"),
        (["biuld"], "2"),
        (["check", "--bogus"], "2"),
    ],
)
def test_no_slow_library(arguments: list[str], code: str, tmp_path: Path) -> None:
    assert loaded(*arguments, folder=tmp_path) == [code]


def test_a_build_loads_only_what_it_uses(tmp_path: Path) -> None:
    job_in(tmp_path)
    heavy = ("ezdxf", "shapely", "pydantic", "tomlkit", "scipy", "numpy")
    assert loaded("build", folder=tmp_path, slow=heavy) == ["0", "numpy"]


def test_importing_the_package_loads_nothing(tmp_path: Path) -> None:
    code = "import sys, gearplate; print(sorted(name for name in sys.modules if name.startswith('gearplate')))"
    run = subprocess.run(
        [sys.executable, "-c", code], cwd=tmp_path, env=surroundings(), capture_output=True, text=True, check=True
    )
    assert run.stdout == "['gearplate']\n"
