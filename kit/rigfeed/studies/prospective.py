"""The study of prospective short-circuit currents: the most that a device may have to break, and the least it sees.

The highest current is prospective in the sense of the trade: what would flow through the place of the device if a link
without resistance stood there, with everything cold, new, full and running, and all sources added. A device must be
able to break that. What it really lets through with its own resistance is given beside it, and is no limit to rely on.

The lowest current is what flows through the device itself in a short at the far end of what it protects, to the body
where there is a way back over it, with warm copper, aged batteries, the engine off. That is what has to open it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from rigfeed.frozen import frozen
from rigfeed.installation import Air, Installation, LaidState, PlacedNode, net_of
from rigfeed.keyed import Keyed
from rigfeed.network.elements import BODY, LEAST_OHM, Element, Resistor
from rigfeed.network.network import Network
from rigfeed.network.solution import Answer
from rigfeed.network.solve import solve
from rigfeed.network.values import Values
from rigfeed.parts.interfaces import Case, SourceDevice
from rigfeed.practice import Threshold
from rigfeed.studies.circuit import elements_of, zeros_of
from rigfeed.studies.sections import SECTIONS, Sections, nets_of
from rigfeed.view import Study, View

BODY_POINT_OHM = Threshold("body.point", "mohm", "resistance from a body point into the body")

OPEN_OHM = 1e6  # of a short that is not there in a sample: microamperes beside amperes


@frozen
class Short:
    """A short from a net `at` to another one, and the current through what is asked about [A]."""

    at: str
    to: str
    current_a: float


@frozen
class Highest:
    """The highest short-circuit currents by id; what no source feeds has no entry.

    Attributes
    ----------
    highest : Short by device
        With a link in the place of the device: what it must be able to break.
    let_through : Short by device
        The same short with the device in its place.
    posts : Short by source
        Between the poles of the source, all sources that are joined to it added.
    """

    highest: Keyed[Short]
    let_through: Keyed[Short]
    posts: Keyed[Short]


@frozen
class Prospective(Highest):
    """The highest and the lowest ones.

    Attributes
    ----------
    lowest : Short by device
        The far end of what it protects, everything weak, warm and aged: what has to open it.
    """

    lowest: Keyed[Short]


@frozen
class Place:
    """A short to be solved: between which nets, over what resistance; `device` is the one that is asked about, and
    `watch` its net at which its current is counted; None asks for the current of the short itself."""

    at: str
    to: str
    ohm: float = LEAST_OHM
    device: str | None = None
    watch: str | None = None
    linked: bool = False


def prospect_highest(view: View) -> Highest:
    """Solve all shorts of the highest current at once, as samples of one network."""
    installation, sections = view.installation, view[SECTIONS]
    near = list(_near_places(installation, sections))
    posts = [
        Place(f"{node.id}.{part.poles[0]}", f"{node.id}.{part.poles[1]}")
        for node, part in installation.sources
        if set(part.poles) <= {terminal.name for terminal in part.terminals}
    ]
    view.tell(0.0, "highest short-circuit currents")
    found = solved(installation, "highest", [*near, *posts])
    return Highest(
        highest=_chosen(((place, short) for place, short in found if place.linked), most=True),
        let_through=_chosen(((place, short) for place, short in found if place.device and not place.linked), most=True),
        posts=Keyed({place.at.split(".")[0]: short for place, short in found if place.device is None}),
    )


def prospect(view: View) -> Prospective:
    """The highest currents and the lowest, these too as samples of one network."""
    installation, highest = view.installation, view[HIGHEST]
    body = view.practice.default(BODY_POINT_OHM)
    body_ohm = max(body[0] / 1000, LEAST_OHM) if body else LEAST_OHM
    far = list(_far_places(installation, view[SECTIONS], body_ohm))
    view.tell(0.5, "lowest short-circuit currents")
    lowest = _chosen(solved(installation, "lowest", far), most=False)
    return Prospective(highest.highest, highest.let_through, highest.posts, lowest)


def _near_places(installation: Installation, sections: Sections) -> Iterator[Place]:
    """A short right behind each device, with a link in its place and with itself."""
    for node, part in installation.protections:
        for pair in part.through:
            nets = [net_of(f"{node.id}.{terminal}", part) for terminal in pair]
            for watch, at in (nets, nets[::-1]):
                to = sections.other_pole(watch, without=node.id)
                if to is not None:
                    yield Place(at, to, device=node.id, watch=watch, linked=True)
                    yield Place(at, to, device=node.id, watch=watch)


def _far_places(installation: Installation, sections: Sections, body_ohm: float) -> Iterator[Place]:
    """Shorts at every end of the wire behind each device: to the body where it leads back, else to the other pole."""
    for node, part in installation.protections:
        for pair in part.through:
            nets = [net_of(f"{node.id}.{terminal}", part) for terminal in pair]
            for watch, side in (nets, nets[::-1]):
                to = sections.other_pole(watch, without=node.id)
                if to is None:
                    continue
                for at in sorted({side, *nets_of(sections.section(side))} - {watch, to}):
                    if _is_positive(installation, to):
                        yield Place(at, to, device=node.id, watch=watch)
                    elif not sections.is_source(at):
                        by_body = sections.returns_over_body(to)
                        yield Place(at, BODY if by_body else to, body_ohm if by_body else LEAST_OHM, node.id, watch)


def _is_positive(installation: Installation, net: str) -> bool:
    part = installation.nodes[net.partition(".")[0]].part
    return isinstance(part, SourceDevice) and net.partition(".")[2] == part.poles[0]


def _chosen(found: Iterable[tuple[Place, Short]], *, most: bool) -> Keyed[Short]:
    """By device the highest or the lowest of its shorts."""
    by_device: dict[str, list[Short]] = {}
    for place, short in found:
        by_device.setdefault(place.device or "", []).append(short)
    pick = max if most else min
    return Keyed({id_: pick(by_device[id_], key=lambda s: (s.current_a, s.at)) for id_ in sorted(by_device)})


def solved(installation: Installation, case: Case, places: Iterable[Place]) -> list[tuple[Place, Short]]:
    """The shorts at some places, one sample each; loads are left out, everything else is switched on."""
    places = list(places)
    if not places:
        return []
    network = Network.build(_elements(installation, case, places), zeros_of(installation))
    values = Values.of(network, len(places))
    ohms = values.resistor_ohm_20.copy()
    column = {name: number for number, name in enumerate(network.names["resistor"])}
    for sample, place in enumerate(places):
        ohms[sample, column[_short_name(place)]] = place.ohm
        for link in _links(installation, place.device) if place.linked and place.device else ():
            ohms[sample, column[link.name]] = LEAST_OHM
    answer = solve(network, values.replace(resistor_ohm_20=ohms)).asked
    return [
        (place, Short(place.at, place.to, abs(_current_a(installation, answer, sample, place))))
        for sample, place in enumerate(places)
    ]


def _current_a(installation: Installation, answer: Answer, sample: int, place: Place) -> float:
    if place.watch is None:
        return answer.current(sample, _short_name(place))
    total = 0.0
    for core in installation.cores:
        if core.start.net != core.end.net:
            sign = (core.end.net == place.watch) - (core.start.net == place.watch)
            total += sign * answer.current(sample, core.id) if sign else 0.0
    return total


def _elements(installation: Installation, case: Case, places: Iterable[Place]) -> Iterator[Element]:
    """Everything but loads, and every short and link as a resistance that conducts in its own samples only."""
    state = state_of_case(installation, case)
    conductors = installation.conductors.values()
    temperature_c = {core.id: conductor.air_c(state.air) for conductor in conductors for core in conductor.cores}
    loads = {node.id for node, _ in installation.loads}
    yield from elements_of(installation, state, temperature_c, case=case, leave_out=loads)
    yield from {_short_name(p): Resistor(_short_name(p), p.at, p.to, OPEN_OHM) for p in places}.values()
    for device in sorted({place.device for place in places if place.device and place.linked}):
        yield from _links(installation, device)


def _links(installation: Installation, device: str) -> Iterator[Resistor]:
    part = installation.nodes[device].part
    for number, pair in enumerate(part.through if part else ()):
        a, b = (net_of(f"{device}.{terminal}", part) for terminal in pair)
        yield Resistor(f"@link{number}.{device}", a, b, OPEN_OHM)


def _short_name(place: Place) -> str:
    return f"@short.{place.at}.{place.to}"


def state_of_case(installation: Installation, case: Case) -> LaidState:
    """Everything switched on; cold with the engine running for the highest current, warm and standing for the lowest,
    with the least charge that a state of the design begins with."""
    air: Air = "coldest" if case == "highest" else "warmest"
    modes = {node.id: _mode(node) for node in installation.nodes.values() if node.part and node.part.modes}
    charges: dict[str, float] = {}
    for state in installation.states.values() if case == "lowest" else ():
        for id_, charge in state.charge.items():
            charges[id_] = min(charge, charges.get(id_, charge))
    return LaidState(case, f"{case} short-circuit current", case == "highest", air, Keyed(modes), Keyed(charges))


def _mode(node: PlacedNode) -> str:
    assert node.part is not None
    return "on" if "on" in node.part.modes else node.part.default_mode


# What a device must break, the checks want to know; the lowest currents are worked out for who asks for them.
HIGHEST: Study[Highest] = Study("prospective-highest", prospect_highest, needs=(SECTIONS,))
PROSPECTIVE: Study[Prospective] = Study("prospective", prospect, needs=(SECTIONS, HIGHEST))
