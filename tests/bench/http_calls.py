"""What HTTP adds to an assessment, and whether the server bears sixty-four callers at once.

Prints the median time of posting Larch at one caller beside reading, assessing and writing it in this process, and
their ratio; then what the load tool ``wrk`` (Debian package wrk) counts. ``--seconds`` is how long each load lasts.
"""

from __future__ import annotations

import argparse
import contextlib
import json
import re
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import httpx

import rigfeed
from rigfeed.design.file import parse
from rigfeed.json_report import assessment_json
from rigfeed.parts.shelf import open_shelf

RUNS = 25
MOST_TIMES = 1.5
CONNECTIONS = 64
PROGRAM = Path(sys.executable).with_name("rigfeed")


@contextlib.contextmanager
def served() -> Iterator[str]:
    """A server on a free port of this machine; its address."""
    with tempfile.TemporaryDirectory() as data:
        command = [PROGRAM, "serve", "--port", "0", "--data", data]
        process = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True)
        try:
            assert process.stdout is not None
            found = re.search(r"http://[^ /]+", process.stdout.readline())
            assert found is not None
            yield found[0]
        finally:
            process.terminate()
            process.wait(timeout=60)


def medians_s(*actions: Callable[[], object]) -> list[float]:
    """The median of each, taken in turn so that what else the machine does meets all alike."""
    found: list[list[float]] = [[] for _ in actions]
    for action in actions:
        action()  # the first one reads catalogs
    for _ in range(RUNS):
        for action, times in zip(actions, found, strict=True):
            start = time.perf_counter()
            action()
            times.append(time.perf_counter() - start)
    return [statistics.median(times) for times in found]


def one_caller(url: str) -> float:
    """Print both medians; their ratio."""
    text, shelf = rigfeed.example("larch").read_text(), open_shelf()

    def here() -> str:
        return json.dumps(assessment_json(rigfeed.assess(parse(text), shelf=shelf)))

    with httpx.Client(base_url=url, timeout=60, headers={"Content-Type": "application/toml"}) as client:
        inside, outside = medians_s(here, lambda: client.post("/v1/assess", content=text.encode()))
    print(f"Larch read, assessed and written in process: {inside * 1000:.1f} ms (catalogs open)")
    print(f"Larch posted, one caller: {outside * 1000:.1f} ms, {outside / inside:.2f} times that; at most {MOST_TIMES}")
    return outside / inside


def many_callers(url: str, seconds: int) -> bool:
    """Print what the load tool counts for an assessment and for a list; whether nothing went wrong."""
    wrk = shutil.which("wrk")
    if wrk is None:
        print("wrk is missing (Debian package wrk): no load was tried")
        return True
    with tempfile.TemporaryDirectory() as folder:
        script = Path(folder) / "post.lua"
        body = rigfeed.example("hazel").read_text()
        script.write_text(
            f'wrk.method = "POST"\nwrk.headers["Content-Type"] = "application/toml"\nwrk.body = [===[{body}]===]\n'
        )
        common = [wrk, "-t", "2", "-c", str(CONNECTIONS), "-d", f"{seconds}s", "--timeout", "60s", "--latency"]
        loads = {"post Hazel to assess": [*common, "-s", str(script), f"{url}/v1/assess"],
                 "get the practices": [*common, f"{url}/v1/practices"]}
        sound = [_load(name, command) for name, command in loads.items()]
        return all(sound)


def _load(name: str, command: list[str]) -> bool:
    said = subprocess.run(command, check=True, capture_output=True, text=True).stdout
    rate = re.search(r"Requests/sec:\s+([\d.]+)", said)
    half, most = re.search(r"50%\s+(\S+)", said), re.search(r"99%\s+(\S+)", said)
    wrong = re.findall(r"(?:Socket errors|Non-2xx).*", said)
    assert rate is not None, said
    assert half is not None, said
    assert most is not None, said
    print(f"{name}, {CONNECTIONS} connections: {rate[1]} a second, half within {half[1]}, 99 % within {most[1]}, "
          f"{'; '.join(wrong) or 'no error'}")
    return not wrong


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--seconds", type=int, default=5)
    seconds = parser.parse_args().seconds
    with served() as url:
        ratio, sound = one_caller(url), many_callers(url, seconds)
    return 0 if ratio <= MOST_TIMES and sound else 1


if __name__ == "__main__":
    sys.exit(main())
