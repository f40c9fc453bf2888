"""Room on a page: rectangles, and what is taken already. A text looks for a place where it covers nothing."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import pairwise

from rigfeed.drawing.scene import Point
from rigfeed.frozen import frozen

CELL_MM = 8.0
TOUCH_MM = 1e-6  # rectangles that share an edge do not cover each other


@frozen
class Box:
    """A rectangle on the page, its sides along those of the page [mm]."""

    left: float
    top: float
    right: float
    bottom: float

    @classmethod
    def around(cls, points: Iterable[Point], margin_mm: float = 0.0) -> Box:
        """The smallest one around points; there must be one at least."""
        xs, ys = zip(*points, strict=True)
        return cls(min(xs), min(ys), max(xs), max(ys)).grown(margin_mm)

    @property
    def width(self) -> float:
        """From side to side [mm]."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """From top to bottom [mm]."""
        return self.bottom - self.top

    @property
    def centre(self) -> Point:
        """The middle of it."""
        return (self.left + self.right) / 2, (self.top + self.bottom) / 2

    @property
    def corners(self) -> tuple[Point, Point, Point, Point]:
        """Its corners, clockwise from the upper left one."""
        return (self.left, self.top), (self.right, self.top), (self.right, self.bottom), (self.left, self.bottom)

    def grown(self, margin_mm: float, upright_mm: float | None = None) -> Box:
        """A larger one, by so much on each side; `upright_mm` at top and bottom where that differs."""
        more = margin_mm if upright_mm is None else upright_mm
        return Box(self.left - margin_mm, self.top - more, self.right + margin_mm, self.bottom + more)

    def moved(self, right_mm: float, down_mm: float) -> Box:
        """The same one elsewhere."""
        return Box(self.left + right_mm, self.top + down_mm, self.right + right_mm, self.bottom + down_mm)

    def covers(self, other: Box) -> bool:
        """Whether two have an area in common."""
        return (
            self.left < other.right - TOUCH_MM and other.left < self.right - TOUCH_MM
            and self.top < other.bottom - TOUCH_MM and other.top < self.bottom - TOUCH_MM
        )

    def holds(self, other: Box) -> bool:
        """Whether another one lies within it."""
        return (
            self.left <= other.left + TOUCH_MM and self.top <= other.top + TOUCH_MM
            and self.right >= other.right - TOUCH_MM and self.bottom >= other.bottom - TOUCH_MM
        )


class Taken:
    """What is taken of a page: boxes, found by the cells they lie in."""

    def __init__(self, page: Box) -> None:
        self.page = page
        self._cells: dict[tuple[int, int], list[Box]] = {}

    def take(self, box: Box) -> None:
        """Nothing else may cover this box from now on."""
        for cell in _cells(box):
            self._cells.setdefault(cell, []).append(box)

    def is_free(self, box: Box) -> bool:
        """Whether a box lies on the page and covers nothing."""
        return self.page.holds(box) and not any(
            other.covers(box) for cell in _cells(box) for other in self._cells.get(cell, ())
        )


def _cells(box: Box) -> Iterator[tuple[int, int]]:
    for column in range(int(box.left // CELL_MM), int(box.right // CELL_MM) + 1):
        for row in range(int(box.top // CELL_MM), int(box.bottom // CELL_MM) + 1):
            yield column, row


def line_boxes(points: Iterable[Point], width_mm: float) -> Iterator[Box]:
    """Boxes that a line covers: one for each of its pieces that is level or upright, small ones along the others."""
    for (x0, y0), (x1, y1) in pairwise(points):
        steps = 1 if x0 == x1 or y0 == y1 else max(1, int(max(abs(x1 - x0), abs(y1 - y0)) / 2) + 1)
        for step in range(steps):
            near, far = step / steps, (step + 1) / steps
            ends = ((x0 + (x1 - x0) * t, y0 + (y1 - y0) * t) for t in (near, far))
            yield Box.around(ends, width_mm / 2)
