"""Whenever the machine stops while a design is saved, the file is the old one or the new one, whole."""

from __future__ import annotations

import itertools
import os
import random
import signal
import time
from collections.abc import Callable
from functools import partial

import pytest
from tests.kit.design.made import text_of

from rigfeed.design.edit import Set, apply
from rigfeed.design.file import DesignFile, from_text, read
from rigfeed.path import Path

DONE, STOPPED, FAILED = 0, 41, 42


@pytest.fixture
def design(tmp_path):
    """A design file of some 20 kB that is about to be saved, its old content, and the new one."""
    text = text_of("styled").replace("# W1: the lead", "# W1: " + "the lead " * 2000)
    old = text.replace('origin = "supplied"', 'origin = "supplied"\nlength = "1 m"').encode()
    (tmp_path / "d.toml").write_bytes(old)
    return tmp_path / "d.toml", old, old.replace(b'length = "1 m"', b'length = "2 m"')


def saved(file, length: str) -> None:
    """One edit, saved."""
    opened = DesignFile.open(file)
    opened.save(apply(opened.design, [Set(Path.parse("conductors.W1.length"), length)]))


def child(work: Callable[[], None]) -> int:
    """The process id of a copy of this process that does the work and nothing else."""
    pid = os.fork()
    if pid:
        return pid
    try:
        work()
        os._exit(DONE)
    finally:  # it must not go on as a second run of the tests
        os._exit(FAILED)


def stopped_at(step: str, count: int, part: int | None) -> None:
    """Make the count-th call of os.write, os.fsync or os.replace the last thing that this process does.

    With `part`, os.write takes no more than so many bytes at a time, as it may.
    """
    real, calls = getattr(os, step), 0

    def last(*arguments):
        nonlocal calls
        calls += 1
        if calls == count:
            os._exit(STOPPED)
        return real(*arguments) if part is None else real(arguments[0], arguments[1][:part])

    setattr(os, step, last)


@pytest.mark.parametrize(("step", "part"), [("write", None), ("write", 1000), ("fsync", None), ("replace", None)])
def test_stopped_at_any_call_the_file_is_whole(step, part, design):
    file, old, new = design

    def work(count):
        stopped_at(step, count, part)
        saved(file, "2 m")

    left = []
    for count in itertools.count(1):
        file.write_bytes(old)
        code = os.waitstatus_to_exitcode(os.waitpid(child(partial(work, count)), 0)[1])
        assert code in (DONE, STOPPED)
        left.append(file.read_bytes())
        assert left[-1] in (old, new)
        assert read(file) == from_text(left[-1].decode())[0]
        if code == DONE:
            break
    assert (left[0], left[-1]) == (old, new)
    # a save writes once, or in pieces; flushes the file and its folder; replaces once
    assert len(left) - 1 == {"write": -(-len(new) // (part or len(new))), "fsync": 2, "replace": 1}[step]
    # what a stopped save leaves beside the file hinders neither reading nor the next save
    stray = [name for name in os.listdir(file.parent) if name != file.name]
    assert stray
    assert all(name.startswith(".rigfeed-") and name.endswith(".tmp") for name in stray)
    saved(file, "3 m")
    assert file.read_bytes() == old.replace(b'length = "1 m"', b'length = "3 m"')


def test_killed_at_any_moment_the_file_is_whole(design):
    file, old, new = design

    def work():
        for length in itertools.cycle(("2 m", "1 m")):
            saved(file, length)

    rng, seen = random.Random(20), set()
    for _ in range(20):
        pid = child(work)
        time.sleep(rng.uniform(0.03, 0.2))
        os.kill(pid, signal.SIGKILL)
        assert os.waitstatus_to_exitcode(os.waitpid(pid, 0)[1]) == -signal.SIGKILL
        content = file.read_bytes()
        assert content in (old, new)
        seen.add(content)
        read(file)
    assert seen == {old, new}
    saved(file, "3 m")
    assert b'length = "3 m"' in file.read_bytes()
