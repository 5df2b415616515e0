"""Trains with their layouts against one layout by a general optimiser: `python tests/bench/train_layouts.py FILE`.

Of all two-stage trains of a ratio within 2 % that the static filter lets pass, the 300 nearest to it are weighed
together with their layouts, and the best is certified: no layout of any of them is more than 0.5 % smaller. Beside it
stands one run of the baseline of `layout.py` on the problem in FILE. CPU time of this process is told, the list of
trains and its filter included.
"""

from __future__ import annotations

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
os.environ.setdefault("OMP_NUM_THREADS", "1")

import argparse
import importlib.util
import json
import statistics
import sys
import time
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE), str(HERE.parent.parent)]

from layout import baseline  # noqa: E402
from problem_file import read_problem  # noqa: E402

from gearplate.job.best_train import trains_of  # noqa: E402
from gearplate.job.load import load_job_text  # noqa: E402
from gearplate.layout.certified.among import best_of  # noqa: E402
from gearplate.layout.certified.branch import Settings  # noqa: E402
from gearplate.layout.train_field import TrainField  # noqa: E402

TRAINS = 300
GAP = 0.005
JOB = """
format = 1
part = "bench"
cutter = "demo"
material = "acetal-6mm"
wheel = {{diameter = "4 in"}}
diametral_pitch = 20
reduction = {{ratio = "{ratio}", stages = 2}}
motors = {{type = "generic-a", count = {motors}}}
"""
CASES = (("16", 2), ("10", 3))


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("file", type=Path, help="the problem that the baseline is run on")
    parser.add_argument("--seeds", type=int, default=3)
    parser.add_argument("--skip-de", action="store_true", help="leave the baseline out")
    parser.add_argument("--json", action="store_true", help="one JSON list of all entries")
    wanted = parser.parse_args()
    if not wanted.skip_de and importlib.util.find_spec("scipy") is None:
        parser.error("the baseline needs scipy (pip install '.[bench]'); without it: --skip-de")
    other = None
    if not wanted.skip_de:
        problem = read_problem(wanted.file)
        other = statistics.median(baseline(problem, seed)["de_cpu_s"] for seed in range(wanted.seeds))
    entries = []
    for ratio, motors in CASES:
        own = [weighed(ratio, motors, seed) for seed in range(wanted.seeds)]
        for entry in own:
            entry["de_cpu_s"] = other
        entries += own
        if not wanted.json:
            print(told(own), flush=True)
    if wanted.json:
        print(json.dumps(entries, indent=1))
    return 0


def weighed(ratio: str, motors: int, seed: int) -> dict[str, Any]:
    job = load_job_text(JOB.format(ratio=ratio, motors=motors))
    begin = time.process_time()
    found = trains_of(job)
    assert found is not None
    assert found.field is not None
    field = nearest(found.field, TRAINS)
    chosen = best_of(field, Settings(gap=GAP, batch=512, seed=seed))
    spent = time.process_time() - begin
    stages = field.train(chosen.number).stages if chosen.number is not None else ()
    return {
        "name": f"{ratio} : 1, {motors} motors",
        "seed": seed,
        "trains": len(field.kinds),
        "status": chosen.status.value,
        "train": [[stage.driver, stage.driven] for stage in stages],
        "value": chosen.value,
        "bound": chosen.bound,
        "boxes": chosen.boxes,
        "settled": chosen.done,
        "cpu_s": spent,
    }


def nearest(field: TrainField, count: int) -> TrainField:
    """The trains that come nearest to the wanted ratio."""
    (part,) = field.parts
    rows = np.argsort(part.closeness, kind="stable")[:count]
    return TrainField((replace(part, measured=part.measured.rows(rows), closeness=part.closeness[rows]),))


def told(entries: list[dict[str, Any]]) -> str:
    first = entries[0]
    own = statistics.median(entry["cpu_s"] for entry in entries)
    worst = max(entry["cpu_s"] for entry in entries)
    text = f"{first['name']}: {first['trains']} trains, {first['status']}, value {first['value']:.1f}, "
    text += f"bound {first['bound']:.1f}, boxes {max(e['boxes'] for e in entries)}, "
    text += f"CPU {1e3 * own:.0f} ms median, {1e3 * worst:.0f} ms worst"
    if first["de_cpu_s"] is None:
        return text
    other = first["de_cpu_s"]
    return text + f"; one baseline run {1e3 * other:.0f} ms: {own / other:.2f} of it"


if __name__ == "__main__":
    sys.exit(main())
