"""Loops of conductors without resistance: what flows in one cannot be told, so that it is an error and not a guess."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from rigfeed.installation import LaidConductor, LaidCore
from rigfeed.network.elements import LEAST_OHM
from rigfeed.path import Path
from rigfeed.resolve.ledger import Ledger

Edge = tuple[str, LaidConductor]  # the net at its other end


def find_loops(conductors: Iterable[LaidConductor], ledger: Ledger) -> None:
    """Report the first loop of cores of which none has a resistance that counts, joints included."""
    tree: dict[str, list[Edge]] = {}
    for conductor, core in _without_resistance(conductors):
        start, end = core.start.net, core.end.net
        way = _way(tree, start, end)
        if way is not None:
            _report([*way, conductor], conductor, ledger)
            return
        tree.setdefault(start, []).append((end, conductor))
        tree.setdefault(end, []).append((start, conductor))


def _without_resistance(conductors: Iterable[LaidConductor]) -> Iterator[tuple[LaidConductor, LaidCore]]:
    for conductor in conductors:
        for core in conductor.cores:
            ohm = core.core.ohm_per_m_20 * conductor.length_m + core.start.contact_ohm + core.end.contact_ohm
            if ohm <= LEAST_OHM and core.start.net != core.end.net:
                yield conductor, core


def _way(tree: dict[str, list[Edge]], start: str, end: str) -> list[LaidConductor] | None:
    """The conductors from one net to another; None where there is no way."""
    came: dict[str, list[LaidConductor]] = {start: []}
    queue = [start]
    for here in queue:
        for there, conductor in tree.get(here, ()):
            if there not in came:
                came[there] = [*came[here], conductor]
                queue.append(there)
    return came.get(end)


def _report(loop: list[LaidConductor], last: LaidConductor, ledger: Ledger) -> None:
    names = ", ".join(sorted({f"{conductor.id} ({conductor.cable.key})" for conductor in loop}))
    ledger.error(
        f"{names} make a loop without resistance: what flows in it cannot be told", Path("conductors", last.id),
        "give each its real length, mend its ohm_per_km in the catalog, or draw what lies side by side as one",
    )
