"""The same network for ngspice, an independent circuit simulator; knows the elements and no part of the solver.

Constant-power loads are ``I = P / V`` without any guard: a guard would be a root of its own. Each galvanic island has
one net at ground. What ngspice prints is put back into the element laws before it counts.
"""

from __future__ import annotations

import math
import subprocess
from dataclasses import dataclass
from pathlib import Path

from tests.kit.network.made import Made

from rigfeed.network.elements import Converter, Diode, Element, Resistor, Sink, Source, Switch

CLOSE_V = 2e-8  # ngspice's own: its residual at a net over the sum of the conductances there
SHUNT_OHM = 1e12

Point = tuple[float, dict[str, float]]


class NotConverged(Exception):
    """ngspice has no answer, or one that the element laws do not bear out."""


@dataclass(frozen=True)
class Netlist:
    """The text of a network and the node of each net."""

    lines: tuple[str, ...]
    nodes: dict[str, str]


def netlist(network: Made) -> Netlist:
    """The network with its bends times `V(bent)` and all loads that draw a current of their own times `V(load)`."""
    nets = sorted({net for element in network.elements for net in terminals(element)})
    nodes = {net: "0" if net in network.zeros else f"n{number}" for number, net in enumerate(nets)}
    lines = [line for number, element in enumerate(network.elements) for line in written(element, number, nodes)]
    return Netlist(tuple(lines), nodes)


def terminals(element: Element) -> tuple[str, ...]:
    match element:
        case Resistor() | Diode() | Switch():
            return element.a, element.b
        case Source() | Sink():
            return element.pos, element.neg
        case Converter():
            return element.in_pos, element.in_neg, element.out_pos, element.out_neg


def written(element: Element, number: int, nodes: dict[str, str]) -> list[str]:  # noqa: PLR0911  (one per kind)
    ends = [nodes[net] for net in terminals(element)]
    wired, across = " ".join(ends[:2]), volts(*ends[:2])
    match element:
        case Resistor():
            hot = element.ohm_20 * (1 + element.alpha * (element.temperature_c - 20))
            return [f"R{number} {wired} {hot!r}"]
        case Source() if element.limit_a == math.inf:
            return [
                f"I{number} {ends[1]} {ends[0]} {element.emf_v / element.ohm!r}",
                f"R{number} {wired} {element.ohm!r}",
            ]
        case Source():
            linear = f"({element.emf_v!r}-{across})/{element.ohm!r}"
            return [f"B{number} {ends[1]} {ends[0]} I={bent(linear, -math.inf, element.limit_a)}"]
        case Diode():
            linear = f"({across}-{element.drop_v!r})/{element.ohm!r}"
            return [f"B{number} {wired} I={bent(linear, 0.0, math.inf)}"]
        case Switch():
            return [f"R{number} {wired} {element.ohm!r}"] if element.closed else []
        case Sink():
            law = {"current": f"{element.value!r}", "power": f"{element.value!r}/{across}"}.get(element.kind)
            return [f"B{number} {wired} I=V(load)*{law}" if law else f"R{number} {wired} {element.value!r}"]
        case Converter():
            out = volts(*ends[2:])
            linear = f"({element.out_v!r}-{out})/{element.out_ohm!r}"
            given = bent(linear, 0.0, element.limit_a)
            taken = f"(max({given}*{out},0)/{element.efficiency!r}+{element.standby_w!r})/{across}"
            return [f"B{number} {ends[3]} {ends[2]} I={given}", f"B{number}i {wired} I=V(load)*{taken}"]


def bent(linear: str, low: float, high: float) -> str:
    """A current between two bounds; straight at V(bent) = 0, as it is at 1."""
    upper = linear if high == math.inf else f"({linear}<{high!r}?{linear}:{high!r})"
    both = upper if low == -math.inf else f"({linear}<{low!r}?{low!r}:{upper})"
    return f"(V(bent)>0.999999?{both}:(1-V(bent))*{linear}+V(bent)*{both})"


def volts(a: str, b: str) -> str:
    parts = [f"{sign}V({node})" for sign, node in (("", a), ("-", b)) if node != "0"]
    return "(" + "".join(parts or ["0"]) + ")"


def operating(network: Made, ngspice: str, folder: Path, *, shunt_ohm: float = SHUNT_OHM) -> dict[str, float]:
    """The potential of every net at the whole of all loads, with a leak of `shunt_ohm` from each to ground.

    Raises
    ------
    NotConverged
        If ngspice stops on the way there, or prints values that break the element laws.
    """
    trouble = ""
    for steps in (5, 40, 320):
        points, trouble = raised(network, steps, ngspice, folder, shunt_ohm)
        if points and points[-1][0] == 1.0:
            return points[-1][1]
    raise NotConverged(trouble)


