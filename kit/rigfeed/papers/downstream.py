"""What hangs behind a protective device: the loads that it feeds, the conductors that it has to protect."""

from __future__ import annotations

from dataclasses import dataclass, field

from rigfeed.installation import Installation, PlacedNode, net_of, node_of
from rigfeed.papers.places import natural
from rigfeed.parts.interfaces import LoadDevice, ProtectiveDevice, SourceDevice


@dataclass
class _Side:
    """What one end of a device leads to without passing the device."""

    sources: set[str] = field(default_factory=set)
    consumers: set[str] = field(default_factory=set)
    conductors: set[str] = field(default_factory=set)


@dataclass(frozen=True)
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
        self.steps: dict[str, list[tuple[str, str, str]]] = {}  # net: (next net, conductor or "", device or "")
        for conductor in installation.conductors.values():
            for core in conductor.cores:
                self._join(core.start.net, core.end.net, conductor.id, "")
        for node in installation.nodes.values():
            for a, b in node.part.through if node.part else ():
                self._join(net_of(f"{node.id}.{a}", node.part), net_of(f"{node.id}.{b}", node.part), "", node.id)

    def _join(self, a: str, b: str, conductor: str, device: str) -> None:
        self.steps.setdefault(a, []).append((b, conductor, device))
        self.steps.setdefault(b, []).append((a, conductor, device))

    def side(self, net: str, without: str) -> _Side:
        """What is reached from a net, not through a source, and not through the device `without`."""
        found = _Side()
        protected = {net: True}  # whether no other protective device was passed on the way
        queue = [net]
        for here in queue:
            if here != net and self._ends(here, found):
                continue
            for there, conductor, device in self.steps.get(here, ()):
                if device == without:
                    continue
                near = protected[here] and not isinstance(self._part(device), ProtectiveDevice)
                if conductor and near:
                    found.conductors.add(conductor)
                if there not in protected or (near and not protected[there]):
                    protected[there] = near
                    queue.append(there)
        return found

    def _part(self, device: str) -> object:
        return self.installation.nodes[device].part if device else None

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
