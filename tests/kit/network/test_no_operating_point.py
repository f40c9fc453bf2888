"""Loads that no voltage can satisfy: named, switched off, and the rest solved; the fold found by a simulator too."""

from __future__ import annotations

from functools import cache
from random import Random

import pytest
from tests.kit.network import spice
from tests.kit.network.made import made, scaled, without
from tests.kit.network.physics import lawful, solved_lawfully

from rigfeed.network.elements import Converter, Resistor, Sink, Source
from rigfeed.network.network import Network

SEEDS = range(30)
STEPS = 100


@cache
def overloaded(seed):
    return scaled(made(seed), Random(seed).uniform(4.0, 12.0))


@cache
def outcome(network):
    """Solved once for all tests of it, its laws checked."""
    return solved_lawfully(Network.build(network.elements, network.zeros))


def lost(network):
    return outcome(network).no_operating_point(0)


@pytest.mark.parametrize("seed", SEEDS)
def test_named_exactly_where_the_simulator_cannot_raise_the_loads(seed, tool, tmp_path):
    network = overloaded(seed)
    points, _ = spice.raised(network, STEPS, tool("ngspice"), tmp_path)
    share = points[-1][0]
    assert bool(lost(network)) == (share < 1.0), share


def test_enough_of_those_networks_have_none():
    assert sum(bool(lost(overloaded(seed))) for seed in SEEDS) >= 15


@pytest.mark.parametrize("seed", SEEDS)
def test_the_rest_is_solved_as_if_the_named_were_not_there(seed, tool, tmp_path):
    network = overloaded(seed)
    solution = outcome(network)
    off = {*solution.no_operating_point(0), *solution.unfed(0)}
    expected = spice.operating(without(network, off), tool("ngspice"), tmp_path)
    for net, volt in expected.items():
        if solution.asked.volts(0, net) is not None:
            assert solution.asked.volts(0, net) == pytest.approx(volt, rel=1e-6, abs=1e-9), net


@pytest.mark.parametrize("seed", SEEDS)
def test_feasible_up_to_the_fold_of_the_simulator_and_not_one_step_further(seed, tool, tmp_path):
    network = overloaded(seed)
    if any(isinstance(element, Converter) for element in network.elements):
        network = without(network, {e.name for e in network.elements if e.name.startswith("dc")})
    points, _ = spice.raised(network, STEPS, tool("ngspice"), tmp_path)
    share, expected = points[-1]
    near = scaled(network, share)
    solution = outcome(near)
    assert not solution.no_operating_point(0)
    if share < 1.0:
        assert lost(scaled(network, share + 1.0 / STEPS))
    for net, volt in expected.items():
        assert solution.asked.volts(0, net) == pytest.approx(volt, rel=1e-5, abs=1e-9), net


def feeder(watt, *more, ohm=0.1, emf_v=12.0):
    return [Source("battery", "post", "0V", emf_v, ohm), Sink("radio", "post", "0V", "power", watt), *more]


@pytest.mark.parametrize("short", [1e-3, 1e-6, 1e-9])
def test_just_below_the_greatest_power_has_a_point(short):
    """P = V^2 / 4R = 360 W; the voltage there is half of the EMF, above it by half the root of what is missing."""
    solution = lawful(*feeder(360.0 * (1 - short)))
    assert solution.no_operating_point(0) == ()
    assert solution.volts(0, "post") == pytest.approx(6.0 * (1 + short**0.5), abs=1e-6)


@pytest.mark.parametrize("over", [1e-3, 1e-6, 1e-8])
def test_just_above_the_greatest_power_has_none(over):
    solution = lawful(*feeder(360.0 * (1 + over)))
    assert solution.no_operating_point(0) == ("radio",)
    assert solution.switched_off(0) == ("radio",)
    assert solution.volts(0, "post") == pytest.approx(12.0)
    assert solution.load_volts(0, "radio") is None


def test_the_load_behind_the_thin_lead_is_named_not_the_one_at_the_battery():
    far = [Resistor("thin", "post", "far", 2.0), Sink("heater", "far", "0V", "power", 30.0)]
    solution = lawful(*feeder(60.0, *far, ohm=0.01))
    assert solution.no_operating_point(0) == ("heater",)
    assert solution.current(0, "radio") > 4.9


def test_of_two_loads_on_one_post_the_larger_is_named():
    solution = lawful(*feeder(300.0, Sink("lamp", "post", "0V", "power", 100.0)))
    assert solution.no_operating_point(0) == ("radio",)
    assert solution.power(0, "lamp") == pytest.approx(100.0)


