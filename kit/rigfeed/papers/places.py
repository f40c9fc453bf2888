"""Where things are, in the words of people in front of the vehicle, and the order in which one walks past them."""

from __future__ import annotations

import heapq
import re
from collections.abc import Iterable, Mapping

from rigfeed.design.model import Run
from rigfeed.installation import Installation, LaidConductor, PlacedNode
from rigfeed.path import Path

UNKNOWN = "place not given"

_DIGITS = re.compile(r"([0-9]+)")


def natural(text: str) -> tuple[tuple[int, str], ...]:
    """What to sort names by, so that W10 comes after W2.

    >>> sorted(["W10", "w2", "F1"], key=natural)
    ['F1', 'w2', 'W10']
    """
    pieces = _DIGITS.split(text.casefold())
    return tuple((int(piece), "") if piece.isdecimal() else (-1, piece) for piece in pieces if piece) or ((-1, ""),)


def walk(installation: Installation) -> tuple[str, ...]:
    """The points in the order in which one goes round once: from the vehicle's own battery outwards, each branch to its
    end before the next one is begun, nearer branches first. What no run leads to comes after, by name."""
    runs, points = installation.design.runs, installation.design.points
    own = vehicles_own(installation)
    nodes = sorted((node for node, _ in installation.sources), key=lambda node: node.id not in own)
    sources = [node.at for node in nodes if node.at is not None]
    order: dict[str, None] = {}
    for start in (*dict.fromkeys(sources), *sorted(points, key=natural)):
        if start not in order:
            order |= dict.fromkeys(_branches(start, runs, set(order)))
    return tuple(order)


def _branches(start: str, runs: Mapping[str, Run], been: set[str]) -> list[str]:
    """The points that are reached from one over new points only, along the shortest ways, branch by branch."""
    ways: dict[str, list[tuple[float, str]]] = {}
    for run in runs.values():
        length_m = run.length.si if run.length else 0.0
        ways.setdefault(run.start, []).append((length_m, run.end))
        ways.setdefault(run.end, []).append((length_m, run.start))
    onward: dict[str, list[str]] = {}
    queue: list[tuple[float, tuple[tuple[int, str], ...], str, str]] = [(0.0, natural(start), start, "")]
    seen = set(been)
    while queue:
        far_m, _, here, before = heapq.heappop(queue)
        if here in seen:
            continue
        seen.add(here)
        onward[here] = []
        onward.get(before, []).append(here)
        for length_m, there in ways.get(here, ()):
            heapq.heappush(queue, (far_m + length_m, natural(there), there, here))
    return _in_depth(start, onward)


def _in_depth(start: str, onward: Mapping[str, list[str]]) -> list[str]:
    found: list[str] = []
    stack = [start]
    while stack:
        here = stack.pop()
        found.append(here)
        stack.extend(reversed(onward[here]))
    return found


def place_notes(installation: Installation, points: Iterable[str | None]) -> tuple[str, ...]:
    """What the names of points stand for, as a note: tables have room for the names only."""
    titles = installation.design.points
    said = [
        f"{point} is {title}" for point in dict.fromkeys(points) if point is not None and (title := titles[point].title)
    ]
    return (f"Places: {'; '.join(said)}.",) if said else ()


def zone_title(node: PlacedNode) -> str:
    """The zone of a node, nothing where none is given."""
    return node.zone.title if node.zone.id else ""


def where(installation: Installation, node: PlacedNode) -> str:
    """The point of a node with what it is, else with its zone: ``battery (engine bay)``, for whoever looks for it."""
    if node.at is None:
        return UNKNOWN
    more = installation.design.points[node.at].title or zone_title(node)
    return f"{node.at} ({more})" if more and more.casefold() != node.at.casefold() else node.at


def vehicles_own(installation: Installation) -> frozenset[str]:
    """The nodes that the vehicle came with: a conductor that came with it ends on nothing else."""
    own = (c for c in installation.conductors.values() if c.origin == "vehicle")
    return frozenset(end.node for conductor in own for end in conductor.ends)


def by_id(conductors: Mapping[str, LaidConductor]) -> list[LaidConductor]:
    """Conductors by id, W2 before W10."""
    return sorted(conductors.values(), key=lambda conductor: natural(conductor.id))


_SAID = {"passages": "hole", "runs": "run", "points": "point", "zones": "zone", "states": "state", "duty": "duty"}
_SIDES = {"from_facts": "from", "to_facts": "to"}


def subject_title(path: Path) -> str:
    """A subject as it is called on paper: labels of the real thing alone, all else with its sort before it.

    >>> subject_title(Path("nodes", "vhf")), subject_title(Path("passages", "H1")), subject_title(Path("vehicle"))
    ('vhf', 'hole H1', 'vehicle')
    >>> subject_title(Path("conductors", "W1", "to_facts")), subject_title(Path("conductors", "W1", "ends", 0))
    ('W1, end to', 'W1, end from')
    >>> subject_title(Path("nodes", "box", "settings", "resistance"))
    'box: resistance'
    """
    if len(path) < 2:
        return str(path)
    sort, id_, *rest = (str(part) for part in path)
    title = id_ if sort in ("nodes", "conductors") else f"{_SAID.get(sort, sort)} {id_}"
    if rest and rest[0] in _SIDES:
        return f"{title}, end {_SIDES[rest[0]]}"
    if rest and rest[0] in ("ends", "sleeves") and len(rest) > 1:
        return f"{title}, end {'from' if rest[1] == '0' else 'to'}"
    rest = [word for word in rest if word != "settings"]
    return f"{title}: {' '.join(rest)}" if rest else title
