"""Which equipment loses its feed when a device is taken out: the wiring walked without it, nothing computed."""

from __future__ import annotations

from rigfeed.installation import Installation, PlacedNode, node_of
from rigfeed.parts.interfaces import FeederType, LoadDevice, SourceDevice
from rigfeed.studies.sections import Sections, poles_of
from rigfeed.wiring import Leg


def fed_without(sections: Sections, load: PlacedNode, device: str = "") -> bool:
    """Whether both poles of a load still lead to a source or the body with a device taken out."""
    if load.id == device:
        return False
    return all(
        _arrives(sections, positive, device, to_body=False) and _arrives(sections, negative, device, to_body=True)
        for positive, negative in poles_of(load)
    )


def _arrives(sections: Sections, net: str, device: str, *, to_body: bool) -> bool:
    """Whether a way leads from a net to the pole of a source, or to the body."""

    def ends(here: str) -> bool:
        return sections.is_source(here) or (to_body and here in sections.on_body)

    def crosses(here: str, leg: Leg) -> bool:
        if node_of(leg.net) == device or (leg.through and leg.node == device) or (here != net and ends(here)):
            return False
        if leg.through is not None:
            return not isinstance(leg.through.part, LoadDevice | SourceDevice)
        return not (leg.conductor and isinstance(leg.conductor.cable, FeederType))

    return any(here != net and ends(here) for here in sections.reached(net, crosses))


def passed_on(installation: Installation) -> tuple[PlacedNode, ...]:
    """The devices that pass a feed on or branch it: fuses, relays, switches, busbars, converters; by id."""
    ends = {end.node for conductor in installation.conductors.values() for end in conductor.ends}
    return tuple(
        node for node in installation.nodes.values()
        if node.id in ends and node.part is not None and not isinstance(node.part, LoadDevice)
        and (node.part.through or not node.part.terminals or isinstance(node.part, SourceDevice))
    )
