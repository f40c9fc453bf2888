"""Where everything of the circuit stands: columns from left to right, a lane for each zone, lines between them.

From the left, a channel has room for upright pieces of lines, then for the words of the wires that end in the column
behind it. No upright piece comes into the words, and no words lie on the border of a zone.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from rigfeed.drawing.boxes import united
from rigfeed.drawing.channels import Jump, bends, overlapping, tracks
from rigfeed.drawing.circuit_blocks import GRID, Block, Slot
from rigfeed.drawing.circuit_graph import Graph
from rigfeed.drawing.lanes import pushed, stacked
from rigfeed.drawing.layers import Columns, Edge, arranged, crossings, ranked
from rigfeed.drawing.levels import Extent, levelled
from rigfeed.drawing.places import Box
from rigfeed.drawing.scene import Point
from rigfeed.frozen import frozen

TRACK_MM = 2.0
CHANNEL_MM = 2.5  # left and right of the tracks
BORDER_MM = 1.2  # between the words of a wire and the border of the zone
TITLE_MM = 1.5 * GRID  # of a zone
WAYPOINT = Extent(GRID / 2, GRID / 2)


@dataclass
class Layout:
    """Where things are [mm]: origins of the blocks, the points of each wire, the right end of its words, the areas of
    the zones; the height of every station, the middle of every column, the upper and lower end of every lane."""

    at: dict[str, Point] = field(default_factory=dict)
    lines: dict[int, tuple[Point, ...]] = field(default_factory=dict)
    words: dict[int, Point] = field(default_factory=dict)
    areas: dict[str, Box] = field(default_factory=dict)
    heights: dict[str, float] = field(default_factory=dict)
    middles: list[float] = field(default_factory=list)
    lanes: list[tuple[float, float]] = field(default_factory=list)

    @property
    def room(self) -> Box:
        """The smallest box that holds all areas."""
        return united(self.areas.values())


@frozen
class Before:
    """An earlier layout to stay close to: the height of every station in its lane and the top of every lane [mm].
    Stations that are `held` were put where they are by a person."""

    heights: Mapping[str, float]
    tops: Sequence[float]
    held: Collection[str]


def columns_of(wiring: Graph, zones: Mapping[str, str]) -> tuple[Columns, tuple[str, ...]]:
    """The order of everything, and the zones in the order of their lanes: what begins further left comes first, unless
    fewer lines cross when two neighbours change places."""
    edges = [wire.ends for wire in wiring.wires]
    rank = _with_loose(ranked(zones, edges), edges, zones)
    order = tuple(dict.fromkeys(zones[node] for node in sorted(zones, key=lambda n: (rank[n], wiring.order[n]))))

    def in_lanes(order: Sequence[str]) -> Columns:
        return arranged(edges, rank, {node: order.index(zone) for node, zone in zones.items()}, wiring.order)

    best = in_lanes(order)
    for here in range(len(order) - 1):
        other = (*order[:here], order[here + 1], order[here], *order[here + 2 :])
        found = in_lanes(other)
        if crossings(found) < crossings(best):
            best, order = found, other
    return best, order


def _with_loose(rank: Mapping[str, int], edges: Sequence[Edge], zones: Mapping[str, str]) -> dict[str, int]:
    """Columns, with what no wire joins in the first one of its zone: it must not draw the zone to the left."""
    joined = {node for edge in edges for node in edge}
    first: dict[str, int] = {}
    for node in joined:
        first[zones[node]] = min(rank[node], first.get(zones[node], rank[node]))
    return {node: column if node in joined else first.get(zones[node], 0) for node, column in rank.items()}


def slots_of(columns: Columns, wiring: Graph) -> dict[str, list[Slot]]:
    """The wires of each node, without order."""
    found: dict[str, list[Slot]] = {s: [] for column in columns.columns for s in column if "@" not in s}
    for number, wire in enumerate(wiring.wires):
        left, right = wire.ends
        found[left].append(Slot(number, 1, wire.left.partition(".")[2]))
        found[right].append(Slot(number, 0, wire.right.partition(".")[2]))
    return found


def wishes(columns: Columns) -> dict[tuple[int, str], float]:
    """For each wire and node, where in its own column the next station of the wire stands."""
    place = columns.places()
    found: dict[tuple[int, str], float] = {}
    for number, chain in enumerate(columns.chains):
        found[number, chain[0]] = place[chain[1]]
        found[number, chain[-1]] = place[chain[-2]]
    return found


def laid_out(
    columns: Columns, zones: Sequence[str], titles_mm: Sequence[float], blocks: Mapping[str, Block],
    words: Mapping[int, float], before: Before | None = None, *, is_tight: bool = False,
) -> Layout:
    """Everything in its place, close to where it was before; with less height, and less straight lines, where it must
    be tight.

    `words` is the width of the words of each wire [mm]; `zones` are in order of lanes, `titles_mm` is how wide their
    titles are [mm].
    """
    heights, lanes = _heights(columns, len(zones), blocks, before, is_tight=is_tight)
    titles = dict(enumerate(titles_mm))
    layout = Layout(heights=heights, lanes=lanes)
    x = 0.0
    ports = _ports(columns, blocks)
    points: dict[int, list[Point]] = {number: [] for number in range(len(columns.chains))}
    starts: list[tuple[float, float]] = []
    for column, stations in enumerate(columns.columns):
        room = max((words[n] for n, chain in enumerate(columns.chains) if chain[-1] in stations), default=0.0)
        if column:
            x = _channel(columns, column, heights, ports, points, x)
        half = max((blocks[s].half_mm for s in stations if s in blocks), default=0.0)
        begun = [titles.pop(lane, 0.0) for lane in sorted({columns.lanes[s] for s in stations if s in blocks})]
        room = max(room, max(begun, default=0.0) - 2 * half)
        starts.append((x, x + room + 2 * half))
        x += room + half
        layout.middles.append(x)
        for station in stations:
            if station in blocks:
                layout.at[station] = (x, heights[station])
        for number, chain in enumerate(columns.chains):
            if chain[-1] in stations:
                layout.words[number] = (x - half, heights[chain[-1]] + ports[number, chain[-1]][0])
        x += half
    for number, chain in enumerate(columns.chains):
        first = _end(chain[0], number, 1, layout, blocks)
        last = _end(chain[-1], number, 0, layout, blocks)
        layout.lines[number] = bends([first, *points[number], last])
    _areas(layout, columns, zones, starts, lanes)
    return layout


def _end(node: str, number: int, side: int, layout: Layout, blocks: Mapping[str, Block]) -> Point:
    (x, y), (dx, dy) = layout.at[node], blocks[node].meets[number, side]
    return x + dx, y + dy


def _ports(columns: Columns, blocks: Mapping[str, Block]) -> dict[tuple[int, str], tuple[float, float]]:
    """For a wire and a node, how far below the origin of the node it meets it on the left and on the right [mm]."""
    found: dict[tuple[int, str], tuple[float, float]] = {}
    for number, chain in enumerate(columns.chains):
        found[number, chain[0]] = (0.0, blocks[chain[0]].meets[number, 1][1])
        found[number, chain[-1]] = (blocks[chain[-1]].meets[number, 0][1], 0.0)
    return found


def _heights(
    columns: Columns, lanes: int, blocks: Mapping[str, Block], before: Before | None, *, is_tight: bool,
) -> tuple[dict[str, float], list[tuple[float, float]]]:
    """The height of every station, and the upper and lower end of each lane."""
    extents = {s: blocks[s].extent if s in blocks else WAYPOINT for column in columns.columns for s in column}
    ports = _ports(columns, blocks)
    inside: dict[str, float] = {}
    tall: list[float] = []
    for lane in range(lanes):
        mine = levelled(columns, extents, ports, lane, GRID / 2, is_tight=is_tight,
                        before=before.heights if before else {}, held=before.held if before else ())
        upper = min(height - extents[station].up for station, height in mine.items())
        inside |= {station: _on_grid(height - upper + TITLE_MM) for station, height in mine.items()}
        tall.append(max(inside[station] + extents[station].down for station in mine) + GRID / 2)
    pulls = [
        (columns.lanes[left], columns.lanes[right], inside[left] + step[1] - inside[right] - other[0])
        for number, chain in enumerate(columns.chains) for left, right in pairwise(chain)
        for step, other in [(ports.get((number, left), (0.0, 0.0)), ports.get((number, right), (0.0, 0.0)))]
    ]
    reach = reaches(columns, lanes)
    tops = [*map(_on_grid, pushed(reach, tall, before.tops) if before else stacked(reach, tall, pulls))]
    heights = {station: height + tops[columns.lanes[station]] for station, height in inside.items()}
    return heights, [(top, top + high) for top, high in zip(tops, tall, strict=True)]


def reaches(columns: Columns, lanes: int) -> list[tuple[int, int]]:
    """The first and the last column of each lane."""
    found: list[list[int]] = [[] for _ in range(lanes)]
    for number, column in enumerate(columns.columns):
        for lane in {columns.lanes[station] for station in column}:
            found[lane].append(number)
    return [(min(mine), max(mine)) for mine in found]


def _on_grid(height: float) -> float:
    return round(height / (GRID / 2)) * GRID / 2


def _channel(
    columns: Columns, column: int, heights: Mapping[str, float], ports: Mapping[tuple[int, str], tuple[float, float]],
    points: Mapping[int, list[Point]], x: float,
) -> float:
    """Lead the lines through the channel in front of a column, from x on; where it ends."""
    jumps: dict[str, Jump] = {}
    stations = set(columns.columns[column])
    for number, chain in enumerate(columns.chains):
        for left, right in pairwise(chain):
            if right in stations:
                start = heights[left] + ports.get((number, left), (0.0, 0.0))[1]
                end = heights[right] + ports.get((number, right), (0.0, 0.0))[0]
                jumps[str(number)] = Jump(str(number), start, end)
    found = tracks([*jumps.values()])
    aside = {key: place for place, key in enumerate(overlapping([*jumps.values()], found))}
    x += CHANNEL_MM
    last = x + (found.count + len(aside)) * TRACK_MM
    for key, track in found.track.items():
        jump, at = jumps[key], x + track * TRACK_MM
        if key in aside:  # out at once to a height that no wire has, and on from there behind all others
            between = jump.left + GRID / 4
            far = last - (aside[key] + 1) * TRACK_MM
            first = x - TRACK_MM / 2
            points[int(key)].extend([(first, jump.left), (first, between), (far, between), (far, jump.right)])
        else:
            points[int(key)].extend([(at, jump.left), (at, jump.right)])
    return last + CHANNEL_MM


def _areas(
    layout: Layout, columns: Columns, zones: Sequence[str], starts: Sequence[tuple[float, float]],
    lanes: Sequence[tuple[float, float]],
) -> None:
    """The area of each zone around its nodes, from the words in front of the first column to behind the last."""
    for lane, zone in enumerate(zones):
        mine = [
            column for column, stations in enumerate(columns.columns)
            if any(columns.lanes[s] == lane and s in layout.at for s in stations)
        ]
        left, right = starts[mine[0]][0] - BORDER_MM, starts[mine[-1]][1] + BORDER_MM
        layout.areas[zone] = Box(left, lanes[lane][0], right, lanes[lane][1])
