"""How long the commands take that load no library of geometry, over a bare program of the command line library.

    python tests/bench/startup.py [ROUNDS]

Prints the medians and their ratios; ends with 1 where one is over 1.3.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from tests.bench.interleaved import medians_s

LIMIT = 1.3
BARE = """\
import click

@click.group()
def bare():
    "A program that does nothing."

@bare.command()
def nothing():
    "Do nothing."

bare()
"""
QUICK = {
    "gearplate --help": ["--help"],
    "gearplate --version": ["--version"],
    "gearplate explain backlash": ["explain", "backlash"],
    "gearplate biuld": ["biuld"],
}


def ratios(rounds: int, talk: bool = True) -> dict[str, float]:
    """Median time of each quick command over that of the bare program's --help."""
    bare = "bare click program --help"
    with tempfile.TemporaryDirectory() as folder:
        program, ours = Path(folder, "bare.py"), Path(folder, "ours.py")
        program.write_text(BARE, encoding="utf-8")
        # What the installed command's script holds, so that both are one file that Python is given.
        ours.write_text("import sys\nfrom gearplate.cli import entry\nsys.exit(entry())\n", encoding="utf-8")
        commands = {bare: [sys.executable, str(program), "--help"]}
        commands |= {name: [sys.executable, str(ours), *arguments] for name, arguments in QUICK.items()}
        times = medians_s(commands, rounds, folder)
    found = {name: times[name] / times[bare] for name in QUICK}
    if talk:
        print(f"{bare}: {1000 * times[bare]:.0f} ms")
        for name, value in found.items():
            print(f"{name}: {1000 * times[name]:.0f} ms, ratio {value:.2f} (limit {LIMIT:g})")
    return found


if __name__ == "__main__":
    sys.exit(max(ratios(int(sys.argv[1]) if len(sys.argv) > 1 else 15).values()) > LIMIT)
