"""The integers of a network: sorted nets, islands, 0 V, and what no network can be made of."""

from __future__ import annotations

import math
from dataclasses import replace
from random import Random

import numpy as np
import pytest
from tests.kit.network.made import made, restless

from rigfeed.errors import RigfeedError
from rigfeed.network.elements import LEAST_OHM, Converter, Diode, Resistor, Sink, Source, Switch
from rigfeed.network.errors import NetworkError
from rigfeed.network.network import Network
from rigfeed.network.solve import solve

CONVERTER = Converter("dc", "in", "in-", "out", "out-", 24.0, 0.01, 10.0, 0.9)
TWO_ISLANDS = [
    Source("b", "in", "in-", 12.0, 0.1),
    Source("a", "lead", "lead-", 12.0, 0.1),
    Resistor("link", "lead", "in", 0.1),
    Resistor("strap", "lead-", "in-", 0.1),
    CONVERTER,
    Sink("radio", "out", "far", "power", 10.0),
    Resistor("return", "far", "out-", 0.1),
]


def test_nets_and_elements_are_sorted_by_name():
    network = Network.build(TWO_ISLANDS)
    assert network.nets == ("far", "in", "in-", "lead", "lead-", "out", "out-")
    assert network.names["source"] == ("a", "b")
    assert [network.nets[net] for net in network.ends["source"][0]] == ["lead", "lead-"]
    assert [network.nets[net] for net in network.ends["converter"][0]] == ["in", "in-", "out", "out-"]


def test_a_converter_parts_two_islands():
    network = Network.build(TWO_ISLANDS)
    island = dict(zip(network.nets, network.island.tolist(), strict=True))
    assert island["in"] == island["lead-"] != island["out"] == island["far"]


@pytest.mark.parametrize("join", [Switch("j", "in-", "out-", 0.1, False), Diode("j", "in-", "out-", 0.5, 0.1)])
def test_open_contacts_and_diodes_join_an_island(join):
    assert len(Network.build([*TWO_ISLANDS, join]).zero) == 1


def test_zero_is_the_negative_of_the_first_source_by_name_else_the_first_net():
    network = Network.build(TWO_ISLANDS)
    assert network.zero_of("in") == "lead-"
    assert network.zero_of("out") == "far"


def test_zero_is_the_first_wanted_net_of_the_island():
    network = Network.build(TWO_ISLANDS, zeros=("nowhere", "out-", "in", "far", "in-"))
    assert network.zero_of("lead") == "in"
    assert network.zero_of("far") == "out-"
    assert solve(network).volts(0, "in") == 0.0


@pytest.mark.parametrize("seed", range(12))
def test_the_order_of_elements_changes_nothing_to_the_last_bit(seed):
    network = (made, restless)[seed % 2](seed)
    shuffled = list(network.elements)
    Random(seed).shuffle(shuffled)
    first = solve(Network.build(network.elements, network.zeros))
    second = solve(Network.build(shuffled, network.zeros))
    for answer, other in ((first.asked, second.asked), (first.settled, second.settled)):
        for name, array in vars(answer).items():
            if name != "network":
                np.testing.assert_array_equal(array, getattr(other, name), err_msg=name)
    assert first.hunting(0) == second.hunting(0)


def test_arrays_of_the_topology_cannot_be_written_to():
    network = Network.build(TWO_ISLANDS)
    for array in (network.ends["sink"], network.island, network.zero, network.rank, network.sense):
        with pytest.raises(ValueError, match="read-only"):
            array[...] = 0


GOOD = {
    "r": Resistor("r", "a", "b", 0.1),
    "s": Source("s", "a", "b", 12.0, 0.1),
    "k": Sink("k", "a", "b", "power", 10.0, min_v=9.0),
    "d": Diode("d", "a", "b", 0.5, 0.1),
    "w": Switch("w", "a", "b", 0.1, True, "a", "b", 13.0, 12.0),
    "dc": CONVERTER,
}
BAD = [
    ("r", "ohm_20", LEAST_OHM / 2), ("r", "ohm_20", -1.0), ("r", "ohm_20", math.nan), ("r", "ohm_20", math.inf),
    ("r", "alpha", 0.393), ("r", "alpha", math.nan), ("r", "temperature_c", -300.0), ("r", "temperature_c", math.inf),
    ("s", "emf_v", math.nan), ("s", "emf_v", math.inf), ("s", "ohm", 0.0), ("s", "limit_a", -1.0),
    ("s", "limit_a", math.nan), ("k", "value", -1.0), ("k", "value", math.inf), ("k", "min_v", math.nan),
    ("k", "restart_v", 8.0), ("d", "drop_v", -0.1), ("d", "ohm", 0.0), ("w", "ohm", 0.0), ("w", "close_v", 11.0),
    ("w", "open_v", math.nan), ("dc", "efficiency", 0.0), ("dc", "efficiency", 1.01), ("dc", "efficiency", math.nan),
    ("dc", "out_v", math.inf), ("dc", "out_ohm", 0.0), ("dc", "limit_a", -1.0), ("dc", "standby_w", -1.0),
    ("dc", "cutoff_v", -1.0), ("dc", "restart_v", -1.0),
]


@pytest.mark.parametrize(("name", "field", "number"), BAD)
def test_a_bad_number_is_refused_where_it_stands(name, field, number):
    Network.build(GOOD.values())
    bad = GOOD | {name: replace(GOOD[name], **{field: number})}
    with pytest.raises(NetworkError, match=f"network.{name}.{field}: {field} is .*; allowed: ") as caught:
        Network.build(bad.values())
    assert caught.value.place.path == ("network", name, field)
    assert isinstance(caught.value, RigfeedError | ValueError)


def test_a_resistance_that_its_temperature_takes_below_zero_is_refused():
    with pytest.raises(NetworkError, match=r"network.r.alpha: alpha is -0.05; .* above zero at its temperature"):
        Network.build([Resistor("r", "a", "b", 0.1, alpha=-0.05, temperature_c=80.0)])


def test_a_resistive_load_of_nothing_is_refused():
    with pytest.raises(NetworkError, match=r"network.k.value: value is 0; allowed: at least 1e-06"):
        Network.build([Sink("k", "a", "b", "resistance", 0.0)])


def test_two_elements_of_one_name_are_refused():
    with pytest.raises(NetworkError, match=r"network.x: two elements have this name"):
        Network.build([Resistor("x", "a", "b", 0.1), Diode("x", "a", "b", 0.5, 0.1)])


def test_a_sink_of_an_unknown_kind_is_refused():
    with pytest.raises(NetworkError, match=r"network.k.kind: a sink is one of current, power, resistance"):
        Network.build([Sink("k", "a", "b", "torque", 1.0)])


def test_half_a_sense_is_refused():
    with pytest.raises(NetworkError, match=r"network.w.sense_pos"):
        Network.build([Switch("w", "a", "b", 0.1, True, sense_pos="a")])


def test_something_else_than_an_element_is_refused():
    with pytest.raises(NetworkError, match="no element of a network"):
        Network.build(["lead"])


@pytest.mark.parametrize("ask", [Network.net, Network.where])
def test_an_unknown_name_is_refused(ask):
    with pytest.raises(NetworkError, match=r"there is no .* 'nowhere'"):
        ask(Network.build(TWO_ISLANDS), "nowhere")
