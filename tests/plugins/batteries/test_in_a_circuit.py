"""Batteries and alternators in an installation: who feeds whom, with the engine off and on."""

from __future__ import annotations

import pytest
from tests.plugins.installing import assessed

from rigfeed.studies.operating import OPERATING

BATTERY = "battery:b: chemistry=AGM | capacity_ah=80 | aged_mohm=10 | new_mohm=5 | rest_v=0 11.8; 50 12.2; 100 12.8"
ALTERNATOR = "alternator:a: rated_a=20 | set_v=14"
LOAD = "radio:r: transmit_a={} | receive_a=1 | standby_a=0 | nominal_v=12 | least_v=9 | most_v=16"
WIRE = "cable:w: area_mm2=10 | ohm_per_km=2 | od_mm=6"  # 1 m: 2 mohm at 20 degC
BARE = "bare:x: contact_mohm=0"


def operating(transmit_a: float, states: str, nodes: str = "", conductors: str = "", *, start: str = "", alt: str = ""):
    """A battery, an alternator 1 m from it, and a set 1 m from the battery; everything in air of 20 degC."""
    ends = 'ends = ["bare:x", "bare:x"]'
    text = f"""
    [zones.z]
    warmest = "20 degC"
    coldest = "20 degC"
    [points.p]
    zone = "z"
    [nodes]
    start = {{ part = "battery:b", at = "p", settings = {{ {start} }} }}
    alt = {{ part = "alternator:a", at = "p", settings = {{ {alt} }} }}
    set = {{ part = "radio:r", at = "p" }}
    strap = {{ part = "body-point", at = "p", settings = {{ resistance = "0 mohm" }} }}
    {nodes}
    [conductors]
    W1 = {{ cable = "cable:w", from = "start.pos", to = "set.pos", length = "1 m", {ends} }}
    W2 = {{ cable = "cable:w", from = "set.neg", to = "start.neg", length = "1 m", {ends} }}
    W3 = {{ cable = "cable:w", from = "alt.pos", to = "start.pos", length = "1 m", {ends} }}
    W4 = {{ cable = "cable:w", from = "start.neg", to = "strap.stud", length = "1 m", {ends} }}
    {conductors}
    [states]
    {states}
    """
    return assessed(text, BATTERY, ALTERNATOR, LOAD.format(transmit_a), WIRE, BARE)[OPERATING]


OFF = 'tx = { engine = "off", modes = { set = "transmit" }, start = { start = "100 %" } }'
ON = 'tx = { engine = "on", modes = { set = "transmit" }, start = { start = "100 %" } }'


def battery_a(found) -> float:
    """What the battery gives [A]."""
    return found.current("tx", "W1") - found.current("tx", "W3")


def pair_ohm(found, one: str, other: str, cold_ohm: float) -> float:
    """Two wires of `cold_ohm` at 20 degC in series, as warm as the study found them [ohm]."""
    return sum(cold_ohm * (1 + 0.00393 * (found.metal_c["tx"][wire] - 20)) for wire in (one, other))


def test_with_the_engine_off_the_battery_gives_it_all():
    found = operating(10, OFF)
    assert battery_a(found) == pytest.approx(10.0)
    assert found.current("tx", "W3") == pytest.approx(0.0, abs=1e-9)
    assert found.across("tx", "start") == pytest.approx(12.8 - 10 * 0.010)


def test_the_charge_of_the_state_sets_the_voltage():
    half = operating(10, OFF.replace("100 %", "75 %"))
    assert half.across("tx", "start") == pytest.approx((12.2 + 12.8) / 2 - 10 * 0.010)


def test_with_the_engine_on_the_alternator_gives_and_the_battery_takes_nothing():
    found = operating(10, ON)
    assert found.current("tx", "W3") == pytest.approx(10.0, abs=1e-3)
    assert battery_a(found) == pytest.approx(0.0, abs=1e-3)
    # regulated at the alternator's terminals, behind 1 m of wire each way; the body is a bolt of 1e-6 ohm and its case
    assert found.across("tx", "start") == pytest.approx(14.0 - 10 * (0.002 + 0.002), abs=5e-3)
    assert found.across("tx", "start") > 12.8


def test_with_nothing_on_no_current_flows_into_a_battery():
    found = operating(0, ON)
    assert battery_a(found) == pytest.approx(0.0, abs=1e-6)
    assert found.across("tx", "start") == pytest.approx(14.0, abs=1e-3)


