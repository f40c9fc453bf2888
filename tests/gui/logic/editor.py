"""Edits a design, keeps it after every edit and saves it now and then, until somebody kills it; started many times.

``editor.py FOLDER COUNT``: in FOLDER lies ``design.toml``. Each round forks an editor, kills it after another time,
and reads what it left behind. What was announced last, and what was found, goes out as one line of JSON for each round.
"""

from __future__ import annotations

import json
import os
import random
import signal
import sys
import time
from pathlib import Path as FilePath

from rigfeed import Path, Set
from rigfeed_gui.logic.recovery import Recovery
from rigfeed_gui.logic.work import Work

NOTE = Path("job", "note")
LONGEST_S = 0.25


def edit_until_killed(folder: FilePath, tell: int) -> None:
    """Number each edit; announce a number when the edit is done."""
    work, recovery = Work.open(folder / "design.toml"), Recovery(folder / "kept")
    for number in range(1, 100_000):
        work.edit([Set(NOTE, str(number))], f"number {number}")
        recovery.keep(work)
        os.write(tell, b"%d\n" % number)
        if number % 3 == 0:
            work.save()
            recovery.forget(work)


def left_behind(folder: FilePath) -> tuple[int, str]:
    """The number in what a person gets back, and from where."""
    recovery = Recovery(folder / "kept")
    lost = recovery.lost()
    work = recovery.restore(lost[0]) if lost else Work.open(folder / "design.toml")
    number = int(work.design.job.note or 0)
    recovery.forget(work)
    recovery.close()
    return number, f"{len(lost)} kept" if lost else "file"


def main() -> None:
    folder, count = FilePath(sys.argv[1]), int(sys.argv[2])
    text = (folder / "design.toml").read_bytes()
    Work.open(folder / "design.toml").text()  # what is imported late is imported before the clock runs
    chance = random.Random(20)
    for number in range(count):
        (folder / "design.toml").write_bytes(text)
        told, tell = os.pipe()
        child = os.fork()
        if child == 0:
            os.close(told)
            edit_until_killed(folder, tell)
        os.close(tell)
        first = os.read(told, 1)
        time.sleep(LONGEST_S * (number + chance.random()) / count)
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        said = first
        while piece := os.read(told, 65536):
            said += piece
        os.close(told)
        announced = int(said.decode().split("\n")[-2])
        found, where = left_behind(folder)
        print(json.dumps({"announced": announced, "found": found, "where": where}), flush=True)


if __name__ == "__main__":
    main()
