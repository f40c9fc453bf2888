"""Laying a graph out in columns: which column each node stands in, and in which order, so that few lines cross.

The layered way of drawing directed graphs (Sugiyama, Tagawa and Toda 1981): every edge leads from a column to a later
one; one that passes columns gets a waypoint in each; the columns are then sorted by where their neighbours stand, to
and fro, and neighbours are swapped while that helps. Nodes of one lane (a zone of the vehicle) stay together, the lanes
in one order in every column. Nothing depends on the order in which nodes and edges are given.
"""

from __future__ import annotations

from bisect import bisect_right, insort
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from statistics import median
from typing import Any

Edge = tuple[str, str]
SWEEPS = 10
GOOD_ENOUGH = 3  # sweeps without a gain


@dataclass
class Columns:
    """Nodes and waypoints by column, from above.

    `chains` are the stations of each edge, from its node on the left to its node on the right; `lanes` the number of
    the lane of each station.
    """

    columns: list[list[str]]
    chains: tuple[tuple[str, ...], ...]
    lanes: dict[str, int]
    before: dict[str, list[str]] = field(default_factory=dict)
    after: dict[str, list[str]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        for chain in self.chains:
            for left, right in pairwise(chain):
                self.after.setdefault(left, []).append(right)
                self.before.setdefault(right, []).append(left)

    def places(self) -> dict[str, int]:
        """The position of each station in its column."""
        return {station: place for column in self.columns for place, station in enumerate(column)}


def ranked(nodes: Iterable[str], edges: Iterable[Edge]) -> dict[str, int]:
    """The column of each node, so that every edge leads to the right and the edges are short.

    The edges must not form a ring. A node stands right behind what feeds it; one that feeds nobody early on is drawn
    towards those it feeds.
    """
    before: dict[str, list[str]] = {node: [] for node in sorted(nodes)}
    after: dict[str, list[str]] = {node: [] for node in before}
    for left, right in edges:
        before[right].append(left)
        after[left].append(right)
    order = _in_order(before, after)
    rank: dict[str, int] = {}
    for node in order:
        rank[node] = max((rank[left] + 1 for left in before[node]), default=0)
    for node in reversed(order):  # what has more to its right than to its left moves there as far as it can
        if len(after[node]) > len(before[node]):
            rank[node] = min(rank[right] for right in after[node]) - 1
    return rank


def _in_order(before: Mapping[str, Sequence[str]], after: Mapping[str, Sequence[str]]) -> list[str]:
    waiting = {node: len(left) for node, left in before.items()}
    order = [node for node, count in waiting.items() if not count]
    for node in order:
        for right in after[node]:
            waiting[right] -= 1
            if not waiting[right]:
                order.append(right)
    return order


def arranged(
    edges: Sequence[Edge], rank: Mapping[str, int], lanes: Mapping[str, int], hints: Mapping[str, Any],
) -> Columns:
    """Everything in columns with few crossings.

    `hints` sort what hangs on one node to begin with: branch by branch, each to its end. So a branch that is added
    stands in its place, and the others keep theirs.
    """
    turn = _walked(edges, rank, hints)
    chains, lane_of = _chained(edges, rank, lanes)
    for chain in chains:
        turn |= dict.fromkeys(chain[1:-1], (turn[chain[0]] + turn[chain[-1]]) / 2)
    found = _stacked(chains, rank, lane_of, turn)
    _untangle(found)
    return found


def kept(
    edges: Sequence[Edge], rank: Mapping[str, int], lanes: Mapping[str, int], heights: Mapping[str, float],
    between: Callable[[int, int], float],
) -> Columns:
    """Everything in columns, nodes in the order of their `heights`; lines change places where that saves crossings.

    `between` tells for an edge (its number) and a column on its way how high it should pass there.
    """
    chains, lane_of = _chained(edges, rank, lanes)
    turn = dict(heights)
    for number, chain in enumerate(chains):
        turn |= {station: between(number, column_of(station)) for station in chain[1:-1]}
    found = _stacked(chains, rank, lane_of, turn)
    for _ in range(GOOD_ENOUGH):
        _swap(found, lines_only=True)
    return found


def _chained(
    edges: Sequence[Edge], rank: Mapping[str, int], lanes: Mapping[str, int],
) -> tuple[list[tuple[str, ...]], dict[str, int]]:
    """The stations of each edge, and the lane of each station."""
    chains, lane_of = [], dict(lanes)
    last = {lanes[node]: rank[node] for node in sorted(rank, key=rank.__getitem__)}
    for number, (left, right) in enumerate(edges):
        between = [f"{number}@{column}" for column in range(rank[left] + 1, rank[right])]
        for column, station in enumerate(between, rank[left] + 1):  # out of a lane only behind its end
            lane_of[station] = lanes[left] if column <= last[lanes[left]] else lanes[right]
        chains.append((left, *between, right))
    return chains, lane_of


def _stacked(
    chains: Sequence[tuple[str, ...]], rank: Mapping[str, int], lanes: dict[str, int], turn: Mapping[str, float],
) -> Columns:
    """The stations by column, sorted by lane and then by `turn`."""
    stacks: list[list[str]] = [[] for _ in range(max(rank.values(), default=-1) + 1)]
    for station in sorted(turn, key=lambda station: (lanes[station], turn[station])):
        stacks[rank[station] if station in rank else column_of(station)].append(station)
    return Columns(stacks, tuple(chains), lanes)


def column_of(waypoint: str) -> int:
    """The column in which a waypoint stands."""
    return int(waypoint.partition("@")[2])


def _walked(edges: Sequence[Edge], rank: Mapping[str, int], hints: Mapping[str, Any]) -> dict[str, float]:
    """A number for each node, in the order in which a walk from the first column comes past them."""
    after: dict[str, set[str]] = {node: set() for node in rank}
    for left, right in edges:
        after[left].add(right)
    found: dict[str, float] = {}
    waiting = sorted(rank, key=lambda node: (rank[node], hints[node]), reverse=True)
    while waiting:
        node = waiting.pop()
        if node not in found:
            found[node] = float(len(found))
            waiting += sorted(after[node], key=lambda other: hints[other], reverse=True)
    return found


def crossings(columns: Columns) -> int:
    """How many pairs of lines cross, each line straight from station to station."""
    place = columns.places()
    total = 0
    for column in columns.columns:
        ends: list[int] = []
        for left in column:
            rights = sorted(place[right] for right in columns.after.get(left, ()))
            total += sum(len(ends) - bisect_right(ends, right) for right in rights)
            for right in rights:
                insort(ends, right)
    return total


def _untangle(columns: Columns) -> None:
    """Sort the columns, keeping the best order met."""
    best, kept = crossings(columns), [*map(list, columns.columns)]
    idle = 0
    for sweep in range(SWEEPS):
        if not best or idle == GOOD_ENOUGH:
            break
        _sweep(columns, forward=sweep % 2 == 0)
        _swap(columns)
        now = crossings(columns)
        idle = 0 if now < best else idle + 1
        if now < best:
            best, kept = now, [*map(list, columns.columns)]
    columns.columns[:] = kept


def _sweep(columns: Columns, *, forward: bool) -> None:
    """Put every station into the middle of its neighbours on one side; one without any stays where it is."""
    near = columns.before if forward else columns.after
    place = columns.places()
    for column in columns.columns if forward else reversed(columns.columns):
        wanted = {
            station: median(place[other] for other in near[station]) if near.get(station) else float(here)
            for here, station in enumerate(column)
        }
        column.sort(key=lambda station: (columns.lanes[station], wanted[station]))
        place.update((station, here) for here, station in enumerate(column))


def _swap(columns: Columns, *, lines_only: bool = False) -> None:
    """Swap neighbours of one lane in a column while that takes crossings away; two nodes unless `lines_only`."""
    place = columns.places()
    sides = (columns.before, columns.after)
    for column in columns.columns:
        gained = True
        while gained:
            gained = False
            for here, (upper, lower) in enumerate(pairwise([*column])):
                if column[here] != upper or columns.lanes[upper] != columns.lanes[lower]:
                    continue
                if lines_only and "@" not in upper + lower:
                    continue
                ends = [[[place[o] for o in side.get(s, ())] for s in (upper, lower)] for side in sides]
                now = sum(_inversions(a, b) for a, b in ends)
                if now and now > sum(_inversions(b, a) for a, b in ends):
                    column[here : here + 2] = lower, upper
                    place[upper], place[lower] = here + 1, here
                    gained = True


def _inversions(upper: Sequence[int], lower: Sequence[int]) -> int:
    """How many lines of two stations cross, the one above the other."""
    return sum(a > b for a in upper for b in lower)
