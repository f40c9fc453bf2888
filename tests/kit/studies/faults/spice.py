"""A course of events for ngspice, an independent circuit simulator: the elements of the design, each device with a
contact that opens at a given time. Knows the parts and no part of the fault study but its timeline."""

from __future__ import annotations

import math
import subprocess
from dataclasses import dataclass
from pathlib import Path

from tests.kit.network.spice import terminals, volts, written
from tests.kit.studies.islands import Islands

from rigfeed.network.elements import BODY, LEAST_OHM, Converter, Element, Resistor
from rigfeed.studies.circuit import elements_of, zeros_of
from rigfeed.studies.faults import Timeline
from rigfeed.studies.operating import Operating
from rigfeed.studies.prospective import state_of_case

OPEN_OHM = 1e6
HOLD_OHM = 1e3  # of the input of a converter, whose draw is left out
MOST_LAST_S = 10.0  # of a step that nothing ends


@dataclass(frozen=True)
class Traced:
    """In the middle of each step: the current of each core and each device [A]; over all steps: the energy that the
    sources gave and the heat of everything that warms [J]."""

    core_a: list[dict[str, float]]
    device_a: list[dict[str, float]]
    given_j: float
    heat_j: float


def elements_with(operating: Operating, timeline: Timeline, body_ohm: float) -> list[Element]:
    """The elements of the case and the short; batteries that are off are left out with their one-way elements. In the
    lowest case the short finds each core as warm as the state makes it in which it is warmest."""
    installation = operating.installation
    state = state_of_case(installation, timeline.case)
    air = {core.id: conductor for conductor in installation.conductors.values() for core in conductor.cores}
    warm = {core: conductor.air_c(state.air) for core, conductor in air.items()}
    for name, laid in installation.states.items() if timeline.case == "lowest" else ():
        for core, conductor in air.items():
            rise_k = operating.metal_c[name][core] - conductor.air_c(laid.air)
            warm[core] = max(warm[core], conductor.air_c(state.air) + rise_k)
    loads = {node.id for node, _ in installation.loads} | set(timeline.out)
    elements = list(elements_of(installation, state, warm, case=timeline.case, leave_out=loads))
    short = timeline.short
    ohm = body_ohm if short.to == BODY and timeline.case == "lowest" else LEAST_OHM
    if short.core is None:
        return [*elements, Resistor("@short", short.at, short.to, ohm)]
    core = next(e for e in elements if isinstance(e, Resistor) and e.name == short.core)
    total = core.ohm_20 * (1 + core.alpha * (core.temperature_c - 20))
    kept = [e for e in elements if e != core]
    if short.share in (0.0, 1.0):  # at an end: the whole core is one of the two parts, the other has no length
        part, at = (f"{core.name}@2", core.a) if short.share == 0.0 else (f"{core.name}@1", core.b)
        return [*kept, Resistor(part, core.a, core.b, total), Resistor("@short", at, short.to, ohm)]
    return [
        *kept, Resistor(f"{core.name}@1", core.a, "@middle", total * short.share),
        Resistor(f"{core.name}@2", "@middle", core.b, total * (1 - short.share)),
        Resistor("@short", "@middle", short.to, ohm),
    ]


def traced(operating: Operating, timeline: Timeline, body_ohm: float, ngspice: str, folder: Path) -> Traced:
    """The course as ngspice sees it."""
    installation, elements = operating.installation, elements_with(operating, timeline, body_ohm)
    nets = sorted({net for e in elements for net in terminals(e)})
    zeros = Islands(elements).grounds(zeros_of(installation))
    nodes = {net: "0" if net in zeros else f"n{number}" for number, net in enumerate(nets)}
    opens = {device: step.end_s for step in timeline.steps for device in step.opens}
    devices = {node.id for node, _ in installation.protections}
    middles, end_s = _middles(timeline)
    lines: list[str] = []
    for number, element in enumerate(elements):
        lines += _line(element, number, nodes, opens.get(element.name) if element.name in devices else None, end_s)
    table = folder / "course.txt"
    wanted = sorted(set(nodes.values()) - {"0"})
    deck = [
        "* course", *lines, "Vbent bent 0 1", "Vload load 0 0", *_input_holds(elements, nodes),
        ".options reltol=1e-9 vntol=1e-9 abstol=1e-12 rshunt=1e10 itl1=500 itl4=500", ".control", "set numdgt=15",
        f"tran {end_s / 50!r} {end_s!r}", "set wr_singlescale",
        f"wrdata {table} " + " ".join(f"V({n})" for n in wanted),
        "quit", ".endc", ".end",
    ]
    file = folder / "course.cir"
    file.write_text("\n".join(deck) + "\n", encoding="ascii")
    done = subprocess.run([ngspice, "-b", "-n", str(file)], capture_output=True, text=True, timeout=60, check=False)
    assert table.exists(), done.stdout + done.stderr
    rows = [[float(cell) for cell in line.split()] for line in table.read_text(encoding="ascii").splitlines()]
    table.unlink()
    assert rows[-1][0] >= end_s * 0.999, done.stdout + done.stderr
    return _read(elements, nodes, wanted, rows, middles, opens, devices)


