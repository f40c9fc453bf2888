"""A network with one change in it, solved; devices that the currents open are opened one after the other."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import replace
from functools import cached_property

import numpy as np

from rigfeed.frozen import frozen
from rigfeed.installation import Installation, PlacedNode, node_of
from rigfeed.keyed import Keyed
from rigfeed.network.elements import Converter, Element, Resistor, Sink, Switch
from rigfeed.network.network import Network
from rigfeed.network.solution import Answer, Solution
from rigfeed.network.solve import solve
from rigfeed.network.values import Values
from rigfeed.parts.interfaces import FeederType, LoadDevice
from rigfeed.studies.circuit import elements_of, zeros_of
from rigfeed.studies.operating import Operating

TRACE_A = 1e-3  # below it a current counts as none
LEAST_V = 0.05  # of a load as a resistance: one that hardly has volts before the change tells nothing


@frozen
class Change:
    """What is different: cores and nodes that are open, nodes whose contacts are closed, elements that are added,
    nodes that draw nothing, two nets that are swapped for every core, loads and converters as plain resistances."""

    open_cores: tuple[str, ...] = ()
    open_nodes: tuple[str, ...] = ()
    closed_nodes: tuple[str, ...] = ()
    extra: tuple[Element, ...] = ()
    without_draw: tuple[str, ...] = ()
    swapped: tuple[str, str] | None = None
    resistive: bool = False

    @property
    def is_plain(self) -> bool:
        """Whether it opens wires and adds resistances only."""
        others = self.open_nodes or self.closed_nodes or self.without_draw or self.swapped or self.resistive
        return not others and len(self.resistors) == len(self.extra)

    @property
    def resistors(self) -> tuple[Resistor, ...]:
        """The resistances that it adds."""
        return tuple(element for element in self.extra if isinstance(element, Resistor))


@frozen
class Outcome:
    """Amps in every core and device, volts at every load, and the loads that work."""

    core_a: Keyed[float]
    device_a: Keyed[float]
    load_v: Keyed[float | None]
    working: tuple[str, ...]


@frozen(eq=False)
class Changed:
    """An installation with a change; `whole` are its elements before."""

    installation: Installation
    change: Change
    whole: tuple[Element, ...]

    def elements(self, opened: Iterable[str] = ()) -> tuple[Element, ...]:
        """The elements after the change."""
        change = self.change
        gone = {*change.open_nodes, *opened}
        base = tuple(self._resistive()) if change.resistive else self.whole
        found: list[Element] = []
        for element in base:
            if element.name in change.open_cores or node_of(element.name) in gone:
                continue
            if isinstance(element, Sink | Converter) and node_of(element.name) in change.without_draw:
                continue
            if isinstance(element, Switch) and node_of(element.name) in change.closed_nodes:
                found.append(replace(element, closed=True, sense_pos=None, sense_neg=None))
            else:
                found.append(self._swapped(element))
        return (*found, *change.extra)

    def after(self, opened: Iterable[str] = ()) -> Outcome:
        """What is after the change, with some devices open."""
        return outcome(self.installation, self.elements(opened))

    def _swapped(self, element: Element) -> Element:
        """A core on the other of two terminals."""
        if self.change.swapped is None or not isinstance(element, Resistor):
            return element
        if element.name not in self._cores or element.name in self._feeders:
            return element
        one, two = self.change.swapped
        other = {one: two, two: one}
        return replace(element, a=other.get(element.a, element.a), b=other.get(element.b, element.b))

    @cached_property
    def _cores(self) -> frozenset[str]:
        return frozenset(core.id for core in self.installation.cores)

    @cached_property
    def _feeders(self) -> frozenset[str]:
        conductors = self.installation.conductors.values()
        return frozenset(core.id for c in conductors if isinstance(c.cable, FeederType) for core in c.cores)

    def _resistive(self) -> Iterator[Element]:
        """The elements with what draws as the resistance that it is before the change; converters give nothing."""
        answer = solve(Network.build(self.whole, zeros_of(self.installation))).asked
        for element in self.whole:
            name = element.name
            if isinstance(element, Sink):
                yield from _as_resistor(element.pos, element.neg, name, answer.across(0, name), answer.current(0, name))
            elif isinstance(element, Converter):
                volts, amps = answer.input_volts(0, name), answer.input_current(0, name)
                yield from _as_resistor(element.in_pos, element.in_neg, name, volts, amps)
            else:
                yield element


def _as_resistor(a: str, b: str, name: str, volts: float | None, amps: float) -> Iterator[Resistor]:
    if volts is not None and volts > LEAST_V and amps > TRACE_A:
        yield Resistor(f"{name}.@as", a, b, volts / amps)


# solving


def elements_in(operating: Operating, state: str) -> tuple[Element, ...]:
    """The elements of an installation in a state, ways over shields included."""
    installation = operating.installation
    laid, metal_c = installation.states[state], operating.metal_c[state]
    return tuple(elements_of(installation, laid, metal_c, shields_carry=True))


def opened_at_once(
    installation: Installation, whole: Sequence[Element], opens: Sequence[Collection[str]],
    extras: Sequence[tuple[Resistor, ...]],
) -> tuple[Outcome, ...]:
    """The outcome with each of some sets of cores open and a set of resistors added, in one solve: every
    core that is ever open is a contact."""
    ever = {core for cores in opens for core in cores}
    added = {resistor.name: resistor for resistors in extras for resistor in resistors}
    elements = [_contact(e) if isinstance(e, Resistor) and e.name in ever else e for e in whole]
    network = Network.build([*elements, *map(_contact, added.values())], zeros_of(installation))
    if not network.elements:
        return tuple(outcome(installation, ()) for _ in opens)
    names = network.names["switch"]
    values = Values.of(network, len(opens))
    closed = np.array(values.switch_closed)
    for sample, cores in enumerate(opens):
        here = {resistor.name for resistor in extras[sample]}
        for place, name in enumerate(names):
            if name in cores or (name in added and name not in here):
                closed[sample, place] = False
    solution = solve(network, values.replace(switch_closed=closed) if names else values)
    return tuple(read(installation, solution, sample) for sample in range(len(opens)))


def _contact(resistor: Resistor) -> Switch:
    ohm = resistor.ohm_20 * (1.0 + resistor.alpha * (resistor.temperature_c - 20.0))
    return Switch(resistor.name, resistor.a, resistor.b, ohm, closed=True)


def outcome(installation: Installation, elements: Iterable[Element]) -> Outcome:
    """What flows, what arrives and what works in a network."""
    network = Network.build(elements, zeros_of(installation))
    if not network.elements:
        return Outcome(Keyed(), Keyed(), Keyed({node.id: None for node, _ in installation.loads}), ())
    return read(installation, solve(network), 0)


def read(installation: Installation, solution: Solution, sample: int) -> Outcome:
    """One sample of a solution: amps and volts with everything keyed that is asked to run; what does not work is
    switched off for its volts, or has none."""
    asked, settled, network = solution.asked, solution.settled, solution.network
    cores = {core.id for core in installation.cores}
    devices = {node.id for node, _ in installation.protections}
    core_a: dict[str, float] = {}
    device_a = dict.fromkeys(sorted(devices), 0.0)
    for kind in ("resistor", "switch"):
        amps = getattr(asked, f"{kind}_a")[sample]
        for name, current_a in zip(network.names[kind], map(float, amps), strict=True):
            if name in cores:
                core_a[name] = current_a
            elif (holder := node_of(name)) in devices:
                device_a[holder] = max(device_a[holder], abs(current_a))
    load_v = {node.id: _between(asked, sample, node, part) for node, part in installation.loads}
    off = {node_of(name) for name, on in zip(network.names["sink"], settled.sink_on[sample], strict=True) if not on}
    off |= {node_of(name) for name in solution.unfed(sample)}
    working = tuple(
        node.id for node, part in installation.loads
        if node.id not in off and (volts := load_v[node.id]) is not None and volts >= (part.least_v or LEAST_V)
    )
    return Outcome(Keyed(core_a), Keyed(device_a), Keyed(load_v), working)


def _between(answer: Answer, sample: int, node: PlacedNode, part: LoadDevice) -> float | None:
    nets = [f"{node.id}.{pole}" for pole in part.poles]
    return answer.between(sample, nets[0], nets[1]) if set(nets) <= set(answer.network.nets) else None


def follow(changed: Changed, first: Outcome) -> tuple[Outcome, tuple[tuple[str, float], ...]]:
    """What is left in the end of what is at once, and the devices that open, with the longest time of each [s]."""
    now = first
    opened: dict[str, float] = {}
    while (quickest := _quickest(changed.installation, now, opened)) is not None:
        device, time_s = quickest
        opened[device] = time_s
        now = changed.after(opened)
    return now, tuple(opened.items())


def _quickest(installation: Installation, now: Outcome, opened: Iterable[str]) -> tuple[str, float] | None:
    """The device that opens next and the longest time that it may take [s]; None where none opens.

    A fuse is slower in the cold and is given nothing for warmth, another device may be slower when warm: the longer of
    the times in the coldest and the warmest air of its zone counts.
    """
    found = []
    for node, part in installation.protections:
        amps = now.device_a[node.id]
        if node.id not in opened and amps > part.rated_a:
            airs_c = (node.zone.coldest_c, node.zone.warmest_c)
            time_s = max(float(part.openings_s(np.array([amps]), air_c)[1][0]) for air_c in airs_c)
            if math.isfinite(time_s):
                found.append((time_s, node.id))
    return min(found)[::-1] if found else None


def tell_state(operating: Operating, *, engine_on: bool | None = None) -> str | None:
    """The state in which the loads take most, of those with the engine off (on) where there is one; the first by id."""
    installation = operating.installation
    loads = {node.id for node, _ in installation.loads}

    def taken_a(state: str) -> float:
        answer = operating.solutions[state].asked
        pairs = zip(answer.network.names["sink"], answer.sink_a[0], strict=True)
        return sum(float(amps) for name, amps in pairs if node_of(name) in loads)

    states = sorted(operating.solutions)
    wanted = [s for s in states if engine_on is None or installation.states[s].engine_on == engine_on]
    return max(wanted or states, key=lambda state: round(taken_a(state), 6), default=None)
