"""Which root it is: the proof that tells the operating point from the others, and the slow way that leads to it."""

from __future__ import annotations

import math
from itertools import product

import numpy as np
import pytest
from tests.kit.network.made import made

from rigfeed.network.circuit import Circuit
from rigfeed.network.elements import Resistor, Sink, Source
from rigfeed.network.fold import raised
from rigfeed.network.laws import Point, law
from rigfeed.network.network import Network
from rigfeed.network.newton import Task, operates, operating, unloaded
from rigfeed.network.parts import Parts
from rigfeed.network.values import Values

FULL = np.ones((1, 1))


def task_of(network):
    values, circuit = Values.of(network), Circuit.of(network)
    parts = Parts.of(circuit, values.switch_closed, values.converter_on)
    return Task.of(circuit, law(circuit, values, parts, values.switch_closed, values.sink_asked), parts)


def at(task, **volts):
    """A point with these potentials, and 0 V elsewhere."""
    point = Point(np.zeros((1, task.circuit.size)), np.zeros((1, task.circuit.size)))
    for net, volt in volts.items():
        point.volt[0, task.circuit.network.net(net)] = volt
    return point


def both_roots(emf_v, ohm, watt):
    middle, apart = emf_v / 2, math.sqrt(emf_v**2 / 4 - ohm * watt)
    return middle + apart, middle - apart


@pytest.mark.parametrize("watt", [10.0, 200.0, 350.0, 359.999])
def test_of_the_two_roots_of_one_load_only_the_larger_operates(watt):
    task = task_of(
        Network.build([Source("battery", "post", "0V", 12.0, 0.1), Sink("radio", "post", "0V", "power", watt)])
    )
    for volt, good in zip(both_roots(12.0, 0.1, watt), (True, False), strict=True):
        start = at(task, post=volt)
        assert np.abs(task.unbalance(task.at(start, FULL))).max() < 1e-6
        assert bool(operates(task, start, FULL)[1][0]) is good


def test_of_the_eight_roots_of_three_loads_only_one_operates():
    """A stiff battery and three thin leads: nearly three times two roots, each found by Newton from close by."""
    leads = {"a": (0.5, 40.0), "b": (1.0, 30.0), "c": (2.0, 10.0)}
    elements = [Source("battery", "post", "0V", 12.0, 1e-3)]
    for net, (ohm, watt) in leads.items():
        elements += [Resistor(f"lead-{net}", "post", net, ohm), Sink(f"load-{net}", net, "0V", "power", watt)]
    task = task_of(Network.build(elements))
    found = []
    for volts in product(*(both_roots(12.0, *numbers) for numbers in leads.values())):
        start = at(task, post=12.0, **dict(zip(leads, volts, strict=True)))
        root, arrived = operating(task, start, FULL)
        assert arrived[0]
        assert np.abs(root.volt - start.volt).max() < 0.3
        found.append(bool(operates(task, root, FULL)[1][0]))
    assert found == [True] + [False] * 7


@pytest.mark.parametrize("seed", range(30))
def test_raising_the_loads_leads_to_the_same_point(seed):
    drawn = made(seed)
    task = task_of(Network.build(drawn.elements, drawn.zeros))
    start = unloaded(task)
    direct, arrived = operating(task, start, FULL)
    way = raised(task, start, np.zeros(1))
    assert arrived[0]
    assert way.arrived[0]
    np.testing.assert_allclose(way.point.volt, direct.volt, rtol=1e-9, atol=1e-9)


@pytest.mark.parametrize("watt", [361.0, 500.0, 3600.0, 1e5])
@pytest.mark.parametrize("sure", [0.0, 0.5, 0.999, 2.0])
def test_raising_ends_where_the_most_power_is_taken(watt, sure):
    """At half of the EMF a source gives E**2 / (4 R), and not more; from wherever it is begun, or from nothing where
    there is no operating point to begin at."""
    most = 12.0**2 / (4 * 0.1) / watt
    task = task_of(
        Network.build([Source("battery", "post", "0V", 12.0, 0.1), Sink("radio", "post", "0V", "power", watt)])
    )
    way = raised(task, unloaded(task), np.array([sure * most]))
    assert not way.arrived[0]
    assert most - 1e-5 < way.load[0] <= most
    volt = way.point.volt[0, task.circuit.network.net("post")]
    assert volt == pytest.approx(both_roots(12.0, 0.1, watt * way.load[0])[0], rel=1e-6)
