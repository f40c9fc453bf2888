"""What is wrong with one value, in our words: a `Complaint` is a text with a remedy.

`complaints` flattens what marshmallow collects into (path, complaint) pairs, and finds words for what it says itself.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Mapping

from marshmallow import ValidationError

from rigfeed.errors import shown
from rigfeed.path import TOP, Path


class Complaint(str):
    """What is wrong with one value, and what to do."""

    remedy: str

    def __new__(cls, what: str, remedy: str = "") -> Complaint:
        text = super().__new__(cls, what)
        text.remedy = remedy
        return text


def refuse(what: str, remedy: str = "") -> ValidationError:
    """The exception for a field to raise."""
    return ValidationError([Complaint(what, remedy)])


# What the library below says by itself, in our words: it knows neither the file nor whoever wrote it.
_IN_OUR_WORDS = {
    "Missing data for required field.": Complaint("is missing", "add it"),
    "Field may not be null.": Complaint("is empty", "give a value, or leave it out"),
    "Not a valid integer.": Complaint("is not a whole number", "write digits only, without quotes"),
    "Not a valid number.": Complaint("is not a number", "write digits, with a point for decimals"),
    "Not a valid string.": Complaint("is not a text", "write it in quotes"),
    "Not a valid utf-8 string.": Complaint("is not a text", "write it in quotes"),
    "Not a valid boolean.": Complaint("is neither true nor false", "write true or false without quotes"),
    "Not a valid list.": Complaint("is not a list", "write it in square brackets: [ ... ]"),
    "Not a valid mapping type.": Complaint("is not a table", "write it as { key = value }"),
    "Invalid input type.": Complaint("is not a table", "write it as { key = value }"),
    "Number too large.": Complaint("is too large a number"),
    "Unknown field.": Complaint("unknown key"),
    "Invalid value.": Complaint("is not a value that fits here"),
}


def complaints(messages: object, path: Path = TOP) -> Iterator[tuple[Path, Complaint]]:
    """(path, complaint) of everything in marshmallow's nested messages, in the order of the schema."""
    if isinstance(messages, Mapping):
        for key, inner in messages.items():
            yield from complaints(inner, path if key == "_schema" else path / key)
    elif isinstance(messages, list):
        for message in messages:
            yield from complaints(message, path)
    elif isinstance(messages, Complaint):
        yield path, messages
    elif isinstance(messages, str):
        yield path, _IN_OUR_WORDS.get(messages) or Complaint(messages)


def sort_of(value: object) -> str:
    """What a value is, as a message says it."""
    names = {bool: "true or false", str: "a text", int: "a number", float: "a number", dict: "a table", list: "a list"}
    names |= {datetime.date: "a date", datetime.datetime: "a date", datetime.time: "a time", type(None): "nothing"}
    return names.get(type(value), type(value).__name__)


def told(value: object) -> str:
    """A value as a message shows it: a text in quotes, a short number as such, of all else its sort."""
    if isinstance(value, str):
        return shown(value)
    return f"{value:g}" if is_number(value) else sort_of(value)


def is_number(value: object) -> bool:
    """Whether it is a number of a size that a person may have meant."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        return False
    return abs(value) < 1e15
