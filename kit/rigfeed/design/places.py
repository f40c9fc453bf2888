"""Where things stand in a TOML text: the parsed data has no positions, and errors and renaming need them.

This reads no values. It walks over a text that a TOML reader has accepted, and says at which characters headers, keys,
values and the items of lists begin and end. In a text that is no TOML it stops where it loses its way; it never raises.
"""

from __future__ import annotations

import bisect
import json
import re
from collections.abc import Iterator
from typing import Literal

from rigfeed.files import BOM
from rigfeed.frozen import frozen
from rigfeed.path import Path

DEEPEST = 64  # keys of a path; a hostile text may have a hundred thousand, and each mark holds all in front of it
Keys = tuple[str | int, ...]


@frozen
class Mark:
    """Something with a path in a text.

    ``header``: a header in its brackets. ``entry``: a key with its value, which begins at `value`. ``inner``: the same
    inside of a table on one line. ``item``: one item of a list. ``key``: one part of a key as written; a dotted key has
    one such mark for each of its parts, before the mark of the whole.
    """

    sort: Literal["header", "entry", "inner", "item", "key"]
    keys: Keys
    start: int
    end: int
    value: int = 0


def marks(text: str) -> Iterator[Mark]:
    """All marks of a text; outer entries and items come after what is in them."""
    try:
        yield from _Walk(text).document()
    except (_Lost, RecursionError):
        return


def line_of(text: str, path: Path | None) -> int | None:
    """The line on which a path stands, or the nearest thing around it; None if it is nowhere."""
    return Lines(text).line_of(path)


class Lines:
    """The lines of all paths of one text."""

    def __init__(self, text: str) -> None:
        self._first: dict[Keys, int] = {}
        self._breaks = [match.start() for match in re.finditer("\n", text)]
        for mark in marks(text):
            if mark.start < self._first.get(mark.keys, len(text) + 1):
                self._first[mark.keys] = mark.start

    def line_of(self, path: Path | None) -> int | None:
        """The line of a path, from 1; see `line_of`."""
        keys: Keys = tuple(path or ())
        for depth in range(len(keys), 0, -1):
            if (start := self._first.get(keys[:depth])) is not None:
                return bisect.bisect_left(self._breaks, start) + 1
        return None


class _Lost(Exception):
    """The text is not what a TOML reader would accept."""


_SPACE = re.compile(r"[ \t]*")
_GAP = re.compile(r"(?:[ \t\r\n]|#[^\n]*)*")
_BARE = re.compile(r"[A-Za-z0-9_-]+")
_BASIC = re.compile(r'"(?:[^"\\\n]|\\.)*"')
_LITERAL = re.compile(r"'[^'\n]*'")
_LONG = re.compile(r'"""(?:[^\\]|\\.)*?"{3,5}(?!")|' + r"'''.*?'{3,5}(?!')", re.DOTALL)
_SCALAR = re.compile(r"[^,\[\]{}#\n\"']+")


class _Walk:
    def __init__(self, text: str) -> None:
        self.text, self.at = text, int(text.startswith(BOM))
        self._tables: dict[Keys, int] = {}  # the last position in each array of tables

    def document(self) -> Iterator[Mark]:
        table: Keys = ()
        self._pass(_GAP)
        while self.at < len(self.text):
            if self.text[self.at] == "[":
                found = self._header()
                table = found[-1].keys
                yield from found
            else:
                yield from self._entry(table)
            self._pass(_GAP)

    def _header(self) -> list[Mark]:
        first, several = self.at, self.text.startswith("[[", self.at)
        self.at += 1 + several
        found: list[Mark] = []
        keys: Keys = ()
        for name, start, end in self._dotted():
            keys = (*keys, name)
            found.append(Mark("key", keys, start, end))
            if keys in self._tables:
                keys = (*keys, self._tables[keys])
        if several:
            whole = found[-1].keys
            self._tables[whole] = self._tables.get(whole, -1) + 1
            keys = (*whole, self._tables[whole])
        self._expect("]]" if several else "]")
        return [*found, Mark("header", keys, first, self.at)]

    def _entry(self, table: Keys, sort: Literal["entry", "inner"] = "entry") -> Iterator[Mark]:
        keys, first = table, self.at
        for name, start, end in self._dotted():
            keys = (*keys, name)
            yield Mark("key", keys, start, end)
        self._expect("=")
        self._pass(_SPACE)
        value = self.at
        yield from self._value(keys)
        yield Mark(sort, keys, first, self.at, value)

    def _value(self, keys: Keys) -> Iterator[Mark]:
        if len(keys) > DEEPEST:
            raise _Lost
        first = self.text[self.at : self.at + 1]
        if first == "[":
            yield from self._list(keys)
        elif first == "{":
            yield from self._inline(keys)
        elif self.text.startswith(('"""', "'''"), self.at):
            self._need(_LONG)
        elif first in ('"', "'"):
            self._need(_BASIC if first == '"' else _LITERAL)
        else:
            self._need(_SCALAR)
            while self.text[self.at - 1] in " \t\r":
                self.at -= 1

    def _list(self, keys: Keys) -> Iterator[Mark]:
        self.at += 1
        self._pass(_GAP)
        number = 0
        while not self.text.startswith("]", self.at):
            start = self.at
            yield from self._value((*keys, number))
            yield Mark("item", (*keys, number), start, self.at, start)
            number += 1
            self._comma("]")
        self.at += 1

    def _inline(self, keys: Keys) -> Iterator[Mark]:
        self.at += 1
        self._pass(_GAP)
        while not self.text.startswith("}", self.at):
            yield from self._entry(keys, "inner")
            self._comma("}")
        self.at += 1

    def _comma(self, closing: str) -> None:
        self._pass(_GAP)
        if not self.text.startswith(closing, self.at):
            self._expect(",")
            self._pass(_GAP)

    def _dotted(self) -> list[tuple[str, int, int]]:
        found: list[tuple[str, int, int]] = []
        while not found or self.text.startswith(".", self.at):
            self.at += bool(found)
            self._pass(_SPACE)
            start = self.at
            found.append((self._key(), start, self.at))
            if len(found) > DEEPEST:
                raise _Lost
            self._pass(_SPACE)
        return found

    def _key(self) -> str:
        first = self.text[self.at : self.at + 1]
        if first == '"':
            return unquoted(self._need(_BASIC))
        return self._need(_LITERAL)[1:-1] if first == "'" else self._need(_BARE)

    def _pass(self, pattern: re.Pattern[str]) -> None:
        if match := pattern.match(self.text, self.at):
            self.at = match.end()

    def _need(self, pattern: re.Pattern[str]) -> str:
        match = pattern.match(self.text, self.at)
        if not match:
            raise _Lost
        self.at = match.end()
        return match[0]

    def _expect(self, word: str) -> None:
        if not self.text.startswith(word, self.at):
            raise _Lost
        self.at += len(word)


_LONG_ESCAPE = re.compile(r"\\U([0-9A-Fa-f]{8})")


def unquoted(written: str) -> str:
    """The key that a quoted key of TOML stands for."""
    try:
        return str(json.loads(_LONG_ESCAPE.sub(lambda match: chr(int(match[1], 16)), written), strict=False))
    except ValueError:
        return written
