"""How much an assessment takes of a processor, beside one linear solve of NumPy's, both measured in this process.

Prints, for each demonstration design and for generated vans from 25 conductors on, the processor time of a whole
`assess` and its ratio to ``numpy.linalg.solve`` of 100 unknowns. ``--most`` is the number of conductors to go up to.
The vans are taken with some of their equipment in use, and with all of it: of 200 conductors, many loads then have no
operating point, and finding out which takes a while.
"""

from __future__ import annotations

import argparse
import os
import sys
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # as the command line does

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[2]))

from tests.kit.drawing.generated import generated
from yardstick import median_s

import rigfeed
from rigfeed.design.model import Design
from rigfeed.examples import examples

UNKNOWNS = 100
RUNS = 9
SIZES = (25, 50, 100, 200)
IN_USE = 6


def one_solve() -> Callable[[], object]:
    """A linear system of the kind that a ladder of resistances makes."""
    matrix = 3.0 * np.eye(UNKNOWNS) - np.eye(UNKNOWNS, k=1) - np.eye(UNKNOWNS, k=-1)
    return partial(np.linalg.solve, matrix, np.ones(UNKNOWNS))


def report(name: str, design: Design, runs: int, one_s: float) -> None:
    took_s = median_s(partial(rigfeed.assess, design), runs, time.process_time)
    print(f"assessing {name}: {took_s * 1000:.0f} ms, {took_s / one_s:.0f} times that", flush=True)


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--most", type=int, default=100)
    most = parser.parse_args().most
    one_s = median_s(one_solve(), 500, time.process_time)
    print(f"one solve of {UNKNOWNS} unknowns: {one_s * 1e6:.0f} us")
    for name in examples():
        report(name, rigfeed.load(rigfeed.example(name)), RUNS, one_s)
    for size in SIZES:
        if size <= most:
            report(f"a van with {size} conductors, {IN_USE} in use", generated(size, at_once=IN_USE), 1, one_s)
            report(f"a van with {size} conductors, all in use", generated(size), 1, one_s)
    return 0


if __name__ == "__main__":
    sys.exit(main())
