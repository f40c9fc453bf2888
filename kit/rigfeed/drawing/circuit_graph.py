"""What is joined to what, and which way the eye reads it: from the sources to the loads."""

from __future__ import annotations

import heapq
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

from rigfeed.frozen import frozen
from rigfeed.installation import Installation, LaidConductor, LaidCore
from rigfeed.papers.places import natural
from rigfeed.parts.interfaces import (
    ConverterDevice,
    FeederType,
    Joint,
    LoadDevice,
    MakerPoint,
    Pole,
    ProtectiveDevice,
    SourceDevice,
)

Natural = tuple[tuple[int, str], ...]


@frozen
class Wire:
    """One line of the diagram: a core of a conductor, or a whole coaxial cable. Drawn from its `left` to its `right`
    terminal; `forward` where that is also from its start to its end.

    `laid` and `core` are None where the conductor is not complete enough to be reckoned with; `wants` says what it
    lacks.
    """

    id: str
    name: str
    left: str
    right: str
    laid: LaidConductor | None = None
    core: LaidCore | None = None
    is_coax: bool = False
    wants: str = ""
    forward: bool = True

    @property
    def ends(self) -> tuple[str, str]:
        """The ids of the nodes on its left and on its right."""
        return self.left.partition(".")[0], self.right.partition(".")[0]


@frozen
class Graph:
    """The wires in the order of their ids, each of them leading to the right, the wires that join a node to itself, and
    how each node sorts among all."""

    wires: tuple[Wire, ...]
    own: tuple[Wire, ...]
    order: Mapping[str, tuple[int, int, Natural]]


def graph(installation: Installation) -> Graph:
    """The wires of an installation, turned so that they lead away from the sources."""
    every = (*_wires(installation), *_unlaid(installation))
    found = sorted(every, key=lambda wire: (natural(wire.id), natural(wire.name)))
    wires = [wire for wire in found if wire.ends[0] != wire.ends[1]]
    far = _distances(installation, wires)
    order = {id_: (far[id_], _class(installation, id_), natural(id_)) for id_ in installation.nodes}
    turned = (wire if order[wire.ends[0]] < order[wire.ends[1]] else back(wire) for wire in wires)
    return Graph(tuple(turned), tuple(wire for wire in found if wire.ends[0] == wire.ends[1]), order)


def _wires(installation: Installation) -> Iterator[Wire]:
    for conductor in installation.conductors.values():
        ways = {(core.start.node, core.end.node) for core in conductor.cores}
        is_coax = isinstance(conductor.cable, FeederType) and len(ways) == 1
        for core in conductor.cores[:1] if is_coax else conductor.cores:
            several = len(conductor.cores) > 1 and not is_coax
            name = core.id if several else conductor.id
            yield Wire(conductor.id, name, core.start.terminal, core.end.terminal, conductor, core, is_coax)


def _unlaid(installation: Installation) -> Iterator[Wire]:
    """What was left out of the installation, so that a picture of unfinished work is not a wrong one."""
    for id_, conductor in installation.design.conductors.items():
        if id_ in installation.conductors:
            continue
        wants = "no cable yet" if not conductor.cable else ""
        wants = wants or ("no length yet" if not (conductor.length or conductor.route) else "not complete yet")
        ways = [(a, b) for a, b in zip(conductor.start, conductor.end, strict=False)
                if {a.partition(".")[0], b.partition(".")[0]} <= set(installation.nodes)]
        for number, (start, end) in enumerate(ways, 1):
            yield Wire(id_, f"{id_}.{number}" if len(ways) > 1 else id_, start, end, wants=wants)


def back(wire: Wire) -> Wire:
    """A wire drawn the other way round."""
    return replace(wire, left=wire.right, right=wire.left, forward=not wire.forward)


def _class(installation: Installation, id_: str) -> int:
    """Of two nodes as far from the source, which one feeds the other."""
    part = installation.nodes[id_].part
    if isinstance(part, ConverterDevice):
        return 5
    for number, sort in enumerate((SourceDevice, MakerPoint, ProtectiveDevice, Joint)):
        if isinstance(part, sort):
            return number
    return 6 if isinstance(part, LoadDevice) else 4


def _distances(installation: Installation, wires: Iterable[Wire]) -> dict[str, int]:
    """How many wires away from a source each node is: first along what feeds, then along what leads back to a source,
    last along whatever is left. So a load stands behind its fuse, even where its return is bolted to the battery."""
    ways: dict[str, list[tuple[str, bool]]] = {id_: [] for id_ in installation.nodes}
    for wire in wires:
        feeds = _feeds(installation, wire)
        for near, far in (wire.ends, wire.ends[::-1]):
            ways[near].append((far, feeds))
    found = _walk(ways, dict.fromkeys(_roots(installation, wires), 0), lambda feeds: feeds)
    sources = {node.id: found[node.id] for node, _ in installation.sources if node.id in found}
    found |= _walk(ways, sources, lambda feeds: not feeds, found)
    found |= _walk(ways, found, lambda feeds: True)
    for start in sorted(ways, key=lambda id_: (_class(installation, id_), natural(id_))):
        if start not in found:  # what no source feeds stands for itself
            found |= _walk(ways, {start: 0}, lambda feeds: True, found)
    return found


def _walk(
    ways: Mapping[str, Sequence[tuple[str, bool]]], start: Mapping[str, int], allowed: Callable[[bool], bool],
    taken: Mapping[str, int] | None = None,
) -> dict[str, int]:
    """Distances from the nodes of `start` over the allowed wires, not through what is taken already."""
    found = dict(start)
    queue = [(distance, id_) for id_, distance in start.items()]
    heapq.heapify(queue)
    while queue:
        distance, here = heapq.heappop(queue)
        for there, feeds in ways[here]:
            if there not in found and there not in (taken or ()) and allowed(feeds):
                found[there] = distance + 1
                heapq.heappush(queue, (distance + 1, there))
    return found


def _roots(installation: Installation, wires: Iterable[Wire]) -> list[str]:
    """Where the picture begins: at the generators that are wired, else at the first battery, else at a take-off."""
    wired = {id_ for wire in wires for id_ in wire.ends}
    sources = [(node.id, part) for node, part in installation.sources if node.id in wired]
    generators = [id_ for id_, part in sources if not part.stores and not isinstance(part, ConverterDevice)]
    batteries = [id_ for id_, part in sources if part.stores]
    makers = sorted((n.id for n in installation.nodes.values() if isinstance(n.part, MakerPoint)), key=natural)
    return generators or batteries[:1] or makers[:1]


def _feeds(installation: Installation, wire: Wire) -> bool:
    """Whether a wire leads away from a source, as far as its terminals tell; one into a shield or a minus does not."""
    poles = {pole_of(installation, terminal) for terminal in (wire.left, wire.right)}
    return "positive" in poles or not poles & {"negative", "shield"}


def pole_of(installation: Installation, terminal: str) -> Pole:
    """Which pole a terminal is; "any" where the part does not say."""
    node, _, name = terminal.partition(".")
    part = installation.nodes[node].part
    return next((found.pole for found in part.terminals if found.name == name), "any") if part else "any"
