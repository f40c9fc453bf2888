"""Ways between boxes over a grid: level and upright pieces, few bends, few crossings, around everything in between.

Each way is the cheapest that is left when it is its turn (A* of Hart, Nilsson and Raphael 1968), near ends first. No
two ways lie on one line; where it costs little they keep a distance in which a label finds room.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterable, Mapping, Sequence
from itertools import pairwise

from rigfeed.drawing.places import Box
from rigfeed.drawing.scene import Point
from rigfeed.frozen import frozen

BEND, CROSSING = 8.0, 14.0  # in steps of the grid
BESIDE = 0.7  # for each step beside another way
NEAR_BOX = 0.9  # for each step close to a box
OFF_MIDDLE = 0.35  # for each step by which an end is off the middle of a side
AHEAD = 1.4  # what a step to the goal is thought to cost: most are dearer than 1, a search in earnest would take long
KEEP = 4  # steps between ways where there is room
MOST_STEPS, MOST_STEPS_OF_ALL = 60_000, 300_000  # of searches, for one way and for all: a drawing may not take for ever
LEVEL, UPRIGHT = 0, 1

Node = tuple[int, int]


@frozen
class Port:
    """Where a way may leave a box: a node of the grid outside, the point on the side, and the direction."""

    node: Node
    side: Point
    direction: int
    cost: float


class Streets:
    """The grid with what is built on it."""

    def __init__(self, room: Box, step_mm: float) -> None:
        self.step_mm, self.left, self.top = step_mm, room.left, room.top
        self.columns, self.rows = int(room.width / step_mm) + 1, int(room.height / step_mm) + 1
        size = self.columns * self.rows
        self._shut = bytearray(size)
        self._used = (bytearray(size), bytearray(size))  # by level and by upright pieces
        self._soft = [0.0] * size
        self._steps = MOST_STEPS_OF_ALL

    def build(self, box: Box) -> None:
        """No way leads through a box, and none close by it without need."""
        columns, rows = self._within(box, 0)
        for row in rows:
            for column in columns:
                self._shut[row * self.columns + column] = 1
        columns, rows = self._within(box, 3)
        for row in rows:
            for column in columns:
                self._soft[row * self.columns + column] = NEAR_BOX

    def _within(self, box: Box, margin: int) -> tuple[range, range]:
        left, right = (box.left - self.left) / self.step_mm, (box.right - self.left) / self.step_mm
        top, bottom = (box.top - self.top) / self.step_mm, (box.bottom - self.top) / self.step_mm
        columns = range(max(0, int(-(-left // 1)) - margin), min(self.columns, int(right) + 1 + margin))
        return columns, range(max(0, int(-(-top // 1)) - margin), min(self.rows, int(bottom) + 1 + margin))

    def ports(self, box: Box) -> list[Port]:
        """Where a way may leave a box; never at its corners."""
        columns, rows = self._within(box, 0)
        found = []
        for row in rows[1:-1]:
            cost, y = OFF_MIDDLE * abs(row - (rows[0] + rows[-1]) / 2), self.top + row * self.step_mm
            for column, x in ((columns[0] - 1, box.left), (columns[-1] + 1, box.right)):
                found.append(Port((column, row), (x, y), LEVEL, cost))
        for column in columns[1:-1]:
            cost, x = OFF_MIDDLE * abs(column - (columns[0] + columns[-1]) / 2), self.left + column * self.step_mm
            for row, y in ((rows[0] - 1, box.top), (rows[-1] + 1, box.bottom)):
                found.append(Port((column, row), (x, y), UPRIGHT, cost))
        return [port for port in found if self._is_free(port.node, port.direction)]

    def _is_free(self, node: Node, direction: int) -> bool:
        column, row = node
        if not (0 <= column < self.columns and 0 <= row < self.rows):
            return False
        at = row * self.columns + column
        return not self._shut[at] and not self._used[direction][at]

    def lead(self, start: Box, end: Box) -> tuple[Point, ...] | None:
        """The way from one box to another, which nothing else may use from then on; None if there is none."""
        starts, ends = self.ports(start), self.ports(end)
        if not starts or not ends:
            return None
        found = self._search(starts, {(port.node, port.direction): port for port in ends}, end)
        if found is None:
            return None
        first, nodes, last = found
        self._take(nodes, first.direction, last.direction)
        middle = [(self.left + column * self.step_mm, self.top + row * self.step_mm) for column, row in nodes]
        return _corners([first.side, *middle, last.side])

    def _search(
        self, starts: Sequence[Port], ends: Mapping[tuple[Node, int], Port], goal: Box
    ) -> tuple[Port, list[Node], Port] | None:
        """The cheapest way over the nodes, with the ports at its ends."""
        columns, rows = self._within(goal, 0)
        left, right, top, bottom = columns[0], columns[-1], rows[0], rows[-1]

        def ahead(node: Node, direction: int) -> float:
            """What is left at least: the steps, and a bend where the goal does not lie straight on."""
            column, row = node
            aside = max(left - column, 0, column - right), max(top - row, 0, row - bottom)
            return AHEAD * (aside[0] + aside[1]) + (BEND if aside[1 - direction] else 0.0)

        costs: dict[tuple[Node, int], float] = {}
        before: dict[tuple[Node, int], tuple[Node, int] | Port] = {}
        queue: list[tuple[float, float, Node, int]] = []
        for port in starts:
            state = (port.node, port.direction)
            if port.cost < costs.get(state, float("inf")):
                costs[state], before[state] = port.cost, port
                heapq.heappush(queue, (port.cost + ahead(*state), port.cost, *state))
        best: tuple[float, tuple[Node, int]] | None = None
        left_steps = min(MOST_STEPS, self._steps)
        while queue and left_steps and (best is None or queue[0][0] < best[0]):
            left_steps, self._steps = left_steps - 1, self._steps - 1
            _, cost, node, direction = heapq.heappop(queue)
            state = (node, direction)
            if cost > costs[state]:
                continue
            for turn in (LEVEL, UPRIGHT):
                last = ends.get((node, turn))
                total = cost + (last.cost if last else 0.0) + (BEND if turn != direction else 0.0)
                if last and (turn == direction or self._may_bend(node)) and (best is None or total < best[0]):
                    best, ends_at = (total, state), last
            for onward, more in self._onward(node, direction):
                if cost + more < costs.get(onward, float("inf")):
                    costs[onward], before[onward] = cost + more, state
                    heapq.heappush(queue, (cost + more + ahead(*onward), cost + more, *onward))
        return None if best is None else (*_back(best[1], before), ends_at)

    def _may_bend(self, node: Node) -> bool:
        at = node[1] * self.columns + node[0]
        return not self._used[LEVEL][at] and not self._used[UPRIGHT][at]

    def _onward(self, node: Node, direction: int) -> Iterable[tuple[tuple[Node, int], float]]:
        """The next nodes and what it costs to get there."""
        column, row = node
        found = []
        bend = self._may_bend(node)
        for turn, across, down in ((LEVEL, 1, 0), (LEVEL, -1, 0), (UPRIGHT, 0, 1), (UPRIGHT, 0, -1)):
            if turn != direction and not bend:
                continue
            there = (column + across, row + down)
            if not self._is_free(there, turn):
                continue
            at = there[1] * self.columns + there[0]
            cost = 1.0 + self._soft[at] + (BEND if turn != direction else 0.0)
            cost += CROSSING if self._used[1 - turn][at] else 0.0
            found.append(((there, turn), cost))
        return found

    def _take(self, nodes: Sequence[Node], first: int, last: int) -> None:
        """Mark a way as used, and what lies beside it as dear."""
        self._mark(nodes[0], first)
        self._mark(nodes[-1], last)
        for (x0, y0), (x1, y1) in pairwise(nodes):
            for node in ((x0, y0), (x1, y1)):
                self._mark(node, LEVEL if y0 == y1 else UPRIGHT)
        beside = set()
        for column, row in nodes:
            beside |= {(column + x, row + y) for x in range(-KEEP, KEEP + 1) for y in range(-KEEP, KEEP + 1)}
        for column, row in beside:
            if 0 <= column < self.columns and 0 <= row < self.rows:
                at = row * self.columns + column
                self._soft[at] = max(self._soft[at], BESIDE)

    def _mark(self, node: Node, direction: int) -> None:
        self._used[direction][node[1] * self.columns + node[0]] = 1


def _back(
    state: tuple[Node, int], before: Mapping[tuple[Node, int], tuple[Node, int] | Port]
) -> tuple[Port, list[Node]]:
    """The nodes to a state from the start, and the port they begin at."""
    nodes = [state[0]]
    step = before[state]
    while not isinstance(step, Port):
        if step[0] != nodes[-1]:
            nodes.append(step[0])
        step = before[step]
    return step, nodes[::-1]


def _corners(points: Sequence[Point]) -> tuple[Point, ...]:
    """A way without the points at which it goes straight on."""
    kept = [points[0]]
    for position in range(1, len(points) - 1):
        (x0, y0), (x1, y1), (x2, y2) = kept[-1], points[position], points[position + 1]
        if not (x0 == x1 == x2 or y0 == y1 == y2):
            kept.append(points[position])
    return (*kept, points[-1])
