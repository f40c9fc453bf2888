"""What each kind is made of for a condition, and the settings and rows that it refuses."""

from __future__ import annotations

from dataclasses import replace

import pytest
from tests.plugins.installing import assessed

from rigfeed.errors import CatalogError, OutOfRange, UnknownName
from rigfeed.network.elements import Converter, Diode, Resistor, Sink, Source, Switch
from rigfeed.parts.interfaces import Condition
from rigfeed.parts.shelf import Shelf
from rigfeed.quantity import Quantity
from rigfeed.registry import make_registry
from rigfeed_batteries.alternator import AlternatorSettings
from rigfeed_batteries.battery import BatterySettings
from rigfeed_batteries.charger import ChargerSettings

SHELF = Shelf(make_registry())
OFF, ON = Condition(), Condition(engine_on=True)
HALF = BatterySettings(charge=Quantity.parse("50 %", "%"))
AT_REST = BatterySettings(rest_voltage=Quantity.parse("12.4 V", "V"))


def only(elements, sort):
    (found,) = [element for element in elements if isinstance(element, sort)]
    return found


def amps(text: str) -> Quantity:
    return Quantity.parse(text, "A")


def volts(text: str) -> Quantity:
    return Quantity.parse(text, "V")


# batteries


@pytest.mark.parametrize(("case", "ohm"), [("operating", 0.009), ("lowest", 0.009), ("highest", 0.006)])
def test_a_battery_is_aged_but_for_the_highest_current(case, ohm):
    battery = SHELF.part("battery:flooded-60")
    source = only(battery.elements(HALF, Condition(case=case, temperature_c=25.0)), Source)
    assert source.ohm == pytest.approx(ohm)
    assert source.limit_a == float("inf")


def test_for_the_highest_current_a_battery_is_full_whatever_was_measured():
    battery = SHELF.part("battery:flooded-60")
    at_25 = {case: Condition(case=case, temperature_c=25.0) for case in ("operating", "lowest", "highest")}
    assert only(battery.elements(AT_REST, at_25["operating"]), Source).emf_v == 12.4
    assert only(battery.elements(AT_REST, at_25["lowest"]), Source).emf_v == 12.4
    assert only(battery.elements(AT_REST, at_25["highest"]), Source).emf_v == pytest.approx(12.736)


def test_the_cold_raises_the_resistance_of_an_aged_battery_and_moves_its_voltage():
    battery = SHELF.part("battery:agm-70")
    warm, cold = (only(battery.elements(HALF, Condition(temperature_c=t)), Source) for t in (25.0, -20.0))
    assert cold.ohm == pytest.approx(1.8 * warm.ohm)
    assert warm.emf_v - cold.emf_v == pytest.approx(45 * 1.2e-3)
    highest = only(battery.elements(HALF, Condition(temperature_c=-20.0, case="highest")), Source)
    assert highest.ohm == battery.new_ohm


def test_what_was_measured_on_the_battery_wins_and_moves_with_the_temperature():
    """Measured in the cold, where this row says 1.8 times: warm it has so much less."""
    battery = SHELF.part("battery:agm-70")
    cold = Quantity.parse("-20 C", "degC")
    measured = replace(HALF, resistance=Quantity.parse("18 mohm", "mohm"), resistance_at=cold)
    ohms = {
        (case, t): only(battery.elements(measured, Condition(case=case, temperature_c=t)), Source).ohm
        for case in ("operating", "lowest", "highest") for t in (-20.0, 25.0)
    }
    assert ohms["operating", -20.0] == ohms["lowest", -20.0] == pytest.approx(18e-3)
    assert ohms["operating", 25.0] == pytest.approx(10e-3)
    assert ohms["highest", 25.0] == ohms["highest", -20.0] == battery.new_ohm  # it may be replaced by a new one
    better = replace(measured, resistance=Quantity.parse("4 mohm", "mohm"))
    highest = only(battery.elements(better, Condition(case="highest", temperature_c=-20.0)), Source)
    assert highest.ohm < 4e-3 / 1.8 + 1e-12 < battery.new_ohm


def test_a_row_without_curves_knows_no_temperature():
    battery = SHELF.part("battery:agm-80")
    assert len({battery.resistance_ohm(Condition(temperature_c=t)) for t in (-20.0, 25.0, 60.0)}) == 1
    assert battery.emf_v(0.5, -20.0) == battery.emf_v(0.5)
    assert battery.capacity_at_ah(-20.0) == 80


@pytest.mark.parametrize("case", ["operating", "highest", "lowest"])
def test_with_the_engine_on_a_battery_stands_behind_a_one_way_element(case):
    elements = SHELF.part("battery:lifepo4-50").elements(HALF, replace(ON, case=case))
    assert only(elements, Source).pos == "cells"
    assert (only(elements, Diode).a, only(elements, Diode).b) == ("cells", "pos")


def test_a_management_unit_is_no_limit_of_the_network():
    battery = SHELF.part("battery:lifepo4-200")
    assert battery.bms_a == 100
    emf_v = only(battery.elements(HALF, replace(OFF, case="highest")), Source).emf_v
    assert emf_v / battery.new_ohm > 3000


