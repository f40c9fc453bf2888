"""Networks with an answer on paper."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.kit.network.physics import lawful

from rigfeed.network.elements import Converter, Diode, Resistor, Sink, Source, Switch


@given(emf_v=st.floats(5, 60), ohm=st.floats(1e-3, 2), share=st.floats(0.001, 0.9999))
def test_constant_power_takes_the_larger_of_its_two_voltages(emf_v, ohm, share):
    """I = (V - sqrt(V^2 - 4 R P)) / 2R."""
    watt = share * emf_v**2 / (4 * ohm)
    solution = lawful(Source("battery", "post", "0V", emf_v, ohm), Sink("radio", "post", "0V", "power", watt))
    current_a = (emf_v - math.sqrt(emf_v**2 - 4 * ohm * watt)) / (2 * ohm)
    assert solution.current(0, "radio") == pytest.approx(current_a, rel=1e-6)
    assert solution.volts(0, "post") == pytest.approx(emf_v - ohm * current_a, rel=1e-9)


@given(emf_v=st.floats(5, 60), ohm=st.floats(1e-3, 2), load_ohm=st.floats(0.1, 100))
def test_voltage_divider(emf_v, ohm, load_ohm):
    solution = lawful(Source("battery", "post", "0V", emf_v, ohm), Sink("lamp", "post", "0V", "resistance", load_ohm))
    assert solution.volts(0, "post") == pytest.approx(emf_v * load_ohm / (ohm + load_ohm))
    assert solution.power(0, "lamp") == pytest.approx((emf_v / (ohm + load_ohm)) ** 2 * load_ohm)


def test_resistance_follows_the_temperature():
    hot = Resistor("lead", "post", "set", 0.1, alpha=0.00393, temperature_c=85.0)
    solution = lawful(Source("battery", "post", "0V", 12.0, 0.1), hot, Sink("radio", "set", "0V", "current", 10.0))
    assert solution.across(0, "lead") == pytest.approx(10.0 * 0.1 * (1 + 0.00393 * 65.0))


def test_two_batteries_share_by_their_resistance():
    """Millman: V = (12.6 / 0.02 + 12.2 / 0.03 - 50) / (1 / 0.02 + 1 / 0.03)."""
    solution = lawful(
        Source("a", "post", "0V", 12.6, 0.02),
        Source("b", "post", "0V", 12.2, 0.03),
        Sink("winch", "post", "0V", "current", 50.0),
    )
    post_v = (12.6 / 0.02 + 12.2 / 0.03 - 50.0) / (1 / 0.02 + 1 / 0.03)
    assert solution.volts(0, "post") == pytest.approx(post_v)
    assert solution.current(0, "a") == pytest.approx((12.6 - post_v) / 0.02)
    assert solution.current(0, "b") == pytest.approx((12.2 - post_v) / 0.03)


def test_a_fuller_battery_charges_the_emptier_one():
    solution = lawful(Source("a", "post", "0V", 12.8, 0.02), Source("b", "post", "0V", 12.0, 0.06))
    assert solution.current(0, "a") == pytest.approx(10.0)
    assert solution.current(0, "b") == pytest.approx(-10.0)
    assert solution.power(0, "b") < 0


def test_balanced_bridge_carries_nothing_in_its_middle():
    solution = lawful(
        Source("battery", "top", "0V", 12.0, 0.05),
        Resistor("a", "top", "left", 1.0),
        Resistor("b", "top", "right", 2.0),
        Resistor("c", "left", "0V", 3.0),
        Resistor("d", "right", "0V", 6.0),
        Resistor("middle", "left", "right", 0.001),
    )
    assert solution.current(0, "middle") == pytest.approx(0.0, abs=1e-12)


def test_body_return_lifts_the_negative_of_the_load():
    solution = lawful(
        Source("battery", "post", "neg", 12.0, 0.01),
        Resistor("strap", "neg", "body", 0.002),
        Sink("radio", "post", "body", "current", 20.0),
    )
    assert solution.volts(0, "neg") == 0.0
    assert solution.volts(0, "body") == pytest.approx(0.04)
    assert solution.between(0, "post", "body") == pytest.approx(12.0 - 0.2 - 0.04)


def test_ring_feeds_from_both_ends():
    """Two ways of 0.01 and 0.03 ohm to the load: three quarters of the current take the shorter one."""
    solution = lawful(
        Source("battery", "post", "0V", 12.0, 0.01),
        Resistor("short", "post", "set", 0.01),
        Resistor("long", "post", "set", 0.03),
        Sink("radio", "set", "0V", "current", 20.0),
    )
    assert solution.current(0, "short") == pytest.approx(15.0)
    assert solution.current(0, "long") == pytest.approx(5.0)


def splitter(alternator_v, battery_v):
    return lawful(
        Source("alternator", "alt", "0V", alternator_v, 0.01),
        Diode("to-start", "alt", "start", 0.7, 0.005),
        Diode("to-aux", "alt", "aux", 0.7, 0.005),
        Source("start-battery", "start", "0V", battery_v, 0.02),
        Sink("radio", "aux", "0V", "current", 10.0),
    )


def test_diode_splitter_feeds_both_sides_and_joins_neither():
    solution = splitter(14.4, 12.5)
    alt_v = solution.volts(0, "alt")
    assert solution.volts(0, "aux") == pytest.approx(alt_v - 0.7 - 0.05)
    start_a = (alt_v - 0.7 - 12.5) / 0.025
    assert solution.current(0, "to-start") == pytest.approx(start_a)
    assert alt_v == pytest.approx(14.4 - 0.01 * (start_a + 10.0))


def test_diode_splitter_keeps_the_load_off_the_starting_battery():
    solution = splitter(12.0, 12.5)
    assert solution.current(0, "to-start") == 0.0
    assert solution.current(0, "start-battery") == 0.0
    assert solution.volts(0, "aux") == pytest.approx(12.0 - 0.1 - 0.7 - 0.05)


def test_an_unloaded_net_behind_a_diode_is_at_the_edge_of_conduction():
    solution = lawful(Source("battery", "post", "0V", 12.0, 0.1), Diode("diode", "post", "out", 0.7, 0.01))
    assert solution.volts(0, "out") == pytest.approx(11.3)
    assert solution.current(0, "diode") == 0.0


def test_the_fuller_of_two_supplies_wins_behind_their_diodes():
    solution = lawful(
        Source("a", "a", "0V", 14.0, 0.01),
        Source("b", "b", "0V", 12.5, 0.01),
        Diode("from-a", "a", "out", 0.5, 0.01),
        Diode("from-b", "b", "out", 0.5, 0.01),
        Sink("radio", "out", "0V", "power", 100.0),
    )
    assert solution.current(0, "from-b") == 0.0
    out_v = solution.volts(0, "out")
    assert out_v == pytest.approx(13.5 - 0.02 * 100.0 / out_v)


def test_a_limited_source_gives_its_limit_and_the_battery_the_rest():
    solution = lawful(
        Source("alternator", "post", "0V", 14.2, 0.01, limit_a=30.0),
        Source("battery", "post", "0V", 12.6, 0.02),
        Sink("winch", "post", "0V", "current", 50.0),
    )
    assert solution.limited(0) == ("alternator",)
    assert solution.current(0, "alternator") == 30.0
    assert solution.volts(0, "post") == pytest.approx(12.6 - 0.02 * 20.0)


def test_a_limited_source_into_a_resistance_is_a_current_source():
    solution = lawful(Source("supply", "out", "0V", 13.8, 0.01, limit_a=5.0), Resistor("lamp", "out", "0V", 2.0))
    assert solution.volts(0, "out") == pytest.approx(10.0)
    assert solution.limited(0) == ("supply",)


def converter(**changed):
    numbers = {"out_v": 24.0, "out_ohm": 0.05, "limit_a": 10.0, "efficiency": 0.9, "standby_w": 1.5} | changed
    return Converter("dc", "in", "0V", "out", "out-", **numbers)


def test_converter_takes_power_over_efficiency_and_voltage():
    solution = lawful(
        Source("battery", "in", "0V", 12.6, 1e-6), converter(), Sink("radio", "out", "out-", "power", 100.0)
    )
    out_a = (24.0 - math.sqrt(24.0**2 - 4 * 0.05 * 100.0)) / 0.1
    assert solution.current(0, "dc") == pytest.approx(out_a)
    assert solution.settled.input_current(0, "dc") == pytest.approx((100.0 / 0.9 + 1.5) / 12.6, rel=1e-5)
    assert solution.power(0, "dc") == pytest.approx(100.0 * (1 / 0.9 - 1) + 1.5)


def test_converter_input_falls_with_its_feeder_and_takes_more_current():
    """The input is a constant power: V = (E + sqrt(E^2 - 4 R P)) / 2."""
    solution = lawful(
        Source("battery", "post", "0V", 12.6, 0.01),
        Resistor("lead", "post", "in", 0.05),
        converter(),
        Sink("lamp", "out", "out-", "resistance", 8.0),
    )
    out_a = 24.0 / 8.05
    taken_w = 8.0 * out_a**2 / 0.9 + 1.5
    in_v = (12.6 + math.sqrt(12.6**2 - 4 * 0.06 * taken_w)) / 2
    assert solution.settled.input_volts(0, "dc") == pytest.approx(in_v)


def test_converter_at_its_limit_is_a_current_source():
    solution = lawful(
        Source("battery", "in", "0V", 12.6, 0.01),
        converter(limit_a=2.0),
        Sink("heater", "out", "out-", "resistance", 5.0),
    )
    assert solution.limited(0) == ("dc",)
    assert solution.between(0, "out", "out-") == pytest.approx(10.0)


def test_converter_never_takes_current_back():
    solution = lawful(Source("battery", "in", "0V", 12.6, 0.01), converter(), Source("bank", "out", "out-", 26.0, 0.01))
    assert solution.current(0, "dc") == 0.0
    assert solution.settled.input_current(0, "dc") == pytest.approx(1.5 / 12.6, rel=1e-3)


def test_closed_contact_is_a_resistance_and_an_open_one_is_none():
    battery, lamp = Source("battery", "post", "0V", 12.0, 0.1), Resistor("lamp", "set", "0V", 1.0)
    closed = lawful(battery, lamp, Switch("switch", "post", "set", 0.1, closed=True))
    assert closed.current(0, "switch") == pytest.approx(10.0)
    opened = lawful(battery, lamp, Switch("switch", "post", "set", 0.1, closed=False))
    assert opened.current(0, "switch") == 0.0
    assert opened.volts(0, "set") == 0.0


def test_least_resistances_cost_no_digits():
    """A hundred joints of 1 microohm in a row carry 1 A: a drop of 100 uV, each right to nine digits."""
    joints = [Resistor(f"joint{n:03}", f"n{n}", f"n{n + 1}", 1e-6) for n in range(100)]
    solution = lawful(Source("battery", "n0", "0V", 13.7, 1e-6), *joints, Sink("radio", "n100", "0V", "current", 1.0))
    assert solution.across(0, "joint050") == pytest.approx(1e-6, rel=1e-9)
    assert solution.current(0, "joint099") == pytest.approx(1.0, rel=1e-9)
    assert solution.asked.kirchhoff_a[0] < 1e-9


def test_fault_currents_keep_the_laws():
    solution = lawful(
        Source("battery", "post", "0V", 12.8, 0.004), Resistor("short", "post", "0V", 1e-5),
        Sink("radio", "post", "0V", "resistance", 4.0),
    )
    assert solution.current(0, "short") == pytest.approx(12.8 / 0.00401, rel=1e-3)


def test_converter_takes_no_less_than_nothing_where_its_output_is_driven_backwards():
    """A bank the wrong way round takes the limit of 2 A at -4.8 V; the input does not give that power back."""
    solution = lawful(
        Source("battery", "in", "0V", 12.6, 0.01),
        converter(limit_a=2.0),
        Source("bank", "out-", "out", 5.0, 0.1),
        zeros=("0V", "out-"),
    )
    assert solution.volts(0, "out") == pytest.approx(-5.0 + 0.2)
    assert solution.settled.input_current(0, "dc") == pytest.approx(1.5 / 12.6, rel=1e-3)


@pytest.mark.parametrize("lead_ohm", [1e-3, 0.02, 0.05])
@pytest.mark.parametrize("load_a", [7.9, 8.1, 12.0, 19.5, 60.0])
def test_what_a_charger_at_its_limit_leaves_the_battery_behind_it_gives(load_a, lead_ohm):
    """By the sum of the currents: the volts fall from those of the charger to those of the battery at one and the same
    load, and in that fall nothing holds the nets between."""
    leaves = load_a > 8.0
    volt = 12.8 - 0.01 * (load_a - 8.0) if leaves else 14.4 - 0.005 * load_a
    solution = lawful(
        Source("alternator", "post", "0V", 12.4, 0.005), Resistor("lead", "post", "in", lead_ohm),
        Converter("charger", "in", "0V", "out", "0V", 14.4, 0.005, limit_a=8.0, efficiency=0.9, standby_w=0.5),
        Source("cells", "cells", "0V", 12.8, 0.009), Diode("way", "cells", "out", 0.0, 0.001),
        Sink("set", "out", "0V", "current", load_a),
    )
    assert solution.no_operating_point(0) == ()
    assert solution.volts(0, "out") == pytest.approx(volt, rel=1e-9)
    assert solution.current(0, "way") == pytest.approx(load_a - 8.0 if leaves else 0.0, abs=1e-6)
