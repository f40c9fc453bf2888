"""Between two columns: where each line turns up or down, so that no two lie on each other and few cross.

A line comes in level from the left, goes upright on a track, and leaves level to the right. Which of two tracks lies
further left decides whether their lines cross, and whether one's level piece would lie on the other's.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise

from rigfeed.frozen import frozen

OVERLAP = 1000  # what lines on each other cost, in crossings
PASSES = 6
CLOSE_MM = 0.01
CLEAR_MM = 1.5  # between the ends of two upright pieces on one track


@frozen
class Jump:
    """A line through the channel, from its height on the left to that on the right [mm]."""

    key: str
    left: float
    right: float

    @property
    def span(self) -> tuple[float, float]:
        """From the upper to the lower end of its upright piece."""
        return min(self.left, self.right), max(self.left, self.right)


@frozen
class Tracks:
    """The track of every line that turns, from the left, and how many there are."""

    track: Mapping[str, int]
    count: int


def tracks(jumps: Sequence[Jump]) -> Tracks:
    """Tracks for the lines of one channel; a line that runs straight through has none."""
    turning = sorted((j for j in jumps if abs(j.left - j.right) > CLOSE_MM), key=_first_guess)
    order = _sorted(turning)
    found: dict[str, int] = {}
    for number, jump in enumerate(order):
        behind = [found[other.key] + 1 for other in order[:number] if _must_part(other, jump)]
        found[jump.key] = max(behind, default=0)
    return Tracks(found, max(found.values(), default=-1) + 1)


def _first_guess(jump: Jump) -> tuple[bool, float, str]:
    """Of the lines that lead down the lowest turns first, of those that lead up the highest."""
    down = jump.right > jump.left
    return down, -jump.left if down else jump.left, jump.key


def _sorted(jumps: Sequence[Jump]) -> list[Jump]:
    """Move each line to where it costs least among the others, until nothing gets better."""
    order = [*jumps]
    cost = {(a.key, b.key): _cost(a, b) for a in jumps for b in jumps if a is not b}
    for _ in range(PASSES):
        moved = False
        for jump in jumps:
            here = order.index(jump)
            rest = order[:here] + order[here + 1 :]
            total = best = sum(cost[jump.key, other.key] for other in rest)  # leftmost of all
            costs = [total]
            for other in rest:
                total += cost[other.key, jump.key] - cost[jump.key, other.key]
                costs.append(total)
            best = min(costs)
            if costs[here] > best:
                rest.insert(costs.index(best), jump)
                order, moved = rest, True
        if not moved:
            break
    return order


def _cost(first: Jump, second: Jump) -> int:
    """Crossings and overlaps of two lines, the upright piece of the first standing further left."""
    cost = 0
    low, high = first.span
    if low < second.left < high:  # the second comes in through the upright piece of the first
        cost += 1
    low, high = second.span
    if low < first.right < high:
        cost += 1
    if abs(first.right - second.left) <= CLOSE_MM:  # both level pieces lie between the two tracks
        cost += OVERLAP
    return cost


def _must_part(first: Jump, second: Jump) -> bool:
    """Whether two lines cannot turn on one track, or would lie on each other with their tracks the other way round."""
    (a, b), (c, d) = first.span, second.span
    return (a < d + CLEAR_MM and c < b + CLEAR_MM) or abs(first.left - second.right) <= CLOSE_MM


def overlapping(jumps: Sequence[Jump], found: Tracks) -> list[str]:
    """The lines whose level piece on the left lies on another's on the right: what a ring of wishes leaves over."""
    by_right = {jump.key: jump for jump in jumps}
    clashing = []
    for jump in jumps:
        for other in by_right.values():
            if other is not jump and abs(jump.left - other.right) <= CLOSE_MM:
                mine, its = found.track.get(jump.key), found.track.get(other.key)
                if mine is None or its is None or mine >= its:
                    clashing.append(jump.key)
    return sorted(set(clashing))


def bends(points: Sequence[tuple[float, float]]) -> tuple[tuple[float, float], ...]:
    """A line without the points at which it does not turn."""
    kept = [points[0]]
    for here, there in pairwise(points[1:]):
        (x0, y0), (x1, y1), (x2, y2) = kept[-1], here, there
        if abs((x1 - x0) * (y2 - y1) - (y1 - y0) * (x2 - x1)) > 1e-9:
            kept.append(here)
    return (*kept, points[-1])