# alternators


@pytest.mark.parametrize(
    ("mode", "case", "held_v", "most_a"),
    [
        ("on", "operating", 14.4, 150), ("low", "operating", 12.4, 150), ("high", "operating", 15.0, 150),
        ("idle", "operating", 14.4, 70), ("on", "highest", 15.0, 150), ("idle", "highest", 15.0, 150),
        ("on", "lowest", 12.4, 70),
    ],
)
def test_a_variable_alternator_holds_what_it_is_told(mode, case, held_v, most_a):
    part = SHELF.part("alternator:variable-150")
    source = only(part.elements(AlternatorSettings(), Condition(mode=mode, engine_on=True, case=case)), Source)
    assert (source.emf_v, source.limit_a) == (held_v, pytest.approx(most_a, rel=1e-5))


@pytest.mark.parametrize("mode", ["on", "low", "high", "idle"])
def test_a_fixed_alternator_holds_one_voltage(mode):
    part = SHELF.part("alternator:fixed-90")
    source = only(part.elements(AlternatorSettings(), Condition(mode=mode, engine_on=True)), Source)
    assert (source.emf_v, source.limit_a) == (14.0, pytest.approx(90, rel=1e-5))
    assert not part.variable


def test_a_standing_alternator_is_its_case_alone():
    assert len(SHELF.part("alternator:fixed-90").elements(AlternatorSettings(), OFF)) == 1


# converters and chargers


@pytest.mark.parametrize("part", ["converter:24-13.8-10", "converter:24-13.8-10-isolated"])
@pytest.mark.parametrize("mode", ["on", "standby", "off"])
def test_negatives_are_joined_unless_isolated_even_when_off(part, mode):
    converter = SHELF.part(part)
    bonds = [e for e in converter.elements(None, Condition(mode=mode)) if e.name == "bond"]
    assert [(e.a, e.b) for e in bonds] == ([] if converter.isolated else [("in-neg", "out-neg")])


@pytest.mark.parametrize("key", ["converter:24-12-15", "charger:dcdc-20"])
def test_four_terminals_and_the_poles_among_them(key):
    part = SHELF.part(key)
    names = [terminal.name for terminal in part.terminals]
    assert names[:4] == ["in-pos", "in-neg", "out-pos", "out-neg"]
    assert set(part.poles) | set(part.input_poles) == set(names[:4])
    assert names[4:] == (["engine"] if key.startswith("charger") else [])


@pytest.mark.parametrize(("case", "limit_a"), [("operating", 20), ("highest", 20), ("lowest", 15)])
def test_a_converter_left_alone_goes_on_converting(case, limit_a):
    for mode in ("on", "standby"):
        element = only(SHELF.part("converter:24-12-15").elements(None, Condition(mode=mode, case=case)), Converter)
        assert (element.limit_a, element.standby_w) == (pytest.approx(limit_a, rel=1e-4), 1.44)
        assert (element.cutoff_v, element.restart_v) == (18, 20)
    assert SHELF.part("converter:24-12-15").elements(None, Condition(mode="off")) == ()


@pytest.mark.parametrize(
    ("key", "enable", "engine_on", "runs"),
    [
        ("dcdc-10", None, False, True), ("dcdc-10", None, True, True),
        ("dcdc-20", None, False, True), ("dcdc-20", "engine", False, False), ("dcdc-20", "engine", True, True),
        ("dcdc-12-12-40-engine", None, False, False), ("dcdc-12-12-40-engine", None, True, True),
    ],
)
def test_what_starts_a_charger(key, enable, engine_on, runs):
    charger = SHELF.part(f"charger:{key}")
    for mode in ("on", "standby"):
        elements = charger.elements(ChargerSettings(enable=enable), Condition(mode=mode, engine_on=engine_on))
        assert any(isinstance(element, Converter) for element in elements) == runs
        assert any(e.name == "asleep" for e in elements) == (not runs)
    assert not any(isinstance(e, Converter) for e in charger.elements(ChargerSettings(), Condition(mode="off")))


def test_the_engine_signal_lets_a_charger_hold_on_longer():
    charger = SHELF.part("charger:dcdc-20")
    by_volts, by_engine = ChargerSettings(), ChargerSettings(enable="engine")
    assert (charger.stops_below_v(by_volts), charger.restarts_at_v(by_volts)) == (12.2, 12.3)
    assert (charger.stops_below_v(by_engine), charger.restarts_at_v(by_engine)) == (11.0, 12.3)
    assert charger.stops_below_v(ChargerSettings(lockout=volts("12.5 V"))) == 12.5
    assert charger.restarts_at_v(ChargerSettings(lockout=volts("12.5 V"))) == 12.5  # never below the lock-out
    assert charger.restarts_at_v(ChargerSettings(restart=volts("13 V"))) == 13.0


