"""How long an assessment takes in this process, beside the solve of a network of the same kind, both measured here.

Prints the median time of `assess` for each demonstration design, and its ratio to solving one network of 40 nets.
"""

from __future__ import annotations

import statistics
import sys
import time
from collections.abc import Callable

import rigfeed
from rigfeed.examples import examples
from rigfeed.network.elements import Resistor, Sink, Source
from rigfeed.network.network import Network
from rigfeed.network.solve import solve

RUNS = 15
NETS = 40


def median_s(action: Callable[[], object]) -> float:
    action()  # the first one reads catalogs
    found = []
    for _ in range(RUNS):
        start = time.perf_counter()
        action()
        found.append(time.perf_counter() - start)
    return statistics.median(found)


def ladder() -> Network:
    """A feed with a load at every step."""
    elements: list[Resistor | Sink | Source] = [Source("s", "n0", "g", 12.6, 0.01)]
    for step in range(1, NETS):
        elements.append(Resistor(f"r{step}", f"n{step - 1}", f"n{step}", 0.001))
        elements.append(Sink(f"l{step}", f"n{step}", "g", "power", 1.0))
    return Network.build(elements)


def main() -> int:
    network = ladder()
    one = median_s(lambda: solve(network))
    print(f"solving a ladder of {NETS} nets: {one * 1000:.2f} ms")
    for name in examples():
        design = rigfeed.load(rigfeed.example(name))
        took = median_s(lambda design=design: rigfeed.assess(design))
        print(f"assessing {name}: {took * 1000:.1f} ms, {took / one:.0f} times that")
    return 0


if __name__ == "__main__":
    sys.exit(main())
