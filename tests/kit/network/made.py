"""Networks as vehicles have them, drawn at random from a seed; knows the elements and no part of the solver."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from random import Random

from rigfeed.network.elements import BODY, Converter, Diode, Element, Resistor, Sink, Source, Switch

SHAPES = ("radial", "ring", "two sources", "body return")


@dataclass(frozen=True)
class Made:
    """A network, and the one net of each galvanic island that is to be 0 V."""

    elements: tuple[Element, ...]
    zeros: tuple[str, ...]


def made(seed: int) -> Made:
    """The network of a seed; the shapes take turns, everything else is drawn."""
    random = Random(seed)
    shape = SHAPES[seed % len(SHAPES)]
    elements: list[Element] = [
        Source("start", "start.pos", "start.neg", random.uniform(12.1, 12.9), random.uniform(0.003, 0.02)),
        wire(random, "strap", "start.neg", BODY, 0.0003, 0.003),
    ]
    zeros = ["start.neg"]
    buses = [f"bus{number}" for number in range(random.randint(3, 9))]
    for before, after in zip(["start.pos", *buses], buses, strict=False):
        elements.append(wire(random, f"to-{after}", before, after, 0.0005, 0.01))
    if shape == "ring":
        elements.append(wire(random, "ring", buses[-1], "start.pos", 0.001, 0.01))
    if shape == "two sources" or random.random() < 0.3:
        elements += alternator(random, BODY)
    if random.random() < 0.5 or shape == "two sources":
        elements += second_battery(random, random.choice(buses), BODY)
    if random.random() < 0.4:
        elements.append(Switch("switch", buses[-1], "tail", random.uniform(0.001, 0.01), closed=True))
        buses.append("tail")
    if random.random() < 0.5:
        converter, zero = converted(random, random.choice(buses), BODY)
        elements += converter
        zeros += zero
    returns = [BODY] if shape == "body return" else [BODY, "start.neg"]
    for number in range(random.randint(2, 7)):
        elements += load(random, f"load{number}", random.choice(buses), random.choice(returns))
    return Made(tuple(elements), tuple(zeros))


def wire(random: Random, name: str, a: str, b: str, *between_ohm: float) -> Resistor:
    alpha, temperature_c = random.choice([(0.0, 20.0), (0.00393, random.uniform(-30.0, 105.0))])
    return Resistor(name, a, b, random.uniform(*between_ohm), alpha, temperature_c)


def alternator(random: Random, ground: str) -> list[Element]:
    limit_a = random.choice([math.inf, random.uniform(3.0, 20.0), random.uniform(40.0, 100.0)])
    return [
        Source(
            "alternator", "alternator.pos", ground, random.uniform(13.6, 14.6), random.uniform(0.005, 0.03), limit_a
        ),
        Diode("rectifier", "alternator.pos", "alternator.out", random.uniform(0.0, 0.7), random.uniform(0.001, 0.01)),
        wire(random, "charge-lead", "alternator.out", "start.pos", 0.002, 0.01),
    ]


def second_battery(random: Random, bus: str, ground: str) -> list[Element]:
    emf_v = random.uniform(11.8, 13.3)
    battery = Source("aux", "aux.pos", ground, emf_v, random.uniform(0.003, 0.03))
    link: Element = wire(random, "link", bus, "aux.pos", 0.003, 0.03)
    if random.random() < 0.7:
        link = Diode("splitter", bus, "aux.pos", random.uniform(0.3, 0.8), random.uniform(0.001, 0.01))
    return [battery, link, *load(random, "aux-load", "aux.pos", ground)]


def converted(random: Random, bus: str, ground: str) -> tuple[list[Element], list[str]]:
    isolated = random.random() < 0.4
    negative = "dc.neg" if isolated else ground
    out_v, out_ohm = random.choice([5.0, 13.8, 24.0]), random.uniform(0.01, 0.1)
    charging = random.random() < 0.3
    limit_a = random.uniform(1.0, 6.0) if charging else random.uniform(8.0, 20.0)
    converter = Converter(
        "dc", bus, ground, "dc.pos", negative, out_v, out_ohm, limit_a, random.uniform(0.8, 0.97), random.uniform(0, 2)
    )
    elements: list[Element] = [converter, wire(random, "dc-lead", "dc.pos", "dc.out", 0.002, 0.05)]
    for number in range(random.randint(0, 2)):
        kind = random.choice(["current", "power", "resistance"])
        value = {"current": 3.0, "power": 2.9 * out_v, "resistance": out_v / 3.0}[kind] * random.uniform(0.3, 1.0)
        elements.append(Sink(f"dc-load{number}", "dc.out", negative, kind, value))
    if charging:
        elements.append(Source("dc-battery", "dc.out", negative, out_v * random.uniform(0.9, 1.02), 0.05))
    return elements, ["dc.neg"] if isolated else []


def load(random: Random, name: str, bus: str, ground: str) -> list[Element]:
    kind = random.choice(["current", "power", "power", "resistance"])
    value = {"current": random.uniform(0.2, 12), "power": random.uniform(2, 120), "resistance": random.uniform(1, 40)}
    return [
        wire(random, f"{name}-lead", bus, f"{name}.pos", 0.002, 0.04),
        wire(random, f"{name}-return", f"{name}.neg", ground, 0.002, 0.02),
        Sink(name, f"{name}.pos", f"{name}.neg", kind, value[kind]),
    ]


def scaled(network: Made, factor: float, *, only: str | None = None) -> Made:
    """The network with all loads that draw a current of their own, or one of them, larger by a factor."""
    elements = tuple(
        replace(element, value=element.value * factor)
        if isinstance(element, Sink) and element.kind != "resistance" and only in {None, element.name}
        else element
        for element in network.elements
    )
    return Made(elements, network.zeros)


def without(network: Made, names: set[str]) -> Made:
    """The network without these elements; converters that are named go as well."""
    return Made(tuple(element for element in network.elements if element.name not in names), network.zeros)


def restless(seed: int) -> Made:
    """The network of a seed whose loads, converters and contacts switch at voltages near those that there are."""
    random = Random(seed)
    network = scaled(made(seed), random.uniform(0.5, 3.0))
    elements = [stirred(random, element) for element in network.elements]
    bus = random.choice([e.a for e in elements if isinstance(e, Resistor) and e.name.startswith("to-")])
    low = random.uniform(11.0, 13.0)
    for number in range(random.randint(1, 2)):
        elements += [
            Switch(
                f"relay{number}", bus, f"relay{number}.out", 0.002, closed=random.random() < 0.5,
                sense_pos=random.choice([bus, f"relay{number}.out", "start.pos"]), sense_neg=BODY,
                open_v=low, close_v=low + random.choice([0.0, 0.5]),
            ),
            Sink(f"relayed{number}", f"relay{number}.out", BODY, "power", random.uniform(5.0, 150.0)),
        ]
    return Made(tuple(elements), network.zeros)


def stirred(random: Random, element: Element) -> Element:
    """The element with voltages at which it switches, where it has any."""
    gap_v = random.choice([0.0, 0.5])
    if isinstance(element, Sink):
        least_v = random.uniform(4.0, 5.0) if element.name.startswith("dc-") else random.uniform(9.0, 12.5)
        return replace(element, min_v=least_v, restart_v=random.choice([None, least_v + gap_v]))
    if isinstance(element, Converter):
        least_v = random.uniform(9.0, 12.5)
        return replace(element, cutoff_v=least_v, restart_v=random.choice([None, least_v + gap_v]))
    return element
