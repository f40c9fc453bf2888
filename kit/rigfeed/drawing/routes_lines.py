"""The lines of a route plan: the way of every run over the paper, and where on it the holes are."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise

from rigfeed.drawing.places import Box
from rigfeed.drawing.routes_areas import GRID_MM, Area, Ground
from rigfeed.drawing.routes_facts import Plan, Way
from rigfeed.drawing.routes_ways import Streets
from rigfeed.drawing.scene import Point
from rigfeed.papers.places import natural

THINNEST_MM, THICKEST_MM, THICK_PER_MM = 0.5, 2.6, 0.13  # of a line, by the diameter of the bundle
HOLE_MM = 2.2  # radius of the sign of a hole
HOLES_APART_MM = 7.0

Drawn = tuple[Point, ...]


def thickness_mm(way: Way) -> float:
    """How thick the line of a run is: it grows with its bundle, within what can be drawn."""
    if not way.conductors:
        return 0.3
    return min(max(THINNEST_MM, THICK_PER_MM * (way.diameter_mm or 0.0)), THICKEST_MM)


def led(plan: Plan, ground: Ground, areas: Sequence[Area], page: Box) -> dict[str, Drawn]:
    """The ways of all runs by id, in the order of names; a run for which there is none is left out."""
    streets = Streets(page, GRID_MM)
    for box in (*ground.places.values(), *(area.title for area in areas)):
        streets.build(box)
    boxes = ground.places

    def near_first(way: Way) -> tuple[float, object]:
        (x0, y0), (x1, y1) = boxes[way.start].centre, boxes[way.end].centre
        return abs(x1 - x0) + abs(y1 - y0), natural(way.id)

    ordered = sorted(plan.ways.values(), key=near_first)
    found = {way.id: streets.lead(boxes[way.start], boxes[way.end]) for way in ordered}
    return {id_: drawn for id_ in plan.ways if (drawn := found[id_])}


def hole_places(plan: Plan, ways: Mapping[str, Drawn], areas: Sequence[Area]) -> dict[str, Point]:
    """Where the holes are on the paper: where the run leaves an area, else in the middle of it."""
    found: dict[str, Point] = {}
    for run, way in ways.items():
        holes = [hole.id for hole in plan.holes.values() if hole.run == run]
        spots = _spots(way, areas, len(holes))
        found |= dict(zip(holes, spots, strict=True))
    return found


def _spots(way: Drawn, areas: Sequence[Area], count: int) -> list[Point]:
    """So many places on a way, in its direction: at borders first, else around the middle of its longest piece."""
    crossings = list(_crossings(way, areas))
    if count == len(crossings) or (count == 1 and crossings):
        return crossings[:count]
    (x0, y0), (x1, y1) = max(pairwise(way), key=lambda leg: abs(leg[1][0] - leg[0][0]) + abs(leg[1][1] - leg[0][1]))
    length = abs(x1 - x0) + abs(y1 - y0)
    apart = min(HOLES_APART_MM, length / (count + 1))
    shares = [0.5 + (position - (count - 1) / 2) * apart / length for position in range(count)]
    return [(x0 + (x1 - x0) * share, y0 + (y1 - y0) * share) for share in shares]


def _crossings(way: Drawn, areas: Sequence[Area]) -> Iterator[Point]:
    """Where a way crosses the borders of areas, in its direction."""
    for (x0, y0), (x1, y1) in pairwise(way):
        found = []
        for area in areas:
            box = area.box
            if y0 == y1 and box.top < y0 < box.bottom:
                found += [(x, y0) for x in (box.left, box.right) if min(x0, x1) < x < max(x0, x1)]
            elif x0 == x1 and box.left < x0 < box.right:
                found += [(x0, y) for y in (box.top, box.bottom) if min(y0, y1) < y < max(y0, y1)]
        yield from sorted(found, key=lambda at, x=x0, y=y0: abs(at[0] - x) + abs(at[1] - y))  # type: ignore[misc]
