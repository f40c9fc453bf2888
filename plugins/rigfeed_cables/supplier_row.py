"""A row of a cable list on its way: what is given, the cells so far, what there is to say."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from functools import cached_property

from rigfeed.plugin import Given, Note

NEGATIVE = re.compile(r"[-\u2212\u2013]\s*[\d.,]")
_JOINT = re.compile(r"[_-]|(?<=[A-Za-z])(?=\d)")


class Refused(Exception):
    """A row that cannot be taken; its note says why."""

    def __init__(self, note: Note) -> None:
        super().__init__(str(note))
        self.note = note


@dataclass
class Row:
    """What is given, the cells so far, and the notes."""

    given: Given
    cells: dict[str, str]
    notes: list[Note] = field(default_factory=list)

    def mark(self, column: str, says: str, readings: tuple[str, ...] = (), likely: str = "") -> None:
        """Take the row with a mark."""
        self.notes.append(Note("mark", column, says, readings, likely))

    def leave(self, column: str, says: str) -> None:
        """Leave a cell out."""
        self.notes.append(Note("left out", column, says))

    @cached_property
    def words(self) -> str:
        """All that may name material, insulation and cores."""
        names = ("code", "title", "material", "strands", "insulation", "cores", "size")
        texts = map(self.given.text, names)
        return " ".join(_JOINT.sub(" ", text) for text in texts if text)


def refuse(column: str, says: str, readings: tuple[str, ...] = (), likely: str = "") -> Refused:
    """What to raise for a row that cannot be taken."""
    return Refused(Note("refused", column, says, readings, likely))
