"""A drawing as data: lines, circles, texts and symbols on a page.

All lengths are millimetres on paper, from the upper left corner of the page, x to the right and y downwards. An ink is
a word for what a thing means; the writer of a file or a window chooses the colour, and black ink on white paper must
suffice to read everything.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from rigfeed.path import Path

Point = tuple[float, float]
Ink = Literal["ink", "faint", "paper", "area", "error", "warning", "advice"]
Anchor = Literal["start", "middle", "end"]
Turn = Literal[0, 90, 180, 270]


@dataclass(frozen=True)
class Line:
    """A line through points. A closed one may be filled. `dash` is lengths of line and gap in turn [mm]."""

    points: tuple[Point, ...]
    width_mm: float = 0.25
    ink: Ink = "ink"
    dash: tuple[float, ...] = ()
    closed: bool = False
    fill: Ink | None = None


@dataclass(frozen=True)
class Circle:
    """A circle around a point."""

    at: Point
    radius_mm: float
    width_mm: float = 0.25
    ink: Ink = "ink"
    fill: Ink | None = None


@dataclass(frozen=True)
class Lettering:
    """One line of text. `at` is on its base line, at the end or in the middle as `anchor` says; `size_mm` is that of
    the font (the height of its em square). `turn` is clockwise [deg]."""

    at: Point
    text: str
    size_mm: float = 2.5
    anchor: Anchor = "start"
    ink: Ink = "ink"
    bold: bool = False
    turn: Turn = 0


@dataclass(frozen=True)
class Symbol:
    """A symbol of the library by name, with its origin at a point, turned clockwise [deg]."""

    name: str
    at: Point
    turn: Turn = 0
    ink: Ink = "ink"


@dataclass(frozen=True)
class Group:
    """What belongs to one subject of the design: it is selected, explained and, where `movable`, dragged as one.

    `title` is what a pointer resting on it is told; `terminals` are the places where a wire may be joined on.
    """

    subject: Path
    items: tuple[Item, ...]
    title: str = ""
    movable: bool = False
    terminals: tuple[tuple[str, Point], ...] = ()


Item = Line | Circle | Lettering | Symbol | Group


@dataclass(frozen=True)
class Scene:
    """A page with what is drawn on it, in painting order."""

    name: str
    title: str
    description: str
    width_mm: float
    height_mm: float
    items: tuple[Item, ...]

    def walk(self) -> Iterator[tuple[Group | None, Item]]:
        """Every item with the innermost group it is in, groups included, in painting order."""
        yield from _walk(None, self.items)


def _walk(group: Group | None, items: tuple[Item, ...]) -> Iterator[tuple[Group | None, Item]]:
    for item in items:
        yield group, item
        if isinstance(item, Group):
            yield from _walk(item, item.items)
