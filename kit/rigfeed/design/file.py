"""The design as a TOML file: read, keep every comment, save only what changed.

`read` is enough to assess. `DesignFile` is for whoever edits: it remembers the text that belongs to each design it read or
saved, so that undoing everything and saving gives the very same bytes.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from pathlib import Path as FilePath
from typing import Any

from rigfeed.design import model
from rigfeed.design.schema import from_plain, to_plain
from rigfeed.errors import DesignError, FileProblem, InputError, InputErrors, Place
from rigfeed.files import read_bytes, replace_file
from rigfeed.path import Path

MOST_BYTES = 2**20


def read(path: str | FilePath) -> model.Design:
    """The design in a file.

    Raises
    ------
    FileProblem
        If the file cannot be read or is above 1 MiB.
    DesignError, UnknownName, InputErrors
        If it is not a valid design; each error has file, line and path.
    """
    return parse(_text(FilePath(path)), str(path))


def parse(text: str, file: str | None = None) -> model.Design:
    """The design in a text; `file` is the name for the errors."""
    return from_text(text, file)[0]


def from_text(text: str, file: str | None = None) -> tuple[model.Design, dict[str, Any]]:
    """The design in a text, and the plain data it came from."""
    data = _toml(text, file)
    try:
        return from_plain(migrated(data)), data
    except InputErrors as errors:
        raise located(errors, text, file) from None
    except InputError as error:
        raise located(error, text, file) from None


def located(error: InputError, text: str, file: str | None) -> InputError:
    """The same error (or errors) with file and line, from the path it carries."""
    if isinstance(error, InputErrors):
        return InputErrors(sorted((_placed(inner, text, file) for inner in error.errors), key=_line))
    return _placed(error, text, file)


def migrated(data: dict[str, Any]) -> dict[str, Any]:
    """Plain data of an older format as that of today's; format 1 is the first.

    Raises
    ------
    DesignError
        If a later version wrote it.
    """
    number = data.get("format")
    if isinstance(number, int) and number > model.FORMAT:
        raise DesignError(
            f"format {number} was written by a later version", place=Place(path=Path("format")),
            remedy=f"this version reads up to format {model.FORMAT}: update it",
        )  # fmt: skip
    if isinstance(number, int) and not isinstance(number, bool) and number < 1:
        raise DesignError(f"format {number} does not exist", place=Place(path=Path("format")), remedy="write format = 1")
    return data


class DesignFile:
    """A design in a file that is being edited."""

    def __init__(self, path: FilePath, text: str, design: model.Design) -> None:
        self.path, self.design = path, design
        self._text = text
        self._texts = [(design, text)]

    @classmethod
    def open(cls, path: str | FilePath) -> DesignFile:
        """Read a file; raises as `read` does."""
        text = _text(FilePath(path))
        return cls(FilePath(path), text, parse(text, str(path)))

    @classmethod
    def new(cls, path: str | FilePath, design: model.Design) -> DesignFile:
        """A design that has no file yet; `save` writes it."""
        file = cls(FilePath(path), "", design)
        file._texts = []
        return file

    def save(self, design: model.Design | None = None) -> None:
        """Write a design (the current one where none is given); comments and layout stay.

        Raises
        ------
        FileProblem
            If the file cannot be written, or was changed by someone else since it was last read or saved.
        """
        design = self.design if design is None else design
        if self._texts and self.path.exists() and _text(self.path) != self._text:
            raise FileProblem(
                "was changed by another program since it was read", place=Place(file=str(self.path)),
                remedy="read it again, or save under another name",
            )  # fmt: skip
        text = next((text for known, text in self._texts if known == design), None)
        if text is None:
            from rigfeed.design.patch import patched

            text = patched(self._text, to_plain(design))
        replace_file(self.path, text.encode())
        self._texts.append((design, text))
        self._text, self.design = text, design


def _text(path: FilePath) -> str:
    data = read_bytes(path, most=MOST_BYTES)
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise DesignError(
            f"is not UTF-8 text (byte {error.start})", place=Place(file=str(path), line=line),
            remedy="save it again as UTF-8",
        ) from None  # fmt: skip


_POSITION = re.compile(r"\s*\(at (?:line (\d+), column (\d+)|end of document)\)")


def _toml(text: str, file: str | None) -> dict[str, Any]:
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        what = str(error)
        position = _POSITION.search(what)
        line, column = (int(position[1]), int(position[2])) if position and position[1] else (_last_line(text), None)
        what = _POSITION.sub("", what)
        remedy = "ids must be unique: rename or remove one" if "Cannot" in what or "twice" in what else "see the line named"
        raise DesignError(
            f"is not valid TOML: {what[:1].lower()}{what[1:]}", place=Place(file=file, line=line, column=column),
            remedy=remedy,
        ) from None  # fmt: skip
    except RecursionError:
        raise DesignError("is nested too deeply", place=Place(file=file)) from None


def _last_line(text: str) -> int:
    return text.count("\n") + (not text.endswith("\n"))


def _line(error: InputError) -> int:
    return error.place.line or 0


def _placed(error: InputError, text: str, file: str | None) -> InputError:
    if error.place.file is None:  # one that points into a catalog or a practice keeps its own place
        error.at(file=file, line=line_of(text, error.place.path))
    return error


_HEADER = re.compile(r"\s*\[{1,2}([^\[\]]+)\]{1,2}\s*(?:#.*)?")
_KEY = re.compile(r"\s*((?:[A-Za-z0-9_-]+|\"[^\"]*\")(?:\s*\.\s*(?:[A-Za-z0-9_-]+|\"[^\"]*\"))*)\s*=")


def line_of(text: str, path: Path | None) -> int | None:
    """The line on which a path stands, or the nearest thing around it; None if it is nowhere.

    Works on the text, since the parsed data has no positions. An array of tables is counted by its headers.
    """
    best, deepest = None, 0
    for line, keys in _keys_of(text):
        depth = len(keys)
        if path and depth > deepest and tuple(path[:depth]) == keys:
            best, deepest = line, depth
    return best


def _keys_of(text: str) -> Iterator[tuple[int, tuple[str | int, ...]]]:
    table: tuple[str | int, ...] = ()
    counts: dict[tuple[str | int, ...], int] = {}
    for number, line in enumerate(text.splitlines(), start=1):
        if header := _HEADER.fullmatch(line):
            table = tuple(part.strip().strip('"') for part in header[1].split("."))
            if line.lstrip().startswith("[["):
                counts[table] = counts.get(table, -1) + 1
                table = (*table, counts[table])
            yield number, table
        elif key := _KEY.match(line):
            yield number, (*table, *(part.strip().strip('"') for part in key[1].split(".")))
