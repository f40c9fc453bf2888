"""Following a wire: from a source to the first fuse, from an equipment back to what feeds it."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from itertools import islice

from rigfeed.errors import RigfeedError
from rigfeed.frozen import frozen
from rigfeed.installation import Installation, LaidConductor, LaidCore, PlacedNode, net_of, node_of
from rigfeed.parts.interfaces import LoadDevice, MakerPoint, ProtectiveDevice, SourceDevice
from rigfeed.view import Study, View


@frozen
class Leg:
    """One step on the way: over a core of a conductor, or through a device."""

    net: str  # where it arrives
    node: str  # the node that this net belongs to
    conductor: LaidConductor | None = None
    core: LaidCore | None = None
    through: PlacedNode | None = None


Way = tuple[Leg, ...]
ALL_SOURCES = ""  # is the name of no net
MOST_WAYS = 10_000


def passes_of(node: PlacedNode) -> Iterator[tuple[str, str]]:
    """The nets between which the feed passes through a node."""
    for a, b in node.part.through if node.part else ():
        yield net_of(f"{node.id}.{a}", node.part), net_of(f"{node.id}.{b}", node.part)


def sides_of(node: PlacedNode) -> set[str]:
    """The nets on either side of a node that the feed passes through."""
    return {net for passed in passes_of(node) for net in passed}


def legs_of(installation: Installation) -> dict[str, list[Leg]]:
    """From every net the legs that lead on: over each core, and through each device. The body is no way."""
    legs: dict[str, list[Leg]] = {}
    for conductor in installation.conductors.values():
        for core in conductor.cores:
            for near, far in ((core.start, core.end), (core.end, core.start)):
                legs.setdefault(near.net, []).append(Leg(far.net, far.node, conductor, core))
    for node in installation.nodes.values():
        for a, b in passes_of(node):
            for here, there in ((a, b), (b, a)):
                legs.setdefault(here, []).append(Leg(there, node.id, through=node))
    return legs


class TooManyWays(RigfeedError):
    """A net from which so many ways lead that following each of them would take for ever."""


class Wiring:
    """The electrical graph of an installation, to be walked. The body is no way: it joins everything."""

    def __init__(self, installation: Installation) -> None:
        self.installation = installation
        self._legs = legs_of(installation)
        self._sources = frozenset(node.id for node, _ in installation.sources)
        self._guards: dict[str, tuple[tuple[PlacedNode, ProtectiveDevice], ...]] = {}  # asked for again and again

    def node(self, id_: str) -> PlacedNode:
        """The node of an id."""
        return self.installation.nodes[id_]

    def ways_to_protection(self, net: str) -> Iterator[Way]:
        """Every way that leaves a net, up to and including the leg through or to the first protective device, or to
        its end: another source, a maker's point, an equipment, nothing. A way never visits a net twice.

        A way that only comes back to itself is told where nothing else passes its end: the wires of a ring lead on to
        what hangs on the ring, those of a loop that hangs on one net lead nowhere.

        Raises
        ------
        TooManyWays
            If there are more than `MOST_WAYS`: their number grows beyond all bounds where everything meets everything.
        """
        found = list(islice(self._ways(net, (), {net}), MOST_WAYS + 1))
        if len(found) > MOST_WAYS:
            remedy = "draw wires that lie side by side as one, or take busbars apart"
            raise TooManyWays(f"more than {MOST_WAYS} ways lead from {net}", remedy=remedy)
        passed = {leg.net for way, closed in found if not closed for leg in way}
        for way, closed in found:
            if not closed or way[-1].net not in passed:
                yield way

    def _ways(self, net: str, so_far: Way, seen: set[str]) -> Iterator[tuple[Way, bool]]:
        """The ways on from a net, each with whether it ends because it would come back to itself."""
        legs = [leg for leg in self._legs.get(net, ()) if not (so_far and _is_back(leg, so_far[-1]))]
        onward = [leg for leg in legs if leg.net not in seen]
        if not onward and so_far:
            yield so_far, bool(legs)
        for leg in onward:
            way = (*so_far, leg)
            part = self.node(leg.node).part
            if isinstance(part, LoadDevice):  # an end, and perhaps a place to go on from
                yield way, False
            if isinstance(part, ProtectiveDevice | SourceDevice | MakerPoint):
                yield way, False
            elif not isinstance(part, LoadDevice) or len(self._legs[leg.net]) > 1:
                yield from self._ways(leg.net, way, seen | {leg.net})

    def protections_of(self, net: str) -> tuple[tuple[PlacedNode, ProtectiveDevice], ...]:
        """The protective devices between a net and any source, nearest first.

        A device counts when some way that visits no net twice leads from the net through it to a source.
        """
        if net not in self._guards:
            self._guards[net] = tuple(self._found_between(net))
        return self._guards[net]

    def _found_between(self, net: str) -> Iterator[tuple[PlacedNode, ProtectiveDevice]]:
        near, between = self._reached(net), self._between(net)
        found = []
        for node, part in self.installation.protections:
            if node.id in between:
                found.append((min(near[side] for side in sides_of(node) if side in near), node.id, node, part))
        return ((node, part) for _, _, node, part in sorted(found, key=lambda item: item[:2]))

    def limiting_protection(self, net: str) -> tuple[PlacedNode, ProtectiveDevice] | None:
        """The device that decides what a net can be fed with for long: with it and all smaller ones open, no source is
        left. None where one way from a source has no device at all, so that a bridged or a one-sided fuse is none."""
        opened: set[str] = set()
        for node, part in sorted(self.protections_of(net), key=lambda pair: (pair[1].rated_a, pair[0].id)):
            opened.add(node.id)
            if not self._has_source(self._reached(net, without=opened)):
                return node, part
        return None

    def sources_of(self, net: str) -> tuple[PlacedNode, ...]:
        """The sources that a net is wired to, batteries first, by id."""
        reached = self._reached(net)
        return tuple(node for node, part in self.installation.sources if f"{node.id}.{part.poles[0]}" in reached)

    def _has_source(self, nets: Iterable[str]) -> bool:
        return any(self._is_source(net) for net in nets)

    def _is_source(self, net: str) -> bool:
        return node_of(net) in self._sources

    def _reached(self, net: str, *, without: Collection[str] = ()) -> dict[str, int]:
        """The nets reached from one, with the number of legs: not on through a source, not through `without`."""
        seen, queue = {net: 0}, [net]
        for here in queue:
            if self._is_source(here):
                continue
            for leg in self._legs.get(here, ()):
                if leg.net not in seen and not (leg.through and leg.node in without):
                    seen[leg.net] = seen[here] + 1
                    queue.append(leg.net)
        return seen

    def _between(self, net: str) -> set[str]:
        """The devices on some way from a net to a source that visits no net twice.

        All sources taken as one net and a wire imagined from it back to `net`, these are the devices that lie on a ring
        with that wire: its block of the graph. One walk in depth finds it (Hopcroft and Tarjan 1973): what turns out to
        hang on a single net is dropped from the trail, and what is left at the end is the block.
        """
        if self._is_source(net):
            return set()
        depth, low = {ALL_SOURCES: 0, net: 1}, {ALL_SOURCES: 0, net: 1}
        trail: list[Leg] = []
        walk: list[tuple[str, Leg | None, Iterator[Leg], int]] = [(net, None, iter(self._legs.get(net, ())), 0)]
        while walk:
            here, came, legs, mark = walk[-1]
            for leg in legs:
                there = ALL_SOURCES if self._is_source(leg.net) else leg.net
                if there not in depth:
                    depth[there] = low[there] = len(depth)
                    walk.append((there, leg, iter(self._legs[there]), len(trail)))
                    trail.append(leg)
                    break
                if depth[there] < depth[here] and not (came and _is_back(leg, came)):
                    low[here] = min(low[here], depth[there])
                    trail.append(leg)
            else:
                walk.pop()
                if walk:
                    above = walk[-1][0]
                    low[above] = min(low[above], low[here])
                    if low[here] >= depth[above]:
                        del trail[mark:]
        return {leg.through.id for leg in trail if leg.through}


def _is_back(leg: Leg, last: Leg) -> bool:
    """Whether a leg is the last one walked the other way."""
    return (leg.core is not None and leg.core is last.core) or (leg.through is not None and leg.through is last.through)


def wire_up(view: View) -> Wiring:
    """The wiring of the installation of a view."""
    return Wiring(view.installation)


WIRING: Study[Wiring] = Study("wiring", wire_up)
