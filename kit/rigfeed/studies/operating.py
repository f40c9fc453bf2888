"""The operating study: volts everywhere and amps in everything, in every state of the installation."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping

from rigfeed.errors import Place, RigfeedError, UnknownName
from rigfeed.frozen import frozen
from rigfeed.installation import Installation, LaidConductor, LaidState, node_of
from rigfeed.keyed import Keyed
from rigfeed.network.network import Network
from rigfeed.network.solution import Answer, Solution
from rigfeed.network.solve import solve
from rigfeed.network.values import Values
from rigfeed.parts.interfaces import LoadDevice, SourceDevice, Surroundings
from rigfeed.path import Path
from rigfeed.studies.ampacity import together
from rigfeed.studies.circuit import elements_of, zeros_of
from rigfeed.studies.sections import SECTIONS
from rigfeed.view import Study, View

# The temperature of the metal of a conductor [degC], from its surroundings in a state and the current of each core [A].
MetalTemperature = Callable[[LaidConductor, LaidState, Mapping[str, float]], float]

CLOSE_K = 0.1
NO_HEAT_A = 1e-3
MOST_ROUNDS = 50


class NotSettled(RigfeedError):
    """The temperature of a conductor and its current drive each other on without end."""


def warmed_by_currents(view: View) -> MetalTemperature:
    """The mean along the conductor of its air and of what its current, as if the state lasted for hours, adds to it."""
    installation = view.installation
    counts, system_v = together(installation, view[SECTIONS]), installation.system_v

    def metal_c(conductor: LaidConductor, state: LaidState, current_a: Mapping[str, float]) -> float:
        total_m, amps = conductor.length_m, max((abs(current_a[core.id]) for core in conductor.cores), default=0.0)
        if amps <= NO_HEAT_A or not total_m:
            return conductor.air_c(state.air)
        laid = zip(conductor.stretches, counts[conductor.id], strict=True)
        warm = (
            stretch.length_m
            * conductor.cable.running_c(amps, Surroundings(stretch.zone.air_c(state.air), count, system_v))
            for stretch, count in laid
        )
        return math.fsum(warm) / total_m

    return metal_c


@frozen
class Operating:
    """Volts and amps by state, without the help of feeders' shields (see `Condition.shields_carry`): a set must have
    its volts on the leads that were laid for it.

    Everything is as asked: each load runs in its mode even below its least voltage, since the voltage that it would
    have had is what tells. `settled` is what is left after loads below their minimum have switched off.

    `solutions` has no entry for a state in which nothing conducts; every voltage of it is None. `metal_c` is the
    temperature of the metal by state and core [degC], within `CLOSE_K` of what its current makes of it.
    """

    installation: Installation
    solutions: Keyed[Solution]
    metal_c: Keyed[Keyed[float]]

    @property
    def states(self) -> tuple[str, ...]:
        """The ids of the states."""
        return tuple(self.installation.states)

    def volts(self, state: str, terminal: str) -> float | None:
        """Voltage of a terminal to the 0 V of its island [V]; None where nothing feeds it."""
        answer, (net,) = self._at(state, terminal)
        return answer.volts(0, net) if answer else None

    def between(self, state: str, positive: str, negative: str) -> float | None:
        """Voltage between two terminals [V]; None where nothing feeds them."""
        answer, nets = self._at(state, positive, negative)
        return answer.between(0, *nets) if answer else None

    def across(self, state: str, node: str) -> float | None:
        """Voltage across the poles of a load or a source [V]; None where nothing feeds it.

        Raises
        ------
        UnknownName
            If there is no such state, or no load or source of that name.
        """
        part = self.installation.nodes[node].part if node in self.installation.nodes else None
        if not isinstance(part, LoadDevice | SourceDevice):
            known = [placed.id for placed, _ in (*self.installation.loads, *self.installation.sources)]
            raise UnknownName("load or source", node, known)
        positive, negative = part.poles
        return self.between(state, f"{node}.{positive}", f"{node}.{negative}")

    def current(self, state: str, element: str) -> float:
        """Current from `from` to `to` in a core, or through the element of a node [A].

        Raises
        ------
        UnknownName, NetworkError
            If there is no such state, or no such element in it.
        """
        solution = self._solution(state)
        if solution is None:
            raise UnknownName("element", element, ())
        return solution.asked.current(0, element)

    def without_operating_point(self, state: str) -> tuple[str, ...]:
        """The loads that cannot run in a state, whatever the voltage they accept."""
        solution = self._solution(state)
        return tuple(node_of(name) for name in solution.no_operating_point(0)) if solution else ()

    def _solution(self, state: str) -> Solution | None:
        if state not in self.installation.states:
            raise UnknownName("state", state, self.installation.states)
        return self.solutions.get(state)

    def _at(self, state: str, *terminals: str) -> tuple[Answer | None, list[str]]:
        """The answer, None where it does not reach all of these terminals, and their nets."""
        nets = [self.installation.net(terminal) for terminal in terminals]
        solution = self._solution(state)
        if solution is None or not set(nets) <= set(solution.network.nets):
            return None, nets
        return solution.asked, nets


def operate(view: View, metal: MetalTemperature | None = None) -> Operating:
    """Solve every state, the metal's temperature following its current, until nothing moves by 0.1 K.

    Without a law of its own, `metal` is `warmed_by_currents`.

    Raises
    ------
    NotSettled
        If it still moves after `MOST_ROUNDS`.
    """
    installation, metal = view.installation, metal or warmed_by_currents(view)
    solutions: dict[str, Solution] = {}
    temperatures: dict[str, Keyed[float]] = {}
    for number, (name, state) in enumerate(installation.states.items()):
        view.tell(number / len(installation.states), f"volts and amps, {state.title}")
        solution, temperatures[name] = _settled(installation, state, metal)
        if solution is not None:
            solutions[name] = solution
    return Operating(installation, Keyed(solutions), Keyed(temperatures))


def _settled(
    installation: Installation, state: LaidState, metal: MetalTemperature
) -> tuple[Solution | None, Keyed[float]]:
    """A state with the metal as warm as its current makes it; no solution where there is nothing to solve.

    A load that can run on cold leads and cannot on warm ones would come and go for ever: from when the first is lost
    or comes back no metal cools down again, so that the lower of the volts stand.
    """
    metal_c = _temperatures(installation, state, metal, {core.id: 0.0 for core in installation.cores})
    network = Network.build(elements_of(installation, state, metal_c), zeros_of(installation))
    if not network.elements:
        return None, Keyed(metal_c)
    values, before, lost, held = Values.of(network), metal_c, None, False
    solution: Solution | None = None
    for _ in range(MOST_ROUNDS):
        solution = solve(network, _at_temperatures(values, metal_c), near=solution)
        current_a = {core.id: solution.asked.current(0, core.id) for core in installation.cores}
        before, metal_c = metal_c, _temperatures(installation, state, metal, current_a)
        lost_now = solution.no_operating_point(0)
        held = held or lost not in (None, lost_now)
        lost = lost_now
        if held:
            metal_c = {core: max(warm_c, before[core]) for core, warm_c in metal_c.items()}
        if all(abs(metal_c[core] - before[core]) <= CLOSE_K for core in metal_c):
            return solution, Keyed(before)
    raise _not_settled(state, before, metal_c)


def _at_temperatures(values: Values, metal_c: Mapping[str, float]) -> Values:
    """The values with the cores as warm as that."""
    names = values.network.names["resistor"]
    warm_c = [metal_c.get(name, celsius) for name, celsius in zip(names, values.resistor_temperature_c[0], strict=True)]
    return values.replace(resistor_temperature_c=warm_c)


def _not_settled(state: LaidState, before: Mapping[str, float], after: Mapping[str, float]) -> NotSettled:
    core = max(after, key=lambda id_: (abs(after[id_] - before[id_]), id_))
    return NotSettled(
        f"the temperature of the metal of {core} does not settle in state {state.title}: {before[core]:.1f} degC, then "
        f"{after[core]:.1f} degC", place=Place(path=Path("conductors", node_of(core))),
        remedy="the conductor is far too thin for its current, or the model of its temperature is at fault",
    )


def _temperatures(
    installation: Installation, state: LaidState, metal: MetalTemperature, current_a: Mapping[str, float]
) -> dict[str, float]:
    """The temperature of the metal by core; the cores of one conductor are equally warm."""
    found: dict[str, float] = {}
    for conductor in installation.conductors.values():
        metal_c = metal(conductor, state, current_a)
        found |= {core.id: metal_c for core in conductor.cores}
    return found


OPERATING: Study[Operating] = Study("operating", operate, needs=(SECTIONS,))
