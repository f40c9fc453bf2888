"""An installation in one state as network elements: parts compile themselves, a core and its joints are one."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import replace

from rigfeed.installation import Installation, LaidCore, LaidState, PlacedNode
from rigfeed.network.elements import LEAST_OHM, Element, Resistor
from rigfeed.parts.interfaces import Case, Condition, placed


def elements_of(
    installation: Installation, state: LaidState, temperature_c: Mapping[str, float], *, case: Case = "operating",
    leave_out: Collection[str] = (), shields_carry: bool = False,
) -> Iterator[Element]:
    """All elements; `temperature_c` gives the temperature of the metal by core id.

    `case` and `shields_carry` are what every part is told (see `Condition`); the nodes of `leave_out` are left out.
    """
    for node in installation.nodes.values():
        if node.part is not None and node.id not in leave_out:
            condition = replace(condition_of(node, state, case), shields_carry=shields_carry)
            for element in node.part.elements(node.settings, condition):
                yield placed(element, node.id)
    for conductor in installation.conductors.values():
        for core in conductor.cores:
            yield _core(core, conductor.length_m, temperature_c[core.id])


def condition_of(node: PlacedNode, state: LaidState, case: Case = "operating") -> Condition:
    """What the part of a node is told about a state."""
    return Condition(
        mode=state.modes.get(node.id, ""), charge=state.charge.get(node.id), temperature_c=node.zone.air_c(state.air),
        engine_on=state.engine_on, case=case,
    )


def _core(core: LaidCore, length_m: float, metal_c: float) -> Resistor:
    """The metal of a core and the joints at its ends in a row; the temperature is that of the metal alone."""
    metal_ohm = max(core.core.ohm_per_m_20 * length_m, LEAST_OHM)
    ohm = metal_ohm + core.start.contact_ohm + core.end.contact_ohm
    return Resistor(core.id, core.start.net, core.end.net, ohm, core.core.alpha_per_k * metal_ohm / ohm, metal_c)


def zeros_of(installation: Installation) -> tuple[str, ...]:
    """Where 0 V is wanted: the negative post of the first source (batteries first, by id) of each galvanic island."""
    return tuple(f"{node.id}.{part.poles[1]}" for node, part in installation.sources)
