"""What covers what in a scene, worked out from its primitives alone.

A text may cover no other text at all. It may lie on a line, a circle or a symbol only if it belongs to it: if one of
the two is in the group of the other, or deeper in it. What stands outside of all groups belongs to nothing. The fill of
an area is a ground to write on, every other fill is part of the thing.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations, pairwise

from rigfeed.drawing.boxes import item_box, text_box
from rigfeed.drawing.font import plain
from rigfeed.drawing.places import Box
from rigfeed.drawing.scene import Circle, Group, Item, Lettering, Line, Point, Scene, Symbol
from rigfeed.drawing.symbols import strokes

SLACK_MM = 0.05

Chain = tuple[int, ...]  # the groups around something, outermost first


@dataclass(frozen=True)
class Text:
    """A text as it is shown, with the box it takes."""

    text: str
    box: Box
    chain: Chain


@dataclass(frozen=True)
class Stroke:
    """A line or a circle."""

    shape: Line | Circle
    chain: Chain


def texts_of(scene: Scene) -> list[Text]:
    """All texts in painting order, empty ones left out: as the writer of SVG writes them."""
    return [
        Text(plain(item.text), text_box(replace(item, text=plain(item.text))), chain)
        for item, chain in _flat(scene.items, ()) if isinstance(item, Lettering) and plain(item.text)
    ]


def strokes_of(scene: Scene) -> list[Stroke]:
    """All lines and circles in painting order, those of symbols too."""
    return [Stroke(item, chain) for item, chain in _flat(scene.items, ()) if isinstance(item, Line | Circle)]


def _flat(items: Sequence[Item], chain: Chain) -> Iterator[tuple[Line | Circle | Lettering, Chain]]:
    for position, item in enumerate(items):
        if isinstance(item, Group):
            yield from _flat(item.items, (*chain, position))
        elif isinstance(item, Symbol):
            for stroke in strokes(item):
                yield stroke, chain
        else:
            yield item, chain


def covered(scene: Scene, texts: Sequence[Text] | None = None) -> list[str]:
    """What is covered though it should not be, in words; `texts` in the place of those computed from the scene."""
    texts = texts_of(scene) if texts is None else texts
    found = [
        f"text {one.text!r} covers text {other.text!r}" for one, other in combinations(texts, 2)
        if _smaller(one.box).covers(_smaller(other.box))
    ]
    found += [
        f"text {text.text!r} covers {_named(stroke.shape)}" for stroke in strokes_of(scene) for text in texts
        if not _belong(text.chain, stroke.chain) and _touches(_smaller(text.box), stroke.shape)
    ]
    return found


def outside(scene: Scene, texts: Sequence[Text] | None = None) -> list[str]:
    """What leaves the page, in words."""
    page = Box(0.0, 0.0, scene.width_mm, scene.height_mm)
    texts = texts_of(scene) if texts is None else texts
    found = [f"text {text.text!r} leaves the page" for text in texts if not page.holds(_smaller(text.box))]
    found += [
        f"{_named(stroke.shape)} leaves the page" for stroke in strokes_of(scene)
        if not page.holds(item_box(stroke.shape).grown(stroke.shape.width_mm / 2))
    ]
    return found


def least_size_mm(scene: Scene) -> float:
    """The size of the smallest text."""
    return min(item.size_mm for item, _ in _flat(scene.items, ()) if isinstance(item, Lettering))


def _belong(one: Chain, other: Chain) -> bool:
    shorter = min(len(one), len(other))
    return shorter > 0 and one[:shorter] == other[:shorter]


def _smaller(box: Box) -> Box:
    return box.grown(-SLACK_MM)


def _named(shape: Line | Circle) -> str:
    if isinstance(shape, Circle):
        return f"a circle at {shape.at[0]:.1f}, {shape.at[1]:.1f}"
    (x0, y0), (x1, y1) = shape.points[0], shape.points[-1]
    return f"a line from {x0:.1f}, {y0:.1f} to {x1:.1f}, {y1:.1f}"


def _touches(box: Box, shape: Line | Circle) -> bool:
    """Whether a stroke, or what it fills, has something in common with a box."""
    wide = box.grown(shape.width_mm / 2)
    if isinstance(shape, Circle):
        x, y = shape.at
        near = min(max(x, box.left), box.right), min(max(y, box.top), box.bottom)
        return math.dist(near, shape.at) < shape.radius_mm + shape.width_mm / 2
    points = (*shape.points, shape.points[0]) if shape.closed else shape.points
    if any(_meets(wide, start, end) for start, end in pairwise(points)):
        return True
    return shape.closed and shape.fill not in (None, "area") and _inside(box.centre, shape.points)


def _meets(box: Box, start: Point, end: Point) -> bool:
    """Whether a straight piece has a point within a box (Liang and Barsky 1984)."""
    first, last = 0.0, 1.0
    for near, step, low, high in (
        (start[0], end[0] - start[0], box.left, box.right), (start[1], end[1] - start[1], box.top, box.bottom),
    ):
        if step == 0.0:
            if not low < near < high:
                return False
            continue
        enters, leaves = sorted(((low - near) / step, (high - near) / step))
        first, last = max(first, enters), min(last, leaves)
    return first < last


def _inside(point: Point, corners: Sequence[Point]) -> bool:
    """Whether a point lies in a polygon: a ray from it crosses the border an odd number of times."""
    x, y = point
    odd = False
    for (x0, y0), (x1, y1) in pairwise((*corners, corners[0])):
        if (y0 > y) != (y1 > y) and x < x0 + (y - y0) / (y1 - y0) * (x1 - x0):
            odd = not odd
    return odd
