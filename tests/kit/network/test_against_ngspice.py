"""Every net of many random networks against an independent circuit simulator."""

from __future__ import annotations

import pytest

from rigfeed.network.elements import Converter, Diode, Sink, Source
from rigfeed.network.network import Network

from tests.kit.network import spice
from tests.kit.network.made import made
from tests.kit.network.physics import solved_lawfully

SEEDS = range(80)


@pytest.mark.parametrize("seed", SEEDS)
def test_random_network_agrees_at_every_net(seed, tool, tmp_path):
    network = made(seed)
    expected = spice.operating(network, tool("ngspice"), tmp_path)
    solution = solved_lawfully(Network.build(network.elements, network.zeros))
    assert not solution.no_operating_point(0)
    assert not solution.unfed(0)
    for net, volt in expected.items():
        assert solution.asked.volts(0, net) == pytest.approx(volt, rel=1e-6, abs=1e-9), net
