"""Imports ezdxf where it is used, without leaving anything in the user's home folder."""

from __future__ import annotations

import contextlib
import logging
import os
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path as FilePath
from typing import Any

FONT_LIST = "font_manager_cache.json"
NO_FONTS = '{"version": 2, "font-faces": []}'
CACHE_HOME = "XDG_CACHE_HOME"


def ezdxf_module() -> Any:
    """The module ezdxf, imported at the first call.

    On a machine where it never ran, `import ezdxf` looks through all fonts of the system and writes a
    list of them into the user's home (measured: 0.54 s instead of 0.28 s with 38 fonts; a warning where
    the home cannot be written). No cut file holds text, so the list is not needed: while it is missing,
    the import is pointed to an empty one in a folder that lives only as long as the import. Where the
    user has a list, it is used as ever.
    """
    if "ezdxf" not in sys.modules:
        # Its remarks on damaged files go to whoever listens, not to the terminal: what matters is told by us.
        logging.getLogger("ezdxf").addHandler(logging.NullHandler())
        with _spare_font_list():
            import ezdxf
    import ezdxf

    return ezdxf


@contextlib.contextmanager
def _spare_font_list() -> Iterator[None]:
    before = os.environ.get(CACHE_HOME)
    with contextlib.ExitStack() as stack:
        folder = None if _has_font_list(before) else _folder_without_fonts(stack)
        if folder is not None:
            os.environ[CACHE_HOME] = folder
        try:
            yield
        finally:
            if folder is not None:
                del os.environ[CACHE_HOME]
                if before is not None:
                    os.environ[CACHE_HOME] = before


def _has_font_list(cache_home: str | None) -> bool:
    try:
        home = FilePath(cache_home).expanduser() if cache_home else FilePath("~").expanduser() / ".cache"
        return (home / "ezdxf" / FONT_LIST).exists()
    except (OSError, RuntimeError):
        return False


def _folder_without_fonts(stack: contextlib.ExitStack) -> str | None:
    """A temporary folder with an empty list; None where there is no room for one (then the library does
    as ever)."""
    try:
        folder = stack.enter_context(tempfile.TemporaryDirectory(ignore_cleanup_errors=True))
        (FilePath(folder) / "ezdxf").mkdir()
        (FilePath(folder) / "ezdxf" / FONT_LIST).write_text(NO_FONTS, encoding="utf-8")
    except OSError:
        return None
    return folder
