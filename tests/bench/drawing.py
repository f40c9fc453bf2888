"""How long the drawings take in this process, beside the solve of a network of the same kind, both measured here.

Prints the median time of each drawing of the demonstration designs and of a generated one with 60 conductors, and its
ratio to solving one network of 60 nets. What is drawn is assessed before; reading and checking are no part of it.
"""

from __future__ import annotations

import sys
import time
from functools import partial
from pathlib import Path

import rigfeed
from rigfeed.drawing.svg import svg_text
from rigfeed.examples import examples
from rigfeed.network.solve import solve

sys.path.insert(0, str(Path(__file__).parents[2]))

from tests.kit.drawing.generated import generated
from yardstick import ladder, median_s

RUNS = 7
NETS = CONDUCTORS = 60


def main() -> int:
    network = ladder(NETS)
    one = median_s(lambda: solve(network), RUNS, time.process_time)
    print(f"solving a ladder of {NETS} nets: {one * 1000:.2f} ms")
    designs = {name: rigfeed.load(rigfeed.example(name)) for name in examples()}
    designs[f"{CONDUCTORS} conductors"] = generated(CONDUCTORS, 1)
    for name, design in designs.items():
        assessment = rigfeed.assess(design)
        for kind in assessment.drawings:
            draw = partial(lambda about, name: svg_text(about.drawing(name)), assessment, kind)
            took = median_s(draw, RUNS, time.process_time)
            print(f"drawing {name}, {kind}: {took * 1000:.1f} ms, {took / one:.1f} times that")
    return 0


if __name__ == "__main__":
    sys.exit(main())
