"""Nodes of the circuit that a person put somewhere: they stay there as nearly as a clean picture allows.

It begins with the layout that nobody has touched. A node goes to the nearest column, and in there to its height; the
other nodes keep their columns and heights and only make way. Where it would come into one column with what it is wired
to, it gets a column of its own beside that. A wire may so run from the right to the left. A node stays in its zone: its
area grows sideways as far as no other zone is beside it, and a node that is put further out stands at the edge.

Since the picture changes size with that, and places count in the size of the picture, it is done again with the columns
that came out, and the layout in which all of them are nearest to their places is taken. Heights always begin with those
of the untouched layout, so that a row that makes way does not make way again and again.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from rigfeed.drawing.circuit_blocks import Block
from rigfeed.drawing.circuit_graph import Graph, back
from rigfeed.drawing.circuit_layout import Before, Layout, reaches
from rigfeed.drawing.lanes import span
from rigfeed.drawing.layers import Columns, column_of, kept
from rigfeed.drawing.scene import Point
from rigfeed.frozen import frozen

ROUNDS = 6
CLOSE_MM = 0.5  # nearer than this it is where it was put
Key = tuple[int, int]  # a column as it was, and which of those that it is split into


@frozen
class Plan:
    """The wires, what stands in which column, and how each node is drawn."""

    wiring: Graph
    columns: Columns
    blocks: Mapping[str, Block]


Remake = Callable[[Graph, Columns], Plan]
Lay = Callable[[Plan, Before | None], Layout]


def settled(plan: Plan, given: Mapping[str, Point], remake: Remake, lay: Lay) -> tuple[Plan, Layout]:
    """The plan and the layout with nodes where they are wanted.

    Parameters
    ----------
    plan : Plan
        As it is where nobody puts anything anywhere.
    given : mapping of str to (float, float)
        Where the middle of a node should be, as shares of the width and the height of the layout.
    remake : callable
        Makes a plan of other columns.
    lay : callable
        Lays a plan out.
    """
    layout = untouched = lay(plan, None)
    best, least = (plan, layout), math.inf
    for turn in range(ROUNDS if given else 0):
        wanted = _wanted(plan, layout, given)
        away = sum(math.dist(layout.at[id_], at) for id_, at in wanted.items())
        if away < least - CLOSE_MM:
            best, least = (plan, layout), away
        if least < CLOSE_MM or turn == ROUNDS - 1:
            break
        plan, before = _moved(plan, layout, untouched, wanted, remake)
        layout = lay(plan, before)
    return best


def _wanted(plan: Plan, layout: Layout, given: Mapping[str, Point]) -> dict[str, Point]:
    """Where the origins of the nodes should be in a layout [mm]: within the area of their zone."""
    found = {}
    for id_, (x, y) in sorted(given.items()):
        drawn, (top, bottom) = plan.blocks[id_], layout.lanes[plan.columns.lanes[id_]]
        dx, dy = drawn.centre
        height = layout.room.top + y * layout.room.height - dy
        height = max(top + drawn.extent.up, min(bottom - drawn.extent.down, height))
        found[id_] = (layout.room.left + x * layout.room.width - dx, height)
    return found


def _moved(
    plan: Plan, layout: Layout, untouched: Layout, wanted: Mapping[str, Point], remake: Remake,
) -> tuple[Plan, Before]:
    """The plan with nodes in the columns nearest to where they should be, and the heights to begin with."""
    lanes = {id_: plan.columns.lanes[id_] for id_ in plan.blocks}
    keys = _keys(plan, layout, wanted)
    order = sorted(set(keys.values()))
    rank = {id_: order.index(key) for id_, key in keys.items()}
    wires = (wire if rank[wire.ends[0]] < rank[wire.ends[1]] else back(wire) for wire in plan.wiring.wires)
    wiring = replace(plan.wiring, wires=tuple(wires))

    def there(height: float, lane: int) -> float:
        (top, bottom), (first, last) = layout.lanes[lane], untouched.lanes[lane]
        return first + (height - top) * (last - first) / (bottom - top)

    heights = {station: there(height, plan.columns.lanes[station]) for station, height in layout.heights.items()}
    level = {id_: there(wanted[id_][1], lanes[id_]) if id_ in wanted else untouched.heights[id_] for id_ in keys}
    passing = _Passing(plan.columns, heights, level, rank, [key[0] for key in order], frozenset(wanted))
    ends = [wire.ends for wire in wiring.wires]
    columns = kept(ends, rank, lanes, level, lambda number, column: passing.height(number, column, ends[number]))
    for number, chain in enumerate(columns.chains):
        level |= {point: passing.height(number, column_of(point), ends[number]) for point in chain[1:-1]}
    tops = [top for top, _ in untouched.lanes]
    inside = {station: height - tops[columns.lanes[station]] for station, height in level.items()}
    return remake(wiring, columns), Before(inside, tops, frozenset(wanted))


@frozen
class _Passing:
    """How high the lines pass the columns on their way: as before, those of a node that moves straight from end to end.

    `old` is for each column the one that it was before.
    """

    columns: Columns
    heights: Mapping[str, float]
    level: Mapping[str, float]
    rank: Mapping[str, int]
    old: Sequence[int]
    held: frozenset[str]

    def height(self, number: int, column: int, ends: tuple[str, str]) -> float:
        """The height of a line in a column between its ends [mm]."""
        left, right = ends
        if self.held & {left, right}:
            share = (column - self.rank[left]) / (self.rank[right] - self.rank[left])
            return self.level[left] + share * (self.level[right] - self.level[left])
        chain = self.columns.chains[number]
        first = column_of(chain[1]) - 1 if len(chain) > 2 else self.old[column]
        return self.heights[chain[min(max(self.old[column] - first, 0), len(chain) - 1)]]


def _keys(plan: Plan, layout: Layout, wanted: Mapping[str, Point]) -> dict[str, Key]:
    """The column of each node, such that no two that are wired to each other share one."""
    columns = plan.columns
    now = {station: number for number, column in enumerate(columns.columns) for station in column if "@" not in station}
    side = dict.fromkeys(now, 0)
    reach = reaches(columns, len(layout.lanes))
    for id_, (x, _) in wanted.items():
        first, last = span(reach, columns.lanes[id_], len(columns.columns) - 1)
        near = min(range(first, last + 1), key=lambda column: (abs(layout.middles[column] - x), column))
        if near != now[id_]:
            now[id_], side[id_] = near, 1 if x > layout.middles[near] else -1
    return _parted(plan.wiring, now, side)


def _parted(wiring: Graph, column: Mapping[str, int], side: Mapping[str, int]) -> dict[str, Key]:
    """Split the columns in which two nodes are wired to each other, what came to the left of the middle foremost."""
    near: dict[str, set[str]] = {id_: set() for id_ in column}
    for wire in wiring.wires:
        left, right = wire.ends
        if column[left] == column[right]:
            near[left].add(right)
            near[right].add(left)
    order = sorted(column, key=lambda id_: (side[id_], wiring.order[id_]))
    part: dict[str, int] = {}
    for id_ in reversed([id_ for id_ in order if side[id_] < 0]):
        others = [part.get(other, 0) for other in near[id_] if other in part or side[other] >= 0]
        part[id_] = min(others) - 1 if others else 0
    for id_ in order:
        if side[id_] >= 0:
            part[id_] = max((part[other] + 1 for other in near[id_] if other in part and side[other] >= 0), default=0)
    return {id_: (column[id_], part[id_]) for id_ in column}
