"""How high each station of a column stands: in the given order, far enough apart, and so that most lines run straight.

Each station wants to stand where a line to one of its neighbours is straight. The wishes of one column are reconciled
by isotonic regression with absolute deviations (pooling of adjacent violators): stations that would come too close move
as one block to the weighted median of what its members want, so the others keep the height they asked for.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from types import MappingProxyType

from rigfeed.drawing.layers import Columns
from rigfeed.frozen import frozen

ROUNDS = 8
HELD = 1e6  # the weight of a place given by hand


@frozen
class Extent:
    """What a station takes above and below its own height [mm]."""

    up: float = 0.0
    down: float = 0.0


@dataclass
class _Block:
    """Stations that stand as close as they may; `wishes` are wanted heights of the first one, with their weights."""

    wishes: list[tuple[float, float]]
    members: list[tuple[str, float]] = field(default_factory=list)

    @property
    def at(self) -> float:
        """Where its first station stands."""
        return weighted_median(self.wishes)


def weighted_median(wishes: Sequence[tuple[float, float]]) -> float:
    """The wish that has half of the weight on either side, the smaller of two."""
    half = sum(weight for _, weight in wishes) / 2
    for wish, weight in sorted(wishes):
        half -= weight
        if half <= 1e-9:
            return wish
    return max(wish for wish, _ in wishes)


def spread(
    stations: Sequence[str], wanted: Mapping[str, tuple[float, float]], apart: Callable[[str, str], float]
) -> dict[str, float]:
    """Heights of one column. `wanted` is height and weight for each, `apart` the least distance of two neighbours."""
    blocks: list[_Block] = []
    for station in stations:
        wish, weight = wanted[station]
        blocks.append(_Block([(wish, weight)], [(station, 0.0)]))
        while len(blocks) > 1:
            upper, lower = blocks[-2], blocks[-1]
            last, offset = upper.members[-1]
            step = offset + apart(last, lower.members[0][0])
            if upper.at + step <= lower.at + 1e-9:
                break
            upper.wishes += [(wish - step, weight) for wish, weight in lower.wishes]
            upper.members += [(member, step + offset) for member, offset in lower.members]
            blocks.pop()
    return {member: block.at + offset for block in blocks for member, offset in block.members}


def levelled(
    columns: Columns, extents: Mapping[str, Extent], ports: Mapping[tuple[int, str], tuple[float, float]],
    lane: int, step: float, *, is_tight: bool = False, before: Mapping[str, float] = MappingProxyType({}),
    held: Collection[str] = (),
) -> dict[str, float]:
    """Heights of the stations of one lane, whole steps of a grid apart; a tight lane is no higher than its fullest
    column, and fewer lines are straight in it.

    `ports` gives for an edge (its number) and a node where its line meets the node: on the left side, on the right side
    of the node [mm from its own height]; waypoints meet at their own height. `before` are heights to stay close to, of
    which those of `held` are kept to as far as there is room.
    """
    stacks = [[s for s in column if columns.lanes[s] == lane] for column in columns.columns]
    mine = {station for stack in stacks for station in stack}
    joins = _joins(columns, ports, mine, held)
    before = {station: height for station, height in before.items() if station in mine}
    anchors = {station: height for station, height in before.items() if "@" not in station}
    heights: dict[str, float] = {}
    apart = _distance(extents, step)
    for stack in stacks:
        first = {station: (before.get(station, 0.0), HELD if station in held else 1.0) for station in stack}
        heights |= spread(stack, first, apart)
    for turn in range(ROUNDS):
        for stack in stacks if turn % 2 == 0 else reversed(stacks):
            sides = (0,) if turn < ROUNDS - 2 and turn % 2 == 0 else (1,) if turn < ROUNDS - 2 else (0, 1)
            wanted = {station: _wish(station, joins, heights, sides, anchors.get(station)) for station in stack}
            wanted |= {station: (before[station], HELD) for station in stack if station in held}
            heights |= spread(stack, wanted, apart)
    return _squeezed(stacks, heights, apart) if is_tight else heights


def _squeezed(
    stacks: Sequence[Sequence[str]], heights: Mapping[str, float], apart: Callable[[str, str], float],
) -> dict[str, float]:
    """The heights within a band as high as the fullest column: whatever stands beyond comes in, in its order."""
    stacks = [stack for stack in stacks if stack]
    steps = [[apart(upper, lower) for upper, lower in pairwise(stack)] for stack in stacks]
    fullest = max(range(len(stacks)), key=lambda number: sum(steps[number]))
    band, top = sum(steps[fullest]), heights[stacks[fullest][0]]
    found: dict[str, float] = {}
    for stack, gaps in zip(stacks, steps, strict=True):
        above = 0.0
        for station, gap in zip(stack, [*gaps, 0.0], strict=True):
            below = sum(gaps) - above
            found[station] = max(top + above, min(top + band - below, heights[station]))
            above += gap
    return found


def _distance(extents: Mapping[str, Extent], step: float) -> Callable[[str, str], float]:
    def apart(upper: str, lower: str) -> float:
        return step * math.ceil((extents[upper].down + extents[lower].up) / step - 1e-9)

    return apart


Join = tuple[int, str, float, float]  # side (0 left, 1 right), neighbour, how much higher it should stand, weight


def _joins(
    columns: Columns, ports: Mapping[tuple[int, str], tuple[float, float]], mine: set[str], held: Collection[str],
) -> dict[str, list[Join]]:
    """What each station would be straight with. What is held has its lines come to it, and moves nothing else."""
    found: dict[str, list[Join]] = {station: [] for station in mine}
    for number, chain in enumerate(columns.chains):
        follows = chain[0] not in held and chain[-1] not in held
        for left, right in pairwise(chain):
            if left in mine and right in mine:
                step = ports.get((number, left), (0.0, 0.0))[1] - ports.get((number, right), (0.0, 0.0))[0]
                weight = 1.0 + 2.0 * ("@" in left) + 2.0 * ("@" in right)
                if follows or "@" in right:
                    found[right].append((0, left, step, weight))
                if follows or "@" in left:
                    found[left].append((1, right, -step, weight))
    return found


def _wish(
    station: str, joins: Mapping[str, Sequence[Join]], heights: Mapping[str, float], sides: Sequence[int],
    anchor: float | None,
) -> tuple[float, float]:
    """Where a station wants to stand, and how much: the weighted median of what makes its lines straight. One that has
    an anchor leaves it only if all its lines pull to one side."""
    wishes = [(heights[other] + step, weight) for side, other, step, weight in joins[station] if side in sides]
    if anchor is not None:
        wishes.append((anchor, 0.9 * sum(weight for _, weight in wishes) or 1.0))
    if not wishes:
        return heights[station], 0.1
    return weighted_median(wishes), sum(weight for _, weight in wishes)
