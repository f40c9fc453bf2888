"""Where a what-if changes something: straps, negatives, master switches, relays between batteries."""

from __future__ import annotations

from collections.abc import Iterator

from rigfeed.frozen import frozen
from rigfeed.installation import Installation, PlacedNode
from rigfeed.network.elements import Switch
from rigfeed.parts.interfaces import FeederType, LoadDevice, MakerPoint, ProtectiveDevice, SourceDevice
from rigfeed.studies.circuit import condition_of
from rigfeed.studies.sections import Sections
from rigfeed.wiring import Leg, passes_of


@frozen
class Bond:
    """What joins the negative post of a battery to the body: its cores, the positive post of the battery or of the
    string that it is the foot of, and whether the vehicle's own wire hangs on it, so that the starter does too."""

    battery: PlacedNode
    post: str
    top: str
    cores: tuple[str, ...]
    cranks: bool


def bonds(installation: Installation, sections: Sections) -> Iterator[Bond]:
    """The bond of every battery that has one, by id; where no battery is on the vehicle's own wire, any may crank."""
    own = {end.net for c in installation.conductors.values() if c.origin == "vehicle" for end in c.ends}
    found = []
    for node, part in installation.sources:
        if part.stores:
            post, positive = f"{node.id}.{part.poles[1]}", f"{node.id}.{part.poles[0]}"
            cores = _bond_cores(installation, sections, post)
            if cores:
                top = sections.other_pole(post) or positive
                found.append((Bond(node, post, top, cores, cranks=True), bool(own & {post, positive})))
    marked = any(flag for _, flag in found)
    for bond, flag in found:
        yield bond if flag or not marked else Bond(bond.battery, bond.post, bond.top, bond.cores, cranks=False)


def _bond_cores(installation: Installation, sections: Sections, post: str) -> tuple[str, ...]:
    """The cores that meet the body on the way from a post: one wire of any origin, or over the vehicle's own wires and
    what they lead through."""

    def crosses(here: str, leg: Leg) -> bool:
        if here in sections.on_body:
            return False
        if leg.conductor is not None:
            direct = here == post and leg.net in sections.on_body and not isinstance(leg.conductor.cable, FeederType)
            return direct or leg.conductor.origin == "vehicle"
        part = leg.through.part if leg.through else None
        return not isinstance(part, LoadDevice | SourceDevice | ProtectiveDevice | MakerPoint)

    reached = sections.reached(post, crosses)
    found = [
        leg.core.id for here in reached if here not in sections.on_body
        for leg in sections.legs.get(here, ()) if leg.core and leg.net in sections.on_body and crosses(here, leg)
    ]
    return tuple(sorted(set(found)))


def negative_cores(installation: Installation, negative: str) -> tuple[str, ...]:
    """The cores that are meant to bring the current of an equipment back from its negative terminal."""
    return tuple(
        core.id for conductor in installation.conductors.values() if not isinstance(conductor.cable, FeederType)
        for core in conductor.cores if negative in (core.start.net, core.end.net)
    )


def isolators(installation: Installation) -> Iterator[PlacedNode]:
    """The switches that somebody turns off by hand, by id."""
    for node in installation.nodes.values():
        if node.part is not None and "off" in node.part.modes and _is_contact(installation, node):
            yield node


def links(installation: Installation, sections: Sections) -> Iterator[PlacedNode]:
    """The relays that join two batteries, by id: contacts that no hand turns, a battery on either side."""
    batteries = {f"{node.id}.{part.poles[0]}" for node, part in installation.sources if part.stores}
    for node in installation.nodes.values():
        if node.part is None or node.part.modes or not _is_contact(installation, node):
            continue
        for pair in passes_of(node):
            sides = [batteries.intersection(sections.sources_of(net, without=node.id)) for net in pair]
            if all(sides) and sides[0] != sides[1]:
                yield node
                break


def _is_contact(installation: Installation, node: PlacedNode) -> bool:
    """Whether a device passes the feed through a contact."""
    part = node.part
    if part is None or isinstance(part, LoadDevice | SourceDevice | ProtectiveDevice) or not part.through:
        return False
    state = next(iter(installation.states.values()), None)
    elements = part.elements(node.settings, condition_of(node, state)) if state is not None else ()
    return any(isinstance(element, Switch) for element in elements)
