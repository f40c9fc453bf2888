"""Following a wire: from a source to the first fuse, from an equipment back to what feeds it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from rigfeed.installation import Installation, LaidConductor, LaidCore, PlacedNode, net_of
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
                for here, there in ((core.start, core.end), (core.end, core.start)):
                    self._legs.setdefault(here.net, []).append(Leg(there.net, there.node, conductor, core))
        for node in installation.nodes.values():
            for a, b in node.part.through if node.part else ():
                nets = [net_of(f"{node.id}.{terminal}", node.part) for terminal in (a, b)]
                for here, there in (nets, nets[::-1]):
                    self._legs.setdefault(here, []).append(Leg(there, node.id, through=node))

    def node(self, id_: str) -> PlacedNode:
        """The node of an id."""
        return self.installation.nodes[id_]

    def ways_to_protection(self, net: str) -> Iterator[Way]:
        """Every way that leaves a net, up to and including the leg through or to the first protective device, or to
        its end: another source, a maker's point, an equipment, nothing. A way never visits a net twice."""
        yield from self._ways(net, (), {net})

    def _ways(self, net: str, so_far: Way, seen: set[str]) -> Iterator[Way]:
        onward = [leg for leg in self._legs.get(net, ()) if leg.net not in seen]
        if not onward and so_far:
            yield so_far
        for leg in onward:
            way = (*so_far, leg)
            part = self.node(leg.node).part
            if isinstance(part, LoadDevice):  # an end, and perhaps a place to go on from
                yield way
            if isinstance(part, ProtectiveDevice | SourceDevice | MakerPoint):
                yield way
            elif not isinstance(part, LoadDevice) or len(self._legs[leg.net]) > 1:
                yield from self._ways(leg.net, way, seen | {leg.net})

    def protections_of(self, net: str) -> tuple[tuple[PlacedNode, ProtectiveDevice], ...]:
        """The protective devices between a net and any source, nearest first.

        A device counts when a source lies behind it: without the device, the far side of it still reaches a source.
        """
        near = self._reached(net)
        found = []
        for node, part in self.installation.protections:
            sides = [net_of(f"{node.id}.{t}", part) for pair in part.through for t in pair]
            if not any(side in near for side in sides):
                continue
            mine = self._reached(net, without=node.id)
            far = [side for side in sides if side not in mine]
            if not far or any(self._is_fed(side, node.id) for side in far):
                found.append((min(near[side] for side in sides if side in near), node.id, node, part))
        return tuple((node, part) for _, _, node, part in sorted(found, key=lambda item: item[:2]))

    def sources_of(self, net: str) -> tuple[PlacedNode, ...]:
        """The sources that a net is wired to, batteries first, by id."""
        reached = self._reached(net)
        return tuple(node for node, part in self.installation.sources if f"{node.id}.{part.poles[0]}" in reached)

    def _is_fed(self, net: str, without: str) -> bool:
        return any(self._source_net(reached) for reached in self._reached(net, without=without))

    def _source_net(self, net: str) -> bool:
        return isinstance(self.node(net.split(".")[0]).part, SourceDevice)

    def _reached(self, net: str, without: str | None = None) -> dict[str, int]:
        """The nets reached from one, with the number of legs; not through a source, nor through the node `without`."""
        seen, queue = {net: 0}, [net]
        for here in queue:
            if self._source_net(here):
                continue
            for leg in self._legs.get(here, ()):
                if leg.net not in seen and not (leg.through and leg.node == without):
                    seen[leg.net] = seen[here] + 1
                    queue.append(leg.net)
        return seen
