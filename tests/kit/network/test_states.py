"""What switches itself: minimum voltages, lock-outs, contacts with hysteresis, and what hunts."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.kit.network.made import restless
from tests.kit.network.physics import lawful, solved_lawfully

from rigfeed.network.elements import Converter, Resistor, Sink, Source, Switch
from rigfeed.network.network import Network
from rigfeed.network.solve import solve
from rigfeed.network.values import Values

BATTERY = Source("battery", "post", "0V", 12.0, 0.1)


def load(name, current_a, **numbers):
    return Sink(name, "post", "0V", "current", current_a, **numbers)


def test_a_load_below_its_minimum_runs_in_the_first_answer_and_is_off_in_the_second():
    solution = lawful(BATTERY, load("heater", 20.0), load("radio", 5.0, min_v=10.0, restart_v=11.0))
    assert solution.asked.volts(0, "post") == pytest.approx(9.5)
    assert solution.asked.current(0, "radio") == 5.0
    assert solution.below_minimum(0) == solution.switched_off(0) == ("radio",)
    assert solution.volts(0, "post") == pytest.approx(10.0)
    assert solution.current(0, "radio") == 0.0
    assert solution.load_volts(0, "radio") == pytest.approx(9.5)
    assert solution.load_volts(0, "heater") == pytest.approx(10.0)
    assert solution.hunting(0) == ()


def test_a_load_at_its_minimum_runs():
    """12 V less 2 A through 1/2 ohm is 11 V exactly, in the numbers of the machine as well."""
    solution = lawful(Source("battery", "post", "0V", 12.0, 0.5), load("radio", 2.0, min_v=11.0))
    assert solution.below_minimum(0) == ()
    assert solution.current(0, "radio") == 2.0


def test_a_load_that_recovers_when_off_hunts_and_is_left_off():
    solution = lawful(BATTERY, load("radio", 15.0, min_v=11.0))
    assert solution.hunting(0) == solution.switched_off(0) == solution.below_minimum(0) == ("radio",)
    assert solution.volts(0, "post") == pytest.approx(12.0)
    assert solution.load_volts(0, "radio") == pytest.approx(10.5)


def test_one_load_that_switches_off_may_save_another():
    """Both are too low at first; with the heater gone there is enough for the radio to come back at once."""
    loads = [load("heater", 12.0, min_v=10.9, restart_v=12.5), load("radio", 3.0, min_v=10.8, restart_v=11.0)]
    solution = lawful(BATTERY, *loads)
    assert solution.below_minimum(0) == ("heater", "radio")
    assert solution.switched_off(0) == ("heater",)
    assert solution.load_volts(0, "radio") == pytest.approx(11.7)
    assert solution.load_volts(0, "heater") == pytest.approx(10.5)


def test_a_load_that_was_off_before_waits_for_its_restart_voltage():
    network = Network.build([BATTERY, load("radio", 2.0, min_v=11.0, restart_v=12.5)])
    values = Values.of(network).vary("radio", on=False)
    solution = solved_lawfully(network, values)
    assert solution.asked.current(0, "radio") == 2.0
    assert solution.switched_off(0) == ("radio",)
    again = solved_lawfully(network, values.vary("battery", emf_v=13.0))
    assert again.switched_off(0) == ()


def test_a_next_step_in_time_starts_where_the_last_one_ended():
    """The heater pulls the radio below its minimum; once it is gone the radio waits until the battery is charged."""
    radio = load("radio", 2.0, min_v=10.5, restart_v=12.2)
    network = Network.build([BATTERY, load("heater", 15.0), radio, load("lamp", 1.0, min_v=9.0, restart_v=13.0)])
    values = Values.of(network).vary("lamp", asked=False)
    first = solved_lawfully(network, values)
    assert first.switched_off(0) == ("radio",)
    values = first.carried(values.vary("heater", asked=False).vary("lamp", asked=True))
    second = solved_lawfully(network, values)
    assert second.switched_off(0) == ("radio",)
    assert second.current(0, "lamp") == 1.0
    third = solved_lawfully(network, second.carried(values.vary("battery", emf_v=12.8)))
    assert third.switched_off(0) == ()


def test_a_contact_and_a_converter_are_carried_as_well():
    network = Network.build([
        Source("charger", "post", "0V", 13.1, 0.001), relay(False, close_v=13.3, open_v=12.8), *AUX,
        dc(cutoff_v=12.0, restart_v=13.2), Sink("amplifier", "out", "0V", "power", 10.0),
    ])
    values = Values.of(network)
    high = solved_lawfully(network, values.vary("charger", emf_v=13.6))
    between = solved_lawfully(network, high.carried(values))
    assert between.settled.switch_closed.all()
    assert between.settled.converter_on.all()
    low = solved_lawfully(network, values.vary("charger", emf_v=11.9))
    again = solved_lawfully(network, low.carried(values))
    assert not again.settled.switch_closed.any()
    assert again.unfed(0) == ("amplifier",)


def test_what_is_not_asked_to_run_is_off_and_not_named():
    network = Network.build([BATTERY, load("radio", 2.0), load("lamp", 1.0)])
    solution = solved_lawfully(network, Values.of(network).vary("radio", asked=False))
    assert solution.volts(0, "post") == pytest.approx(11.9)
    assert solution.switched_off(0) == solution.unfed(0) == ()
    assert solution.load_volts(0, "radio") is None


def dc(**numbers):
    return Converter("dc", "post", "0V", "out", "0V", 24.0, 0.01, 10.0, 0.9, **numbers)


def test_a_converter_below_its_cutoff_gives_nothing_in_both_answers():
    solution = lawful(BATTERY, load("heater", 15.0), dc(cutoff_v=11.0), Sink("radio", "out", "0V", "power", 50.0))
    for answer in (solution.asked, solution.settled):
        assert answer.current(0, "dc") == answer.input_current(0, "dc") == 0.0
        assert answer.volts(0, "out") is None
        assert answer.input_volts(0, "dc") == pytest.approx(10.5)
    assert solution.unfed(0) == ("radio",)
    assert solution.hunting(0) == ()


def test_a_converter_that_pulls_its_own_input_below_the_cutoff_hunts():
    solution = lawful(BATTERY, dc(cutoff_v=11.5), Sink("radio", "out", "0V", "power", 90.0))
    assert solution.hunting(0) == ("dc",)
    assert solution.volts(0, "post") == pytest.approx(12.0)


def test_a_converter_that_pulls_its_own_input_below_the_cutoff_stays_out_below_its_restart():
    solution = lawful(BATTERY, dc(cutoff_v=11.5, restart_v=12.5), Sink("radio", "out", "0V", "power", 90.0))
    assert solution.hunting(0) == ()
    assert solution.unfed(0) == ("radio",)


def test_a_converter_that_was_out_before_waits_for_its_restart_voltage():
    network = Network.build([BATTERY, dc(cutoff_v=11.0, restart_v=12.5), Sink("radio", "out", "0V", "power", 10.0)])
    values = Values.of(network).vary("dc", on=False)
    assert solved_lawfully(network, values).unfed(0) == ("radio",)
    assert solved_lawfully(network, values.vary("battery", emf_v=13.0)).unfed(0) == ()


def test_a_converter_fed_the_wrong_way_round_gives_nothing():
    converter = Converter("dc", "0V", "post", "out", "0V", 24.0, 0.01, 10.0, 0.9)
    solution = lawful(BATTERY, converter, Sink("radio", "out", "0V", "power", 10.0))
    assert solution.unfed(0) == ("radio",)
    assert solution.no_operating_point(0) == solution.hunting(0) == ()


def relay(closed, **numbers):
    """A contact that joins a second battery while the first is high."""
    return Switch("relay", "post", "aux", 0.01, closed, "post", "0V", **numbers)


AUX = [Source("aux", "aux", "0V", 12.2, 0.05), Sink("radio", "aux", "0V", "current", 5.0)]


@pytest.mark.parametrize(("emf_v", "before", "after"), [
    (13.6, False, True), (13.6, True, True), (13.1, False, False), (13.1, True, True), (12.5, True, False),
])
def test_a_contact_moves_with_hysteresis(emf_v, before, after):
    charger = Source("charger", "post", "0V", emf_v, 0.001)
    solution = lawful(charger, relay(before, close_v=13.3, open_v=12.8), *AUX)
    assert bool(solution.asked.switch_closed[0, 0]) is after
    assert solution.hunting(0) == ()


def test_a_contact_that_opens_by_what_it_lets_through_hunts_and_is_left_open():
    weak = Source("charger", "post", "0V", 13.6, 0.2)
    solution = lawful(weak, relay(False, close_v=13.3, open_v=13.2), *AUX)
    assert solution.hunting(0) == ("relay",)
    assert not solution.settled.switch_closed[0, 0]
    assert solution.volts(0, "aux") == pytest.approx(12.2 - 0.25)


def test_a_contact_that_senses_a_dead_net_opens():
    switch = Switch("relay", "post", "set", 0.01, True, "coil", "0V", close_v=9.0, open_v=5.0)
    key = Switch("key", "post", "coil", 0.01, False)
    solution = lawful(BATTERY, switch, key, Sink("radio", "set", "0V", "current", 1.0))
    assert solution.unfed(0) == ("radio",)


def test_one_contact_may_wait_for_another():
    key = Switch("key", "post", "coil", 0.01, True)
    switch = Switch("relay", "post", "set", 0.01, False, "coil", "0V", close_v=9.0, open_v=5.0)
    coil = Resistor("winding", "coil", "0V", 90.0)
    solution = lawful(BATTERY, switch, key, coil, Sink("radio", "set", "0V", "current", 1.0))
    assert solution.unfed(0) == ()
    assert solution.current(0, "relay") == pytest.approx(1.0)


@settings(max_examples=150)
@given(seed=st.integers(0, 10**6))
def test_what_has_settled_holds(seed):
    """Whatever moves, the end obeys the laws, and nothing in it would move on but what is named as hunting."""
    network = restless(seed)
    built = Network.build(network.elements, network.zeros)
    values = Values.of(built)
    solution = solved_lawfully(built, values)
    answer, named = solution.settled, {*solution.hunting(0), *solution.no_operating_point(0)}
    for place, name in enumerate(built.names["sink"]):
        u = answer.across(0, name)
        if u is None or name in named or answer.sink_unfed[0, place]:
            continue
        if answer.sink_on[0, place]:
            assert u >= values.sink_min_v[0, place]
        else:
            assert u < values.sink_restart_v[0, place]
    for place, name in enumerate(built.names["converter"]):
        u = answer.input_volts(0, name) or 0.0
        if answer.converter_on[0, place]:
            assert u >= values.converter_cutoff_v[0, place]
        elif name not in named:
            assert u < values.converter_restart_v[0, place]
    for place, switch in enumerate(built.of_kind("switch")):
        if switch.sense_pos is None or switch.name in named:
            continue
        u = answer.between(0, switch.sense_pos, switch.sense_neg) or 0.0
        assert (u >= switch.open_v) if answer.switch_closed[0, place] else (u < switch.close_v)


def test_the_second_answer_is_the_first_where_nothing_is_too_low():
    solution = solve(Network.build([BATTERY, load("radio", 2.0, min_v=10.0)]))
    assert (solution.asked.net_v == solution.settled.net_v).all()
