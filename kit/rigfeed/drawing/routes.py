"""The route plan: zones as areas, points as boxes with what stands at them, runs as lines as thick as their bundles.

The thickness of a run shows how thick its bundle is; the filled part of a hole is what cables take of it. Whatever
finds no room in the picture is told below it.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Mapping

from rigfeed.assess import Assessment
from rigfeed.drawing.boxes import united
from rigfeed.drawing.font import plain, wrap
from rigfeed.drawing.frame import PAGES, Content, page_scene
from rigfeed.drawing.marks import by_subject, numbered
from rigfeed.drawing.places import Box
from rigfeed.drawing.positions import Positions, positions
from rigfeed.drawing.routes_areas import AREA_MM, EDGE_MM, Area, areas_of, grounded
from rigfeed.drawing.routes_facts import Plan, Way, plan_of, spans
from rigfeed.drawing.routes_grid import Arrangement, arranged
from rigfeed.drawing.routes_labels import HOLE_ROOMS_MM, ROOMS_MM, Labels
from rigfeed.drawing.routes_lines import HOLE_MM, Drawn, hole_places, led, thickness_mm
from rigfeed.drawing.routes_pieces import (
    LEADING,
    TEXT_MM,
    Marks,
    Piece,
    hole_piece,
    place_piece,
    way_piece,
    zone_piece,
)
from rigfeed.drawing.scene import Circle, Group, Item, Lettering, Line, Point, Scene, moved
from rigfeed.installation import LaidPassage
from rigfeed.papers.paper import Wanted
from rigfeed.path import Path
from rigfeed.quantity import System

TITLE = "Route plan"
KEY = "the thickness of a line shows its bundle, the disc in a hole its fill"
AROUND_MM = (18.0, 65.0)  # what frame, legend and cautions take of the width and of the height of a page, roughly
LEAST_GAP_MM, BESIDE_LABEL_MM = 20.0, 6.0
EMPTY_DASH = (1.2, 1.2)
NOTE_TOP_MM = 2.0
MOST_LINES = 20  # of one note


def routes_scene(assessment: Assessment, wanted: Wanted) -> Scene:
    """The route plan of an assessment on one page."""
    plan = plan_of(assessment)
    sorts: dict[str, Collection[str]] = {
        "points": plan.places, "runs": plan.ways, "passages": plan.holes, "zones": plan.zones,
    }
    drawn = [Path(sort, id_) for sort, things in sorts.items() for id_ in things]
    marks = numbered(assessment.findings, drawn)
    given = positions(assessment.installation.design, "points")
    width_mm, height_mm = PAGES[wanted.page or "A4"]
    size = width_mm - AROUND_MM[0], height_mm - AROUND_MM[1]
    picture = _Picture(plan, given, by_subject(marks, drawn), size, wanted.system)
    description = (
        f"Where the conductors of {assessment.installation.title} run: {len(plan.zones)} zones, {len(plan.places)} "
        f"points, {len(plan.ways)} runs, {len(plan.holes)} holes."
    )
    return page_scene(assessment, "routes", TITLE, plain(description), picture.content(), marks, wanted)


class _Picture:
    """A route plan being drawn at its natural size."""

    def __init__(self, plan: Plan, given: Positions, marks: Marks, size: tuple[float, float], system: System) -> None:
        self.plan, self.given, self.marks, self.system = plan, given, marks, system
        found = arranged(plan, *size)
        self.pieces = {id_: place_piece(place, marks) for id_, place in plan.places.items()}
        self.titles = self._zone_titles()
        strips = {zone: piece.height_mm + 1.0 for zone, piece in self.titles.items()}
        above = {id_: strips[place.zone] for id_, place in plan.places.items() if place.zone in strips}
        self.ground = grounded(found, self.pieces, above, self._gaps(found), size[0] / size[1], given)
        self.areas = areas_of(found, self.ground, strips)
        self.page = united([self.ground.room, *(box.grown(EDGE_MM) for box in self.ground.places.values())])
        self.labels = Labels(self.page)
        self.untold: list[str] = []

    def _gaps(self, found: Arrangement) -> list[float]:
        """The least distances between columns: room for the labels of the runs that lead across, and for borders."""
        gaps = [LEAST_GAP_MM] * (found.columns - 1)
        for way in self.plan.ways.values():
            left, right = sorted((found.cells[way.start][0], found.cells[way.end][0]))
            if right == left + 1:
                labels = [way_piece(way, self.marks, ROOMS_MM[0], self.system)]
                labels += [
                    hole_piece(hole, self.marks, HOLE_ROOMS_MM[0] - HOLE_MM, self.system)
                    for hole in self.plan.holes.values() if hole.run == way.id
                ]
                wide = max(label.width_mm for label in labels) + BESIDE_LABEL_MM
                zones = self.plan.places[way.start].zone, self.plan.places[way.end].zone
                gaps[left] = max(gaps[left], wide + (2 * AREA_MM if zones[0] != zones[1] else 0.0))
        return gaps

    def _zone_titles(self) -> dict[str, Piece]:
        """The titles of the zones that have a point, as wide as the narrowest area they may stand in."""
        found = {}
        for id_, zone in self.plan.zones.items():
            widths = [self.pieces[point].width_mm for point, place in self.plan.places.items() if place.zone == id_]
            if widths:
                found[id_] = zone_piece(zone, self.marks, min(widths) + 2 * AREA_MM - 3.0, self.system)
        return found

    def content(self) -> Content:
        """All of it from the back to the front, with the notes below."""
        if not self.plan.places:
            return Content((Lettering((2.0, 6.0), "The design has no points yet."),), 80.0, 10.0)
        ways = led(self.plan, self.ground, self.areas, self.page)
        spots = hole_places(self.plan, ways, self.areas)
        self._take(ways, spots)
        areas = [self._area(area) for area in self.areas]
        runs = [self._run(self.plan.ways[id_], way) for id_, way in ways.items()]
        holes = [self._hole(self.plan.holes[id_], at) for id_, at in spots.items()]
        places = [self._place(id_, box) for id_, box in self.ground.places.items()]
        notes = self._notes(ways)
        height = self.page.height + (NOTE_TOP_MM + (len(notes) + 0.5) * LEADING * TEXT_MM if notes else 0.0)
        back = -self.page.left, -self.page.top
        items = moved((*areas, *runs, *holes, *places, *notes), back)
        return Content(items, self.page.width, height, KEY, self.ground.room.moved(*back))

    def _take(self, ways: Mapping[str, Drawn], spots: Mapping[str, Point]) -> None:
        """Tell the labels what they may not cover."""
        for area in self.areas:
            self.labels.take_text(area.title)
            self.labels.take_border(area.box, 0.3)
        for box in self.ground.places.values():
            self.labels.take_text(box.grown(0.3))
        for id_, way in ways.items():
            self.labels.take_line(way, thickness_mm(self.plan.ways[id_]))
        for at in spots.values():
            self.labels.take_text(_hole_box(at).grown(0.2))

    def _area(self, area: Area) -> Item:
        outline = Line(area.box.corners, 0.3, "faint", closed=True, fill="area")
        title = self.titles[area.zone].at((area.title.left + 1.5, area.title.top + 0.8))
        zone = self.plan.zones[area.zone]
        return Group(Path("zones", zone.id), (outline, *title), plain(f"zone {zone.id}: {zone.title}"))

    def _place(self, id_: str, box: Box) -> Item:
        outline = Line(box.corners, 0.4, closed=True, fill="paper")
        items = (outline, *self.pieces[id_].at((box.left, box.top)))
        told = self.plan.places[id_].title
        title = plain(f"point {id_}: {told}" if told else f"point {id_}")
        return Group(Path("points", id_), items, title, movable=True)

    def _run(self, way: Way, points: Drawn) -> Item:
        thick = thickness_mm(way)
        label = self.labels.along(points, thick, lambda room: way_piece(way, self.marks, room, self.system))
        if label is None:
            self.untold.append(f"run {_words(way_piece(way, {}, math.inf, self.system))}")
        line = Line(points, thick, "ink", () if way.conductors else EMPTY_DASH)
        zone = f" in {way.zone}" if way.zone else ""
        title = f"run {way.id}{zone}: {', '.join(spans(way.conductors)) or 'nothing led here'}"
        return Group(Path("runs", way.id), (line, *(label.items if label else ())), plain(title))

    def _hole(self, hole: LaidPassage, at: Point) -> Item:
        label = self.labels.around(_hole_box(at), lambda room: hole_piece(hole, self.marks, room, self.system))
        if label is None:
            self.untold.append(f"hole {_words(hole_piece(hole, {}, math.inf, self.system))}")
        sign: list[Item] = [Circle(at, HOLE_MM, 0.4, fill="paper")]
        if hole.fill:
            sign.append(Circle(at, (HOLE_MM - 0.4) * math.sqrt(min(hole.fill, 1.0)), 0.0, fill="ink"))
        title = f"hole {hole.id}: {hole.title}" if hole.title != hole.id else f"hole {hole.id}"
        return Group(Path("passages", hole.id), (*(label.items if label else ()), *sign), plain(title))

    def _notes(self, ways: Mapping[str, Drawn]) -> list[Item]:
        """What the picture has no place for, below it."""
        room_mm = self.page.width - 4.0
        lines = [line for text in self._remarks(ways) for line in wrap(text, room_mm, TEXT_MM, most=MOST_LINES)]
        top = self.page.bottom + NOTE_TOP_MM
        return [
            Lettering((self.page.left + 2.0, top + (row + 0.9) * LEADING * TEXT_MM), line, TEXT_MM)
            for row, line in enumerate(lines)
        ]

    def _remarks(self, ways: Mapping[str, Drawn]) -> Iterator[str]:
        if self.plan.loose:
            loose = (f"{id_} ({ends})" for id_, ends in self.plan.loose.items())
            yield f"Led over no run: {', '.join(loose)}."
        if self.plan.lost:
            yield f"At no point: {', '.join(spans(self.plan.lost))}."
        if self.untold:
            yield f"Labels that found no room: {'; '.join(self.untold)}."
        undrawn = [
            f"{_words(way_piece(way, {}, math.inf, self.system))} ({way.start} to {way.end})"
            for id_, way in self.plan.ways.items() if id_ not in ways
        ]
        if undrawn:
            yield f"Runs that found no way on the page: {'; '.join(undrawn)}."
        if self.given.unread:
            yield f"Positions that cannot be read: {', '.join(self.given.unread)}."


def _hole_box(at: Point) -> Box:
    return Box(*at, *at).grown(HOLE_MM)


def _words(piece: Piece) -> str:
    """The texts of a piece in one line."""
    return ", ".join(item.text for item in piece.items if isinstance(item, Lettering))