def raised(
    network: Made, steps: int, ngspice: str, folder: Path, shunt_ohm: float = SHUNT_OHM
) -> tuple[list[Point], str]:
    """Shares of all loads from 0 upwards and the potentials at each, and the last reason why one is missing.

    First the network without loads is bent from straight characteristics into its own, then its loads are raised; each
    point starts from the one before. A point counts if it obeys the element laws and continues the one before: past
    the fold the simulator may stop, print what it had, or land on a root with voltages that no load can have, and
    near the bend of a characteristic it sometimes takes one last step across it for an answer.
    """
    text = netlist(network)
    wanted = sorted(set(text.nodes.values()) - {"0"})
    table = folder / "sweep.txt"
    table.unlink(missing_ok=True)
    commands = [
        f"dc Vk 0 {2 * steps} 1",
        "set wr_singlescale",
        f"wrdata {table} " + " ".join(f"V({n})" for n in wanted),
    ]
    output = run(text, steps, commands, ngspice, folder, shunt_ohm)
    points: list[Point] = []
    trouble = output
    for line in table.read_text(encoding="ascii").splitlines() if table.exists() else ():
        count, *numbers = (float(number) for number in line.split())
        if len(numbers) != len(wanted):
            raise NotConverged(f"{len(numbers)} values for {len(wanted)} nodes:\n{output}")
        found = dict(zip(wanted, numbers, strict=True))
        here = {net: found.get(node, 0.0) for net, node in text.nodes.items()}
        share = (round(count) - steps) / steps
        if share < 0:
            continue
        try:
            refuse_unbalanced(network, here, share, shunt_ohm)
        except NotConverged as unbalance:
            trouble = f"at {share} of the loads: {unbalance}"
            continue
        before = points[-1][1] if points else here
        if any(abs(here[net] - before[net]) > 0.3 * (1.0 + abs(before[net])) for net in here):
            return points, f"at {share} of the loads the voltages jump"
        points.append((share, here))
    return points, trouble


def run(text: Netlist, steps: int, commands: list[str], ngspice: str, folder: Path, shunt_ohm: float) -> str:
    deck = [
        "* network",
        *text.lines,
        "Vk k 0 0",
        f"Bbent bent 0 V=V(k)<{steps}?V(k)/{steps}:1",
        f"Bload load 0 V=V(k)>{steps}?V(k)/{steps}-1:0",
        f".options reltol=1e-9 vntol=1e-9 abstol=1e-12 rshunt={shunt_ohm!r} itl1=500 itl2=500",
        ".control",
        "set numdgt=15",
        *commands,
        "quit",
        ".endc",
        ".end",
    ]
    file = folder / "network.cir"
    file.write_text("\n".join(deck) + "\n", encoding="ascii")
    done = subprocess.run([ngspice, "-b", "-n", str(file)], capture_output=True, text=True, timeout=60, check=False)
    return done.stdout + done.stderr


def refuse_unbalanced(network: Made, volt: dict[str, float], load: float, shunt_ohm: float) -> None:
    """Put potentials back into the element laws: what is left over at a net, as a voltage, is rounding or an error."""
    for element in network.elements:
        if isinstance(element, Sink) and element.kind != "resistance" and not volt[element.pos] > volt[element.neg]:
            raise NotConverged(f"{element.name} draws its current from a voltage below zero")
    left = {net: net_v / shunt_ohm for net, net_v in volt.items()}
    steep: dict[str, float] = dict.fromkeys(volt, 0.0)
    for element in network.elements:
        for a, b, current_a, siemens in drawn(element, volt, load):
            left[a] += current_a
            left[b] -= current_a
            steep[a] += siemens
            steep[b] += siemens
    for net, current_a in left.items():
        if not abs(current_a) <= CLOSE_V * (1.0 + steep[net]) and net not in network.zeros:
            raise NotConverged(f"{current_a:g} A left over at {net}, where 1 V makes {steep[net]:g} A")


def drawn(  # noqa: PLR0911  (one per kind)
    element: Element, volt: dict[str, float], load: float
) -> list[tuple[str, str, float, float]]:
    """The branches of an element: from, to, current, and at most how fast the current changes with the voltage."""
    ends = terminals(element)
    a, b = ends[:2]
    u = volt[a] - volt[b]
    match element:
        case Resistor():
            ohm = element.ohm_20 * (1 + element.alpha * (element.temperature_c - 20))
            return [(a, b, u / ohm, 1 / ohm)]
        case Source():
            return [(a, b, -min((element.emf_v - u) / element.ohm, element.limit_a), 1 / element.ohm)]
        case Diode():
            return [(a, b, max((u - element.drop_v) / element.ohm, 0.0), 1 / element.ohm)]
        case Switch():
            return [(a, b, u / element.ohm, 1 / element.ohm)] if element.closed else []
        case Sink(kind="resistance"):
            return [(a, b, u / element.value, 1 / element.value)]
        case Sink():
            amp = element.value / (u if element.kind == "power" else 1.0) if element.value else 0.0
            return [(a, b, load * amp, abs(amp / u))]
        case Converter():
            c, d = ends[2:]
            out_v = volt[c] - volt[d]
            out_a = min(max((element.out_v - out_v) / element.out_ohm, 0.0), element.limit_a)
            in_a = load * (max(out_v * out_a, 0.0) / element.efficiency + element.standby_w) / u
            steep = out_v / element.out_ohm / element.efficiency / abs(u)
            return [(c, d, -out_a, 1 / element.out_ohm), (a, b, in_a, abs(in_a / u) + steep)]
