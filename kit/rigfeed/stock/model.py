"""What lies in the workshop, as a stock file says it: lengths of cables and conduits, and counted parts."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import TYPE_CHECKING

from rigfeed.errors import Place
from rigfeed.frozen import frozen
from rigfeed.quantity import Quantity

if TYPE_CHECKING:
    from rigfeed.stock.cutting import Length

NOWHERE = Place()


@frozen
class Item:
    """One row: a spool or an offcut with its length, or so many pieces of a part. `label` is what is written on it."""

    part: str
    length: Quantity | None = None
    pieces: int | None = None
    label: str = ""
    colour: str = ""
    note: str = ""
    place: Place = NOWHERE

    @property
    def at(self) -> tuple[str, int]:
        """File and line."""
        return self.place.file or "", self.place.line or 0

    @property
    def shown(self) -> str:
        """How a paper names it: by its label, else by its line in the file."""
        return self.label or f"line {self.place.line}"


def colour_of(words: Iterable[str]) -> str:
    """Colours as one text, by which those of a spool and of a conductor are compared.

    >>> colour_of(["gn", "YE"])
    'GN YE'
    """
    return " ".join(word.upper() for word in words)


@frozen
class Stock:
    """All rows with the whole keys of their parts (``kind:catalog/row``), in the order of the files."""

    items: tuple[Item, ...] = ()

    def __bool__(self) -> bool:
        return bool(self.items)

    def has(self, key: str) -> bool:
        """Whether there is any of a part, by its whole key."""
        return any(item.part == key for item in self.items)

    def lengths(self, key: str) -> tuple[Length, ...]:
        """The spools and offcuts of a part."""
        from rigfeed.stock.cutting import Length

        return tuple(
            Length(item.shown, item.length.si, colour_of(item.colour.split()), item.at)
            for item in self.items if item.part == key and item.length is not None
        )

    def pieces(self, key: str) -> int:
        """How many of a counted part there are."""
        return sum(item.pieces or 0 for item in self.items if item.part == key)

    def taken(self, key: str, wanted: int) -> dict[tuple[str, int], int]:
        """How many pieces of a counted part come from which row, one row after the other."""
        found: dict[tuple[str, int], int] = {}
        for item in self.items:
            if item.part == key and item.pieces and wanted > 0:
                found[item.at] = min(item.pieces, wanted)
                wanted -= found[item.at]
        return found

    def also(self, other: Stock) -> Stock:
        """The rows of both, each row of a file once."""
        known = {item.at for item in self.items}
        return Stock((*self.items, *(item for item in other.items if item.at not in known)))

    def with_part(self, item: Item, key: str) -> Stock:
        """One row more, under the whole key of its part."""
        return Stock((*self.items, replace(item, part=key)))


NO_STOCK = Stock()
