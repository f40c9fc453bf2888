"""Chargers, converters, relays and splitters in small installations, against hand calculations.

Cable of the demonstration list, 0.2 mohm a lug, 5 mohm of body, 2.5 mohm for a fuse of 40 A with its holder (100 mV at
its rating): the way a fitter works it out.
"""

from __future__ import annotations

import pytest
from tests.plugins.installing import assessed

from rigfeed.studies.operating import OPERATING

BARE = 'ends = ["bare:x", "bare:x"]'
LUGS = 'ends = ["ring:m8-16", "ring:m8-16"]'
ZONES = """
    [zones]
    bay = { warmest = "90 degC" }
    cab = { warmest = "45 degC" }
    [points]
    battery = { zone = "bay" }
    firewall = { zone = "cab" }
    rear = { zone = "cab" }
    [runs]
    bay = { from = "battery", to = "firewall", length = "1.2 m", zone = "bay" }
    cab = { from = "firewall", to = "rear", length = "4.0 m", zone = "cab" }
"""


def drawn(found, state: str, node: str) -> float:
    """What a charger or a converter takes in [A]."""
    return found.solutions[state].asked.input_current(0, node)


def pickup(area: int, states: str, charger: str = "", nodes: str = "", conductors: str = ""):
    """A charger 5.4 m behind a start battery whose alternator holds 12.4 V at the post; the body is the way back."""
    text = f"""
    {ZONES}
    [nodes]
    start = {{ part = "battery:agm-80", at = "battery", settings = {{ rest_voltage = "12.4 V" }} }}
    alt = {{ part = "alternator:variable-150", at = "battery", settings = {{ voltage = "12.4 V" }} }}
    fuse = {{ part = "vehicle-circuit", at = "battery", settings = {{ resistance = "2.5 mohm" }} }}
    dcdc = {{ part = "charger:dcdc-20", at = "rear", settings = {{ {charger} }} }}
    strap = {{ part = "body-point", at = "battery", settings = {{ resistance = "0 mohm" }} }}
    stud = {{ part = "body-point", at = "rear", settings = {{ resistance = "5 mohm" }} }}
    {nodes}
    [conductors]
    W1 = {{ cable = "cable:thinwall-{area}", from = "start.pos", to = "fuse.feed", length = "0.2 m", {LUGS} }}
    W2 = {{ cable = "cable:thinwall-{area}", from = "fuse.out", to = "dcdc.in-pos", route = ["bay", "cab"], {LUGS} }}
    W3 = {{ cable = "cable:thinwall-{area}", from = "dcdc.in-neg", to = "stud.stud", length = "0.6 m", {LUGS} }}
    V1 = {{ cable = "cable:thinwall-25", from = "start.neg", to = "strap.stud", length = "0.3 m", {BARE} }}
    V2 = {{ cable = "cable:thinwall-25", from = "alt.pos", to = "start.pos", length = "0.001 m", {BARE} }}
    {conductors}
    [states]
    {states}
    """
    return assessed(text, "bare:x: contact_mohm=0")[OPERATING]


FULL = 'run = { engine = "on", modes = { dcdc = "full" } }'
RUN = 'run = { engine = "on", modes = { set1 = "transmit", set2 = "transmit", set3 = "transmit" } }'


@pytest.mark.parametrize(
    ("area", "ohm_per_m", "input_v"), [(10, 0.00182, 11.83), (16, 0.00116, 11.96)]
)
def test_a_charger_at_full_output_pulls_its_input_below_its_lock_out(area, ohm_per_m, input_v):
    """14.4 V x 20 A / 0.9 + 0.5 W from 12.4 V over copper in 90 and 45 degC, six lugs, fuse, body."""
    found = pickup(area, FULL)
    lengths_m = {"W1": 0.2, "W2": 5.2, "W3": 0.6}
    air_c = {"W1": 90.0, "W2": (1.2 * 90 + 4.0 * 45) / 5.2, "W3": 45.0}
    warm_c = found.metal_c["run"]
    assert all(0 < warm_c[wire] - air_c[wire] < 20 for wire in air_c)
    copper_ohm = sum(ohm_per_m * m * (1 + 0.00393 * (warm_c[wire] - 20)) for wire, m in lengths_m.items())
    ohm = copper_ohm + 6 * 0.0002 + 0.0025 + 0.005
    post_v = found.across("run", "start")
    across_v = found.between("run", "dcdc.in-pos", "dcdc.in-neg")
    watt = 20 * 14.4 / 0.9 + 0.5
    assert post_v == pytest.approx(12.4, abs=0.01)
    assert across_v == pytest.approx((post_v + (post_v**2 - 4 * ohm * watt) ** 0.5) / 2, abs=0.005)
    assert across_v == pytest.approx(input_v, abs=0.02)
    assert found.current("run", "W2") == pytest.approx(watt / across_v)
    assert found.solutions["run"].below_minimum(0) == ("dcdc",)  # 12.2 V: it locks out, recovers, and starts again
    assert found.solutions["run"].hunting(0) == ("dcdc",)


