"""Random networks of which one-way elements alone touch many nets, against bounds and an independent simulator."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable

import pytest
from tests.kit.network import spice
from tests.kit.network.idle import adrift, grounded, loaded, open_circuit_v
from tests.kit.network.made import Made
from tests.kit.network.physics import solved_lawfully

from rigfeed.network.elements import BODY, Sink
from rigfeed.network.network import Network
from rigfeed.network.solve import Solution

SLACK_V = 1e-9
GAVE_UP = {  # seeds at which the simulator stops
    "grounded": {38},
    "adrift": {24},
}
NEGATIVE_BUS = {10}  # a converter with a negative input voltage, which ours locks out and the netlist does not


def solved(network: Made) -> Solution:
    return solved_lawfully(Network.build(network.elements, network.zeros))


@pytest.mark.parametrize("block", range(10))
def test_no_net_is_above_the_highest_source_or_below_nothing(block):
    for seed in range(100 * block, 100 * block + 100):
        network = grounded(seed)
        highest_v = max(open_circuit_v(network))
        solution = solved(network)
        assert solution.no_operating_point(0) == solution.hunting(0) == (), seed
        for volt in solution.settled.net_v[0]:
            assert math.isnan(volt) or -SLACK_V <= volt <= highest_v + SLACK_V, seed


@pytest.mark.parametrize("block", range(10))
def test_no_net_is_beyond_all_sources_in_a_row(block):
    for seed in range(100 * block, 100 * block + 100):
        network = adrift(seed)
        most_v = sum(open_circuit_v(network))
        for volt in solved(network).settled.net_v[0]:
            assert math.isnan(volt) or abs(volt) <= most_v + SLACK_V, seed


@pytest.mark.parametrize("block", range(3))
def test_with_few_loads_no_net_is_beyond_its_sources_either(block):
    for seed in range(100 * block, 100 * block + 100):
        network = loaded(seed)
        highest_v = max(open_circuit_v(network))
        solution = solved(network)
        assert solution.hunting(0) == (), seed
        for volt in solution.settled.net_v[0]:
            assert math.isnan(volt) or -SLACK_V <= volt <= highest_v + SLACK_V, seed


def agree(network: Made, ngspice: str, folder, shunt_ohm: float, most_v: Callable[[float], float]) -> None:
    """Every net that is not dead and that hangs on the body; the simulator leaks `shunt_ohm` from each net."""
    expected = spice.operating(network, ngspice, folder, shunt_ohm=shunt_ohm)
    solution = solved(network)
    assert solution.no_operating_point(0) == ()
    body = solution.network.net(BODY)
    for net, volt in expected.items():
        found = solution.volts(0, net)
        if found is not None and solution.settled.zero[0, solution.network.net(net)] == body:
            assert abs(found - volt) <= most_v(volt), (net, found, volt)


@pytest.mark.parametrize("seed", sorted(set(range(40)) - GAVE_UP["grounded"]))
def test_grounded_network_agrees_with_a_simulator_that_leaks(seed, tool, tmp_path):
    agree(grounded(seed), tool("ngspice"), tmp_path, 1e9, lambda volt: 1e-6 * abs(volt) + 1e-8)


@pytest.mark.parametrize("seed", sorted(set(range(40)) - GAVE_UP["adrift"] - NEGATIVE_BUS))
def test_network_adrift_agrees_with_a_simulator_that_leaks(seed, tool, tmp_path):
    """Where whole batteries float, the simulator's smallest current over its leak leaves it 0.1 mV of play."""
    agree(adrift(seed), tool("ngspice"), tmp_path, 1e8, lambda _: 1e-4)


@pytest.mark.parametrize("seed", range(40))
def test_loaded_network_agrees_with_a_simulator_that_leaks(seed, tool, tmp_path):
    """Where ours names loads that no voltage satisfies or nothing feeds, the simulator has none for the whole."""
    network = loaded(seed)
    solution = solved(network)
    drawing = {e.name for e in network.elements if isinstance(e, Sink) and e.kind != "resistance"}
    if solution.no_operating_point(0) or drawing & set(solution.unfed(0)):
        with pytest.raises(spice.NotConverged):
            spice.operating(network, tool("ngspice"), tmp_path, shunt_ohm=1e9)
    else:
        agree(network, tool("ngspice"), tmp_path, 1e9, lambda volt: 1e-6 * abs(volt) + 1e-8)


def test_those_networks_have_nets_at_rest():
    met: Counter[str] = Counter()
    for seed in range(40):
        for make in (grounded, adrift):
            answer = solved(make(seed)).settled
            met.update("blocked" if current_a < 1e-9 else "conducting" for current_a in answer.diode_a[0])
            met.update("idle" if current_a < 1e-9 else "giving" for current_a in answer.converter_out_a[0])
            met.update("at 0 V" for volt in answer.net_v[0] if volt == 0.0)
    assert min(met[what] for what in ("blocked", "conducting", "idle", "giving", "at 0 V")) >= 20, met
