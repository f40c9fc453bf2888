"""The shelf to look through: kinds, their parts, each with its source and how far to trust it."""

from __future__ import annotations

from dataclasses import dataclass

from rigfeed.parts.shelf import Shelf


@dataclass(frozen=True)
class Kind:
    """A kind of parts."""

    name: str
    title: str
    count: int


@dataclass(frozen=True)
class PartRow:
    """A part in the list: its key as people write it, title, where its figures come from and how far to trust them."""

    key: str
    title: str
    catalog: str
    source: str
    confidence: str


@dataclass(frozen=True)
class Found:
    """The parts to show, and how many more there are."""

    rows: tuple[PartRow, ...]
    more: int


def kinds(shelf: Shelf) -> tuple[Kind, ...]:
    """The kinds of which there are parts, by title."""
    raise NotImplementedError


def search(shelf: Shelf, kind: str, words: str = "", most: int = 200) -> Found:
    """The parts of a kind that have all the words in key, title or source."""
    raise NotImplementedError


def details(shelf: Shelf, key: str) -> tuple[tuple[str, str], ...]:
    """Everything that the catalog says of a part, by column; raises as `Shelf.part` does."""
    raise NotImplementedError
