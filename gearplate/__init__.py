"""gearplate: from one job file to two cut-ready gearbox plates."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from gearplate.gears.mesh import mesh as mesh

# Public names and the modules that hold them: looked up at first use, so that `import gearplate` loads no numpy.
# No public name may also be the name of a module or room at this level.
_PUBLIC = {
    "mesh": "gearplate.gears.mesh",
}

__all__ = ["mesh"]


def __getattr__(name: str) -> object:
    if name in _PUBLIC:
        return getattr(import_module(_PUBLIC[name]), name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")


def __dir__() -> list[str]:
    return sorted({*globals(), *_PUBLIC})
