"""Showing a build needs neither the polygon nor the drawing library, nor numpy."""

from __future__ import annotations

import subprocess
import sys

import pytest


@pytest.mark.parametrize("module", ["account", "differences", "overlay", "page", "plate_picture"])
def test_what_shows_a_record_is_light(module: str) -> None:
    code = (
        f"import sys, gearplate.packet.{module}; "
        "print(*{'ezdxf', 'shapely', 'numpy', 'pydantic', 'tomlkit'} & set(sys.modules))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.split() == []
