"""The shortest allowed way between two points, for a conductor whose route nobody gave."""

from __future__ import annotations

import heapq
from collections.abc import Mapping

from rigfeed.design.model import Run
from rigfeed.installation import LaidZone
from rigfeed.keyed import Keyed


def is_allowed(run: Run, zones: Keyed[LaidZone], insulation_c: float | None) -> bool:
    """Whether a conductor may be led over a run: it is open, measured, and no hotter than the insulation stands."""
    too_hot = insulation_c is not None and run.zone is not None and zones[run.zone].warmest_c >= insulation_c
    return not run.closed and run.length is not None and not too_hot


def shortest_way(
    runs: Mapping[str, Run], start: str, goal: str, zones: Keyed[LaidZone], insulation_c: float | None
) -> tuple[str, ...] | None:
    """The runs of the shortest allowed way; none if the points are one, None if there is no such way.

    Of two ways of one length it is the one with fewer runs, then the first by name, whatever the order in the file.
    """
    onward: dict[str, list[tuple[str, str, float]]] = {}
    for name, run in runs.items():
        if is_allowed(run, zones, insulation_c) and run.length is not None:
            onward.setdefault(run.start, []).append((name, run.end, run.length.si))
            onward.setdefault(run.end, []).append((name, run.start, run.length.si))
    queue: list[tuple[float, int, tuple[str, ...], str]] = [(0.0, 0, (), start)]
    done: set[str] = set()
    while queue:
        length_m, count, way, here = heapq.heappop(queue)
        if here == goal:
            return way
        if here in done:
            continue
        done.add(here)
        for name, there, more_m in onward.get(here, ()):
            if there not in done:
                heapq.heappush(queue, (round(length_m + more_m, 9), count + 1, (*way, name), there))
    return None
