"""Where the current of an equipment goes back: over the body, and if so, at which bolt."""

from __future__ import annotations

import heapq
from collections.abc import Iterator

from rigfeed.checks.offers import BODY_POINT, is_feeder
from rigfeed.frozen import frozen
from rigfeed.installation import Installation, PlacedNode, net_of, node_of
from rigfeed.network.elements import BODY, Resistor
from rigfeed.parts.interfaces import Condition, ConverterDevice, LoadDevice, SourceDevice, placed
from rigfeed.wiring import Leg, legs_of, passes_of


@frozen
class BodyReturn:
    """An equipment whose negative goes to the body: at the nearest bolt, so far away along the wires."""

    node: PlacedNode
    point: PlacedNode
    length_m: float
    conductors: tuple[str, ...]


def is_body_point(node: PlacedNode) -> bool:
    """Whether a node is a bolt on the body."""
    return node.part is not None and node.part.kind == BODY_POINT


def body_returns(installation: Installation) -> tuple[BodyReturn, ...]:
    """Every load and every converter that returns over the body, with the nearest bolt, by id."""
    steps = _steps(installation)
    found = []
    for node in installation.nodes.values():
        part = node.part
        negative = part.poles[1] if isinstance(part, LoadDevice) else None
        if isinstance(part, ConverterDevice):
            negative = part.input_poles[1]
        if negative is not None:
            way = _to_body(f"{node.id}.{negative}", steps, installation)
            if way is not None:
                point, length_m, conductors = way
                found.append(BodyReturn(node, point, length_m, conductors))
    return tuple(found)


def strap_points(installation: Installation) -> frozenset[str]:
    """The bolts that the negative post of a battery is strapped to: by one wire, or over the vehicle's own wires and
    what they lead through, such as a master switch in the negative lead.
    """
    posts = {net_of(f"{node.id}.{part.poles[1]}", part) for node, part in installation.sources if part.stores}
    wires = [{end.net for end in conductor.ends} for conductor in installation.conductors.values()]
    own = [{end.net for end in c.ends} for c in installation.conductors.values() if c.origin == "vehicle"]
    own += [
        set(pair)
        for node in installation.nodes.values()
        if not isinstance(node.part, LoadDevice | SourceDevice)
        for pair in passes_of(node)
    ]
    reached, before = set(posts), set[str]()
    while reached != before:
        before = set(reached)
        reached |= {net for nets in own if nets & before for net in nets}
    near = reached | {net for nets in wires if nets & posts for net in nets}
    return frozenset(node_of(net) for net in near if is_body_point(installation.nodes[node_of(net)]))


def _steps(installation: Installation) -> dict[str, list[Leg]]:
    """The wires and the devices that a return may lead through: no feeder, no equipment, no source."""

    def leads(leg: Leg) -> bool:
        if leg.conductor is not None:
            return not is_feeder(leg.conductor)
        return leg.through is not None and not isinstance(leg.through.part, LoadDevice | SourceDevice)

    return {net: [leg for leg in legs if leads(leg)] for net, legs in legs_of(installation).items()}


def _to_body(
    start: str, steps: dict[str, list[Leg]], installation: Installation
) -> tuple[PlacedNode, float, tuple[str, ...]] | None:
    """The nearest bolt, the way to it and its wires; the way leads through no source and no other equipment."""
    queue: list[tuple[float, str, tuple[str, ...]]] = [(0.0, start, ())]
    done: set[str] = set()
    while queue:
        length_m, net, over = heapq.heappop(queue)
        if net in done:
            continue
        done.add(net)
        node = installation.nodes[node_of(net)]
        if is_body_point(node):
            return node, length_m, over
        if net != start and isinstance(node.part, LoadDevice | SourceDevice):
            continue
        for leg in steps.get(net, ()):
            more_m, more = (leg.conductor.length_m, (*over, leg.conductor.id)) if leg.conductor else (0.0, over)
            heapq.heappush(queue, (length_m + more_m, leg.net, more))
    return None


def tie_to_body(start: str, installation: Installation) -> PlacedNode | None:
    """The node through which a negative meets the body, cases and shields counted; None where nothing does it.

    The way leads over wires and over whatever resistance a part has between terminals that are neither positive nor
    for signals.
    """
    links = _links(installation)
    queue, seen = [start], {start}
    for net in queue:
        for other in sorted(links.get(net, ())):
            if other == BODY:
                return installation.nodes[node_of(net)]
            if other not in seen:
                seen.add(other)
                queue.append(other)
    return None


def _links(installation: Installation) -> dict[str, set[str]]:
    links: dict[str, set[str]] = {}
    pairs = [(core.start.net, core.end.net) for core in installation.cores]
    for node in installation.nodes.values():
        pairs += _resistive(node)
    for a, b in pairs:
        links.setdefault(a, set()).add(b)
        links.setdefault(b, set()).add(a)
    return links


def _resistive(node: PlacedNode) -> Iterator[tuple[str, str]]:
    if node.part is None:
        return
    others = {f"{node.id}.{t.name}" for t in node.part.terminals if t.pole in ("positive", "signal")}
    for element in node.part.elements(node.settings, Condition(node.part.default_mode, shields_carry=True)):
        laid = placed(element, node.id)
        if isinstance(laid, Resistor) and not {laid.a, laid.b} & others:
            yield laid.a, laid.b
