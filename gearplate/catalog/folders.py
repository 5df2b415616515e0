"""Where the shipped tables lie."""

from __future__ import annotations

from pathlib import Path

from gearplate.errors import ToolBug


def profiles_folder() -> Path:
    """The shipped tables: `gearplate/profiles` in an installed wheel, `profiles` beside the package in a checkout.

    Raises:
        ToolBug: neither is there; the installation is broken.
    """
    package = Path(__file__).resolve().parent.parent
    for folder in (package / "profiles", package.parent / "profiles"):
        if (folder / "motors.toml").is_file():
            return folder
    raise ToolBug(f"the tables that ship with gearplate are missing: neither in {package} nor beside it")