SETS = "".join(f'set{n} = {{ part = "radio:vhf-25", at = "rear" }}\n    ' for n in (1, 2, 3))
LEADS = "".join(
    f'P{n} = {{ cable = "cable:thinwall-4", from = "dcdc.out-pos", to = "set{n}.pos", length = "0.5 m", {LUGS} }}\n    '
    f'N{n} = {{ cable = "cable:thinwall-4", from = "set{n}.neg", to = "dcdc.out-neg", length = "0.5 m", {LUGS} }}\n    '
    for n in (1, 2, 3)
)
AUX = 'aux = { part = "battery:lifepo4-50", at = "rear", settings = { rest_voltage = "12.8 V" } }\n    '
TO_AUX = (
    f'A1 = {{ cable = "cable:thinwall-16", from = "dcdc.out-pos", to = "aux.pos", length = "0.6 m", {LUGS} }}\n    '
    f'A2 = {{ cable = "cable:thinwall-16", from = "aux.neg", to = "dcdc.out-neg", length = "0.6 m", {LUGS} }}\n    '
)


def test_a_charger_that_really_feeds_hunts_as_well():
    found = pickup(16, RUN, nodes=SETS, conductors=LEADS)
    assert found.solutions["run"].hunting(0) == ("dcdc",)


def test_started_by_the_engine_signal_it_goes_on_and_takes_what_the_balance_of_power_says():
    found = pickup(16, RUN, 'enable = "engine"', SETS, LEADS)
    assert found.solutions["run"].hunting(0) == ()
    out_v, in_v = found.across("run", "dcdc"), found.between("run", "dcdc.in-pos", "dcdc.in-neg")
    assert out_v == pytest.approx(14.4 - 19.5 * 0.005)
    assert found.solutions["run"].asked.current(0, "dcdc") == pytest.approx(19.5, abs=1e-3)
    assert in_v * drawn(found, "run", "dcdc") == pytest.approx(out_v * 19.5 / 0.9 + 0.5, rel=1e-4)
    assert 11.9 < in_v < 12.2


def test_beyond_its_setting_the_auxiliary_gives_the_rest():
    found = pickup(16, RUN, 'enable = "engine", current = "8 A"', AUX + SETS, TO_AUX + LEADS)
    assert found.solutions["run"].asked.limited(0) == ("dcdc",)
    assert -found.current("run", "A1") == pytest.approx(19.5 - 8.0, abs=1e-3)
    assert found.across("run", "aux") == pytest.approx(12.8 - 11.5 * 0.010, abs=1e-3)


def test_an_auxiliary_that_is_charged_already_takes_nothing_with_the_engine_on():
    found = pickup(16, 'run = { engine = "on" }', 'enable = "engine"', AUX, TO_AUX)
    assert found.current("run", "A1") == pytest.approx(0.0, abs=1e-6)
    assert found.across("run", "dcdc") == pytest.approx(14.4, abs=1e-3)


@pytest.mark.parametrize(("enable", "amps"), [("engine", 0.001), ("volts", 0.5 / 12.4)])
def test_left_alone_a_charger_sleeps_or_waits(enable, amps):
    found = pickup(16, 'run = { engine = "off", modes = { dcdc = "standby" } }', f'enable = "{enable}"')
    assert found.current("run", "W2") == pytest.approx(amps, rel=0.05)


def test_started_by_volts_it_robs_the_start_battery_while_that_is_above_the_lock_out():
    found = pickup(16, 'run = { engine = "off" }', 'lockout = "11 V", restart = "11.5 V"', AUX, TO_AUX)
    assert found.current("run", "A1") == pytest.approx(20.0, rel=1e-4)  # into the auxiliary
    assert drawn(found, "run", "dcdc") > 20.0
    assert found.across("run", "start") < 12.3


# a 24 V truck with a 12 V set: 4 mm2, 0.3 + 2.0 m at 70 degC and 4.5 m at 40 degC, two wires


