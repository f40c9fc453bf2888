"""A paper's content as data: columns with units, rows of plain values, notes. Writers turn it into files."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Cell = str | float | int | None


@dataclass(frozen=True)
class Column:
    """One column. `unit` is the base unit of its numbers; a writer converts and names the unit in the heading.

    `width` is in characters, for the sheet; text wider than that wraps.
    """

    key: str
    heading: str
    unit: str = ""
    width: int = 12
    align: Literal["left", "right"] = "left"


@dataclass(frozen=True)
class Table:
    """A paper that is a table. Numbers are in the base unit of their column; None is an empty cell."""

    name: str
    title: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]
    notes: tuple[str, ...] = ()
