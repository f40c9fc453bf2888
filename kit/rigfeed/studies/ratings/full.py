"""What converters and chargers take at full output: with flat batteries where the engine is off, with the volts of the
state where it runs."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import replace

from rigfeed.frozen import frozen
from rigfeed.installation import Installation, node_of
from rigfeed.network.elements import LEAST_OHM, Converter, Diode, Element, Resistor, Sink, Source
from rigfeed.network.network import Network
from rigfeed.network.solution import Answer
from rigfeed.network.solve import solve
from rigfeed.parts.interfaces import ConverterDevice
from rigfeed.studies.circuit import elements_of, zeros_of
from rigfeed.studies.operating import Operating
from rigfeed.studies.sections import Sections

GIVES = "@full"  # behind the name of a converter: the side that gives


@frozen
class Full:
    """The current of a device when the converters behind it give all they can: for a moment, and for hours [A]."""

    state: str
    peak_a: float
    lasting_a: float


def full_of(operating: Operating, sections: Sections, flat_share: float) -> dict[str, Full]:
    """By device, the state in which it carries most with all converters at full output.

    `flat_share` is the voltage of a flat battery as a share of its nominal one.
    """
    installation = operating.installation
    found: dict[str, Full] = {}
    outputs = [
        f"{node.id}.{node.part.poles[0]}"
        for node in installation.nodes.values()
        if isinstance(node.part, ConverterDevice)
    ]
    charged = {node_of(net) for output in outputs for net in _behind(sections, output)}
    for name, state in installation.states.items() if outputs else ():
        flat_v = _flat_v(installation, flat_share, charged if state.engine_on else None)
        elements = [*elements_of(installation, state, operating.metal_c[name])]
        for device, full in _of_state(installation, name, elements, flat_v):
            if device not in found or full.peak_a > found[device].peak_a:
                found[device] = full
    return found


def _behind(sections: Sections, output: str) -> Iterator[str]:
    """The poles of other sources that the output of a converter is wired to."""
    reached = sections.reached(output, lambda here, leg: here == output or not sections.is_source(here))
    return (net for net in reached if net != output and sections.is_source(net))


def _flat_v(installation: Installation, share: float, chosen: Collection[str] | None) -> dict[str, float]:
    """The voltage of the batteries when they are flat, of all or of the chosen ones [V]."""
    return {
        node.id: share * float(getattr(part, "nominal_v", installation.system_v))
        for node, part in installation.sources
        if part.stores and (chosen is None or node.id in chosen)
    }


def _of_state(
    installation: Installation, name: str, elements: Sequence[Element], flat_v: Mapping[str, float]
) -> Iterator[tuple[str, Full]]:
    working = [element for element in elements if isinstance(element, Converter)]
    if not working and not flat_v:
        return
    peak = _solved(installation, elements, flat_v, {})
    lasting = _solved(installation, elements, flat_v, _lasting_shares(installation, working))
    for node, _ in installation.protections:
        if node.id in peak.network.names["resistor"]:
            yield node.id, Full(name, abs(peak.current(0, node.id)), abs(lasting.current(0, node.id)))


def _solved(
    installation: Installation, elements: Sequence[Element], flat_v: Mapping[str, float], shares: Mapping[str, float]
) -> Answer:
    """With every converter at its share of its limit; what would lock out takes what it does just before it does."""
    at_edge: set[str] = set()
    while True:
        changed = (e for element in elements for e in _at_full(element, flat_v, shares, at_edge))
        solution = solve(Network.build([*changed], zeros_of(installation)))
        lost = set(solution.no_operating_point(0))
        low = {
            name for name, edge_v in _edges(installation, elements)
            if edge_v > 0.0 and name not in at_edge
            and (name in lost or (solution.asked.across(0, name) or 0.0) < edge_v)
        }
        if not low:
            return solution.asked
        at_edge |= low


def _edges(installation: Installation, elements: Sequence[Element]) -> Iterator[tuple[str, float]]:
    """What converts, and the voltage at its input below which it locks out [V]; a charger that a state puts at full
    output is a load already."""
    converts = {node.id for node in installation.nodes.values() if isinstance(node.part, ConverterDevice)}
    for element in elements:
        if isinstance(element, Converter):
            yield element.name, element.cutoff_v
        elif isinstance(element, Sink) and element.kind == "power" and node_of(element.name) in converts:
            yield element.name, element.min_v


def _lasting_shares(installation: Installation, working: Sequence[Converter]) -> dict[str, float]:
    """What each converter gives for hours, as a share of what it gives for a moment."""
    shares = {}
    for converter in working:
        part = installation.nodes[node_of(converter.name)].part
        rated_a = getattr(part, "rated_a", None)
        shares[converter.name] = min(rated_a / converter.limit_a, 1.0) if rated_a else 1.0
    return shares


def _at_full(
    element: Element, flat_v: Mapping[str, float], shares: Mapping[str, float], at_edge: Collection[str]
) -> Iterator[Element]:
    """A converter as a load of its input and a source of its output; a flat battery, stiff, that takes as it gives."""
    node = node_of(element.name)
    if isinstance(element, Converter):
        limit_a, inner = element.limit_a * shares.get(element.name, 1.0), f"{element.name}{GIVES}"
        watts = element.out_v * limit_a / element.efficiency + element.standby_w
        if element.name in at_edge:
            yield Sink(element.name, element.in_pos, element.in_neg, "current", watts / element.cutoff_v)
        else:
            yield Sink(element.name, element.in_pos, element.in_neg, "power", watts)
        yield Source(inner, inner, element.out_neg, element.out_v, max(element.out_ohm, LEAST_OHM), limit_a)
        yield Diode(f"{inner}.one-way", inner, element.out_pos, 0.0, LEAST_OHM)
    elif isinstance(element, Sink) and element.name in at_edge:
        yield replace(element, kind="current", value=element.value / element.min_v)
    elif node in flat_v and isinstance(element, Source):
        yield replace(element, emf_v=flat_v[node], ohm=LEAST_OHM)
    elif node in flat_v and isinstance(element, Diode):
        yield Resistor(element.name, element.a, element.b, LEAST_OHM)
    else:
        yield element
