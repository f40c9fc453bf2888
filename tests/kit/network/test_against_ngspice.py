"""Every net of many random networks against an independent circuit simulator."""

from __future__ import annotations

from collections import Counter

import pytest
from tests.kit.network import spice
from tests.kit.network.made import made
from tests.kit.network.physics import solved_lawfully

from rigfeed.network.network import Network

SEEDS = range(100)


@pytest.mark.parametrize("seed", SEEDS)
def test_random_network_agrees_at_every_net(seed, tool, tmp_path):
    network = made(seed)
    expected = spice.operating(network, tool("ngspice"), tmp_path)
    solution = solved_lawfully(Network.build(network.elements, network.zeros))
    assert not solution.no_operating_point(0)
    assert not solution.unfed(0)
    for net, volt in expected.items():
        assert solution.asked.volts(0, net) == pytest.approx(volt, rel=1e-6, abs=1e-9), net


def test_those_networks_have_everything_that_elements_can_be():
    """Not only drawn but at work: diodes on both sides of the bend, sources and converters below and at their limit."""
    met: Counter[str] = Counter()
    for seed in SEEDS:
        network = made(seed)
        solution = solved_lawfully(Network.build(network.elements, network.zeros))
        answer = solution.asked
        met.update(answer.network.sink_kinds)
        met.update("conducting" if current_a > 0 else "blocked" for current_a in answer.diode_a[0])
        met.update("source at its limit" if at else "source" for at in answer.source_limited[0])
        met.update("converter at its limit" if at else "converter" for at in answer.converter_limited[0])
        met.update("converter at rest" for current_a in answer.converter_out_a[0] if current_a == 0.0)
        met.update("island" for _ in network.zeros[1:])
        met.update("switch" for _ in answer.switch_closed[0])
        met.update("charged" for current_a in answer.source_a[0] if current_a < 0.0)
    wanted = {
        "current", "power", "resistance", "conducting", "blocked", "source", "source at its limit", "converter",
        "converter at its limit", "converter at rest", "island", "switch", "charged",
    }
    assert {what for what in wanted if met[what] < 3} == set()
