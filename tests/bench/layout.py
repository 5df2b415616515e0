"""Certified layouts against a general optimiser, in one process: `python tests/bench/layout.py FILE... [--seeds N]`.

Every file is solved once a seed. The baseline is scipy's differential evolution (tolerance 1e-6, all else as it comes)
on a plain scalar evaluator, one point a call, the wish plus a cost for every mm missed. CPU time of this process is
told, not the clock's.
"""

from __future__ import annotations

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
os.environ.setdefault("OMP_NUM_THREADS", "1")

import argparse
import importlib.util
import json
import math
import statistics
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE), str(HERE.parent.parent)]

from problem_file import read_problem  # noqa: E402
from scalar import evaluator  # noqa: E402

from gearplate.layout.certified.branch import Settings, solve  # noqa: E402
from gearplate.layout.certified.problem import LayoutProblem  # noqa: E402

MISSED_MM = 1e-3
WITHIN = 1.005


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("files", nargs="+", type=Path)
    parser.add_argument("--seeds", type=int, default=1)
    parser.add_argument("--skip-de", action="store_true", help="leave the baseline out")
    parser.add_argument("--json", action="store_true", help="one JSON list of all entries")
    parser.add_argument("--stop", type=int, default=2_000_000, help="boxes looked at, at most")
    wanted = parser.parse_args()
    if not wanted.skip_de and importlib.util.find_spec("scipy") is None:
        parser.error("the baseline needs scipy (pip install '.[bench]'); without it: --skip-de")
    entries: list[dict[str, Any]] = []
    for file in wanted.files:
        problem = read_problem(file)
        own = [solved(problem, seed, wanted.stop) for seed in range(wanted.seeds)]
        if not wanted.skip_de:
            for entry in own:
                entry |= baseline(problem, entry["seed"])
        entries += own
        if not wanted.json:
            print(told(own), flush=True)
    if wanted.json:
        print(json.dumps(entries, indent=1))
    return 0


def solved(problem: LayoutProblem, seed: int, stop: int) -> dict[str, Any]:
    begin = time.process_time()
    answer = solve(problem, Settings(seed=seed, stop_boxes=stop))
    spent = time.process_time() - begin
    angles = answer.angles_rad
    return {
        "name": problem.name,
        "seed": seed,
        "status": answer.status.value,
        "objective": problem.wish.value,
        "value": answer.value,
        "bound": answer.bound if math.isfinite(answer.bound) else None,
        "angles_deg": None if angles is None else {name: math.degrees(angle) for name, angle in angles.items()},
        "cpu_s": spent,
        "nodes": answer.boxes,
        "de_cpu_s": None,
        "de_value": None,
        "us_per_call": None,
    }


def baseline(problem: LayoutProblem, seed: int) -> dict[str, Any]:
    """One run of differential evolution; `de_value` is None where what it found misses a demand."""
    from scipy.optimize import differential_evolution

    penalised, wish_and_miss = evaluator(problem)
    calls = [0]

    def counted(point: Any) -> float:
        calls[0] += 1
        return penalised(point)

    bounds = [(-math.pi, math.pi)] * len(problem.free)
    begin = time.process_time()
    found = differential_evolution(counted, bounds, tol=1e-6, seed=seed)
    spent = time.process_time() - begin
    wish, miss = wish_and_miss(found.x)
    return {
        "de_cpu_s": spent,
        "de_value": wish if miss <= MISSED_MM else None,
        "us_per_call": 1e6 * _cost(penalised, found.x),
    }


def _cost(function: Callable[[Any], float], point: Any) -> float:
    begin = time.process_time()
    for _ in range(2000):
        function(point)
    return (time.process_time() - begin) / 2000


def told(entries: list[dict[str, Any]]) -> str:
    name = entries[0]["name"]
    own = statistics.median(entry["cpu_s"] for entry in entries)
    worst = max(entry["cpu_s"] for entry in entries)
    values = [entry["value"] for entry in entries if entry["value"] is not None]
    ended = {status: sum(e["status"] == status for e in entries) for status in {e["status"] for e in entries}}
    text = f"{name}: {ended}, value {min(values, default=math.nan):.3f} to {max(values, default=math.nan):.3f}, "
    text += f"bound {min(e['bound'] or math.nan for e in entries):.3f}, boxes {max(e['nodes'] for e in entries)}, "
    text += f"CPU {1e3 * own:.1f} ms median, {1e3 * worst:.1f} ms worst"
    if entries[0]["de_cpu_s"] is None:
        return text
    other = statistics.median(entry["de_cpu_s"] for entry in entries)
    best = min(values, default=math.inf)
    fails = sum(entry["de_value"] is None or entry["de_value"] > WITHIN * best for entry in entries)
    call = statistics.median(entry["us_per_call"] for entry in entries)
    text += f"; baseline {1e3 * other:.0f} ms median ({call:.1f} us a call), {fails} of {len(entries)} not within 0.5 %"
    return text + f"; ratio 1/{other / own:.1f}"


if __name__ == "__main__":
    sys.exit(main())
