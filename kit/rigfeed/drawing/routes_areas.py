"""Where the points of a route plan lie on the paper, and the areas of the zones around them."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations

from rigfeed.drawing.boxes import united
from rigfeed.drawing.places import Box
from rigfeed.drawing.positions import Positions
from rigfeed.drawing.routes_grid import Arrangement, Block
from rigfeed.drawing.routes_pieces import Piece
from rigfeed.drawing.scene import Point
from rigfeed.frozen import frozen

GRID_MM = 2.0  # of the ways
BELOW_MM = 18.0  # from row to row, with room for the label of a run that leads down
MOST_SPARE_MM, MOST_ASIDE_MM = 10.0, 50.0  # what is added between rows and columns where the page has room
EDGE_MM = 10.0  # around everything
AREA_MM = 4.0  # from a point to the border of its area
MOST_JOINED = 40  # points of a zone whose areas are put together by trying pairs
MOST_RINGS = 60  # of places that are tried around the one that is wanted


@frozen
class Area:
    """A zone, or a part of it, on the paper; `title` is the upper strip of it, where its name stands."""

    zone: str
    box: Box
    title: Box
    points: tuple[str, ...]


@frozen
class Ground:
    """The room with the boxes of the points, all on the grid."""

    room: Box
    places: Mapping[str, Box]


def grounded(
    found: Arrangement, pieces: Mapping[str, Piece], strips: Mapping[str, float], gaps: Sequence[float], aspect: float,
    given: Positions,
) -> Ground:
    """Every point in its place: where a person put it, else in its cell, as near as nothing else is in the way.

    `strips` are the heights of the titles above the points, `gaps` the least distances between columns, and `aspect` is
    the width of the page over its height.
    """
    columns, rows = (
        [_largest(found, pieces, axis, index) for index in range(count)]
        for axis, count in enumerate((found.columns, found.rows))
    )
    tops = [max((strips[b.points[0]] for b in found.blocks if _is_top(b, row, found, strips)), default=0.0)
            for row in range(found.rows)]
    below = [BELOW_MM + (top + AREA_MM if top else 0.0) for top in tops[1:]]
    wide = math.fsum((*columns, *gaps)) + 2 * EDGE_MM
    high = math.fsum((*rows, *below, tops[0])) + 2 * EDGE_MM
    aside = min(max(high * aspect - wide, 0.0), MOST_ASIDE_MM * len(gaps))
    spare = min(max(wide / aspect - high, 0.0), MOST_SPARE_MM * len(below))
    room = Box(0.0, 0.0, _up(wide + aside), _up(high + spare))
    xs, ys = _middles(columns, gaps, room.width, 0.0), _middles(rows, below, room.height, tops[0])
    wanted = {id_: (xs[column], ys[row]) for id_, (column, row) in found.cells.items()}
    placing = _Placing(room, pieces, strips)
    for id_ in sorted(given.shares):
        placing.place(id_, given.at(id_, room) or wanted[id_])
    for id_ in found.cells:
        if id_ not in given.shares:
            placing.place(id_, wanted[id_])
    return Ground(room, placing.boxes)


def _is_top(block: Block, row: int, found: Arrangement, strips: Mapping[str, float]) -> bool:
    """Whether the area of a block begins in a row."""
    return block.points[0] in strips and min(found.cells[id_][1] for id_ in block.points) == row


def _largest(found: Arrangement, pieces: Mapping[str, Piece], axis: int, index: int) -> float:
    ids = [id_ for id_, cell in found.cells.items() if cell[axis] == index]
    return max((_up(pieces[id_].height_mm if axis else pieces[id_].width_mm) for id_ in ids), default=0.0)


def _up(length_mm: float) -> float:
    """A length as an even number of steps of the grid, at least as long."""
    return math.ceil(length_mm / (2 * GRID_MM) - 1e-9) * 2 * GRID_MM


def _middles(lengths: Sequence[float], gaps: Sequence[float], room_mm: float, before_mm: float) -> list[float]:
    """The middles of lengths with gaps between them that are spread over a room, what is left shared by the gaps."""
    over = room_mm - math.fsum((*lengths, *gaps)) - 2 * EDGE_MM - before_mm
    each = over / len(gaps) if gaps else 0.0
    at = EDGE_MM + before_mm + (0.0 if gaps else over / 2)
    found = []
    for length, gap in zip(lengths, (*gaps, 0.0), strict=True):
        found.append(at + length / 2)
        at += length + gap + each
    return found


class _Placing:
    """Points getting their boxes; none comes nearer to another than their areas allow."""

    def __init__(self, room: Box, pieces: Mapping[str, Piece], strips: Mapping[str, float]) -> None:
        self.room, self.pieces, self.strips = room, pieces, strips
        self.boxes: dict[str, Box] = {}
        self.claims: list[Box] = []

    def place(self, id_: str, middle: Point) -> None:
        """Put a point where it is wanted, or as near as there is room for it."""
        piece = self.pieces[id_]
        size = _up(piece.width_mm), _up(piece.height_mm)
        for at in _outwards(middle):
            box = self._on_grid(at, size)
            claim = self._claim(id_, box)
            if self.room.holds(claim) and not any(claim.covers(other) for other in self.claims):
                break
        else:  # no room is left: below everything
            box = self._on_grid((middle[0], self._lowest() + BELOW_MM + size[1]), size)
            claim = self._claim(id_, box)
        self.boxes[id_] = box
        self.claims.append(claim)

    def _lowest(self) -> float:
        return max((self.room.bottom, *(claim.bottom for claim in self.claims)))

    def _on_grid(self, middle: Point, size: tuple[float, float]) -> Box:
        left, top = (round((at - length / 2) / GRID_MM) * GRID_MM for at, length in zip(middle, size, strict=True))
        return Box(left, top, left + size[0], top + size[1])

    def _claim(self, id_: str, box: Box) -> Box:
        wide = box.grown(AREA_MM + 1.0)
        return Box(wide.left, wide.top - self.strips.get(id_, 0.0), wide.right, wide.bottom)


def _outwards(middle: Point) -> Iterator[Point]:
    """A place and those around it, nearer ones first."""
    step = 2 * GRID_MM
    yield middle
    for ring in range(1, MOST_RINGS):
        around = [(x, y) for x in range(-ring, ring + 1) for y in range(-ring, ring + 1) if max(abs(x), abs(y)) == ring]
        for x, y in sorted(around, key=lambda at: (at[0] ** 2 + at[1] ** 2, at)):
            yield middle[0] + x * step, middle[1] + y * step


def areas_of(found: Arrangement, ground: Ground, titles: Mapping[str, float]) -> tuple[Area, ...]:
    """The areas of the zones: one for each block, or several where one would cover something else.

    `titles` are the heights of the titles of the zones.
    """
    whole = [_area(block.zone, block.points, ground, titles) for block in found.blocks if block.zone in titles]
    zoned = {id_: area.zone for area in whole for id_ in area.points}
    small = [_area(zoned.get(id_), (id_,), ground, titles) for id_ in ground.places]
    areas = []
    for area in whole:
        others = [*small, *(other for other in whole if other is not area)]
        if _is_clear(area, others) or len(area.points) > MOST_JOINED:
            areas.append(area)
        else:
            areas += _joined(area, [other for other in small if other.points[0] in area.points], ground, titles, others)
    return tuple(areas)


def _joined(
    whole: Area, areas: list[Area], ground: Ground, titles: Mapping[str, float], others: Sequence[Area]
) -> list[Area]:
    """The areas of single points, put together wherever the larger one covers nothing else."""
    others = [other for other in others if not set(other.points) & set(whole.points)]
    pairs = combinations(areas, 2)
    while (pair := next(pairs, None)) is not None:
        area = _area(whole.zone, pair[0].points + pair[1].points, ground, titles)
        rest = [other for other in areas if other not in pair]
        if _is_clear(area, [*others, *rest]):
            areas = [area, *rest]
            pairs = combinations(areas, 2)
    return areas


def _is_clear(area: Area, others: Sequence[Area]) -> bool:
    """Whether an area keeps clear of those of other points."""
    wide = area.box.grown(1.0)
    return not any(wide.covers(other.box) for other in others if other.points[0] not in area.points)


def _area(zone: str | None, points: tuple[str, ...], ground: Ground, titles: Mapping[str, float]) -> Area:
    inner = united(ground.places[id_] for id_ in points).grown(AREA_MM)
    box = Box(inner.left, inner.top - titles.get(zone or "", 0.0), inner.right, inner.bottom)
    return Area(zone or "", box, Box(box.left, box.top, box.right, inner.top), points)
