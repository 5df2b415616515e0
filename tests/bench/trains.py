"""How long the complete train search takes, beside plain enumeration and beside dense numpy, in the same run.

    python tests/bench/trains.py --ratio 41/2 --window 1/200 --counts 40 --stages 3 [--skip-baselines] [--json]

The catalogue: the first driver is one of 9 to 16 teeth; every other gear is one of N counts 15 + int(i * step) for
i = 0 to N - 1, with step 4 for N up to 15, 3 up to 25, 2 up to 40 and 1.5 above. Every stage reduces. Stages count in
order, and each method lists every train with all its tooth counts. Seconds are of processor time: of the search the
median of five runs, each of which begins with nothing but the lists of counts; of the baselines one run.

The baselines are written as well as we can. Both work out each product of ratios in floats, once for all trains that
share it, take a guard band round the window's edges, and decide in whole numbers what falls into it: without that
they lose trains where an edge is itself a ratio that gears can make.
"""

from __future__ import annotations

import argparse
import itertools
import json
import math
import statistics
import sys
import time
import tracemalloc
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

import numpy as np

from gearplate.gears.trains.listing import list_trains
from gearplate.gears.trains.question import Question, common
from gearplate.gears.trains.window import Window

GUARD = 1e-12
PINIONS = range(9, 17)


def catalogue(counts: int) -> list[int]:
    """The tooth counts of all gears but the first driver."""
    step = 4 if counts <= 15 else 3 if counts <= 25 else 2 if counts <= 40 else 1.5
    return [15 + int(i * step) for i in range(counts)]


def pairs_of(question: Question) -> list[list[tuple[int, int, float]]]:
    """For each stage its pairs and their ratios."""
    return [
        [(a, b, b / a) for a in stage.drivers for b in stage.driven if stage.allows(a, b)] for stage in question.stages
    ]


def by_itertools(question: Question) -> int:
    """Plain Python: the product of all stages' pairs, the last stage as the inner loop."""
    low, high = question.window.low, question.window.high
    bottom, top = float(low) * (1 - GUARD), float(high) * (1 + GUARD)
    surely_bottom, surely_top = float(low) * (1 + GUARD), float(high) * (1 - GUARD)
    *front, last = pairs_of(question)
    found = []
    for stages in itertools.product(*front):
        ratio = math.prod(stage[2] for stage in stages)
        least, most = bottom / ratio, top / ratio
        for end in last:
            if least <= end[2] <= most:
                if not surely_bottom <= ratio * end[2] <= surely_top:
                    n = math.prod(stage[1] for stage in stages) * end[1]
                    if not low <= Fraction(n, math.prod(stage[0] for stage in stages) * end[0]) <= high:
                        continue
                found.append((*stages, end))
    return len(found)


def by_dense_numpy(question: Question) -> int:
    """The ratios of the last two stages as one dense table, held against the window for every choice before them."""
    low, high = question.window.low, question.window.high
    pairs = [np.array(stage) for stage in pairs_of(question)]
    split = max(len(pairs) - 2, 1) if len(pairs) > 1 else 0
    front, back = pairs[:split], pairs[split:]
    table = np.ones(1)
    for stage in back:
        table = np.multiply.outer(table, stage[:, 2]).ravel()
    shape = tuple(len(stage) for stage in back)
    whole = [stage[:, :2].astype(np.int16) for stage in pairs]
    blocks, found = [], 0
    for rows in itertools.product(*(range(len(stage)) for stage in front)):
        ratio = math.prod(float(stage[row, 2]) for stage, row in zip(front, rows, strict=True))
        hits = np.flatnonzero(
            (table >= float(low) * (1 - GUARD) / ratio) & (table <= float(high) * (1 + GUARD) / ratio)
        )
        q = table[hits] * ratio
        unsure = np.flatnonzero((q < float(low) * (1 + GUARD)) | (q > float(high) * (1 - GUARD)))
        places = np.unravel_index(hits, shape) if back else ()
        columns = [np.broadcast_to(counts[row], (len(hits), 2)) for counts, row in zip(whole, rows, strict=False)]
        columns += [counts[place] for counts, place in zip(whole[split:], places, strict=True)]
        block = np.hstack(columns)
        if len(unsure):
            sides = block[unsure].astype(object)
            ratios = [Fraction(n, d) for n, d in zip(sides[:, 1::2].prod(1), sides[:, 0::2].prod(1), strict=True)]
            block = np.delete(block, [k for k, r in zip(unsure, ratios, strict=True) if not low <= r <= high], axis=0)
        blocks.append(block)
        found += len(block)
    answer = np.concatenate(blocks) if blocks else np.zeros((0, 2 * len(pairs)), np.int16)
    assert len(answer) == found
    return found


def by_search(question: Question) -> int:
    """The search of this project."""
    return len(list_trains(question))


def timed(method: Callable[[Question], int], question: Question, runs: int) -> tuple[int, float]:
    """What a method finds and its median processor time, seconds."""
    spent, found = [], 0
    for _ in range(runs):
        begun = time.process_time()
        found = method(question)
        spent.append(time.process_time() - begun)
    return found, statistics.median(spent)


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--ratio", type=Fraction, default=Fraction(41, 2), help="wanted ratio, such as 41/2")
    parser.add_argument("--window", type=Fraction, default=Fraction(1, 200), help="relative, either way: 1/200")
    parser.add_argument("--counts", type=int, default=40, help="tooth counts of the catalogue")
    parser.add_argument("--stages", type=int, default=3, help="from 1 to 4")
    parser.add_argument("--skip-baselines", action="store_true")
    parser.add_argument("--memory", action="store_true", help="also the peak of memory, in bytes, in a run of its own")
    parser.add_argument("--json", action="store_true")
    options = parser.parse_args()
    gears = catalogue(options.counts)
    question = common(PINIONS, gears, gears, options.stages, Window.around(options.ratio, options.window))
    found, seconds = timed(by_search, question, 5)
    result: dict[str, object] = {"searched": question.searched, "found": found, "seconds": seconds}
    result |= {"itertools_seconds": None, "numpy_seconds": None}
    agree = True
    if not options.skip_baselines:
        for name, method in (("numpy_seconds", by_dense_numpy), ("itertools_seconds", by_itertools)):
            others, result[name] = timed(method, question, 1)
            agree = agree and others == found
    if options.memory:
        tracemalloc.start()
        answer = list_trains(question).counts.nbytes
        result |= {"peak_bytes": tracemalloc.get_traced_memory()[1], "answer_bytes": answer}
        tracemalloc.stop()
    if options.json:
        print(json.dumps(result))
    else:
        for key, value in result.items():
            print(f"{key:18} {value:,}" if isinstance(value, int) else f"{key:18} {value}")
        if not options.skip_baselines:
            for name in ("itertools_seconds", "numpy_seconds"):
                print(f"{name.removesuffix('_seconds'):9} takes {float(str(result[name])) / seconds:.0f} times as long")
    if not agree:
        print("The baselines found another number of trains.", file=sys.stderr)
    return 0 if agree else 1


if __name__ == "__main__":
    sys.exit(main())
