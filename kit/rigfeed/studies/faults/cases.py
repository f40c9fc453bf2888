"""The network of a case as arrays: everything that conducts in a short, with the numbers of that case.

Loads are left out, and so is what converters draw at their inputs. A conductor is one branch with its joints, so that
the network has hardly more nets than there are terminals. Relays stay as they stood before the short.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from types import MappingProxyType

import numpy as np

from rigfeed.frozen import frozen
from rigfeed.installation import Air, Installation, LaidState
from rigfeed.network.elements import LEAST_OHM, Converter, Diode, Element, Resistor, Sink, Source, Switch
from rigfeed.network.network import Network
from rigfeed.network.ranges import Flags, Floats, Places
from rigfeed.network.solve import solve
from rigfeed.parts.interfaces import Case, placed
from rigfeed.studies.circuit import condition_of, zeros_of
from rigfeed.studies.prospective import state_of_case

OPEN_S = 1e-6  # of an open device or contact: microamperes beside the amperes of a fault
INPUT_S = 1e-3  # of the input of a converter, whose draw is left out: it holds the input where nothing else does
INPUT = "@in"  # behind the name of a converter: the branch of its input
NO_RISE: Mapping[str, float] = MappingProxyType({})
CASES: tuple[Case, ...] = ("highest", "lowest")


@frozen(eq=False)
class Branches:
    """Two-terminal branches, each ``i = clip(g * (u - e), low, high)`` from `a` to `b`, and what they mean.

    Attributes
    ----------
    nets : tuple of str
        By name; `grounded` tells which are 0 V.
    names : tuple of str
        The element that a branch stands for; a core has its own id.
    cores, sources : array of int
        The branches of the cores (in the order of `core_ids`), and those that feed (`source_ids` names their nodes).
    guards : array of int
        The branches that a device opens; `device` gives the place of each one's device in `device_ids`.
    units : array of int
        The branches of batteries that a management unit may disconnect, at `unit_a` [A].
    inputs, outputs : array of int
        The two branches of each converter: it gives nothing once its input is dead.
    """

    case: Case
    air: Air
    nets: tuple[str, ...]
    grounded: Flags
    names: tuple[str, ...]
    a: Places
    b: Places
    g: Floats
    e: Floats
    low: Floats
    high: Floats
    core_ids: tuple[str, ...]
    cores: Places
    device_ids: tuple[str, ...]
    guards: Places
    device: Places
    source_ids: tuple[str, ...]
    sources: Places
    units: Places
    unit_a: Floats
    inputs: Places
    outputs: Places

    @property
    def bends(self) -> Places:
        """The branches that are limited or one-way."""
        return np.flatnonzero(np.isfinite(self.low) | np.isfinite(self.high))

    @property
    def islands(self) -> Places:
        """By net, the number of what hangs together: 0 V of one island means nothing to another."""
        island, before = np.arange(len(self.nets)), None
        while before is None or (island != before).any():
            before = island.copy()
            lower = np.minimum(island[self.a], island[self.b])
            np.minimum.at(island, self.a, lower)
            np.minimum.at(island, self.b, lower)
            island = island[island]
        return island


def branches_of(installation: Installation, case: Case, warmer_k: Mapping[str, float] = NO_RISE) -> Branches:
    """The network of a case; `warmer_k` is how much warmer than its air a core is when the short finds it, by core."""
    state = state_of_case(installation, case)
    elements = [*_parts(installation, state, case)]
    network = Network.build((*elements, *_cores(installation, state, warmer_k)), zeros_of(installation))
    closed = _closed(network)
    found = [branch for element in network.elements for branch in _branch(element, closed)]
    return _arranged(installation, network, case, state.air, found)


def _parts(installation: Installation, state: LaidState, case: Case) -> Iterator[Element]:
    """The elements of everything but loads."""
    loads = {node.id for node, _ in installation.loads}
    for node in installation.nodes.values():
        if node.part is not None and node.id not in loads:
            elements = node.part.elements(node.settings, condition_of(node, state, case))
            yield from (placed(element, node.id) for element in elements)


def _cores(installation: Installation, state: LaidState, warmer_k: Mapping[str, float]) -> Iterator[Resistor]:
    for conductor in installation.conductors.values():
        air_c = conductor.air_c(state.air)
        for core in conductor.cores:
            if core.start.net != core.end.net:
                warm = 1.0 + core.core.alpha_per_k * (air_c + warmer_k.get(core.id, 0.0) - 20.0)
                ohm = core.core.ohm_per_m_20 * conductor.length_m * warm
                joints_ohm = core.start.contact_ohm + core.end.contact_ohm
                yield Resistor(core.id, core.start.net, core.end.net, max(ohm + joints_ohm, LEAST_OHM))


def _closed(network: Network) -> Mapping[str, bool]:
    """How every contact stood before the short."""
    switches = network.of_kind("switch")
    if all(isinstance(switch, Switch) and switch.sense_pos is None for switch in switches):
        return {switch.name: isinstance(switch, Switch) and switch.closed for switch in switches}
    flags = solve(network).asked.switch_closed[0]
    return dict(zip(network.names["switch"], map(bool, flags), strict=True))


# name, from, to, siemens, volts, least and most amperes
_Branch = tuple[str, str, str, float, float, float, float]


def _branch(element: Element, closed: Mapping[str, bool]) -> Iterator[_Branch]:
    inf = np.inf
    match element:
        case Resistor():
            ohm = element.ohm_20 * (1.0 + element.alpha * (element.temperature_c - 20.0))
            yield element.name, element.a, element.b, 1.0 / ohm, 0.0, -inf, inf
        case Source():
            yield element.name, element.pos, element.neg, 1.0 / element.ohm, element.emf_v, -element.limit_a, inf
        case Diode():
            yield element.name, element.a, element.b, 1.0 / element.ohm, element.drop_v, 0.0, inf
        case Switch():
            siemens = 1.0 / element.ohm if closed[element.name] else OPEN_S
            yield element.name, element.a, element.b, siemens, 0.0, -inf, inf
        case Converter():
            give_s = 1.0 / max(element.out_ohm, LEAST_OHM)
            yield element.name, element.out_pos, element.out_neg, give_s, element.out_v, -element.limit_a, 0.0
            yield element.name + INPUT, element.in_pos, element.in_neg, INPUT_S, 0.0, -inf, inf
        case Sink():
            return  # of a part that is no load: left out as the loads are


def _arranged(
    installation: Installation, network: Network, case: Case, air: Air, found: Sequence[_Branch]
) -> Branches:
    names = tuple(branch[0] for branch in found)
    place = {name: number for number, name in enumerate(names)}
    net = {name: number for number, name in enumerate(network.nets)}
    grounded = np.zeros(len(network.nets), dtype=np.bool_)
    grounded[network.zero] = True
    core_ids = tuple(core.id for core in installation.cores if core.id in place)
    guards = list(_guards(installation, found))
    feeding = {element.name for element in network.elements if isinstance(element, Source | Converter)}
    sources = [number for number, name in enumerate(names) if name in feeding]
    units = {node.id: part.disconnects_a for node, part in installation.sources if part.disconnects_a is not None}
    converters = [element.name for element in network.of_kind("converter")]
    unit_places = [number for number in sources if names[number].partition(".")[0] in units]
    numbers = np.array([branch[3:] for branch in found], dtype=np.float64).reshape(len(found), 4)
    return Branches(
        case=case, air=air, nets=network.nets, grounded=grounded, names=names,
        a=_places(net[branch[1]] for branch in found), b=_places(net[branch[2]] for branch in found),
        g=numbers[:, 0], e=numbers[:, 1], low=numbers[:, 2], high=numbers[:, 3],
        core_ids=core_ids, cores=_places(place[id_] for id_ in core_ids),
        device_ids=tuple(node.id for node, _ in installation.protections),
        guards=_places(branch for branch, _ in guards), device=_places(device for _, device in guards),
        source_ids=tuple(names[number].partition(".")[0] for number in sources), sources=_places(sources),
        units=_places(unit_places),
        unit_a=np.array([units[names[number].partition(".")[0]] for number in unit_places], dtype=np.float64),
        inputs=_places(place[name + INPUT] for name in converters),
        outputs=_places(place[name] for name in converters),
    )


def _guards(installation: Installation, found: Sequence[_Branch]) -> Iterator[tuple[int, int]]:
    """Each branch between the two terminals of a protective device, with the place of the device."""
    pairs: dict[frozenset[str], int] = {}
    protections = installation.protections
    for number, (node, part) in enumerate(protections):
        for pair in part.through:
            pairs[frozenset(f"{node.id}.{terminal}" for terminal in pair)] = number
    for place, branch in enumerate(found):
        device = pairs.get(frozenset(branch[1:3]))
        if device is not None and branch[0].partition(".")[0] == protections[device][0].id:
            yield place, device


def _places(numbers: Iterable[int]) -> Places:
    return np.array([*numbers], dtype=np.intp)