def truck(rest_v: float, load_a: float, converter: str = "converter:24-12-15", mode: str = "on"):
    four = 'cable = "cable:thinwall-4"'
    text = f"""
    [zones]
    chassis = {{ warmest = "70 degC" }}
    cab = {{ warmest = "40 degC" }}
    [points]
    rail = {{ zone = "chassis" }}
    dash = {{ zone = "cab" }}
    [nodes]
    low = {{ part = "battery:flooded-170", at = "rail", settings = {{ rest_voltage = "{rest_v / 2} V" }} }}
    high = {{ part = "battery:flooded-170", at = "rail", settings = {{ rest_voltage = "{rest_v / 2} V" }} }}
    switch = {{ part = "isolator:switch-200", at = "rail" }}
    fuse = {{ part = "vehicle-circuit", at = "rail", settings = {{ resistance = "5 mohm" }} }}
    hinge = {{ part = "joint", at = "dash" }}
    back = {{ part = "joint", at = "dash" }}
    foot = {{ part = "joint", at = "rail" }}
    conv = {{ part = "{converter}", at = "dash" }}
    load = {{ part = "radio:r", at = "dash" }}
    [conductors]
    L = {{ cable = "cable:thinwall-25", from = "low.pos", to = "high.neg", length = "0.001 m", {BARE} }}
    S = {{ cable = "cable:thinwall-25", from = "low.neg", to = "switch.a", length = "0.001 m", {BARE} }}
    W1 = {{ {four}, from = "high.pos", to = "fuse.feed", length = "0.3 m", ends = ["ring:m6-6", "ring:m6-6"] }}
    W2 = {{ {four}, from = "fuse.out", to = "hinge.a", route = ["under"], ends = ["ring:m6-6", "bare:x"] }}
    W3 = {{ {four}, from = "hinge.b", to = "conv.in-pos", length = "4.5 m", ends = ["bare:x", "ring:m6-6"] }}
    R1 = {{ {four}, from = "conv.in-neg", to = "back.b", length = "4.5 m", ends = ["ring:m6-6", "bare:x"] }}
    R2 = {{ {four}, from = "back.a", to = "foot.a", route = ["under"], {BARE} }}
    R3 = {{ {four}, from = "foot.b", to = "switch.b", length = "0.3 m", ends = ["bare:x", "ring:m6-6"] }}
    P = {{ {four}, from = "conv.out-pos", to = "load.pos", length = "0.5 m", {BARE} }}
    N = {{ {four}, from = "load.neg", to = "conv.out-neg", length = "0.5 m", {BARE} }}
    [runs]
    under = {{ from = "rail", to = "dash", length = "2.0 m", zone = "chassis" }}
    [states]
    run = {{ modes = {{ load = "transmit", switch = "{mode}" }} }}
    """
    radio = f"radio:r: transmit_a={load_a} | receive_a=0.6 | standby_a=0.25 | least_v=11.7 | most_v=15.87"
    return assessed(text, radio, "bare:x: contact_mohm=0")[OPERATING]


def test_a_converter_takes_less_current_than_it_gives():
    found = truck(24.0, 9.5)
    # 13.8 V x 9.5 A / 0.88 at 24 V: 6.2 A
    assert drawn(found, "run", "conv") == pytest.approx(6.2, rel=0.05)
    assert found.across("run", "conv") == pytest.approx(13.8 - 9.5 * 0.005)
    assert drawn(truck(21.0, 9.5), "run", "conv") == pytest.approx(7.1, rel=0.05)


def test_at_its_peak_and_low_batteries_its_leads_lose_their_share():
    found = truck(21.0, 20.0)
    assert drawn(found, "run", "conv") == pytest.approx(15.9, rel=0.05)
    post_v = found.between("run", "high.pos", "low.neg")
    assert post_v - found.between("run", "conv.in-pos", "conv.in-neg") == pytest.approx(1.26, rel=0.05)


def test_an_isolated_output_is_an_island_and_a_common_negative_is_none():
    isolated, common = truck(24.0, 5.0), truck(24.0, 5.0, "converter:24-13.8-10")
    assert isolated.between("run", "conv.out-neg", "conv.in-neg") is None
    assert isolated.across("run", "load") == pytest.approx(common.across("run", "load"), abs=0.01)
    # what little returns over the bond: nothing, the loop of the output is closed in itself
    assert common.between("run", "conv.out-neg", "conv.in-neg") == pytest.approx(0.0, abs=1e-9)


def test_an_open_master_switch_leaves_the_converter_without_a_feed():
    found = truck(24.0, 9.5, mode="off")
    assert found.across("run", "load") is None
    assert found.current("run", "W1") == pytest.approx(0.0, abs=1e-9)


# two batteries joined by a relay or a splitter


