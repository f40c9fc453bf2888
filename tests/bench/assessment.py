"""How long an assessment takes in this process, beside the solve of a network of the same kind, both measured here.

Prints the median time of `assess` for each demonstration design, and its ratio to solving one network of 40 nets.
"""

from __future__ import annotations

import sys

from yardstick import ladder, median_s

import rigfeed
from rigfeed.examples import examples
from rigfeed.network.solve import solve

RUNS = 15
NETS = 40


def main() -> int:
    network = ladder(NETS)
    one = median_s(lambda: solve(network), RUNS)
    print(f"solving a ladder of {NETS} nets: {one * 1000:.2f} ms")
    for name in examples():
        design = rigfeed.load(rigfeed.example(name))
        took = median_s(lambda design=design: rigfeed.assess(design), RUNS)
        print(f"assessing {name}: {took * 1000:.1f} ms, {took / one:.0f} times that")
    return 0


if __name__ == "__main__":
    sys.exit(main())
