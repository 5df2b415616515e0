from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from gearplate.catalog import Catalog, load_catalog, profiles_folder


@pytest.fixture(scope="package")
def shipped() -> Catalog:
    return load_catalog([profiles_folder()])


@pytest.fixture
def overlaid(tmp_path: Path) -> Callable[..., Catalog]:
    """Writes a team's tables (file name without .toml = text) and lays them over the shipped ones."""

    def overlay(**tables: str) -> Catalog:
        for table, text in tables.items():
            (tmp_path / f"{table}.toml").write_text(text, encoding="utf-8")
        return load_catalog([profiles_folder(), tmp_path])

    return overlay
