"""The drawing surface without its widget: where the page lies, what is under the pointer, what dragging edits."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import replace
from functools import cached_property
from itertools import pairwise
from typing import Literal

from rigfeed.design.edit import Edit, Set
from rigfeed.design.model import Design
from rigfeed.drawing.flat import Primitive, primitives
from rigfeed.drawing.scene import Circle, Group, Lettering, Point, Scene
from rigfeed.frozen import frozen
from rigfeed.path import Path
from rigfeed_gui.logic.joining import Joining, RoutePick, joining, picked, picking, routing
from rigfeed_gui.logic.things import selectable

__all__ = [
    "Direction", "Hit", "Joining", "Picture", "RoutePick", "Viewport", "bounds", "centre", "dragging", "fitted", "hit",
    "joining", "neighbour", "picked", "picking", "picture", "routing", "walk",
]

LEAST_SCALE, MOST_SCALE = 0.5, 60.0  # pixels per millimetre
MARK = re.compile(r"(?P<number>\d+) \w+(, accepted)?, (?P<check>[a-z][a-z0-9.-]*): ")  # the title of a mark
ROW_MM = 8.0  # what lies within so much of the same height is read as one row
INNER = 0.15  # share of the window at each side that is not "well inside"
Direction = Literal["left", "right", "up", "down"]
Box = tuple[float, float, float, float]  # left, top, right, bottom [mm]


@frozen
class Viewport:
    """Where the page lies on the screen: ``screen [px] = page [mm] * scale + (x, y)``."""

    scale: float = 3.0
    x: float = 0.0
    y: float = 0.0

    def to_screen(self, point: Point) -> Point:
        """A place on the page [mm] on the screen [px]."""
        return point[0] * self.scale + self.x, point[1] * self.scale + self.y

    def to_page(self, point: Point) -> Point:
        """A place on the screen [px] on the page [mm]."""
        return (point[0] - self.x) / self.scale, (point[1] - self.y) / self.scale

    def zoomed(self, factor: float, about: Point) -> Viewport:
        """Larger by a factor, within bounds; the page stays under `about` [px].

        >>> Viewport(2.0, 10.0, 10.0).zoomed(2.0, (10.0, 10.0))
        Viewport(scale=4.0, x=10.0, y=10.0)
        """
        scale = min(max(self.scale * factor, LEAST_SCALE), MOST_SCALE)
        page = self.to_page(about)
        return Viewport(scale, about[0] - page[0] * scale, about[1] - page[1] * scale)

    def panned(self, dx: float, dy: float) -> Viewport:
        """Moved by so many pixels."""
        return replace(self, x=self.x + dx, y=self.y + dy)

    def showing(self, point: Point, width: float, height: float) -> Viewport:
        """Moved just so far that a place on the page [mm] is well inside of a window of that size [px]."""
        x, y = self.to_screen(point)
        return self.panned(_inside(x, width) - x, _inside(y, height) - y)


def _inside(at: float, size: float) -> float:
    return min(max(at, size * INNER), size * (1 - INNER))


def fitted(scene: Scene, width: float, height: float, margin: float = 12.0) -> Viewport:
    """The whole page in a window of that size, with a margin [px]."""
    room = max(width - 2 * margin, 1.0), max(height - 2 * margin, 1.0)
    scale = min(room[0] / scene.width_mm, room[1] / scene.height_mm)
    scale = min(max(scale, LEAST_SCALE), MOST_SCALE)
    return Viewport(scale, (width - scene.width_mm * scale) / 2, (height - scene.height_mm * scale) / 2)


@frozen
class Hit:
    """What is under the pointer: the subject, its title, what a drag moves (None: nothing), the terminal if on one,
    and where the terminal, or the pointer, is [mm]."""

    subject: Path
    title: str
    dragged: Path | None
    terminal: str | None
    at: Point

    @property
    def movable(self) -> bool:
        """Whether it can be dragged."""
        return self.dragged is not None


class Picture:
    """A scene made ready for a pointer and for the keyboard; made once for each scene.

    `primitives` is what there is to paint, in order. A subject that stands in the legend too is where it is drawn.
    """

    def __init__(self, scene: Scene) -> None:
        self.scene = scene
        self.primitives = primitives(scene)
        self._boxes = tuple(_box(primitive) for primitive in self.primitives)
        self._groups: dict[Path, Group] = {}
        self._terminals: list[tuple[Point, str, Group]] = []
        for _, item in scene.walk():
            if isinstance(item, Group):
                self._groups.setdefault(item.subject, item)
                self._terminals += [(at, name, item) for name, at in item.terminals]
        self._bounds: dict[Path, Box] = {}

    @property
    def is_empty(self) -> bool:
        """Whether there is nothing on the page that could be selected."""
        return not self._groups

    @cached_property
    def numbers(self) -> dict[tuple[str, Path], int]:
        """The number of each finding that has a mark in this picture, by check and subject."""
        titles = [(MARK.match(i.title), i.subject) for _, i in self.scene.walk() if isinstance(i, Group)]
        return {(mark["check"], subject): int(mark["number"]) for mark, subject in titles if mark}

    def hit(self, at: Point, slack_mm: float) -> Hit | None:
        """What is at a place on the page within a slack: a terminal before all else, then what is nearest; an area
        only where nothing else is."""
        near = [(math.dist(at, place), name, place, group) for place, name, group in self._terminals]
        distance, name, place, group = min(near, key=lambda item: item[:2], default=(math.inf, "", at, None))
        if group is not None and distance <= slack_mm:
            dragged = group.subject if group.movable else None
            return Hit(group.subject, group.title, dragged, _whole(name, group.subject), place)
        found = min(self._under(at, slack_mm), key=lambda pair: pair[0], default=None)
        if found is None:
            return None
        primitive = found[1]
        assert primitive.subject is not None
        return Hit(primitive.subject, primitive.title, primitive.dragged, None, at)

    def _under(self, at: Point, slack_mm: float) -> Iterator[tuple[tuple[bool, float, int], Primitive]]:
        """What is near, with its rank: strokes and letters before areas, the nearer first, then the topmost."""
        for number, (primitive, box) in enumerate(zip(self.primitives, self._boxes, strict=True)):
            if primitive.subject is None or not _holds(box, at, slack_mm):
                continue
            distance, is_area = _distance(primitive, at)
            if distance <= slack_mm:
                yield (is_area, round(distance, 3), -number), primitive

    def bounds(self, subject: Path) -> Box | None:
        """The box around what belongs to a subject; None where it is not drawn."""
        group = self._groups.get(subject)
        if group is None:
            return None
        if subject not in self._bounds:
            from rigfeed.drawing.boxes import item_box

            box = item_box(group)
            self._bounds[subject] = (box.left, box.top, box.right, box.bottom)
        return self._bounds[subject]

    def is_written(self, subject: Path) -> bool:
        """Whether a subject is a line of text here, and nothing is drawn of it."""
        group = self._groups.get(subject)
        return group is not None and all(isinstance(item, Lettering) for item in group.items)

    def centre(self, subject: Path) -> Point | None:
        """The middle of what belongs to a subject, None where it is not drawn."""
        box = self.bounds(subject)
        return ((box[0] + box[2]) / 2, (box[1] + box[3]) / 2) if box else None

    def terminals(self, node: str) -> tuple[tuple[str, Point], ...]:
        """The terminals of a node with where they are [mm], for joining by keyboard."""
        found = ((_whole(name, group.subject), at) for at, name, group in self._terminals)
        return tuple((name, at) for name, at in found if name.partition(".")[0] == node)

    def walk(self) -> tuple[Path, ...]:
        """All subjects in reading order, for the tabulator key."""
        return self._order

    @cached_property
    def _order(self) -> tuple[Path, ...]:
        centres = [(centre, path) for path in self._subjects() if (centre := self.centre(path)) is not None]
        return tuple(path for (x, y), path in sorted(centres, key=lambda c: (c[0][1] // ROW_MM, c[0][0], str(c[1]))))

    def step(self, subject: Path | None, by: int) -> Path | None:
        """The next (1) or the previous (-1) subject in reading order, around the end."""
        order = self.walk()
        if not order:
            return None
        if subject not in order:
            return order[0 if by > 0 else -1]
        return order[(order.index(subject) + by) % len(order)]

    def neighbour(self, subject: Path | None, direction: Direction) -> Path | None:
        """The nearest subject in a direction, for the arrow keys; the first one where none is selected, the same one
        where there is nothing further on."""
        here = self.centre(subject) if subject is not None else None
        if here is None:
            return next(iter(self.walk()), None)
        dx, dy = {"left": (-1, 0), "right": (1, 0), "up": (0, -1), "down": (0, 1)}[direction]
        best, least = subject, math.inf
        for path in self._subjects():
            there = self.centre(path)
            if there is None or path == subject:
                continue
            along = (there[0] - here[0]) * dx + (there[1] - here[1]) * dy
            aside = abs((there[0] - here[0]) * dy) + abs((there[1] - here[1]) * dx)
            if along > 0 and aside <= 2 * along and along + 2 * aside < least:
                best, least = path, along + 2 * aside
        return best

    def _subjects(self) -> Iterator[Path]:
        """What can be selected: things, not what lies inside of them."""
        return (path for path in self._groups if len(path) == 2 and isinstance(path[1], str))

    def dragging(self, subject: Path, by_mm: Point) -> tuple[Edit, ...]:
        """The edits that put a thing elsewhere in this drawing; none where it cannot be moved."""
        group, centre, room = self._groups.get(subject), self.centre(subject), self.scene.room
        if group is None or not group.movable or centre is None or room is None:
            return ()
        from rigfeed.drawing.positions import as_written

        return (Set(Path("drawing", *subject), as_written((centre[0] + by_mm[0], centre[1] + by_mm[1]), room)),)


# the same for whoever holds a scene only; the picture of the newest is kept


def picture(scene: Scene) -> Picture:
    """The picture of a scene, made when it is another one than last time."""
    if not _newest or _newest[0].scene is not scene:
        _newest[:] = [Picture(scene)]
    return _newest[0]


_newest: list[Picture] = []


def hit(scene: Scene, at: Point, slack_mm: float) -> Hit | None:
    """See `Picture.hit`."""
    return picture(scene).hit(at, slack_mm)


def centre(scene: Scene, subject: Path) -> Point | None:
    """See `Picture.centre`."""
    return picture(scene).centre(subject)


def bounds(scene: Scene, subject: Path) -> Box | None:
    """See `Picture.bounds`."""
    return picture(scene).bounds(subject)


def walk(scene: Scene) -> tuple[Path, ...]:
    """See `Picture.walk`."""
    return picture(scene).walk()


def neighbour(scene: Scene, subject: Path | None, direction: Direction) -> Path | None:
    """See `Picture.neighbour`."""
    return picture(scene).neighbour(subject, direction)


def dragging(scene: Scene, design: Design, subject: Path, by_mm: Point) -> tuple[Edit, ...]:
    """See `Picture.dragging`; nothing where the design has it no more."""
    return picture(scene).dragging(subject, by_mm) if selectable(design, subject) == subject else ()


def _whole(name: str, subject: Path) -> str:
    """A terminal as ``F1.a``, whether the scene gives it so or bare."""
    return name if "." in name else f"{subject[1]}.{name}"


# geometry


def _box(primitive: Primitive) -> Box:
    shape = primitive.shape
    if isinstance(shape, Lettering):
        from rigfeed.drawing.boxes import text_box

        text = text_box(shape)
        return text.left, text.top, text.right, text.bottom
    if isinstance(shape, Circle):
        (x, y), r = shape.at, shape.radius_mm
        return x - r, y - r, x + r, y + r
    xs, ys = zip(*shape.points, strict=True)
    return min(xs), min(ys), max(xs), max(ys)


def _holds(box: Box, at: Point, slack_mm: float) -> bool:
    left, top, right, bottom = box
    return left - slack_mm <= at[0] <= right + slack_mm and top - slack_mm <= at[1] <= bottom + slack_mm


def _distance(primitive: Primitive, at: Point) -> tuple[float, bool]:
    """How far a place is from a stroke or a text, 0 on it, and whether it is inside of a large filled area."""
    shape = primitive.shape
    if isinstance(shape, Lettering):
        return 0.0, False
    if isinstance(shape, Circle):
        from_middle = math.dist(at, shape.at)
        if shape.fill and from_middle <= shape.radius_mm:
            return 0.0, False
        return max(abs(from_middle - shape.radius_mm) - shape.width_mm / 2, 0.0), False
    points = (*shape.points, shape.points[0]) if shape.closed else shape.points
    if shape.closed and shape.fill and _is_inside(points, at):
        return 0.0, shape.fill == "area"
    distance = min((_to_segment(a, b, at) for a, b in pairwise(points)), default=math.inf)
    return max(distance - shape.width_mm / 2, 0.0), False


def _to_segment(a: Point, b: Point, at: Point) -> float:
    dx, dy = b[0] - a[0], b[1] - a[1]
    squared = dx * dx + dy * dy
    share = 0.0 if squared == 0 else min(max(((at[0] - a[0]) * dx + (at[1] - a[1]) * dy) / squared, 0.0), 1.0)
    return math.dist(at, (a[0] + share * dx, a[1] + share * dy))


def _is_inside(outline: tuple[Point, ...], at: Point) -> bool:
    """Whether a place is inside of a closed outline: a ray to the right crosses it an odd number of times."""
    inside = False
    for (ax, ay), (bx, by) in pairwise(outline):
        if (ay > at[1]) != (by > at[1]) and at[0] < (bx - ax) * (at[1] - ay) / (by - ay) + ax:
            inside = not inside
    return inside
