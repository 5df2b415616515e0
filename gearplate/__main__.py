"""`python -m gearplate`: the same as the installed command, where that is not on the path."""

from __future__ import annotations

from gearplate.cli import entry

if __name__ == "__main__":
    entry()
