"""What holds for every network, whatever is in it."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from random import Random
from zlib import crc32

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.kit.network.made import made, restless, scaled
from tests.kit.network.physics import lawful, solved_lawfully

from rigfeed.network.elements import Resistor, Sink, Source
from rigfeed.network.network import Network
from rigfeed.network.solve import solve

SEEDS = st.integers(0, 10**9)


@settings(max_examples=100)
@given(seed=SEEDS, factor=st.floats(0.0, 20.0))
def test_every_solution_obeys_the_laws(seed, factor):
    network = scaled(made(seed), factor)
    solved_lawfully(Network.build(network.elements, network.zeros))


@settings(max_examples=50)
@given(seed=SEEDS, exponent=st.floats(-6.0, 3.0))
def test_every_solution_obeys_the_laws_at_any_scale_of_resistance(seed, exponent):
    """From microohms to kiloohms in one network."""
    random = Random(seed)
    network = restless(seed)
    elements = [
        replace(element, ohm_20=10.0 ** random.uniform(-6.0, exponent)) if isinstance(element, Resistor) else element
        for element in network.elements
    ]
    solved_lawfully(Network.build(elements, network.zeros))


def linear(seed):
    """Batteries, resistances, and loads of constant current or resistance: small ones, so that all of them run."""
    random = Random(seed)
    nets = ["0V", *(f"n{number}" for number in range(random.randint(3, 10)))]
    elements = [Source("battery", "n0", "0V", 12.0, random.uniform(0.001, 0.1))]
    for before, after in pairwise(nets):
        elements.append(Resistor(f"to-{after}", before, after, random.uniform(0.5, 5.0)))
    for number in range(random.randint(0, 5)):
        a, b = random.sample(nets, 2)
        elements.append(Resistor(f"more{number}", a, b, random.uniform(0.01, 5.0)))
    elements.append(Sink("lamp", "n0", "0V", "resistance", random.uniform(1.0, 50.0)))
    return elements, [net for net in nets if net != "0V"], random


@settings(max_examples=60)
@given(seed=SEEDS)
def test_currents_superpose(seed):
    elements, nets, random = linear(seed)
    sinks = [Sink(f"load{number}", random.choice(nets), "0V", "current", 1e-3) for number in range(2)]

    def volts(*more):
        return lawful(*elements, *more, zeros=("0V",)).asked.net_v[0]

    bare = volts()
    both, first, second = volts(*sinks), volts(sinks[0]), volts(sinks[1])
    assert solve(Network.build([*elements, *sinks])).no_operating_point(0) == ()
    np.testing.assert_allclose(both - bare, (first - bare) + (second - bare), atol=1e-12)


@settings(max_examples=60)
@given(seed=SEEDS, emf_v=st.floats(1.0, 60.0))
def test_sources_superpose(seed, emf_v):
    elements, nets, random = linear(seed)
    battery, rest = elements[0], elements[1:]
    other = Source("other", random.choice(nets), "0V", emf_v, 0.05)

    def volts(first_v, second_v):
        sources = [replace(battery, emf_v=first_v), replace(other, emf_v=second_v)]
        return lawful(*sources, *rest, zeros=("0V",)).asked.net_v[0]

    np.testing.assert_allclose(volts(12.0, emf_v), volts(12.0, 0.0) + volts(0.0, emf_v), atol=1e-11)


def tree(seed):
    """One battery, leads that branch out and never meet again, and loads at their ends that do not give way."""
    random = Random(seed)
    nets = ["post"]
    elements = [Source("battery", "post", "0V", 12.5, random.uniform(0.003, 0.02))]
    for number in range(random.randint(2, 10)):
        at, net = random.choice(nets), f"n{number}"
        elements.append(Resistor(f"lead{number}", at, net, random.uniform(0.001, 0.02)))
        nets.append(net)
    for number in range(random.randint(1, 6)):
        kind = random.choice(["current", "power"])
        value = {"current": 3.0, "power": 30.0}[kind] * random.uniform(0.1, 1.0)
        elements.append(Sink(f"load{number}", random.choice(nets), "0V", kind, value))
    return elements


@settings(max_examples=100)
@given(seed=SEEDS, longer=st.floats(1.01, 3.0), data=st.data())
def test_a_longer_lead_never_raises_the_voltage_of_a_load(seed, longer, data):
    elements = tree(seed)  # a resistive load takes less behind a longer lead, and so helps the others
    leads = [element for element in elements if isinstance(element, Resistor)]
    lead = data.draw(st.sampled_from(leads))
    more = [replace(e, ohm_20=e.ohm_20 * longer) if e is lead else e for e in elements]
    before, after = lawful(*elements), lawful(*more)
    assert before.no_operating_point(0) == after.no_operating_point(0) == ()
    assert (after.asked.sink_v <= before.asked.sink_v + 1e-12).all()
    far = [element.name for element in elements if isinstance(element, Sink) and element.pos == lead.b]
    for name in far:
        assert after.asked.across(0, name) < before.asked.across(0, name)


@settings(max_examples=60)
@given(seed=SEEDS, data=st.data())
def test_reversing_a_resistor_only_turns_the_sign_of_its_current(seed, data):
    network = made(seed)
    resistors = [element for element in network.elements if isinstance(element, Resistor)]
    chosen = data.draw(st.sampled_from(resistors))
    turned = [replace(e, a=e.b, b=e.a) if e is chosen else e for e in network.elements]
    before = solved_lawfully(Network.build(network.elements, network.zeros))
    after = solved_lawfully(Network.build(turned, network.zeros))
    np.testing.assert_allclose(after.asked.net_v, before.asked.net_v, rtol=1e-10, atol=1e-10)
    for name in before.network.names["resistor"]:
        sign = -1.0 if name == chosen.name else 1.0
        assert after.asked.current(0, name) == pytest.approx(sign * before.asked.current(0, name), rel=1e-9, abs=1e-9)


@settings(max_examples=60)
@given(seed=SEEDS)
def test_another_zero_shifts_all_potentials_and_changes_no_current(seed):
    network = made(seed)
    first = solved_lawfully(Network.build(network.elements, network.zeros))
    second = solved_lawfully(Network.build(network.elements, ("body", *network.zeros)))
    for net in first.network.nets:
        if first.network.zero_of(net) == "start.neg":
            shifted = first.asked.volts(0, net) - first.asked.volts(0, "body")
            assert second.asked.volts(0, net) == pytest.approx(shifted, abs=1e-10)
    np.testing.assert_allclose(second.asked.source_a, first.asked.source_a, rtol=1e-9, atol=1e-9)


@settings(max_examples=60)
@given(seed=SEEDS)
def test_names_change_nothing(seed):
    network = made(seed)
    nets = {net: f"z{crc32(net.encode()) % 997}-{net}" for net in Network.build(network.elements).nets}
    renamed = [
        replace(e, name=e.name[::-1], **{k: nets[v] for k, v in vars(e).items() if k != "name" and v in nets})
        for e in network.elements
    ]
    first = solved_lawfully(Network.build(network.elements, network.zeros))
    second = solved_lawfully(Network.build(renamed, [nets[net] for net in network.zeros]))
    for net, other in nets.items():
        assert second.asked.volts(0, other) == pytest.approx(first.asked.volts(0, net), rel=1e-10, abs=1e-10)