def test_a_charger_is_set_within_what_it_can():
    charger = SHELF.part("charger:dcdc-20")
    element = only(charger.elements(ChargerSettings(current=amps("8 A"), profile="AGM"), ON), Converter)
    assert (element.limit_a, element.out_v) == (pytest.approx(8, rel=1e-4), 14.6)
    assert charger.charge_v(ChargerSettings(voltage=volts("14.1 V"), profile="AGM")) == 14.1
    for setting in ("25 A", "2 A"):
        with pytest.raises(OutOfRange, match="5 to 20 A"):
            charger.charge_a(ChargerSettings(current=amps(setting)))
    with pytest.raises(UnknownName, match="start of charger"):
        SHELF.part("charger:dcdc-10").starts_on(ChargerSettings(enable="engine"))
    with pytest.raises(UnknownName, match="profile of charger"):
        replace(charger, gel_v=None).charge_v(ChargerSettings(profile="gel"))


def test_at_full_output_the_input_takes_all_and_says_what_it_would_need():
    charger = SHELF.part("charger:dcdc-20")
    full = charger.elements(ChargerSettings(), Condition(mode="full", engine_on=True))
    sink, source = only(full, Sink), only(full, Source)
    assert sink.value == pytest.approx(20 * 14.4 / 0.9 + 0.5)
    assert (sink.min_v, sink.restart_v) == (12.2, 12.3)
    assert (source.emf_v, source.limit_a) == (14.4, pytest.approx(20, rel=1e-4))
    fault = charger.elements(ChargerSettings(), Condition(mode="full", engine_on=True, case="highest"))
    assert only(fault, Converter).limit_a == pytest.approx(20, rel=1e-4)


# relays, splitters, switches


def test_a_relay_that_senses_volts():
    contact = only(SHELF.part("relay:volts-140").elements(None, OFF), Switch)
    assert (contact.sense_pos, contact.sense_neg, contact.close_v, contact.open_v) == ("a", "neg", 13.3, 12.8)
    both = SHELF.part("relay:volts-both-140").elements(None, OFF)
    assert [contact.sense_pos for contact in both] == ["a", "b"]
    assert only(SHELF.part("relay:volts-both-140").elements(None, Condition(case="highest")), Switch).closed


def test_a_relay_that_follows_the_engine_draws_its_coil():
    relay = SHELF.part("relay:engine-100")
    for condition in (OFF, ON):
        elements = relay.elements(None, condition)
        assert only(elements, Switch).closed == condition.engine_on
        assert only(elements, Switch).sense_pos is None
        assert only(elements, Resistor).ohm_20 == pytest.approx(12 / 0.4)
    assert relay.terminal("engine").pole == "signal"
    assert relay.through == (("a", "b"),)


def test_a_splitter_loses_its_rated_drop_at_its_rated_current():
    splitter = SHELF.part("splitter:diode-120-3")
    diodes = splitter.elements(None, ON)
    assert [(d.a, d.b) for d in diodes] == [("in", "out1"), ("in", "out2"), ("in", "out3")] == list(splitter.through)
    for diode in diodes:
        assert diode.drop_v + 120 * diode.ohm == pytest.approx(0.8)
        assert diode.drop_v == 0.5


@pytest.mark.parametrize(("mode", "closed"), [("on", True), ("", True), ("off", False)])
def test_a_master_switch(mode, closed):
    contact = only(SHELF.part("isolator:switch-200").elements(None, Condition(mode=mode)), Switch)
    assert (contact.closed, contact.ohm) == (closed, 0.0003)


# what is refused

CELLS = "capacity_ah=80 | aged_mohm=9 | new_mohm=5 | rest_v=0 12; 100 13"
EMPTY = """
    [points.p]
    [nodes.K]
    part = "{}:x"
    at = "p"
"""


@pytest.mark.parametrize(
    ("row", "says"),
    [
        ("relay:x: sense=volts | rated_a=100 | contact_mohm=0.4", "close_v"),
        ("relay:x: sense=volts | rated_a=100 | contact_mohm=0.4 | close_v=12.8 | open_v=13.3", "open_v below it"),
        ("relay:x: sense=both | rated_a=100 | contact_mohm=0.4", "one of the choices"),
        ("splitter:x: rated_a=100 | drop_v=0.6 | knee_v=0.7", "below drop_v"),
        ("splitter:x: rated_a=100 | drop_v=0.6 | knee_v=0.5 | outputs=5", "outputs"),
        (f"battery:x: chemistry=AGM | {CELLS} | frost_lock=1", "yes"),
        (f"battery:x: chemistry=tin | {CELLS}", "tin"),
        ("charger:x: nominal_in_v=12 | out_v=14.4 | limit_a=20 | efficiency_percent=101", "out of range"),
        ("converter:x: nominal_in_v=24 | out_v=13.8 | limit_a=20", "efficiency_percent"),
        ("isolator:x: rated_a=100 | contact_mohm=0", "contact_mohm"),
        ("alternator:x: rated_a=100", "set_v"),
    ],
)
def test_a_broken_row_is_refused_by_its_column(row, says):
    with pytest.raises(CatalogError, match=says):
        assessed(EMPTY.format(row.partition(":")[0]), row)
