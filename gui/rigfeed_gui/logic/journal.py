"""A design that is not saved yet, as a file: what it was, and what has been done to it since, a line for each step.

The file is a design file with a remark in front and remarks behind, so it can be read with any editor. A step is
written before the next one can be done: a kill loses nothing that was done, a power cut the last moments.
"""

from __future__ import annotations

import hashlib
import json
import os
import time
from collections.abc import Iterable
from pathlib import Path as FilePath
from typing import Any

from rigfeed.design.edit import Add, Edit, Remove, Rename, Set
from rigfeed.design.file import MOST_BYTES
from rigfeed.files import read_bytes
from rigfeed.frozen import frozen
from rigfeed.path import Path
from rigfeed_gui.logic.work import Done, Work

REMARK = "# not saved yet: "
STEP = "# then: "
MOST_STEPS = 2000  # after so many the file begins anew: reading them again must not take long
MOST_READ = 16 * MOST_BYTES


class Journal:
    """The file of one design. `version` is the last one that it holds."""

    def __init__(self, place: FilePath, work: Work) -> None:
        """Begin with the design as it is, or as it was before its last edit; raises OSError."""
        self.place = place
        last = work.last if work.last and work.last.version == work.version else None
        steps = [step] if last and last.sort == "edit" and (step := _written(last)) else []
        base = work.text(last.before if last and steps else None)
        about = {
            "file": str(work.path.absolute()) if work.path else None, "title": work.title, "kept_s": time.time(),
            "bytes": len(base.encode()), "digest": digest(base),
        }
        place.write_bytes(b"")
        self._write(f"{REMARK}{json.dumps(about)}\n{base}\n{''.join(steps)}")
        self.version, self._steps, self._done, self._undone = work.version, len(steps), len(steps), 0

    def goes_on(self, work: Work) -> bool:
        """Write the last step; False where the file must begin anew for it. Raises OSError."""
        last = work.last
        if last is None or not last.version == work.version == self.version + 1 or self._steps >= MOST_STEPS:
            return False
        step = _written(last)
        if step is None or (last.sort == "undo" and not self._done) or (last.sort == "redo" and not self._undone):
            return False  # what is to be undone was done before this file began
        self._write(step)
        self.version, self._steps = work.version, self._steps + 1
        match last.sort:
            case "edit":
                self._done, self._undone = self._done + 1, 0
            case "undo":
                self._done, self._undone = self._done - 1, self._undone + 1
            case _:
                self._done, self._undone = self._done + 1, self._undone - 1
        return True

    def _write(self, text: str) -> None:
        rest = memoryview(text.encode())
        with open(self.place, "ab", buffering=0) as file:
            while rest:
                rest = rest[file.write(rest) or 0 :]

    def flush(self) -> None:
        """Have the disk take it, which may be slow; raises OSError."""
        with open(self.place, "rb+") as file:
            os.fsync(file.fileno())


def digest(text: str) -> str:
    """A text in short, to tell whether it is whole."""
    return hashlib.sha256(text.encode()).hexdigest()


def _written(done: Done) -> str | None:
    """A step as a line; None for what no line can hold."""
    try:
        match done.sort:
            case "edit":
                data: Any = {"edits": [_plain(edit) for edit in done.edits], "words": done.words}
            case "undo" | "redo":
                data = done.sort
            case _:
                return None
        return f"{STEP}{json.dumps(data, allow_nan=False)}\n"
    except (TypeError, ValueError):  # a value that JSON does not know, such as a date
        return None


def _plain(edit: Edit) -> list[Any]:
    match edit:
        case Set() | Add():
            return [type(edit).__name__, str(edit.path), edit.value]
        case Rename():
            return ["Rename", str(edit.path), edit.new]
        case _:
            return ["Remove", str(edit.path)]


def _edit(data: list[Any]) -> Edit:
    sort, path = data[0], Path.parse(data[1])
    if sort == "Remove":
        return Remove(path)
    return Rename(path, data[2]) if sort == "Rename" else (Set if sort == "Set" else Add)(path, data[2])


@frozen
class Kept:
    """What a file holds: what its remark says, the design it began with, and the steps since."""

    about: dict[str, Any]
    text: str
    steps: tuple[Any, ...]

    def replay(self, work: Work) -> None:
        """Do the steps again on a work that holds the design it began with."""
        for step in self.steps:
            if step == "undo":
                work.undo()
            elif step == "redo":
                work.redo()
            else:
                work.edit([_edit(data) for data in step["edits"]], step["words"])

    @property
    def work(self) -> Work:
        """The design as it was last, undo as far as the file goes; raises as `parse` does."""
        return Work.recovered(self.text, None, self.replay)


def read_journal(place: FilePath) -> Kept:
    """What a file holds. A step that was being written when the program ended is left out.

    Raises
    ------
    FileProblem
        If it cannot be read.
    ValueError, KeyError
        If it is not such a file, or was changed.
    """
    remark, _, rest = read_bytes(place, most=MOST_READ).partition(b"\n")
    if not remark.startswith(REMARK.encode()):
        raise ValueError("it does not begin with the remark")
    about: dict[str, Any] = json.loads(remark[len(REMARK) :])
    size = int(about["bytes"])
    text = rest[:size].decode()
    if about["digest"] != digest(text):
        raise ValueError("the design in it is not whole")
    return Kept(about, text, tuple(_steps(rest[size + 1 :].split(b"\n"))))


def _steps(lines: Iterable[bytes]) -> Iterable[Any]:
    for line in lines:
        if line:
            try:
                yield json.loads(line.removeprefix(STEP.encode()))
            except ValueError:
                return
