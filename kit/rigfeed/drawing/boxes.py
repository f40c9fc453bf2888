"""What items take on the page."""

from __future__ import annotations

from collections.abc import Iterable

from rigfeed.drawing.font import ASCENT, DESCENT, width_mm
from rigfeed.drawing.places import Box
from rigfeed.drawing.scene import Circle, Group, Item, Lettering, Line, Point, Symbol


def united(boxes: Iterable[Box]) -> Box:
    """The smallest box that holds boxes."""
    return Box.around(point for box in boxes for point in ((box.left, box.top), (box.right, box.bottom)))


def text_box(text: Lettering) -> Box:
    """What a line of text takes, from the top of its highest letters to the bottom of its lowest.

    >>> text_box(Lettering((10.0, 10.0), "W1", 2.0)).top
    8.19
    """
    wide = width_mm(text.text, text.size_mm, bold=text.bold)
    left = -wide * {"start": 0.0, "middle": 0.5, "end": 1.0}[text.anchor]
    x, y = text.at
    corners = ((left, -ASCENT * text.size_mm), (left + wide, DESCENT * text.size_mm))
    return Box.around((x + dx, y + dy) for dx, dy in (turned(corner, text.turn) for corner in corners))


def turned(point: Point, turn: int) -> Point:
    """A point turned clockwise around the origin by quarters [deg]."""
    x, y = point
    return {0: (x, y), 90: (-y, x), 180: (-x, -y), 270: (y, -x)}[turn]


def item_box(item: Item) -> Box:
    """What an item takes on the page."""
    if isinstance(item, Lettering):
        return text_box(item)
    if isinstance(item, Line):
        return Box.around(item.points)
    if isinstance(item, Circle):
        (x, y), r = item.at, item.radius_mm
        return Box(x - r, y - r, x + r, y + r)
    if isinstance(item, Group):
        return united(item_box(inner) for inner in item.items)
    return symbol_box(item)


def symbol_box(symbol: Symbol) -> Box:
    """What a symbol takes on the page."""
    from rigfeed.drawing.symbols import strokes

    return united(item_box(stroke) for stroke in strokes(symbol))