def _line(element: Element, number: int, nodes: dict[str, str], opens_s: float | None, end_s: float) -> list[str]:
    if opens_s is None:
        return written(element, number, nodes)
    assert isinstance(element, Resistor)
    wired, across = f"{nodes[element.a]} {nodes[element.b]}", volts(nodes[element.a], nodes[element.b])
    closed = f"({1 / OPEN_OHM!r}+V(c{number})*{1 / element.ohm_20 - 1 / OPEN_OHM!r})"
    instant = min(opens_s, end_s) * 1e-4
    return [
        f"V{number} c{number} 0 PWL(0 1 {opens_s!r} 1 {opens_s + instant!r} 0)",
        f"B{number} {wired} I={across}*{closed}",
    ]


def _input_holds(elements: list[Element], nodes: dict[str, str]) -> list[str]:
    return [
        f"Rin{number} {nodes[e.in_pos]} {nodes[e.in_neg]} {HOLD_OHM!r}"
        for number, e in enumerate(elements) if isinstance(e, Converter)
    ]


def _middles(timeline: Timeline) -> tuple[list[tuple[float, float]], float]:
    """The middle of each step and how long it lasts [s], and when to stop."""
    found, begin_s = [], 0.0
    longest_s = max([step.end_s for step in timeline.steps if math.isfinite(step.end_s)], default=1.0)
    for step in timeline.steps:
        ends = math.isfinite(step.end_s) and step.end_s > step.begin_s
        length_s = step.end_s - step.begin_s if ends else min(longest_s, MOST_LAST_S)
        found.append((begin_s + length_s / 2, length_s if ends else 0.0))
        begin_s += length_s
    return found, begin_s


def _read(
    elements: list[Element], nodes: dict[str, str], wanted: list[str], rows: list[list[float]],
    middles: list[tuple[float, float]], opens: dict[str, float], devices: set[str],
) -> Traced:
    core_a: list[dict[str, float]] = []
    device_a: list[dict[str, float]] = []
    given_j = heat_j = 0.0
    for middle_s, length_s in middles:
        row = min(rows, key=lambda cells: abs(cells[0] - middle_s))
        volt = {"0": 0.0, **dict(zip(wanted, row[1:], strict=True))}
        amps: dict[str, float] = {}
        for element in elements:
            current_a, power_w = _drawn(element, volt, nodes, row[0], opens)
            amps[element.name] = current_a
            if isinstance(element, Converter):
                heat_j += (volt[nodes[element.in_pos]] - volt[nodes[element.in_neg]]) ** 2 / HOLD_OHM * length_s
            given_j -= min(power_w, 0.0) * length_s
            heat_j += max(power_w, 0.0) * length_s
        core_a.append({name: a for name, a in amps.items() if name not in devices})
        device_a.append({name: a for name, a in amps.items() if name in devices})
    return Traced(core_a, device_a, given_j, heat_j)


def _drawn(
    element: Element, volt: dict[str, float], nodes: dict[str, str], at_s: float, opens: dict[str, float]
) -> tuple[float, float]:
    """The current of an element and what it turns into heat or, below zero, gives."""
    ends = [volt[nodes[net]] for net in terminals(element)]
    u = ends[0] - ends[1]
    if isinstance(element, Resistor):
        ohm = element.ohm_20 * (1 + element.alpha * (element.temperature_c - 20))
        ohm = OPEN_OHM if at_s > opens.get(element.name, math.inf) else ohm
        return u / ohm, u * u / ohm
    if isinstance(element, Converter):
        out_v = ends[2] - ends[3]
        out_a = min(max((element.out_v - out_v) / element.out_ohm, 0.0), element.limit_a)
        return out_a, -out_v * out_a
    if hasattr(element, "emf_v"):
        give_a = min((element.emf_v - u) / element.ohm, element.limit_a)
        return give_a, -u * give_a
    if hasattr(element, "drop_v"):
        pass_a = max((u - element.drop_v) / element.ohm, 0.0)
        return pass_a, u * pass_a
    closed = getattr(element, "closed", False)
    return (u / element.ohm, u * u / element.ohm) if closed else (0.0, 0.0)