def test_beyond_its_limit_the_alternator_gives_its_rated_current_and_the_battery_the_rest():
    found = operating(35, ON)
    assert found.current("tx", "W3") == pytest.approx(20.0)
    assert battery_a(found) == pytest.approx(15.0)
    assert found.solutions["tx"].asked.limited(0) == ("alt",)
    assert found.across("tx", "start") == pytest.approx(12.8 - 15 * 0.010, abs=1e-3)


def test_an_alternator_that_was_measured_holds_what_was_measured():
    found = operating(0, ON, alt='voltage = "14.6 V"')
    assert found.across("tx", "start") == pytest.approx(14.6, abs=1e-3)


def test_the_rest_voltage_that_was_measured_wins():
    uncharged = OFF.replace(', start = { start = "100 %" }', "")
    found = operating(10, uncharged, start='rest_voltage = "12 V"')
    assert found.across("tx", "start") == pytest.approx(12.0 - 10 * 0.010)


SECOND = 'aux = { part = "battery:b", at = "p" }'
LINK = """
    L1 = { cable = "cable:w", from = "start.pos", to = "aux.pos", length = "2 m", ends = ["bare:x", "bare:x"] }
    L2 = { cable = "cable:w", from = "aux.neg", to = "start.neg", length = "2 m", ends = ["bare:x", "bare:x"] }
"""


def test_two_linked_batteries_share_a_load():
    found = operating(10, OFF.replace('start = "100 %"', 'start = "100 %", aux = "100 %"'), SECOND, LINK)
    # 10 mohm against 10 mohm and 2 * 2 m * 2 mohm/m of link
    link_ohm = pair_ohm(found, "L1", "L2", 0.004)
    assert -found.current("tx", "L1") == pytest.approx(10 * 0.010 / (0.010 + 0.010 + link_ohm))


def test_the_fuller_of_two_linked_batteries_charges_the_other_with_the_engine_off():
    found = operating(0, OFF.replace('start = "100 %"', 'start = "100 %", aux = "50 %"'), SECOND, LINK)
    assert found.current("tx", "L1") == pytest.approx((12.8 - 12.2) / (0.020 + pair_ohm(found, "L1", "L2", 0.004)))


def test_with_the_engine_on_neither_takes():
    found = operating(0, ON.replace('start = "100 %"', 'start = "100 %", aux = "50 %"'), SECOND, LINK)
    assert found.current("tx", "L1") == pytest.approx(0.0, abs=1e-12)
    assert found.across("tx", "aux") == pytest.approx(14.0, rel=1e-12)


def test_with_the_engine_on_a_charger_and_its_battery_stand_at_the_voltage_of_the_charger():
    """Nothing draws there, and the battery does not take: the charger alone says what the voltage is."""
    charger = 'charger = { part = "charger:dcdc-12-12-18", at = "p" }\n    aux = { part = "battery:b", at = "p" }'
    pairs = (
        "start.pos charger.in-pos",
        "start.neg charger.in-neg",
        "charger.out-pos aux.pos",
        "charger.out-neg aux.neg",
    )
    wires = [
        f'C{number} = {{ cable = "cable:w", from = "{a}", to = "{b}", length = "1 m", ends = ["bare:x", "bare:x"] }}'
        for number, (a, b) in enumerate(pair.split() for pair in pairs)
    ]
    states = ON.replace('start = "100 %"', 'start = "100 %", aux = "50 %"')
    found = operating(0, states, charger, "\n".join(wires))
    assert found.across("tx", "aux") == pytest.approx(14.4, rel=1e-12)
    assert found.current("tx", "C2") == pytest.approx(0.0, abs=1e-12)


def test_an_empty_battery_lets_the_set_drop_below_its_least_voltage():
    found = operating(60, OFF.replace("100 %", "0 %"))
    assert found.across("tx", "set") == pytest.approx(11.8 - 60 * (0.010 + pair_ohm(found, "W1", "W2", 0.002)))
    greedy = operating(300, OFF.replace("100 %", "0 %"))
    leads_ohm = pair_ohm(greedy, "W1", "W2", 0.002)
    assert greedy.across("tx", "set") == pytest.approx(11.8 - 300 * (0.010 + leads_ohm))
    assert greedy.solutions["tx"].below_minimum(0) == ("set",)
    assert greedy.solutions["tx"].settled.current(0, "W1") == pytest.approx(0.0, abs=1e-9)
