"""What a route plan tells: what stands at each point, what lies on each run, what goes through each hole."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

from rigfeed.frozen import frozen
from rigfeed.installation import Installation, LaidPassage, LaidZone, PlacedNode, node_of
from rigfeed.papers.places import natural, walk
from rigfeed.studies.bundles import BUNDLES

if TYPE_CHECKING:
    from rigfeed.assess import Assessment

_NUMBERED = re.compile(r"(.*?)([0-9]+)")


@frozen
class Place:
    """A point with the devices at it, and the conductors that do not leave it."""

    id: str
    title: str
    zone: str | None
    nodes: tuple[PlacedNode, ...]
    staying: tuple[str, ...]


@frozen
class Way:
    """A run with the conductors on it and the diameter of their bundle, 0 without any; None where nobody knows it.
    `beside_m` is how far it is from what it passes."""

    id: str
    start: str
    end: str
    length_m: float | None
    closed: bool
    conductors: tuple[str, ...]
    diameter_mm: float | None
    zone: str | None = None
    beside_m: tuple[tuple[str, float], ...] = ()


@frozen
class Plan:
    """All of it, each by id in the order of names; `loose` are conductors that lie on no run, with what they lead to,
    `lost` the devices that stand nowhere. The points in `order` are in the order in which one walks past them."""

    places: dict[str, Place]
    ways: dict[str, Way]
    holes: dict[str, LaidPassage]
    zones: dict[str, LaidZone]
    order: tuple[str, ...]
    loose: dict[str, str]
    lost: tuple[str, ...]


def plan_of(assessment: Assessment) -> Plan:
    """What the route plan of an assessment has to tell."""
    installation = assessment.installation
    design = installation.design
    bundles = assessment.get(BUNDLES)
    on_run: dict[str, list[str]] = {run: [] for run in design.runs}
    for conductor in installation.conductors.values():
        for stretch in conductor.stretches:
            if stretch.run is not None and conductor.id not in on_run[stretch.run]:
                on_run[stretch.run].append(conductor.id)
    thick = {id_: bundle.diameter_mm for id_, bundle in bundles.runs.items()} if bundles else None
    ways = {
        id_: Way(
            id_, run.start, run.end, run.length.si if run.length else None, bool(run.closed),
            _sorted(on_run[id_]), None if thick is None else thick.get(id_, 0.0), run.zone,
            tuple((name, distance.si) for name, distance in sorted(run.beside.items())),
        )
        for id_, run in sorted(design.runs.items(), key=lambda item: natural(item[0]))
    }
    staying, loose = _off_the_runs(installation, {id_ for ids in on_run.values() for id_ in ids})
    nodes = [installation.nodes[id_] for id_ in _sorted(installation.nodes)]
    places = {
        id_: Place(
            id_, design.points[id_].title or "", design.points[id_].zone,
            tuple(node for node in nodes if node.at == id_), tuple(staying.get(id_, ())),
        )
        for id_ in _sorted(design.points)
    }
    holes = {id_: installation.passages[id_] for id_ in _sorted(installation.passages)}
    lost = tuple(node.id for node in nodes if node.at is None)
    return Plan(places, ways, holes, dict(installation.zones), walk(installation), loose, lost)


def _off_the_runs(installation: Installation, routed: set[str]) -> tuple[dict[str, list[str]], dict[str, str]]:
    """The conductors that stay at one point, by point, and those that lead to another one on no run."""
    staying: dict[str, list[str]] = {}
    loose: dict[str, str] = {}
    for id_ in _sorted(installation.design.conductors):
        conductor = installation.design.conductors[id_]
        if id_ in routed:
            continue
        ends = [node_of(terminal) for terminal in (*conductor.start, *conductor.end)]
        points = {installation.nodes[node].at for node in ends if node in installation.nodes}
        point = points.pop() if len(points) == 1 else None
        if point is not None and id_ in installation.conductors:
            staying.setdefault(point, []).append(id_)
        else:
            loose[id_] = " to ".join(dict.fromkeys(ends)) or "not connected"
    return staying, loose


def _sorted(names: Iterable[str]) -> tuple[str, ...]:
    return tuple(sorted(names, key=natural))


def spans(names: Sequence[str]) -> list[str]:
    """Names in their order, three or more that follow one another as the first and the last.

    >>> spans(["F1", "W1", "W2", "W3", "W5"])
    ['F1', 'W1–W3', 'W5']
    """
    found: list[str] = []
    chain: list[str] = []
    for name, onward in pairwise([*names, ""]):
        chain.append(name)
        if onward != _next(name):
            found += chain if len(chain) < 3 else [f"{chain[0]}–{chain[-1]}"]
            chain = []
    return found


def _next(name: str) -> str | None:
    """The name that follows one with a number at its end."""
    match = _NUMBERED.fullmatch(name)
    return f"{match[1]}{int(match[2]) + 1}" if match else None
