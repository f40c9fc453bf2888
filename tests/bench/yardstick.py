"""What the benchmarks of one process share: a median time, and the solve that they are put beside."""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable

from rigfeed.network.elements import Resistor, Sink, Source
from rigfeed.network.network import Network


def median_s(action: Callable[[], object], runs: int, clock: Callable[[], float] = time.perf_counter) -> float:
    """The median of some runs of an action by a clock [s]; one before them, which reads catalogs, does not count."""
    action()
    found = []
    for _ in range(runs):
        start = clock()
        action()
        found.append(clock() - start)
    return statistics.median(found)


def ladder(nets: int) -> Network:
    """A feed with a load at every step."""
    elements: list[Resistor | Sink | Source] = [Source("s", "n0", "g", 12.6, 0.01)]
    for step in range(1, nets):
        elements.append(Resistor(f"r{step}", f"n{step - 1}", f"n{step}", 0.001))
        elements.append(Sink(f"l{step}", f"n{step}", "g", "power", 1.0))
    return Network.build(elements)
