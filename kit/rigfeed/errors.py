"""Everything that can be wrong with what a person gave us.

::

    RigfeedError                      what, where, and what to do
    ├── InputError                    a file or a value that a person wrote      (exit code 2)
    │   ├── BadQuantity               "2,5 m", "14 furlongs"                      also ValueError
    │   ├── DesignError               one place in a design file
    │   ├── CatalogError              one place in a catalog
    │   ├── PracticeError             one place in a practice
    │   ├── UnknownName               a part, check, paper ... that does not exist; also LookupError
    │   ├── NothingToShow             a figure for which the design has no content
    │   └── InputErrors               several of the above at once
    ├── OutOfRange                    a formula was asked outside of its validity; also ValueError
    ├── PluginError                   a plugin broke a rule of `rigfeed.plugin`
    ├── FileProblem                   a file could not be read or written         also OSError
    └── Cancelled                     the person who watched the progress said stop

Faces turn an error into exit code 2, a dialog or a problem document; the fields are what they need for it.
"""

from __future__ import annotations

import bisect
from collections.abc import Iterable
from dataclasses import replace

from rigfeed.frozen import frozen
from rigfeed.path import Path

MOST_LISTED = 20  # of the errors of one file: a person mends a few at a time


@frozen
class Place:
    """Where something stands: any of file, line and column (from 1), and the path of the key."""

    file: str | None = None
    line: int | None = None
    column: int | None = None
    path: Path | None = None

    def __str__(self) -> str:
        position = ":".join(str(part) for part in (self.file, self.line, self.column) if part is not None)
        return ": ".join(part for part in (position, str(self.path or "")) if part)


class RigfeedError(Exception):
    """What is wrong, where, and what to do about it."""

    def __init__(self, what: str, *, place: Place | None = None, remedy: str = "") -> None:
        self.what, self.place, self.remedy = what, place or Place(), remedy
        super().__init__(what, self.place, remedy)

    def __str__(self) -> str:
        text = f"{self.place}: {self.what}" if str(self.place) else self.what
        return f"{text} ({self.remedy})" if self.remedy else text

    def __reduce__(self) -> tuple[object, ...]:
        return (_rebuild, (type(self), self.__dict__.copy()))

    def at(self, **place: object) -> RigfeedError:
        """The same error with the fields of its place that are known only further out (file, line, path)."""
        self.place = replace(self.place, **place)  # type: ignore[arg-type]
        return self


def _rebuild(kind: type[RigfeedError], fields: dict[str, object]) -> RigfeedError:
    error = kind.__new__(kind)
    error.__dict__.update(fields)
    return error


class InputError(RigfeedError):
    """A file or a value that a person wrote is not usable."""


class BadQuantity(InputError, ValueError):
    """A text that is no number with a unit of the wanted kind, or one out of bounds."""


class DesignError(InputError):
    """One place in a design file that stops it from being read or resolved."""


class CatalogError(InputError):
    """One place in a catalog that cannot be used."""


class PracticeError(InputError):
    """One place in a practice that cannot be used."""


class UnknownName(InputError, LookupError):
    """A name that nothing answers to; the remedy lists the nearest known ones.

    They are looked for when the remedy is asked for: a file may have ten thousand such errors, of which few are shown.
    """

    def __init__(self, sort: str, name: str, known: Iterable[str], *, place: Place | None = None) -> None:
        self.sort, self.name, self._known = sort, name, tuple(known)
        super().__init__(f"there is no {sort} {shown(name)}", place=place)
        self._remedy: str | None = None

    @property
    def remedy(self) -> str:
        """What to do: the nearest known names."""
        if self._remedy is None:
            self._remedy = nearest(self.name, self._known)
        return self._remedy

    @remedy.setter
    def remedy(self, text: str) -> None:
        self._remedy = text


class InputErrors(InputError):
    """All errors of one file, the first `MOST_LISTED` of them listed."""

    def __init__(self, errors: Iterable[InputError]) -> None:
        self.errors = tuple(errors)
        super().__init__(f"{len(self.errors)} errors" if len(self.errors) > 1 else "1 error")

    def __str__(self) -> str:
        lines = [str(error) for error in self.errors[:MOST_LISTED]]
        if len(self.errors) > MOST_LISTED:
            lines.append(f"... and {len(self.errors) - MOST_LISTED} more")
        return "\n".join(lines)


class OutOfRange(RigfeedError, ValueError):
    """A formula was asked outside of its range of validity."""

    def __init__(self, name: str, value: float, allowed: str) -> None:
        self.name, self.value, self.allowed = name, value, allowed
        super().__init__(f"{name} is {value:g}; allowed: {allowed}")


class NothingToShow(InputError):
    """A figure for which the design has no content: no feed is complete, no short drives anything."""


class PluginError(RigfeedError):
    """A plugin broke a rule of `rigfeed.plugin`."""


class FileProblem(RigfeedError, OSError):
    """A file could not be read or written; nothing was lost."""


class Cancelled(RigfeedError):
    """Whoever watched the progress said stop."""


def shown(value: str, *, most: int = 60) -> str:
    """A text in quotes as a message shows it: no control characters, and cut where it is long.

    >>> shown("a" * 100, most=5)
    "'aaaaa...'"
    """
    return repr(value if len(value) <= most else f"{value[:most]}...")


def many(number: int, word: str) -> str:
    """A count with its word in the right number.

    >>> many(1, "core"), many(2, "core")
    ('1 core', '2 cores')
    """
    return f"{number} {word}{'' if number == 1 else 's'}"


def nearest(name: str, known: Iterable[str], *, most: int = 3) -> str:
    """ "did you mean ..." for a misspelt name, or the list of what is known where nothing is near."""
    choices = sorted(known, key=_folded)
    close = [choice for choice in choices if choice.lower() == name.lower()]
    if not close and len(name) <= LONGEST_NAME:
        import difflib

        close = difflib.get_close_matches(name, _around(name, choices), n=most, cutoff=0.6)
    if close:
        return "did you mean " + " or ".join(repr(choice) for choice in close[:most]) + "?"
    if not choices:
        return "none is defined"
    return f"known: {', '.join(choices[:MOST_KNOWN])}{', ...' if len(choices) > MOST_KNOWN else ''}"


MOST_KNOWN = 16  # of the known names, where none is near
LONGEST_NAME = 100  # characters of a name for which near ones are looked for
MOST_COMPARED = 400  # names that one misspelt name is compared with: a design may have ten thousand


def _folded(name: str) -> tuple[str, str]:
    return name.lower(), name


def _around(name: str, choices: list[str]) -> list[str]:
    """Of very many choices those that stand near the name in the order of the alphabet."""
    if len(choices) <= MOST_COMPARED:
        return choices
    first = max(0, bisect.bisect(choices, _folded(name), key=_folded) - MOST_COMPARED // 2)
    return choices[first : first + MOST_COMPARED]


def known_or_raise(errors: list[InputError]) -> None:
    """Raise what was collected: the one error itself, or all of them together."""
    if len(errors) == 1:
        raise errors[0]
    if errors:
        raise InputErrors(errors)
