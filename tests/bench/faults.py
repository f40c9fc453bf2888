"""The fault study beside one solve of the conductance matrix of the same network, both timed in this process.

Prints the ratio for about 200 conductors and 4 batteries, and the time for each short from 25 to 400 conductors. The
matrix is that of the study itself, in which a conductor with its joints is one branch: the smaller one.
"""

from __future__ import annotations

import os

os.environ["OPENBLAS_NUM_THREADS"] = "1"  # threads that wait for each other on a busy machine measure nothing

import statistics
import sys
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[2]))

from tests.kit.studies.faults.made import assessed, made

from rigfeed.assess import Assessment
from rigfeed.studies.ampacity import AMPACITY
from rigfeed.studies.faults import FAULTS
from rigfeed.studies.faults.cases import branches_of
from rigfeed.studies.operating import OPERATING
from rigfeed.studies.sections import SECTIONS

SIZES = (25, 50, 100, 200, 400)
BATTERIES = 4
MOST = 1000  # times one solve


def median_s(action: Callable[[], object], runs: int) -> float:
    found = []
    for _ in range(runs):
        start = time.perf_counter()
        action()
        found.append(time.perf_counter() - start)
    return statistics.median(found)


def study_s(assessment: Assessment, runs: int = 3) -> float:
    """The study alone: what it needs is there already."""
    needed = {study: assessment[study] for study in (SECTIONS, OPERATING, AMPACITY)}
    workshop = assessment._workshop
    assert needed
    return median_s(lambda: FAULTS.run(workshop.view(FAULTS.needs)), runs)


def solve_s(assessment: Assessment) -> tuple[float, int]:
    """One solve of the conductance matrix, and its size."""
    branches = branches_of(assessment.installation, "highest")
    size = len(branches.nets)
    matrix = np.zeros((size, size))
    for a, b, g in zip(branches.a, branches.b, branches.g, strict=True):
        matrix[[a, b], [a, b]] += g
        matrix[[a, b], [b, a]] -= g
    matrix = matrix[~branches.grounded][:, ~branches.grounded]
    right = np.ones(len(matrix))
    np.linalg.solve(matrix, right)
    return median_s(lambda: np.linalg.solve(matrix, right), 15), len(matrix)


def main() -> int:
    ratio = 0.0
    for size in SIZES:
        assessment = assessed(made(7, conductors=size, batteries=BATTERIES, fused=True).text())
        took = study_s(assessment)
        shorts = sum(len(case.shorts) for case in assessment[FAULTS].cases)
        one, nets = solve_s(assessment)
        print(
            f"{size} conductors, {nets} nets, {shorts} shorts: {took * 1e3:.0f} ms, {took / shorts * 1e6:.0f} us each, "
            f"one solve {one * 1000:.3f} ms, {took / one:.0f} times that"
        )
        ratio = took / one if size == 200 else ratio
    print(f"at 200 conductors {ratio:.0f} times one solve; allowed {MOST}")
    return 0 if ratio <= MOST else 1


if __name__ == "__main__":
    sys.exit(main())
