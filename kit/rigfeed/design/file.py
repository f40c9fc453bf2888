"""The design as a TOML file: read, keep every comment, save only what changed.

`read` is enough to assess. `DesignFile` is for whoever edits: it remembers the text that belongs to each design it read
or saved, so that undoing everything and saving gives the very same bytes.
"""

from __future__ import annotations

import re
import tomllib
from pathlib import Path as FilePath
from typing import TYPE_CHECKING, Any

from rigfeed.design import model
from rigfeed.design.schema import from_plain, to_plain
from rigfeed.design.values import same
from rigfeed.errors import DesignError, FileProblem, InputError, InputErrors, Place
from rigfeed.files import BOM, read_bytes, replace_file
from rigfeed.path import Path

if TYPE_CHECKING:
    from rigfeed.design.places import Lines

MOST_BYTES = 2**20
LONG_NUMBER = re.compile(r"[0-9_]{4000}")
MOST_PARTS = 32  # of one key

# The reader of the standard library takes time that grows with the square of the parts of a dotted key.
_PART = r"""(?:[A-Za-z0-9_-]+|"(?:[^"\\\n]|\\.)*"|'[^'\n]*')[ \t]*"""
_LONG_KEY = re.compile(rf"(?:^|[\[{{,])[ \t]*(?:{_PART}\.[ \t]*){{{MOST_PARTS}}}", re.MULTILINE)


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
    """The same error (or errors) with file and line, from the path it carries; several by rising line."""
    from rigfeed.design.places import Lines

    lines = Lines(text)
    if isinstance(error, InputErrors):
        placed = [_placed(inner, lines, file) for inner in error.errors]
        return InputErrors(sorted(placed, key=lambda inner: inner.place.line or 0))
    return _placed(error, lines, file)


def _placed(error: InputError, lines: Lines, file: str | None) -> InputError:
    if error.place.file is None:  # one that points into a catalog or a practice keeps its own place
        error.at(file=file, line=lines.line_of(error.place.path))
    return error


def migrated(data: dict[str, Any]) -> dict[str, Any]:
    """Plain data of an older format as that of today's; format 1 is the first.

    Raises
    ------
    DesignError
        If a later version wrote it: then nothing else in it can be judged.
    """
    number = data.get("format")
    if isinstance(number, int) and number > model.FORMAT:
        named = f"format {number}" if number < 10**9 else "a format of so many digits"
        what = f"{named} was written by a later version"
        remedy = f"this version reads up to format {model.FORMAT}: update it"
        raise DesignError(what, place=Place(path=Path("format")), remedy=remedy)
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

    def save(self, design: model.Design | None = None, *, other: FilePath | None = None) -> None:
        """Write a design (the current one where none is given); comments and layout stay.

        With `other` it goes to that file, whatever stands there, and belongs to it from then on.

        Raises
        ------
        FileProblem
            If the file cannot be written, or was changed by someone else since it was last read or saved.
        """
        design = self.design if design is None else design
        if other is None and self.changed_on_disk():
            remedy = "read it again, or save under another name"
            raise FileProblem(
                "was changed by another program since it was read", place=Place(file=str(self.path)), remedy=remedy
            )
        text = self.text(design)
        path = other or self.path
        content = text.encode()
        if len(content) > MOST_BYTES:
            what = f"would be larger than {MOST_BYTES / 2**20:g} MiB, more than can be read again"
            raise FileProblem(what, place=Place(file=str(path)), remedy="make two designs of it")
        replace_file(path, content)
        self._texts.append((design, text))
        self.path, self._text, self.design = path, text, design

    def changed_on_disk(self) -> bool:
        """Whether another program changed the file since it was last read or saved; one that is gone was not."""
        return bool(self._texts) and _on_disk(self.path) not in (None, self._text.encode())

    def text(self, design: model.Design | None = None) -> str:
        """What `save` would write: the text that belongs to the design, where it was read or saved before."""
        plain = to_plain(self.design if design is None else design)
        known = next((text for known, text in self._texts if same(to_plain(known), plain)), None)
        if known is not None:
            return known
        from rigfeed.design.patch import patched

        return patched(self._text, plain)


def _on_disk(path: FilePath) -> bytes | None:
    """What a file holds now, None where there is none."""
    return read_bytes(path, most=2 * MOST_BYTES) if path.exists() else None


def _text(path: FilePath) -> str:
    data = read_bytes(path, most=MOST_BYTES)
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise DesignError(
            f"is not UTF-8 text (byte {error.start})", place=Place(file=str(path), line=line),
            remedy="save it again as UTF-8",
        ) from None


_POSITION = re.compile(r"\s*\(at (?:line (\d+), column (\d+)|end of document)\)")


def _toml(text: str, file: str | None) -> dict[str, Any]:
    text = text.removeprefix(BOM)
    if long := _LONG_KEY.search(text):
        place = Place(file=file, line=text.count("\n", 0, long.start()) + 1)
        raise DesignError(f"a key has more than {MOST_PARTS} parts", place=place, remedy="a design needs only a few")
    try:
        return tomllib.loads(text)
    except RecursionError:
        remedy = "the design has no use for more than a few tables inside of one another"
        raise DesignError("is nested too deeply", place=Place(file=file), remedy=remedy) from None
    except ValueError as error:  # of tomllib, or of Python for a number of thousands of digits
        raise _not_toml(str(error), text, file) from None


def _not_toml(said: str, text: str, file: str | None) -> DesignError:
    from rigfeed.design.syntax import in_our_words

    position = _POSITION.search(said)
    line: int | None = int(position[1]) if position and position[1] else _last_line(text)
    column = int(position[2]) if position and position[1] else None
    if "integer string conversion" in said:
        line = next((n for n, row in enumerate(text.split("\n"), start=1) if LONG_NUMBER.search(row)), None)
    what, remedy = in_our_words(_POSITION.sub("", said))
    return DesignError(what, place=Place(file=file, line=line, column=column), remedy=remedy)


def _last_line(text: str) -> int:
    return text.count("\n") + (not text.endswith("\n"))
