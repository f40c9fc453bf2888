"""The ways in which the negative of an equipment could return, each as edits of the design."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from rigfeed.checks.returns import is_body_point, strap_points
from rigfeed.design.edit import Add, Edit, Remove, Set
from rigfeed.design.model import Design
from rigfeed.frozen import frozen
from rigfeed.installation import Installation, LaidConductor, PlacedNode, node_of
from rigfeed.parts.interfaces import ConverterDevice, FeederType, LoadDevice, ProtectiveDevice, SourceDevice
from rigfeed.path import Path
from rigfeed.studies.sections import Sections, poles_of

Where = Literal["body", "strap", "post"]

FUSE_TO_END = "0.15 m"  # from a fuse in the negative to where it ends
PLACES: dict[Where, str] = {
    "body": "body point near the set", "strap": "body end of the battery strap", "post": "negative post of the battery",
}


@frozen
class ReturnWire:
    """The wire that leads the current of an equipment back, and what stands around it.

    `far` is the key of its end away from the equipment; `post` the negative post of the battery (or of the string) that
    feeds it, `strap` the terminal at the body end of that battery's strap; `fuse` the device in its positive.
    """

    load: PlacedNode
    conductor: LaidConductor
    far: Literal["from", "to"]
    battery: PlacedNode
    post: str
    strap: str | None
    fuse: PlacedNode | None
    beyond: tuple[str, ...]
    lead_m: float


@frozen
class Way:
    """One way to return: where, with a fuse in it or not, and the edits that make it; no edits for the way as drawn."""

    where: Where
    fused: bool
    edits: tuple[Edit, ...]

    @property
    def title(self) -> str:
        """In words."""
        return PLACES[self.where] + (", fused" if self.fused else ", no fuse")


def return_wires(installation: Installation, sections: Sections) -> Iterator[ReturnWire]:
    """The equipment of which the question may be asked: fed from a battery that the vehicle's body hangs on, or from
    any battery where both poles are kept off the body; with a wire of ours at its negative."""
    straps = strap_points(installation)
    for node in installation.nodes.values():
        if not isinstance(node.part, LoadDevice | ConverterDevice):
            continue
        for positive, negative in poles_of(node):
            wire = _wire_at(installation, negative)
            feed = sections.feed(positive, to_body=False)
            post = sections.other_pole(positive) if feed is not None and sections.is_source(feed.end) else None
            if wire is None or feed is None or post is None:
                continue
            battery = sections.node_at(post)
            bonded = sections.returns_over_body(post)
            stores = isinstance(battery.part, SourceDevice) and battery.part.stores
            if not stores or not (bonded or installation.design.vehicle.isolated_return):
                continue
            fuse = next((leg.through for leg in feed.legs if leg.through and _is_fuse(leg.through)), None)
            conductor, far = wire
            yield ReturnWire(
                node, conductor, far, battery, post, _strap_of(installation, sections, post, straps), fuse,
                tuple(_beyond(sections, negative)), feed.length_m,
            )


def _is_fuse(node: PlacedNode) -> bool:
    return isinstance(node.part, ProtectiveDevice)


def _wire_at(
    installation: Installation, negative: str
) -> tuple[LaidConductor, Literal["from", "to"]] | None:
    """The first wire of ours with one core that ends on a net."""
    for conductor in installation.conductors.values():
        if conductor.origin == "vehicle" or isinstance(conductor.cable, FeederType) or len(conductor.cores) != 1:
            continue
        (core,) = conductor.cores
        if core.start.net == negative:
            return conductor, "to"
        if core.end.net == negative:
            return conductor, "from"
    return None


def _beyond(sections: Sections, negative: str) -> Iterator[str]:
    """The fuses that the negative leads through as drawn."""
    way = sections.feed(negative, to_body=True)
    for leg in way.legs if way else ():
        if leg.through is not None and _is_fuse(leg.through):
            yield leg.through.id


def _strap_of(
    installation: Installation, sections: Sections, post: str, straps: frozenset[str]
) -> str | None:
    reached = sections.reached(post, lambda here, leg: here not in sections.on_body)
    near = [(steps, net) for net, steps in reached.items() if node_of(net) in straps]
    return min(near)[1] if near else None


# edits


def ways_of(design: Design, installation: Installation, wire: ReturnWire, far_m: float) -> tuple[Way, ...]:
    """Body point, strap and post, each without and with a fuse; `far_m` is the length to a body point that is not drawn
    yet."""
    found = []
    for where in PLACES:
        for fused in (False, True):
            edits = tuple(_edits(design, installation, wire, where, fused=fused, far_m=far_m))
            if edits:
                found.append(Way(where, fused, edits))
    return tuple(found)


def _edits(
    design: Design, installation: Installation, wire: ReturnWire, where: Where, *, fused: bool, far_m: float
) -> Iterator[Edit]:
    target, length, stays = wire.post, None, False
    if where == "strap":
        if wire.strap is None:
            return
        target = wire.strap
    elif where == "body":
        target, length, new = _body_point(installation, design, wire, far_m)
        stays = length is None
        yield from new
    yield from _led_to(design, wire, target, fused=fused)
    drawn = design.conductors[wire.conductor.id]
    if not stays and (fused or (drawn.end if wire.far == "to" else drawn.start) != (target,)):
        yield from _lengths(design, wire, length)
    for device in wire.beyond:
        yield Remove(Path("nodes", device))


def _body_point(
    installation: Installation, design: Design, wire: ReturnWire, far_m: float
) -> tuple[str, str | None, list[Edit]]:
    """The bolt to use: as drawn, one at the same point, or a new one; the length of the wire, None as drawn."""
    straps = strap_points(installation)
    (core,) = wire.conductor.cores
    end = core.end if wire.far == "to" else core.start
    if is_body_point(installation.nodes[end.node]) and end.node not in straps:
        return end.terminal, None, []
    for node in installation.nodes.values():
        if is_body_point(node) and node.id not in straps and node.at is not None and node.at == wire.load.at:
            return f"{node.id}.stud", f"{far_m:g} m", []
    name = _free(design, "bolt")
    value: dict[str, object] = {"part": "body-point"}
    if wire.load.at is not None:
        value["at"] = wire.load.at
    return f"{name}.stud", f"{far_m:g} m", [Add(Path("nodes", name), value)]


def _led_to(design: Design, wire: ReturnWire, target: str, *, fused: bool) -> Iterator[Edit]:
    """The wire led to a terminal, over a new fuse if it is to have one."""
    drawn, end = design.conductors[wire.conductor.id], target
    if fused:
        fuse, last = _free(design, "NF"), _free(design, "NW")
        yield Add(Path("nodes", fuse), _fuse(design, wire, target))
        yield Add(Path("conductors", last), {
            "cable": drawn.cable, "from": f"{fuse}.b", "to": target, "length": FUSE_TO_END,
            **({"ends": _ends(drawn.ends)} if len(drawn.ends) == 2 else {}),
        })
        end = f"{fuse}.a"
    yield Set(Path("conductors", wire.conductor.id, wire.far), end)


def _lengths(design: Design, wire: ReturnWire, length: str | None) -> Iterator[Edit]:
    """A length as given, or the shortest way over the runs, or that of the positive where there are no points."""
    drawn, path = design.conductors[wire.conductor.id], ("conductors", wire.conductor.id)
    if drawn.route:
        yield Remove(Path(*path, "route"))
    placed = wire.load.at is not None and wire.battery.at is not None and design.runs
    if length is None and not placed:
        length = f"{wire.lead_m:.2f} m"
    if length is not None:
        yield Set(Path(*path, "length"), length)
    elif drawn.length is not None:
        yield Remove(Path(*path, "length"))


def _fuse(design: Design, wire: ReturnWire, target: str) -> dict[str, object]:
    """A fuse like that in the positive, where the wire ends."""
    like = design.nodes[wire.fuse.id] if wire.fuse else None
    value: dict[str, object] = {"title": f"{wire.load.id} negative"}
    if like is not None and like.part is not None:
        value["part"] = like.part
        if like.settings:
            value["settings"] = _plain(like.settings)
    node = design.nodes.get(node_of(target))
    at = node.at if node is not None else wire.load.at
    if at is not None:
        value["at"] = at
    return value


def _plain(settings: object) -> object:
    if hasattr(settings, "items"):
        return {key: _plain(value) for key, value in settings.items()}
    return getattr(settings, "text", settings)


def _ends(ends: tuple[str | tuple[str, ...], ...]) -> list[object]:
    return [list(end) if isinstance(end, tuple) else end for end in ends]


def _free(design: Design, name: str) -> str:
    """A name that nothing has yet."""
    taken = {id_.casefold() for id_ in (*design.nodes, *design.conductors)}
    number = 1
    while f"{name}{number}".casefold() in taken:
        number += 1
    return f"{name}{number}"
