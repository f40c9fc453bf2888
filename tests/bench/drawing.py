"""How long the drawings take in this process, beside the solve of a network of the same kind, both measured here.

Prints the median time of each drawing of the demonstration designs and of a generated one with 60 conductors, and its
ratio to solving one network of 60 nets. What is drawn is assessed before; reading and checking are no part of it.
"""

from __future__ import annotations

import statistics
import sys
import time
from collections.abc import Callable
from pathlib import Path

import rigfeed
from rigfeed.drawing.svg import svg_text
from rigfeed.examples import examples
from rigfeed.network.elements import Resistor, Sink, Source
from rigfeed.network.network import Network
from rigfeed.network.solve import solve

sys.path.insert(0, str(Path(__file__).parents[2]))

from tests.kit.drawing.generated import generated

RUNS = 7
NETS = CONDUCTORS = 60


def median_s(action: Callable[[], object]) -> float:
    action()
    found = []
    for _ in range(RUNS):
        start = time.process_time()
        action()
        found.append(time.process_time() - start)
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
    designs = {name: rigfeed.load(rigfeed.example(name)) for name in examples()}
    designs[f"{CONDUCTORS} conductors"] = generated(CONDUCTORS, 1)
    for name, design in designs.items():
        assessment = rigfeed.assess(design)
        for kind in assessment.drawings:
            took = median_s(lambda assessment=assessment, kind=kind: svg_text(assessment.drawing(kind)))
            print(f"drawing {name}, {kind}: {took * 1000:.1f} ms, {took / one:.1f} times that")
    return 0


if __name__ == "__main__":
    sys.exit(main())
