"""How far long work is, on a line of the terminal that is gone afterwards."""

from __future__ import annotations

import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager

from rigfeed.cli.text import WIDTH
from rigfeed.view import Tell, silent

QUIET_S = 0.5  # work that is done by then shows nothing
EVERY_S = 0.1


@contextmanager
def progress() -> Iterator[Tell]:
    """Tell how far the work is, on standard error and only to a person in front of a terminal; Ctrl-C stops it."""
    line = _Line(time.monotonic() + QUIET_S)
    try:
        yield line.tell if sys.stderr.isatty() else silent
    finally:
        line.clear()


class _Line:
    def __init__(self, next_s: float) -> None:
        self._next_s, self._written = next_s, False

    def tell(self, done: float, text: str, /) -> None:
        now_s = time.monotonic()
        if now_s >= self._next_s:
            self._next_s, self._written = now_s + EVERY_S, True
            _write(f"{f'{done:4.0%} {text} (Ctrl-C stops)'[:WIDTH]:<{WIDTH}}")

    def clear(self) -> None:
        if self._written:
            _write(" " * WIDTH + "\r")


def _write(text: str) -> None:
    sys.stderr.write(f"\r{text}")
    sys.stderr.flush()
