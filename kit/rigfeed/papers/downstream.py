"""What hangs behind a protective device: the loads that it feeds, the conductors that it has to protect."""

from __future__ import annotations

from dataclasses import dataclass, field

from rigfeed.frozen import frozen
from rigfeed.installation import Installation, PlacedNode, node_of
from rigfeed.papers.places import natural
from rigfeed.parts.interfaces import LoadDevice, ProtectiveDevice, SourceDevice
from rigfeed.wiring import legs_of


@dataclass
class _Side:
    """What one end of a device leads to without passing the device."""

    sources: set[str] = field(default_factory=set)
    consumers: set[str] = field(default_factory=set)
    conductors: set[str] = field(default_factory=set)


@frozen
class Downstream:
    """`consumers` are loads and the inputs of converters; `conductors` those up to the next protective devices.

    `between` names the sources at both ends of a link, which a fault can be fed from either way.
    """

    consumers: tuple[PlacedNode, ...]
    conductors: tuple[str, ...]
    between: tuple[PlacedNode, ...] = ()


def downstream(installation: Installation, device: PlacedNode) -> Downstream:
    """What a protective device protects: what is on the side without a source; where both have one, what is on both."""
    ways = _Ways(installation)
    part = device.part
    pairs = part.through if part is not None else ()
    sides = [ways.side(f"{device.id}.{terminal}", device.id) for pair in pairs for terminal in pair]
    fed = [side for side in sides if not side.sources]
    chosen = fed or sides

    def nodes(ids: set[str]) -> tuple[PlacedNode, ...]:
        return tuple(installation.nodes[id_] for id_ in sorted(ids, key=natural))

    return Downstream(
        nodes({id_ for side in chosen for id_ in side.consumers}),
        tuple(sorted({id_ for side in chosen for id_ in side.conductors}, key=natural)),
        nodes({id_ for side in sides for id_ in side.sources}) if len(sides) > 1 and not fed else (),
    )


class _Ways:
    """Nets, and how one gets from one to the next."""

    def __init__(self, installation: Installation) -> None:
        self.installation = installation
        self.legs = legs_of(installation)

    def side(self, net: str, without: str) -> _Side:
        """What is reached from a net, not through a source, and not through the device `without`."""
        found = _Side()
        protected = {net: True}  # whether no other protective device was passed on the way
        queue = [net]
        for here in queue:
            if here != net and self._ends(here, found):
                continue
            for leg in self.legs.get(here, ()):
                if leg.through and leg.node == without:
                    continue
                near = protected[here] and not (leg.through and isinstance(leg.through.part, ProtectiveDevice))
                if leg.conductor and near:
                    found.conductors.add(leg.conductor.id)
                if leg.net not in protected or (near and not protected[leg.net]):
                    protected[leg.net] = near
                    queue.append(leg.net)
        return found

    def _ends(self, net: str, found: _Side) -> bool:
        """Note what a net belongs to; whether the way ends there."""
        id_, terminal = node_of(net), net.partition(".")[2]
        part = self.installation.nodes[id_].part
        if isinstance(part, SourceDevice):
            (found.sources if terminal in part.poles else found.consumers).add(id_)
            return True
        if isinstance(part, LoadDevice):
            found.consumers.add(id_)
        return False
