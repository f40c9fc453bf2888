"""What a part kind can say about the lists that its suppliers send; small, since every start loads it.

A kind without such words gets its intake from its row schema alone. One that has them names further columns
(`Meaning`) and a function that turns the cells of a row into those of a catalog, with a `Note` for all that is odd.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Literal

from rigfeed.frozen import frozen

Level = Literal["refused", "mark", "left out"]


@frozen
class Meaning:
    """A column that suppliers print: its name here, and the words that head it, in small letters, best ones first."""

    name: str
    words: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Note:
    """What a person should know about one cell: why the row is refused, taken with a mark, or what was left out.

    `readings` are the possible ones, where there are several; `likely` is the one that was taken, or that would be.
    """

    level: Level
    column: str
    says: str
    readings: tuple[str, ...] = ()
    likely: str = ""

    def __str__(self) -> str:
        more = f"; could be {' or '.join(self.readings)}" if self.readings else ""
        return f"{self.column}: {self.says}{more}{f'; likely: {self.likely}' if self.likely else ''}"


@frozen
class Given:
    """The cells of one row by meaning, and for each what its header (and the mapping) says about unit and basis.

    `comma` is the decimal mark of the list; `is_sure` whether that is beyond doubt.
    """

    texts: Mapping[str, str]
    headers: Mapping[str, str] = field(default_factory=dict)
    comma: bool = False
    is_sure: bool = False
    currency: str = ""

    def text(self, meaning: str) -> str:
        """The text of a cell, empty where the list has none."""
        return self.texts.get(meaning, "")

    def figures(self, text: str) -> tuple[float, ...]:
        """The numbers of a text, unsigned, with the decimal mark of the list."""
        from rigfeed.intake.numbers import figures

        return tuple(number.value for number in figures(text, self.comma))

    def header(self, meaning: str) -> str:
        """What stands above the column, in small letters."""
        return self.headers.get(meaning, "")


@frozen
class Reading:
    """The cells of a row as its kind's schema takes them, and what there is to say about them."""

    cells: dict[str, str]
    notes: tuple[Note, ...] = ()


@frozen
class Intake:
    """How a kind reads its suppliers' lists: the columns they print, and the reading of a row.

    `read` gets the row and what the row schema alone made of it, and returns what stands in the catalog.
    """

    meanings: tuple[Meaning, ...]
    read: Callable[[Given, Reading], Reading]
