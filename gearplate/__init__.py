"""gearplate: from one job file to two cut-ready gearbox plates."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from gearplate.gears.mesh import mesh as mesh
    from gearplate.job.load import load_job as load_job
    from gearplate.packet.shown import make as make
    from gearplate.packet.write import write as write

__version__ = "0.1.0"

# Public names and the modules that hold them: looked up at first use, so that `import gearplate` loads no numpy.
# No public name may also be the name of a module or room at this level.
_PUBLIC = {
    "load_job": "gearplate.job.load",
    "make": "gearplate.packet.shown",
    "mesh": "gearplate.gears.mesh",
    "write": "gearplate.packet.write",
}

__all__ = ["__version__", "load_job", "make", "mesh", "write"]


def __getattr__(name: str) -> object:
    if name in _PUBLIC:
        return getattr(import_module(_PUBLIC[name]), name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")


def __dir__() -> list[str]:
    return sorted({*globals(), *_PUBLIC})