def joined(link: str, engine: str, alt_v: float, ways: str, aux_v: float = 12.2):
    text = f"""
    [zones.z]
    warmest = "20 degC"
    [points.p]
    zone = "z"
    [nodes]
    start = {{ part = "battery:b", at = "p", settings = {{ rest_voltage = "12.7 V" }} }}
    aux = {{ part = "battery:b", at = "p", settings = {{ rest_voltage = "{aux_v} V" }} }}
    alt = {{ part = "alternator:variable-150", at = "p", settings = {{ voltage = "{alt_v} V" }} }}
    box = {{ part = "vehicle-circuit", at = "p", settings = {{ resistance = "0 mohm" }} }}
    link = {{ part = "{link}", at = "p" }}
    load = {{ part = "radio:r", at = "p" }}
    earth = {{ part = "body-point", at = "p", settings = {{ resistance = "0 mohm" }} }}
    [conductors]
    E1 = {{ cable = "cable:thinwall-25", from = "start.neg", to = "earth.stud", length = "0.1 m", {BARE} }}
    E2 = {{ cable = "cable:thinwall-25", from = "aux.neg", to = "earth.stud", length = "0.1 m", {BARE} }}
    P = {{ cable = "cable:thinwall-25", from = "aux.pos", to = "load.pos", length = "0.1 m", {BARE} }}
    N = {{ cable = "cable:thinwall-25", from = "load.neg", to = "aux.neg", length = "0.1 m", {BARE} }}
    {ways.replace("END", BARE)}
    [states]
    run = {{ engine = "{engine}", modes = {{ load = "transmit" }} }}
    """
    return assessed(
        text, "bare:x: contact_mohm=0", "radio:r: transmit_a=10 | receive_a=1 | standby_a=0 | least_v=9 | most_v=16",
        "battery:b: chemistry=AGM | capacity_ah=80 | aged_mohm=10 | new_mohm=5 | rest_v=0 11.8; 100 12.8",
    )[OPERATING]


RELAY = """
    A = { cable = "cable:thinwall-25", from = "alt.pos", to = "start.pos", length = "0.1 m", END }
    L1 = { cable = "cable:thinwall-16", from = "start.pos", to = "link.a", length = "1 m", END }
    L2 = { cable = "cable:thinwall-16", from = "link.b", to = "aux.pos", length = "1 m", END }
"""
SENSED = RELAY + """
    K = { cable = "cable:thinwall-1", from = "link.neg", to = "earth.stud", length = "1 m", END }
"""
SIGNALLED = SENSED + """
    B = { cable = "cable:thinwall-6", from = "start.pos", to = "box.feed", length = "1 m", END }
    G = { cable = "cable:thinwall-1", from = "box.out", to = "link.engine", length = "1 m", END }
"""


@pytest.mark.parametrize("relay", ["relay:volts-140", "relay:volts-both-140"])
@pytest.mark.parametrize(
    ("engine", "alt_v", "closed"),
    [("on", 14.4, True), ("on", 12.4, False), ("off", 14.4, False)],
    ids=["charging", "variable alternator at its lowest", "standing"],
)
def test_a_relay_that_senses_volts_closes_while_somebody_charges(relay, engine, alt_v, closed):
    found = joined(relay, engine, alt_v, SENSED)
    assert (found.current("run", "L1") > 9.0) == closed
    assert found.across("run", "aux") == pytest.approx(alt_v if closed else 12.1, abs=0.05)


def test_without_its_sense_wire_it_never_closes():
    assert joined("relay:volts-140", "on", 14.4, RELAY).current("run", "L1") == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize(("engine", "closed"), [("on", True), ("off", False)])
def test_a_relay_for_the_engine_signal_closes_at_any_voltage(engine, closed):
    found = joined("relay:engine-100", engine, 12.6, SIGNALLED)
    assert (abs(found.current("run", "L1")) > 1.0) == closed
    assert found.current("run", "G") == pytest.approx(0.4, rel=0.1)  # its coil


SPLIT = """
    A = { cable = "cable:thinwall-25", from = "alt.pos", to = "link.in", length = "0.1 m", END }
    L1 = { cable = "cable:thinwall-25", from = "link.out1", to = "start.pos", length = "0.1 m", END }
    L2 = { cable = "cable:thinwall-25", from = "link.out2", to = "aux.pos", length = "0.1 m", END }
"""


@pytest.mark.parametrize(("splitter", "drop_v"), [("diode-120-2", 0.525), ("fet-100-2", 0.028)])
def test_a_splitter_costs_its_drop_and_joins_nothing(splitter, drop_v):
    found = joined(f"splitter:{splitter}", "on", 14.4, SPLIT)
    # 10 A over the second diode: its knee and 10 A of its slope
    assert found.current("run", "L2") == pytest.approx(10.0, abs=1e-3)
    assert 14.4 - found.across("run", "aux") == pytest.approx(drop_v, abs=0.01)
    standing = joined(f"splitter:{splitter}", "off", 14.4, SPLIT)
    assert [standing.current("run", way) for way in ("L1", "L2")] == pytest.approx([0.0, 0.0], abs=1e-9)
    assert standing.across("run", "aux") == pytest.approx(12.2 - 10 * 0.010, abs=1e-6)
