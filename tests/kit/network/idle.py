"""Networks drawn at random from a seed in which one-way elements alone touch many nets; at rest, or with few loads."""

from __future__ import annotations

import math
from random import Random

from tests.kit.network.made import Made

from rigfeed.network.elements import BODY, Converter, Diode, Element, Resistor, Sink, Source

DROPS_V = (0.0, 0.3, 0.5, 0.7)


def grounded(seed: int) -> Made:
    """Every source and converter has its negative on the body, so that no net can be above the highest of them."""
    random = Random(seed)
    nets = [f"n{number}" for number in range(random.randint(2, 7))]
    elements: list[Element] = [Source("first", nets[0], BODY, random.uniform(11.0, 13.0), 0.01)]
    for number in range(random.randint(0, 3)):
        elements.append(source(random, f"source{number}", random.choice(nets), BODY))
    for number in range(random.randint(0, 2)):
        if random.random() < 0.7:
            elements.append(converter(random, f"dc{number}", nets[0], random.choice(nets[1:]), BODY))
    return Made((*elements, *links(random, nets)), (BODY,))


def adrift(seed: int) -> Made:
    """Negatives anywhere, so that whole batteries and converters hang between one-way elements."""
    random = Random(seed)
    nets = [BODY, *(f"n{number}" for number in range(random.randint(3, 8)))]
    elements: list[Element] = [Source("first", nets[1], BODY, random.uniform(11.0, 13.0), 0.01)]
    for number in range(random.randint(0, 3)):
        elements.append(source(random, f"source{number}", *random.sample(nets, 2)))
    for number in range(random.randint(0, 2)):
        elements.append(converter(random, f"dc{number}", nets[1], *random.sample(nets, 2)))
    return Made((*elements, *links(random, nets)), (BODY,))


def loaded(seed: int) -> Made:
    """A grounded one with one to three loads, from next to nothing to more than it can give."""
    network = grounded(seed)
    random = Random(f"loads of {seed}")
    values = {"current": (0.001, 0.1, 3.0, 10.0), "power": (0.01, 3.0, 30.0), "resistance": (2.0, 100.0, 10_000.0)}
    nets = sorted({e.pos if isinstance(e, Source) else e.b for e in network.elements if not isinstance(e, Converter)})
    sinks = []
    for number in range(random.randint(1, 3)):
        kind = random.choice(list(values))
        sinks.append(Sink(f"load{number}", random.choice(nets), BODY, kind, random.choice(values[kind])))
    return Made((*network.elements, *sinks), network.zeros)


def open_circuit_v(network: Made) -> list[float]:
    """What each source and converter makes of itself."""
    sources = [element.emf_v for element in network.elements if isinstance(element, Source)]
    return sources + [element.out_v for element in network.elements if isinstance(element, Converter)]


def source(random: Random, name: str, pos: str, neg: str) -> Source:
    limit_a = random.choice([math.inf, math.inf, random.uniform(1.0, 30.0)])
    return Source(name, pos, neg, random.choice([12.8, random.uniform(9.0, 30.0)]), random.uniform(0.002, 0.1), limit_a)


def converter(random: Random, name: str, bus: str, pos: str, neg: str) -> Converter:
    out_v = random.choice([14.4, random.uniform(5.0, 30.0)])
    return Converter(name, bus, BODY, pos, neg, out_v, random.uniform(0.002, 0.1), random.uniform(1.0, 20.0), 0.9)


def links(random: Random, nets: list[str]) -> list[Element]:
    elements: list[Element] = []
    for number in range(random.randint(1, 2 * len(nets))):
        a, b = random.sample(nets, 2)
        if random.random() < 0.85:
            elements.append(Diode(f"diode{number}", a, b, random.choice(DROPS_V), random.uniform(0.001, 0.05)))
        else:
            elements.append(Resistor(f"link{number}", a, b, random.uniform(0.001, 2.0)))
    return elements
