"""How long a whole `rigfeed check` takes, as a multiple of starting Python with NumPy, both measured here and now.

Prints the ratio of the medians over alternating runs and exits with 1 if it is above the limit.
"""

from __future__ import annotations

import argparse
import os
import statistics
import subprocess
import sys
import time

import rigfeed

LIMIT = 5.0


# An installed program has its bytecode; so has this one after its first run, whatever the surroundings say.
SURROUNDINGS = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}


def seconds(command: list[str]) -> float:
    start = time.perf_counter()
    done = subprocess.run(command, check=False, stdout=subprocess.DEVNULL, env=SURROUNDINGS)
    took = time.perf_counter() - start
    if done.returncode > 1:  # 1: the design has errors, which is no fault here
        raise SystemExit("the command failed")
    return took


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--runs", type=int, default=15)
    runs = parser.parse_args().runs
    check = [sys.executable, "-c", "from rigfeed.cli import main; main()", "check", str(rigfeed.example("hazel"))]
    numpy = [sys.executable, "-c", "import numpy"]
    pairs = [(seconds(check), seconds(numpy)) for _ in range(runs + 1)][1:]  # the first one warms the caches
    ours, theirs = (statistics.median(column) for column in zip(*pairs, strict=True))
    ratio = ours / theirs
    print(f"rigfeed check hazel: {ours * 1000:.0f} ms; python -c 'import numpy': {theirs * 1000:.0f} ms")
    print(f"ratio {ratio:.2f} (limit {LIMIT:g}; median of {runs} alternating runs)")
    return int(ratio > LIMIT)


if __name__ == "__main__":
    sys.exit(main())
