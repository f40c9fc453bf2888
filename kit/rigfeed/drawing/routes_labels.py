"""Where labels find room: along the way they belong to, else near it with a thin line that leads there."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import pairwise

from rigfeed.drawing.places import Box, Taken, line_boxes
from rigfeed.drawing.routes_pieces import Piece
from rigfeed.drawing.scene import Item, Line, Point
from rigfeed.frozen import frozen

ROOMS_MM = (34.0, 26.0, 46.0, 20.0)  # widths that the label of a run is tried with
HOLE_ROOMS_MM = (20.0, 26.0, 14.0, 40.0)
GAP_MM = 0.9  # from a way to its label
SLIDE_MM = 3.0
FAR_MM = 44.0  # as far as a thin line may lead
LEADER_MM = 0.18


@frozen
class Spread:
    """A label in its place, with the line that leads to it, if one does."""

    items: tuple[Item, ...]
    box: Box


class Labels:
    """The page while labels find their places. Texts may cover nothing, leading lines no text."""

    def __init__(self, page: Box) -> None:
        self._all, self._texts = Taken(page), Taken(page)

    def take_text(self, box: Box) -> None:
        """Something that no line may cross either."""
        self._all.take(box)
        self._texts.take(box)

    def take_line(self, points: Sequence[Point], width_mm: float) -> None:
        """A line that no text may cover."""
        for box in line_boxes(points, width_mm):
            self._all.take(box)

    def take_border(self, box: Box, width_mm: float) -> None:
        """The border of an area: texts may stand in it, not on it."""
        self.take_line((*box.corners, box.corners[0]), width_mm)

    def along(self, way: Sequence[Point], width_mm: float, label: Callable[[float], Piece]) -> Spread | None:
        """A label beside a way: first of all along its longest piece, above it or to its right."""
        pieces = [label(room) for room in ROOMS_MM]
        legs = sorted(pairwise(way), key=lambda leg: -_length(leg))
        for leg in legs:
            for piece in pieces:
                for box in _beside(leg, width_mm, piece):
                    if self._all.is_free(box):
                        return self._taken(piece, box)
        starts = [(x, y, x, y) for leg in legs for x, y in _thirds(leg)]
        return next((found for start in starts if (found := self._led_to(Box(*start), pieces))), None)

    def around(self, hole: Box, label: Callable[[float], Piece]) -> Spread | None:
        """A label beside a small thing."""
        pieces = [label(room) for room in HOLE_ROOMS_MM]
        for piece in pieces:
            for box in _around(hole, piece):
                if self._all.is_free(box):
                    return self._taken(piece, box)
        return self._led_to(hole.grown(0.4), pieces)

    def _taken(self, piece: Piece, box: Box, *leader: Item) -> Spread:
        self.take_text(box)
        return Spread((*leader, *piece.at((box.left, box.top))), box)

    def _led_to(self, start: Box, pieces: Sequence[Piece]) -> Spread | None:
        """A label at some distance, with a line from a small thing to it that crosses no text."""
        for x, y in _spiral():
            for piece in pieces[:2]:
                left, top = start.centre[0] + x - piece.width_mm / 2, start.centre[1] + y - piece.height_mm / 2
                box = Box(left, top, left + piece.width_mm, top + piece.height_mm)
                if not self._all.is_free(box.grown(0.5)):
                    continue
                near = _nearest(start, box.centre)
                line = (near, _nearest(box.grown(0.4), near))
                boxes = list(line_boxes(line, LEADER_MM))
                if all(self._texts.is_free(part) for part in boxes):
                    found = self._taken(piece, box, Line(line, LEADER_MM))
                    self.take_line(line, LEADER_MM)
                    return found
        return None


def _length(leg: tuple[Point, Point]) -> float:
    (x0, y0), (x1, y1) = leg
    return abs(x1 - x0) + abs(y1 - y0)


def _thirds(leg: tuple[Point, Point]) -> Iterator[Point]:
    """Places on a piece of a way from which a line may lead to its label."""
    (x0, y0), (x1, y1) = leg
    for share in (1 / 2, 1 / 3, 2 / 3):
        yield x0 + (x1 - x0) * share, y0 + (y1 - y0) * share


def _middle(leg: tuple[Point, Point]) -> Point:
    (x0, y0), (x1, y1) = leg
    return (x0 + x1) / 2, (y0 + y1) / 2


def _beside(leg: tuple[Point, Point], width_mm: float, piece: Piece) -> Iterator[Box]:
    """Places on both sides of a level or upright piece of a way, from its middle outwards."""
    (x0, y0), (x1, y1) = leg
    off = width_mm / 2 + GAP_MM
    wide, high = piece.width_mm, piece.height_mm
    x, y = _middle(leg)
    if y0 == y1:
        spare = max(abs(x1 - x0) - wide, 0.0) / 2
        for slide in _slides(spare):
            left = x - wide / 2 + slide
            yield Box(left, y - off - high, left + wide, y - off)
            yield Box(left, y + off, left + wide, y + off + high)
    else:
        spare = max(abs(y1 - y0) - high, 0.0) / 2
        for slide in _slides(spare):
            top = y - high / 2 + slide
            yield Box(x + off, top, x + off + wide, top + high)
            yield Box(x - off - wide, top, x - off, top + high)


def _slides(spare_mm: float) -> Iterator[float]:
    """Distances from the middle, to both sides, as far as there is room."""
    yield 0.0
    for step in range(1, int(spare_mm / SLIDE_MM) + 1):
        yield step * SLIDE_MM
        yield -step * SLIDE_MM


def _around(hole: Box, piece: Piece) -> Iterator[Box]:
    """Places at the corners and sides of a small thing."""
    x, y = hole.centre
    wide, high = piece.width_mm, piece.height_mm
    beside = (hole.right + GAP_MM, hole.left - GAP_MM - wide, x - wide / 2, hole.left, hole.right - wide)
    over = (hole.bottom + GAP_MM, hole.top - GAP_MM - high, y - high / 2, y + 2.0, y - 2.0 - high)
    places = (
        (beside[2], over[0]), (beside[3], over[0]), (beside[4], over[0]), (beside[2], over[1]), (beside[3], over[1]),
        (beside[4], over[1]), (beside[0], over[2]), (beside[0], over[3]), (beside[0], over[4]), (beside[1], over[2]),
        (beside[1], over[3]), (beside[1], over[4]), (beside[0], over[0]), (beside[0], over[1]), (beside[1], over[0]),
        (beside[1], over[1]),
    )
    for left, top in places:
        yield Box(left, top, left + wide, top + high)


def _spiral() -> list[Point]:
    """Places around another, nearer ones first, those above and below before those aside."""
    step = 4.0
    count = int(FAR_MM / step)
    places = [(x * step, y * step) for x in range(-count, count + 1) for y in range(-count, count + 1) if x or y]
    return sorted(places, key=lambda at: (at[0] ** 2 + at[1] ** 2, at[1], at[0]))


def _nearest(box: Box, to: Point) -> Point:
    """The point of a box that is nearest to another."""
    return min(max(to[0], box.left), box.right), min(max(to[1], box.top), box.bottom)
