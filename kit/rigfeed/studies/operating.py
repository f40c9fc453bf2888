"""The operating study: volts everywhere and amps in everything, in every state of the installation."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from rigfeed.installation import Installation, LaidConductor, LaidState
from rigfeed.keyed import Keyed
from rigfeed.network.network import Network
from rigfeed.network.solve import Answer, Solution, solve
from rigfeed.network.values import Values
from rigfeed.studies.circuit import elements_of, zeros_of
from rigfeed.view import Study, View

# The temperature of the metal of a conductor [degC], from its surroundings in a state and the currents in its cores [A].
MetalTemperature = Callable[[LaidConductor, LaidState, Mapping[str, float]], float]

CLOSE_K = 0.1
MOST_ROUNDS = 50


def as_warm_as_its_air(conductor: LaidConductor, state: LaidState, current_a: Mapping[str, float]) -> float:
    """The temperature of the air along the conductor: right for small currents, low for large ones."""
    return conductor.air_c(state.air)


@dataclass(frozen=True)
class Operating:
    """Volts and amps by state, without the help of feeders' shields (see `Condition.shields_carry`): a set must have
    its volts on the leads that were laid for it.

    Everything is as asked: each load runs in its mode even below its least voltage, since the voltage that it would
    have had is what tells. `settled` is what is left after loads below their minimum have switched off.
    """

    installation: Installation
    solutions: Keyed[Solution]
    metal_c: Keyed[Keyed[float]]

    @property
    def states(self) -> tuple[str, ...]:
        """The ids of the states."""
        return tuple(self.solutions)

    def volts(self, state: str, terminal: str) -> float | None:
        """Voltage of a terminal to the 0 V of its island [V]; None where nothing feeds it."""
        return self._asked(state).volts(0, self.installation.net(terminal))

    def between(self, state: str, positive: str, negative: str) -> float | None:
        """Voltage between two terminals [V]; None where nothing feeds them."""
        net = self.installation.net
        return self._asked(state).between(0, net(positive), net(negative))

    def across(self, state: str, node: str) -> float | None:
        """Voltage across the poles of a load or a source [V]."""
        positive, negative = self.installation.nodes[node].part.poles  # type: ignore[union-attr]
        return self.between(state, f"{node}.{positive}", f"{node}.{negative}")

    def current(self, state: str, element: str) -> float:
        """Current from `from` to `to` in a core, or through the element of a node [A]."""
        return self._asked(state).current(0, element)

    def without_operating_point(self, state: str) -> tuple[str, ...]:
        """The loads that cannot run in a state, whatever the voltage they accept."""
        return tuple(name.split(".")[0] for name in self.solutions[state].no_operating_point(0))

    def _asked(self, state: str) -> Answer:
        return self.solutions[state].asked


def operate(view: View, metal: MetalTemperature = as_warm_as_its_air) -> Operating:
    """Solve every state; with the metal's temperature following its current, iterate until nothing moves by 0.1 K."""
    installation = view.installation
    solutions, temperatures = {}, {}
    for number, (name, state) in enumerate(installation.states.items()):
        view.tell(number / len(installation.states), f"volts and amps, {state.title}")
        solutions[name], temperatures[name] = _settled(installation, state, metal)
    return Operating(installation, Keyed(solutions), Keyed(temperatures))


def _settled(installation: Installation, state: LaidState, metal: MetalTemperature) -> tuple[Solution, Keyed[float]]:
    current_a: dict[str, float] = {core.id: 0.0 for core in installation.cores}
    metal_c = _temperatures(installation, state, metal, current_a)
    for _ in range(MOST_ROUNDS):
        network = Network.build(elements_of(installation, state, metal_c), zeros_of(installation))
        solution = solve(network, Values.of(network))
        current_a = {core.id: solution.asked.current(0, core.id) for core in installation.cores}
        before, metal_c = metal_c, _temperatures(installation, state, metal, current_a)
        if all(abs(metal_c[core] - before[core]) <= CLOSE_K for core in metal_c):
            break
    return solution, Keyed(before)


def _temperatures(
    installation: Installation, state: LaidState, metal: MetalTemperature, current_a: Mapping[str, float]
) -> dict[str, float]:
    return {
        core.id: metal(conductor, state, current_a)
        for conductor in installation.conductors.values()
        for core in conductor.cores
    }


OPERATING: Study[Operating] = Study("operating", operate)
