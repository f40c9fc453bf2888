"""A solve that begins at a solution nearby finds what one from nothing finds."""

from __future__ import annotations

import numpy as np
import pytest
from tests.kit.network.made import made, restless, scaled
from tests.kit.network.physics import solved_lawfully

from rigfeed.network import operate
from rigfeed.network import solve as solving
from rigfeed.network.elements import Diode, Resistor, Sink, Source, Switch
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


def test_a_load_that_was_lost_is_not_found_again_beside_the_voltage_without_it():
    """A generator of 20 V has not 100 W to give. The battery of 10 V that holds the net would, a little below, where no
    raising of the load leads to."""
    network = Network.build([
        Source("generator", "post", "0V", 20.4, 0.2, limit_a=3.36), Source("battery", "cell", "0V", 10.4, 0.033),
        Diode("one-way", "cell", "post", 0.5, 0.01), Sink("lamp", "post", "0V", "current", 12.0),
        Sink("radio", "post", "0V", "power", 100.0),
    ])
    before = solve(network)
    assert before.no_operating_point(0) == ("radio",)
    alike(solve(network, near=before), before)


def test_an_unstable_point_nearby_is_none():
    """Of 384 W there are two at 12.4 V behind 0.1 ohm, 6.0 V and 6.4 V; 6.1 V, where 12.0 V gave 359.9 W, leads to the
    wrong one: U = E/2 +- sqrt(E**2/4 - R P)."""
    network = Network.build([Source("battery", "post", "0V", 12.0, 0.1), Sink("radio", "post", "0V", "power", 359.9)])
    before = solve(network)
    assert before.asked.volts(0, "post") == pytest.approx(6.1)
    values = Values.of(network).replace(source_emf_v=np.array([[12.4]]), sink_value=np.array([[384.0]]))
    assert solve(network, values, near=before).asked.volts(0, "post") == pytest.approx(6.4)


def test_samples_that_are_done_leave_the_others_with_what_is_near_to_them():
    network = lead(230.0)
    values = Values.of(network, 3)
    values = values.replace(resistor_temperature_c=values.resistor_temperature_c + np.array([[0.0], [40.0], [41.0]]))
    before = solve(network, values)
    assert [before.no_operating_point(sample) for sample in range(3)] == [(), ("radio",), ("radio",)]
    alike(solve(network, values, near=before), before)


def test_what_is_solved_in_parts_begins_at_its_own_part(monkeypatch):
    network = lead(20.0, closed=True)
    values = Values.of(network, 2).replace(source_emf_v=np.array([[12.0], [24.0]]))
    before = solve(network, values)
    monkeypatch.setattr(solving, "_MOST_ENTRIES", 1)
    monkeypatch.setattr(operate, "unloaded", None)
    alike(solve(network, values, near=before), before)
