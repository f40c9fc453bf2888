"""Reading a supplier's list of 100,000 rows, and being refused one of more than 200,000.

Prints the time, its ratio to parsing the same bytes as CSV, and the memory, each beside its limit (45 s, 400 MB);
exits with 1 above one of them. The clock is that of the process: what else the machine does is not counted.
"""

from __future__ import annotations

import csv
import io
import resource
import sys
import time

from rigfeed.errors import InputError
from rigfeed.intake.keeping import catalog_text
from rigfeed.intake.reading import MOST_ROWS
from rigfeed.intake.taking import take
from rigfeed.registry import make_registry

ROWS = 100_000
MOST_S, MOST_MB = 45.0, 400.0
HEAD = "code;description;size;od;ohm;temp;colour;price\n"


def a_list(rows: int) -> bytes:
    """Rows of which hardly two are alike."""
    lines = []
    for n in range(rows):
        area = n % 97 / 2 + 0.5
        figures = f"{area:g} mm2;{3 + area / 3:.1f};{18.4 / area:.5g} ohm/km;{60 + n % 90}"
        lines.append(f"C{n};cable no {n};{figures};red;{n % 1000 / 100} EUR/m")
    return (HEAD + "\n".join(lines)).encode()


def main() -> int:
    kinds = make_registry().kinds
    data = a_list(ROWS)
    start = time.process_time()
    assert sum(1 for _ in csv.reader(io.StringIO(data.decode()), delimiter=";")) == ROWS + 1
    parsed_s = time.process_time() - start
    told: list[float] = []
    start = time.process_time()
    taken = take(data, "list.csv", kinds, tell=lambda done, text: told.append(done))
    catalog_text(taken, "2020-01-01")
    took_s = time.process_time() - start
    assert taken.count("taken") == ROWS
    memory_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(f"{ROWS} rows: {took_s:.1f} s of {MOST_S:g} s, {took_s / parsed_s:.0f} times as long as parsing them as CSV")
    print(f"memory: {memory_mb:.0f} MB of {MOST_MB:g} MB; progress was told {len(told)} times")
    too_much = a_list(MOST_ROWS + 2)
    start = time.process_time()
    try:
        take(too_much, "list.csv", kinds)
    except InputError as error:
        print(f"{MOST_ROWS + 1} rows: refused in {time.process_time() - start:.1f} s: {error}")
    else:
        return 1
    return 1 if took_s > MOST_S or memory_mb > MOST_MB else 0


if __name__ == "__main__":
    sys.exit(main())
