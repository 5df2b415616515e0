"""How long a build with all places given takes, over the time that its libraries need to draw one circle.

    python tests/bench/build.py [ROUNDS]

Prints the medians and their ratio; ends with 1 where the ratio is 2 or more.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from tests.bench.interleaved import medians_s

LIMIT = 2.0
JOB = Path(__file__).with_name("placed.toml")
ONE_CIRCLE = """\
import ezdxf, numpy, shapely
drawing = ezdxf.new("R2000")
drawing.modelspace().add_circle((0, 0), 5)
drawing.saveas("one-circle.dxf")
"""


def ratio(rounds: int, talk: bool = True) -> float:
    """Median time of the build over that of the one circle."""
    with tempfile.TemporaryDirectory() as folder:
        build = [sys.executable, "-m", "gearplate", "build", str(JOB), "--out", "built"]
        first = subprocess.run(build, cwd=folder, capture_output=True, text=True, check=False)
        if first.returncode != 0:
            raise SystemExit(f"the build itself fails: {first.stdout}{first.stderr}")
        times = medians_s({"one circle": [sys.executable, "-c", ONE_CIRCLE], "build": build}, rounds, folder)
    found = times["build"] / times["one circle"]
    if talk:
        print(f"one circle with ezdxf, numpy and shapely loaded: {1000 * times['one circle']:.0f} ms")
        print(f"gearplate build, all places given:               {1000 * times['build']:.0f} ms")
        print(f"ratio {found:.2f} (limit {LIMIT:g})")
    return found


if __name__ == "__main__":
    sys.exit(ratio(int(sys.argv[1]) if len(sys.argv) > 1 else 9) >= LIMIT)
