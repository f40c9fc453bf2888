"""A solve that begins at a solution nearby finds what one from nothing finds."""

from __future__ import annotations

import numpy as np
import pytest
from tests.kit.network.made import made, restless, scaled
from tests.kit.network.physics import solved_lawfully

from rigfeed.network import operate
from rigfeed.network.elements import Resistor, Sink, Source, Switch
from rigfeed.network.errors import NetworkError
from rigfeed.network.network import Network
from rigfeed.network.solve import solve
from rigfeed.network.values import Values

KINDS = {"plain": made, "heavy": lambda seed: scaled(made(seed), 6.0), "restless": restless}


def warmed(network, kelvin):
    values = Values.of(network, 2)
    return values.replace(resistor_temperature_c=values.resistor_temperature_c + np.array([[0.0], [kelvin]]))


def alike(one, other):
    for answer in ("asked", "settled"):
        for number in ("net_v", "resistor_a", "sink_a", "converter_in_a"):
            first, second = (getattr(getattr(solution, answer), number) for solution in (one, other))
            np.testing.assert_allclose(first, second, rtol=1e-9, atol=1e-9)
    np.testing.assert_array_equal(one.sink_lost, other.sink_lost)
    np.testing.assert_array_equal(one.sink_below, other.sink_below)
    np.testing.assert_array_equal(one.hunting_flags, other.hunting_flags)


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("seed", range(25))
def test_warmer_by_a_little_or_a_lot(kind, seed):
    drawn = KINDS[kind](seed)
    network = Network.build(drawn.elements, drawn.zeros)
    before = solve(network, warmed(network, 0.0))
    for kelvin in (3.0, 60.0, 150.0):
        values = warmed(network, kelvin)
        alike(solve(network, values, near=before), solved_lawfully(network, values))


def lead(watt, *, closed=False):
    return Network.build([
        Source("battery", "post", "0V", 12.0, 0.05), Resistor("lead", "post", "set", 0.1, alpha=0.004),
        Sink("radio", "set", "0V", "power", watt), Switch("relay", "post", "lamp", 0.01, closed=closed, sense_pos="set",
        sense_neg="0V", close_v=11.0, open_v=10.0), Sink("lamp", "lamp", "0V", "current", 2.0),
    ])


def test_it_is_the_quicker_way(monkeypatch):
    """Nothing is begun from no load where the solution nearby leads to an operating point."""
    network = lead(20.0, closed=True)
    before = solve(network, warmed(network, 0.0))
    monkeypatch.setattr(operate, "unloaded", None)
    solve(network, warmed(network, 10.0), near=before)


def test_a_load_that_is_lost_by_the_warmth_is_lost_from_nearby_too():
    network = lead(230.0)
    before = solve(network, warmed(network, 0.0))
    after = solve(network, warmed(network, 40.0), near=before)
    assert before.no_operating_point(1) == ()
    assert after.no_operating_point(1) == ("radio",)
    alike(after, solve(network, warmed(network, 40.0)))


def test_a_solution_of_another_network_or_of_other_samples_is_refused():
    network = lead(20.0)
    for other in (solve(lead(20.0), None), solve(network, Values.of(network, 3))):
        with pytest.raises(NetworkError, match="nearby"):
            solve(network, Values.of(network), near=other)
