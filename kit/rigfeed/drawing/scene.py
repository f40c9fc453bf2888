"""A drawing as data: lines, circles, texts and symbols on a page.

All lengths are millimetres on paper, from the upper left corner of the page, x to the right and y downwards. An ink is
a word for what a thing means; the writer of a file or a window chooses the colour, and black ink on white paper must
suffice to read everything.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import TYPE_CHECKING, Literal

from rigfeed.frozen import frozen
from rigfeed.path import Path

if TYPE_CHECKING:
    from rigfeed.drawing.places import Box

Point = tuple[float, float]
Ink = Literal["ink", "faint", "paper", "area", "error", "warning", "advice"]
Anchor = Literal["start", "middle", "end"]
Turn = Literal[0, 90, 180, 270]


@frozen
class Line:
    """A line through points. A closed one may be filled. `dash` is lengths of line and gap in turn [mm]."""

    points: tuple[Point, ...]
    width_mm: float = 0.25
    ink: Ink = "ink"
    dash: tuple[float, ...] = ()
    closed: bool = False
    fill: Ink | None = None


@frozen
class Circle:
    """A circle around a point."""

    at: Point
    radius_mm: float
    width_mm: float = 0.25
    ink: Ink = "ink"
    fill: Ink | None = None


@frozen
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


@frozen
class Symbol:
    """A symbol of the library by name, with its origin at a point, turned clockwise [deg], `scale` times its size."""

    name: str
    at: Point
    turn: Turn = 0
    ink: Ink = "ink"
    scale: float = 1.0


@frozen
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


@frozen
class Scene:
    """A page with what is drawn on it, in painting order. Positions of a person (`rigfeed.drawing.positions`) count in
    `room`."""

    name: str
    title: str
    description: str
    width_mm: float
    height_mm: float
    items: tuple[Item, ...]
    room: Box | None = None

    def walk(self) -> Iterator[tuple[Group | None, Item]]:
        """Every item with the innermost group it is in, groups included, in painting order."""
        yield from _walk(None, self.items)


def _walk(group: Group | None, items: tuple[Item, ...]) -> Iterator[tuple[Group | None, Item]]:
    for item in items:
        yield group, item
        if isinstance(item, Group):
            yield from _walk(item, item.items)


def moved(items: Iterable[Item], by: Point, scale: float = 1.0) -> tuple[Item, ...]:
    """Items `scale` times their size, seen from the origin, and then moved."""
    return tuple(_moved(item, by, scale) for item in items)


def _moved(item: Item, by: Point, scale: float) -> Item:
    def there(point: Point) -> Point:
        return point[0] * scale + by[0], point[1] * scale + by[1]

    if isinstance(item, Line):
        dash = tuple(length * scale for length in item.dash)
        points = tuple(map(there, item.points))
        return replace(item, points=points, width_mm=item.width_mm * scale, dash=dash)
    if isinstance(item, Circle):
        width_mm = item.width_mm * scale
        return replace(item, at=there(item.at), radius_mm=item.radius_mm * scale, width_mm=width_mm)
    if isinstance(item, Lettering):
        return replace(item, at=there(item.at), size_mm=item.size_mm * scale)
    if isinstance(item, Symbol):
        return replace(item, at=there(item.at), scale=item.scale * scale)
    terminals = tuple((name, there(at)) for name, at in item.terminals)
    return replace(item, items=moved(item.items, by, scale), terminals=terminals)
