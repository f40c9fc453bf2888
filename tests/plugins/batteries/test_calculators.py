"""The calculators give what others printed, and say no to what is out of their range."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from rigfeed.errors import OutOfRange, UnknownName
from rigfeed.quantity import Quantity
from rigfeed.registry import make_registry
from rigfeed_batteries.calculators import CALCULATORS

BY_NAME = {calculator.name: calculator for calculator in CALCULATORS}
CASES = tomllib.loads((Path(__file__).parent / "calculators.toml").read_text(encoding="utf-8"))["case"]
INPUTS = {case["calculator"]: case["inputs"] for case in CASES}
NUMBERS = [
    (calculator.name, str(field.path[0]))
    for calculator in CALCULATORS
    for field in calculator.inputs
    if field.sort in ("quantity", "number")
]
ASKED_FOR = {
    "alternator-continuous-load", "bank-prospective-current", "battery-emf", "capacity-at-temperature",
    "charger-input-current", "endurance", "peukert-time", "peukert-time-one-amp", "prospective-current",
    "relay-equalising-current", "reserve-capacity", "stand-alone-battery-size", "standing-drain-time",
    "starter-battery-resistance-bound",
}


def ran(name, **changes):
    return BY_NAME[name].run(INPUTS[name] | changes)


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case['calculator']}: {case['what']} ({case['source']})")
def test_published_value(case):
    calculation = BY_NAME[case["calculator"]].run(case["inputs"])
    unit = next(measure.unit for name, _, measure in calculation.outputs if name == case["output"])
    expected = Quantity.parse(case["expect"], unit).to(unit)
    assert calculation[case["output"]] == pytest.approx(expected, rel=case["relative"], abs=0)
    assert "memory" not in case["source"]


def test_every_calculator_has_a_value_to_meet_and_is_registered():
    assert set(INPUTS) == set(BY_NAME) >= ASKED_FOR
    assert set(BY_NAME) <= set(make_registry().calculators)
    assert [calculator.name for calculator in CALCULATORS] == sorted(BY_NAME)


@pytest.mark.parametrize("name", sorted(BY_NAME))
def test_says_what_it_is(name):
    calculator = BY_NAME[name]
    assert calculator.group == "batteries"
    assert all(field.help for field in calculator.inputs)
    names = [output for output, _ in calculator.outputs]
    assert len(names) == len(set(names))


@pytest.mark.parametrize(("name", "field"), NUMBERS, ids=lambda value: value)
def test_refuses_what_is_out_of_range(name, field):
    form = next(f for f in BY_NAME[name].inputs if str(f.path[0]) == field)
    for value in (form.most + 1 + abs(form.most) * 0.01, form.least - 1 - abs(form.least) * 0.01):
        with pytest.raises(OutOfRange) as caught:
            ran(name, **{field: value})
        assert caught.value.name == field


def test_the_two_peukert_calculators_name_each_other_and_agree():
    printed, one_amp = BY_NAME["peukert-time"], BY_NAME["peukert-time-one-amp"]
    assert "peukert-time-one-amp" in printed.text
    assert "peukert-time" in one_amp.text.replace("peukert-time-one-amp", "")
    first = ran("peukert-time")
    second = ran("peukert-time-one-amp", one_amp_capacity=first["one_amp"])
    assert second["time-until-it-is-empty"] == pytest.approx(first["time"])


def test_the_capacities_of_the_two_peukert_forms_are_different_numbers():
    assert ran("peukert-time")["one_amp"] == pytest.approx(137.97, rel=1e-3)
    mixed_up = ran("peukert-time-one-amp", one_amp_capacity="100 Ah")["time-until-it-is-empty"]
    assert mixed_up < 0.75 * ran("peukert-time")["time"]


def test_leads_lower_the_input_voltage_of_a_charger_and_raise_its_current():
    # 320 W behind 21.15 mohm from 12.4 V, by hand: 27.04 A and 11.83 V
    behind = BY_NAME["charger-input-current"].run({
        "out_volts": "14.4 V", "out_current": "20 A", "efficiency": "90 %", "supply": "12.4 V", "leads": "21.15 mohm",
    })
    assert behind["current"] == pytest.approx(27.04, abs=0.02)
    assert behind["volts"] == pytest.approx(11.83, abs=0.005)
    assert behind["volts"] * behind["current"] == pytest.approx(behind["power"])


def test_leads_that_cannot_deliver_the_power_are_refused():
    with pytest.raises(OutOfRange, match="4R"):
        ran("charger-input-current", leads="200 mohm")


def test_a_share_of_a_battery_or_a_cell_is_none():
    with pytest.raises(OutOfRange, match="whole number"):
        ran("battery-emf", cells=3.5)
    with pytest.raises(OutOfRange, match="whole strings of 4"):
        ran("bank-prospective-current", in_series=4)
    with pytest.raises(UnknownName):
        ran("battery-emf", chemistry="nickel")


def test_shares_of_a_duty_leave_nothing_below_zero():
    with pytest.raises(OutOfRange, match="leaves of the time"):
        ran("endurance", transmit_share="70 %", receive_share="40 %")
    with pytest.raises(OutOfRange, match="temperature_c is -20"):
        ran("capacity-at-temperature", temperature="-20 degC")


def test_the_auxiliary_of_a_pickup_lasts_its_shift():
    # 3.5 A on average from 50 Ah of which 80 % may be used: 11.4 h; at -12 degC 79.9 % of the capacity is left: 9.1 h
    duty = {"capacity": "50 Ah", "usable": "80 %", "transmit": "3.5 A", "receive": "3.5 A", "standby": "3.5 A"}
    cold = BY_NAME["capacity-at-temperature"].run({"chemistry": "LiFePO4", "capacity": 50, "temperature": "-12 degC"})
    assert BY_NAME["endurance"].run(duty)["time"] == pytest.approx(11.4, rel=0.01)
    assert BY_NAME["endurance"].run(duty | {"left": cold["share"]})["time"] == pytest.approx(9.13, rel=0.01)
