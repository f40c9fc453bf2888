"""Large networks: the sparse way gives what the dense one does, and small ones never load what it needs."""

from __future__ import annotations

import subprocess
import sys

import numpy as np
import pytest
from tests.kit.network.made import made, restless, scaled
from tests.kit.network.physics import solved_lawfully

from rigfeed.network import linear
from rigfeed.network.elements import Resistor, Sink, Source
from rigfeed.network.network import Network
from rigfeed.network.solve import solve
from rigfeed.network.values import Values


@pytest.mark.parametrize("seed", range(20))
def test_sparse_and_dense_agree(seed, monkeypatch):
    drawn = scaled(made(seed), 6.0) if seed % 2 else restless(seed)
    network = Network.build(drawn.elements, drawn.zeros)
    values = Values.of(network, 2).vary("start", emf_v=[12.0, 12.6])
    dense = solve(network, values)
    monkeypatch.setattr(linear, "DENSE_MOST", 0)
    sparse = solved_lawfully(network, values)
    for sample in range(2):
        assert sparse.no_operating_point(sample) == dense.no_operating_point(sample)
        assert sparse.hunting(sample) == dense.hunting(sample)
    np.testing.assert_allclose(sparse.asked.net_v, dense.asked.net_v, rtol=1e-9, atol=1e-9)
    np.testing.assert_allclose(sparse.settled.net_v, dense.settled.net_v, rtol=1e-9, atol=1e-9)


def ladder(rungs):
    elements = [Source("battery", "p0", "n0", 12.8, 0.003)]
    for number in range(rungs):
        elements += [
            Resistor(f"there{number}", f"p{number}", f"p{number + 1}", 1e-4),
            Resistor(f"back{number}", f"n{number + 1}", f"n{number}", 1e-4),
        ]
        if number % 10 == 9:
            elements.append(Sink(f"load{number}", f"p{number + 1}", f"n{number + 1}", "power", 4.0))
    return elements


def test_a_network_of_a_thousand_nets(monkeypatch):
    network = Network.build(ladder(500))
    assert len(network.nets) > linear.DENSE_MOST
    solution = solved_lawfully(network)
    monkeypatch.setattr(linear, "DENSE_MOST", 10**6)
    np.testing.assert_allclose(solution.asked.net_v, solve(network).asked.net_v, rtol=1e-9, atol=1e-10)


LOADED = """
import sys
from rigfeed.network.elements import Resistor, Sink, Source
from rigfeed.network.network import Network
from rigfeed.network.solve import solve
rungs = int(sys.argv[1])
leads = [Resistor(f"r{n}", f"n{n}", f"n{n + 1}", 1e-3) for n in range(rungs)]
radio = Sink("radio", f"n{rungs}", "0V", "power", 20.0)
solution = solve(Network.build([Source("battery", "n0", "0V", 12.0, 0.01), radio, *leads]))
assert not solution.no_operating_point(0)
print("scipy" in sys.modules)
"""


@pytest.mark.parametrize(("rungs", "loaded"), [(140, "False"), (160, "True")])
def test_scipy_is_loaded_only_for_large_networks(rungs, loaded):
    done = subprocess.run([sys.executable, "-c", LOADED, str(rungs)], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == loaded
