"""Opening and looking things up in a catalog of 100,000 rows, once it has been indexed.

Prints the time of each and its share of the limit (0.3 s to open, 2 ms to look up); exits with 1 above one of them.
"""

from __future__ import annotations

import os
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from rigfeed.parts.catalog import LocalFile
from rigfeed.parts.shelf import Shelf
from rigfeed.parts.tables import Want
from rigfeed.registry import installed_registry

ROWS = 100_000
OPEN_S, LOOK_UP_S = 0.3, 0.002


def write(path: Path) -> None:
    with path.open("w") as file:
        file.write("part,title,area_mm2,ohm_per_km,od_mm,insulation_c,source,confidence\n")
        for number in range(ROWS):
            area = 0.5 + number % 1000 * 0.12
            class_c = (70, 90, 105, 125)[number // 1000 % 4]
            figures = f"{area:.2f},{18 / area:.6g},{area**0.5 + 2:.3f},{class_c}"
            file.write(f"cable:x-{number},cable {number},{figures},x,invented\n")


def median_s(action: Callable[[int], object], times: int) -> float:
    found = []
    for number in range(times):
        start = time.perf_counter()
        action(number)
        found.append(time.perf_counter() - start)
    return statistics.median(found)


def main() -> int:
    registry = installed_registry()
    with tempfile.TemporaryDirectory() as folder:
        os.environ["XDG_CACHE_HOME"] = folder
        path = Path(folder) / "large.csv"
        write(path)
        start = time.perf_counter()
        Shelf(registry, [LocalFile(path)]).part("cable:large/x-5")
        print(f"indexing {ROWS} rows, once: {time.perf_counter() - start:.2f} s")
        shelf = Shelf(registry, [LocalFile(path)])
        wants = [Want("insulation_c", least=105), Want("od_mm", most=12)]
        times = {
            "open": (median_s(lambda _: Shelf(registry, [LocalFile(path)]).catalogs(), 7), OPEN_S),
            "by key": (median_s(lambda n: shelf.part(f"cable:x-{n * 37}"), 200), LOOK_UP_S),
            "by properties": (
                median_s(lambda n: shelf.find("cable", Want("area_mm2", least=n / 5), *wants, by="area_mm2"), 200),
                LOOK_UP_S,
            ),
        }
    for what, (seconds, limit) in times.items():
        print(f"{what}: {seconds * 1000:.2f} ms, {seconds / limit:.0%} of the limit")
    return int(any(seconds > limit for seconds, limit in times.values()))


if __name__ == "__main__":
    sys.exit(main())
