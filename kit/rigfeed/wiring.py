"""Following a wire: from a source to the first fuse, from an equipment back to what feeds it."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass

from rigfeed.installation import Installation, LaidConductor, LaidCore, PlacedNode, net_of, node_of
from rigfeed.parts.interfaces import LoadDevice, MakerPoint, ProtectiveDevice, SourceDevice


@dataclass(frozen=True)
class Leg:
    """One step on the way: over a core of a conductor, or through a device."""

    net: str  # where it arrives
    node: str  # the node that this net belongs to
    conductor: LaidConductor | None = None
    core: LaidCore | None = None
    through: PlacedNode | None = None


Way = tuple[Leg, ...]


class Wiring:
    """The electrical graph of an installation, to be walked. The body is no way: it joins everything."""

    def __init__(self, installation: Installation) -> None:
        self.installation = installation
        self._legs: dict[str, list[Leg]] = {}
        for conductor in installation.conductors.values():
            for core in conductor.cores:
                for near, far in ((core.start, core.end), (core.end, core.start)):
                    self._legs.setdefault(near.net, []).append(Leg(far.net, far.node, conductor, core))
        for node in installation.nodes.values():
            for pair in node.part.through if node.part else ():
                a, b = (net_of(f"{node.id}.{terminal}", node.part) for terminal in pair)
                for here, there in ((a, b), (b, a)):
                    self._legs.setdefault(here, []).append(Leg(there, node.id, through=node))

    def node(self, id_: str) -> PlacedNode:
        """The node of an id."""
        return self.installation.nodes[id_]

    def ways_to_protection(self, net: str) -> Iterator[Way]:
        """Every way that leaves a net, up to and including the leg through or to the first protective device, or to
        its end: another source, a maker's point, an equipment, nothing. A way never visits a net twice.

        A way that only comes back to itself is told where nothing else passes its end: the wires of a ring lead on to
        what hangs on the ring, those of a loop that hangs on one net lead nowhere.
        """
        found = list(self._ways(net, (), {net}))
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
        near = self._reached(net)
        found = []
        for node, part in self.installation.protections:
            sides = [net_of(f"{node.id}.{t}", part) for pair in part.through for t in pair]
            if any(side in near for side in sides) and self._is_between(node, sides, net):
                found.append((min(near[side] for side in sides if side in near), node.id, node, part))
        return tuple((node, part) for _, _, node, part in sorted(found, key=lambda item: item[:2]))

    def limiting_protection(self, net: str) -> tuple[PlacedNode, ProtectiveDevice] | None:
        """The device that decides what a net can be fed with for long: with it and all smaller ones open, no source is
        left. None where one way from a source has no device at all, so that a bridged or a one-sided fuse is none."""
        opened: set[str] = set()
        for node, part in sorted(self.protections_of(net), key=lambda pair: (pair[1].rated_a, pair[0].id)):
            opened.add(node.id)
            if not self._has_source(self._reached(net, without=opened)):
                return node, part
        return None

    def _is_between(self, device: PlacedNode, sides: list[str], net: str) -> bool:
        mine = self._reached(net, without={device.id})
        far = [side for side in sides if side not in mine]
        if far:  # the device is the only way to what lies behind it
            return any(self._has_source(self._reached(side, without={device.id})) for side in far)
        return all(self._leads_on(sides, device, net, without=cut) for cut in mine)

    def _leads_on(self, sides: list[str], device: PlacedNode, net: str, *, without: str) -> bool:
        """Whether both ends of a device in a ring still reach the net or a source when one net is cut out.

        By Menger's theorem two ways that share no net, one to each, exist when no single net cuts both off.
        """
        reached: set[str] = set()
        for side in sides:
            if side != without:
                reached |= self._reached(side, without={device.id}, cut=without).keys()
        return net in reached or self._has_source(reached)

    def sources_of(self, net: str) -> tuple[PlacedNode, ...]:
        """The sources that a net is wired to, batteries first, by id."""
        reached = self._reached(net)
        return tuple(node for node, part in self.installation.sources if f"{node.id}.{part.poles[0]}" in reached)

    def _has_source(self, nets: Iterable[str]) -> bool:
        return any(self._is_source(net) for net in nets)

    def _is_source(self, net: str) -> bool:
        return isinstance(self.node(node_of(net)).part, SourceDevice)

    def _reached(self, net: str, *, without: Collection[str] = (), cut: str | None = None) -> dict[str, int]:
        """The nets reached from one, with the number of legs: not on through a source, not through the nodes `without`,
        not over the net `cut`."""
        seen, queue = {net: 0}, [net]
        for here in queue:
            if self._is_source(here):
                continue
            for leg in self._legs.get(here, ()):
                if leg.net not in seen and leg.net != cut and not (leg.through and leg.node in without):
                    seen[leg.net] = seen[here] + 1
                    queue.append(leg.net)
        return seen


def _is_back(leg: Leg, last: Leg) -> bool:
    """Whether a leg is the last one walked the other way."""
    return (leg.core is not None and leg.core is last.core) or (leg.through is not None and leg.through is last.through)