def test_of_two_equal_loads_the_first_by_name_is_named():
    solution = lawful(*feeder(200.0, Sink("amplifier", "post", "0V", "power", 200.0)))
    assert solution.no_operating_point(0) == ("amplifier",)


def test_as_many_are_named_as_it_takes():
    more = [Sink(f"lamp{number}", "post", "0V", "power", 390.0) for number in range(3)]
    solution = lawful(*feeder(100.0, *more))
    assert solution.no_operating_point(0) == ("lamp0", "lamp1", "lamp2")


@pytest.mark.parametrize("thin_ohm", [0.2, 0.5, 0.9])
@pytest.mark.parametrize("watt", [370.0, 500.0, 2000.0, 10000.0])
def test_a_load_that_only_another_one_stops_is_not_named(thin_ohm, watt):
    """The first to run away as all loads rise may be the small one far out; it is the large one that cannot run."""
    far = [Resistor("thin", "post", "far", thin_ohm), Sink("heater", "far", "0V", "power", 30.0)]
    assert lawful(*feeder(watt, *far)).no_operating_point(0) == ("radio",)


@pytest.mark.parametrize("seed", SEEDS)
def test_each_of_the_named_has_none_even_if_the_other_named_are_not_there(seed):
    network = overloaded(seed)
    named = set(lost(network))
    for name in named:
        assert lost(without(network, named - {name}))


def test_a_constant_current_that_leaves_no_voltage_is_named():
    current = Sink("magnet", "post", "0V", "current", 121.0)
    solution = lawful(Source("battery", "post", "0V", 12.0, 0.1), current, Sink("clock", "post", "0V", "current", 0.1))
    assert solution.no_operating_point(0) == ("magnet",)
    assert solution.current(0, "clock") == pytest.approx(0.1)


def test_a_constant_current_beyond_the_limit_of_its_supply_is_named():
    supply = Source("supply", "out", "0V", 13.8, 0.01, limit_a=10.0)
    solution = lawful(supply, Sink("motor", "out", "0V", "current", 9.0), Sink("fan", "out", "0V", "current", 2.0))
    assert solution.no_operating_point(0) == ("motor",)
    assert solution.current(0, "supply") == pytest.approx(2.0)


def test_a_constant_power_beyond_the_limit_of_its_supply_is_named():
    supply = Source("supply", "out", "0V", 13.8, 0.01, limit_a=10.0)
    assert lawful(supply, Sink("radio", "out", "0V", "power", 136.9)).no_operating_point(0) == ()
    assert lawful(supply, Sink("radio", "out", "0V", "power", 137.1)).no_operating_point(0) == ("radio",)


def test_a_load_behind_a_converter_that_gives_too_little_is_named_not_the_converter():
    converter = Converter("dc", "post", "0V", "out", "0V", 24.0, 0.02, limit_a=3.0, efficiency=0.9)
    battery = Source("battery", "post", "0V", 12.6, 0.01)
    solution = lawful(battery, converter, Sink("radio", "out", "0V", "power", 80.0))
    assert solution.no_operating_point(0) == ("radio",)
    assert solution.volts(0, "out") == pytest.approx(24.0)


def test_a_converter_that_its_feeder_cannot_carry_is_named_and_its_loads_are_unfed():
    converter = Converter("dc", "in", "0V", "out", "out-", 24.0, 0.02, limit_a=30.0, efficiency=0.9)
    lead = [Source("battery", "post", "0V", 12.6, 0.01), Resistor("lead", "post", "in", 0.5)]
    solution = lawful(*lead, converter, Sink("radio", "out", "out-", "power", 80.0))
    assert solution.no_operating_point(0) == ("dc",)
    assert solution.unfed(0) == ("radio",)
    assert solution.volts(0, "out") is None
    assert solution.volts(0, "in") == pytest.approx(12.6)


@pytest.mark.parametrize("kind", ["current", "power"])
def test_a_load_the_wrong_way_round_has_none(kind):
    solution = lawful(Source("battery", "post", "0V", 12.0, 0.1), Sink("radio", "0V", "post", kind, 1.0))
    assert solution.no_operating_point(0) == ("radio",)


@pytest.mark.parametrize("kind", ["current", "power"])
def test_a_load_of_nothing_is_content_with_any_voltage(kind):
    solution = lawful(Source("battery", "post", "0V", 12.0, 0.1), Sink("radio", "0V", "post", kind, 0.0))
    assert solution.no_operating_point(0) == ()
    assert solution.current(0, "radio") == 0.0
