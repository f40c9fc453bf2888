"""How high each lane stands: one under the other where they share a column, beside each other where they do not."""

from __future__ import annotations

from collections.abc import Sequence

from rigfeed.drawing.levels import weighted_median

GAP_MM = 3.5
PASSES = 4


def stacked(
    reach: Sequence[tuple[int, int]], tall_mm: Sequence[float], pulls: Sequence[tuple[int, int, float]],
) -> list[float]:
    """The top of each lane [mm]. A lane that shares a column with an earlier one stands under it.

    Parameters
    ----------
    reach : sequence of (int, int)
        The first and the last column of each lane.
    tall_mm : sequence of float
        How high each lane is [mm].
    pulls : sequence of (int, int, float)
        For each line between two lanes, how much further down the second should stand than the first [mm].
    """
    tops: list[float] = []
    for lane in range(len(tall_mm)):
        tops.append(max((tops[o] + tall_mm[o] + GAP_MM for o in range(lane) if _share(reach, o, lane)), default=0.0))
    whole = max((top + high for top, high in zip(tops, tall_mm, strict=True)), default=0.0)
    for turn in range(PASSES):
        for lane in range(len(tops)) if turn % 2 else range(len(tops) - 1, -1, -1):
            _slide(lane, tops, reach, tall_mm, pulls, whole)
    return tops


def pushed(reach: Sequence[tuple[int, int]], tall_mm: Sequence[float], before: Sequence[float]) -> list[float]:
    """The top of each lane where it was before, or further down where lanes above it have grown [mm]."""
    tops: list[float] = []
    for lane, top in enumerate(before):
        least = (tops[o] + tall_mm[o] + GAP_MM for o in range(lane) if _share(reach, o, lane))
        tops.append(max(top, max(least, default=0.0)))
    return tops


def span(reach: Sequence[tuple[int, int]], lane: int, last: int) -> tuple[int, int]:
    """The first and the last column, of 0 to `last`, to which a lane may grow without coming under or over another one
    that it stands beside."""
    first = max((end + 1 for o, (_, end) in enumerate(reach) if o != lane and end < reach[lane][0]), default=0)
    return first, min((start - 1 for o, (start, _) in enumerate(reach) if o != lane and start > reach[lane][1]),
                      default=last)


def _share(reach: Sequence[tuple[int, int]], one: int, other: int) -> bool:
    return reach[one][0] <= reach[other][1] and reach[other][0] <= reach[one][1]


def _slide(
    lane: int, tops: list[float], reach: Sequence[tuple[int, int]], tall_mm: Sequence[float],
    pulls: Sequence[tuple[int, int, float]], whole: float,
) -> None:
    """Move a lane to where most of its lines are straight, as far as the others leave room."""
    wishes = [tops[a] + down for a, b, down in pulls if b == lane != a]
    wishes += [tops[b] - down for a, b, down in pulls if a == lane != b]
    if not wishes:
        return
    others = [other for other in range(len(tops)) if other != lane and _share(reach, lane, other)]
    least = max((tops[o] + tall_mm[o] + GAP_MM for o in others if o < lane), default=0.0)
    most = min((tops[o] - GAP_MM for o in others if o > lane), default=whole) - tall_mm[lane]
    tops[lane] = max(least, min(most, weighted_median([(wish, 1.0) for wish in wishes])))
