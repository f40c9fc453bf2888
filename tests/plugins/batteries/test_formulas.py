"""What must be true of the formulas of batteries whatever is put in."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rigfeed.errors import OutOfRange, UnknownName
from rigfeed_batteries.capacity import (
    SHARES,
    capacity_share,
    one_amp_capacity,
    peukert_time_h,
    peukert_time_one_amp_h,
    reserve_capacity_ah,
)
from rigfeed_batteries.charging import converter_input_a, converter_input_w, equalising_current_a
from rigfeed_batteries.endurance import duty_capacity_ah, duty_current_a, endurance_h, standing_time_h
from rigfeed_batteries.rest import battery_rest_v, lead_cell_rest_v, lithium_cell_rest_v
from rigfeed_batteries.short_circuit import bank_prospective_current_a, prospective_current_a

CHEMISTRIES = ("flooded", "AGM", "gel", "LiFePO4")
shares = st.floats(0.0, 1.0)
exponents = st.floats(1.0, 1.5)
amps = st.floats(0.1, 500.0)


@pytest.mark.parametrize("chemistry", CHEMISTRIES)
@given(shares, shares)
def test_more_charge_is_never_less_voltage(chemistry, one, other):
    low, high = sorted((one, other))
    assert battery_rest_v(low, chemistry, 6) <= battery_rest_v(high, chemistry, 6) + 1e-12


def test_lead_acid_lies_where_everybody_measures_it():
    # by common experience a full 12 V battery rests at 12.6 to 12.9 V, an empty one below 12 V
    for chemistry in ("flooded", "AGM", "gel"):
        assert 12.6 < battery_rest_v(1.0, chemistry, 6) < 12.9
        assert 11.7 < battery_rest_v(0.0, chemistry, 6) < 12.0
        assert 12.2 < battery_rest_v(0.5, chemistry, 6) < 12.5


def test_a_slow_discharge_lies_below_the_voltage_at_rest():
    # low-rate discharge of a lead-acid battery of 6 cells, NREL PySAM 7.1.1, default voltage_matrix
    charge = np.array([0.2649, 0.3717, 0.4731, 0.5709, 0.6727, 0.7727, 0.8782, 0.9539])
    discharge_v = np.array([11.615, 11.817, 11.971, 12.097, 12.209, 12.316, 12.408, 12.452])
    below_v = battery_rest_v(charge, "flooded", 6) - discharge_v
    assert (below_v > 0.0).all()
    assert (below_v < 0.55).all()


def test_lithium_says_little_in_the_middle():
    assert lithium_cell_rest_v(0.95) - lithium_cell_rest_v(0.20) == pytest.approx(0.1, abs=0.005)


def test_a_battery_is_its_cells():
    assert battery_rest_v(0.3, "LiFePO4", 8) == pytest.approx(8 * lithium_cell_rest_v(0.3))
    assert battery_rest_v(1.0, "flooded", 6) == pytest.approx(6 * lead_cell_rest_v(6.0))


def test_arrays_broadcast_and_floats_stay_floats():
    charge = np.array([[0.0], [0.5], [1.0]])
    assert battery_rest_v(charge, "AGM", 6).shape == (3, 1)
    assert type(battery_rest_v(0.5, "AGM", 6)) is float
    assert type(lithium_cell_rest_v(0.5)) is float
    assert type(capacity_share(10.0, "gel")) is float
    assert type(converter_input_a(100.0, 12.0)) is float
    assert converter_input_a(100.0, np.array([12.0, 24.0])).tolist() == pytest.approx([100 / 12, 100 / 24])
    assert type(duty_current_a(12.0, 1.0, 0.5)) is float
    assert peukert_time_h(np.array([5.0, 10.0]), 100.0, 20.0, 1.0).tolist() == [20.0, 10.0]


@given(amps, st.floats(1.0, 500.0), st.floats(1.0, 100.0), exponents)
def test_both_peukert_forms_agree_once_the_capacity_is_converted(current_a, capacity_ah, rated_h, exponent):
    one_amp_ah = one_amp_capacity(capacity_ah, rated_h, exponent)
    first_h, second_h = (
        peukert_time_h(current_a, capacity_ah, rated_h, exponent),
        peukert_time_one_amp_h(current_a, one_amp_ah, exponent),
    )
    assert first_h == pytest.approx(second_h, rel=1e-9)


@given(st.floats(1.0, 500.0), st.floats(1.0, 100.0), exponents)
def test_at_the_rated_current_the_rated_time(capacity_ah, rated_h, exponent):
    assert peukert_time_h(capacity_ah / rated_h, capacity_ah, rated_h, exponent) == pytest.approx(rated_h)


@pytest.mark.parametrize("chemistry", CHEMISTRIES)
def test_colder_is_never_more(chemistry):
    temperatures = [t for t, _ in SHARES[chemistry]]
    grid = np.linspace(temperatures[0], temperatures[-1], 200)
    share = capacity_share(grid, chemistry)
    assert (np.diff(share) >= 0.0).all()
    assert capacity_share(25.0, chemistry) == pytest.approx(1.0, abs=0.05)
    with pytest.raises(OutOfRange, match="temperature_c"):
        capacity_share(temperatures[0] - 0.1, chemistry)


@given(st.floats(0.0, 500.0), st.floats(9.0, 30.0), st.floats(0.0, 0.03))
def test_the_input_of_a_charger_balances(input_w, supply_v, leads_ohm):
    if input_w > supply_v**2 / 4 / leads_ohm if leads_ohm else False:
        with pytest.raises(OutOfRange, match="input_w"):
            converter_input_a(input_w, supply_v, leads_ohm)
        return
    current_a = converter_input_a(input_w, supply_v, leads_ohm)
    volts = supply_v - leads_ohm * current_a
    assert volts * current_a == pytest.approx(input_w, rel=1e-9, abs=1e-12)
    assert volts >= supply_v / 2 * (1 - 1e-9)  # the upper of the two roots


@given(shares, shares, amps, amps, amps)
def test_a_mean_current_lies_between_the_least_and_the_greatest(transmit, receive, it, ir, isb):
    if transmit + receive > 1:
        with pytest.raises(OutOfRange):
            duty_current_a(it, ir, isb, transmit, receive)
        return
    mean_a = duty_current_a(it, ir, isb, transmit, receive)
    assert min(it, ir, isb) * (1 - 1e-9) <= mean_a <= max(it, ir, isb) * (1 + 1e-9)


@given(amps, st.floats(0.5, 100.0), st.floats(0.1, 1.0))
def test_a_battery_of_the_size_asked_for_lasts_the_time_asked_for(current_a, time_h, usable):
    capacity_ah = duty_capacity_ah(current_a, time_h, usable)
    assert endurance_h(capacity_ah, current_a, usable) == pytest.approx(time_h)


def test_a_battery_loses_charge_by_itself():
    alone_h = standing_time_h(80.0, 0.0, share=0.4, month_share=0.02)
    assert alone_h == pytest.approx(0.4 / 0.02 * 730)
    assert standing_time_h(80.0, 0.05, 0.4, 0.02) < standing_time_h(80.0, 0.05, 0.4) == pytest.approx(640.0)
    with pytest.raises(OutOfRange, match="drain_a"):
        standing_time_h(80.0, 0.0)


def test_series_does_not_add_and_parallel_does():
    assert bank_prospective_current_a(1000.0, 2, 2) == 1000.0
    assert bank_prospective_current_a(1000.0, 2, 1) == 2000.0
    assert equalising_current_a(12.0, 12.8, 0.02) == pytest.approx(-40.0)


@pytest.mark.parametrize(
    ("name", "call"),
    [
        ("acid_mol_per_kg", lambda: lead_cell_rest_v(0.1)),
        ("charge", lambda: lithium_cell_rest_v(1.01)),
        ("charge", lambda: battery_rest_v(math.nan, "AGM", 6)),
        ("cells", lambda: battery_rest_v(0.5, "AGM", 0)),
        ("current_a", lambda: peukert_time_h(0.0, 100.0, 20.0, 1.2)),
        ("exponent", lambda: peukert_time_one_amp_h(1.0, 100.0, 0.9)),
        ("exponent", lambda: one_amp_capacity(100.0, 20.0, 2.1)),
        ("reserve_min", lambda: reserve_capacity_ah(-1.0)),
        ("efficiency", lambda: converter_input_w(14.4, 10.0, 1.01)),
        ("efficiency", lambda: converter_input_w(14.4, 10.0, 0.0)),
        ("input_w", lambda: converter_input_a(300.0, 12.0, 0.2)),
        ("usable", lambda: duty_capacity_ah(1.0, 1.0, 0.0)),
        ("factor", lambda: duty_capacity_ah(1.0, 1.0, 0.5, 0.9)),
        ("battery_ohm", lambda: prospective_current_a(12.0, 0.0)),
        ("batteries", lambda: bank_prospective_current_a(1.0, 5, 2)),
        ("in_series", lambda: bank_prospective_current_a(1.0, 5, 0)),
    ],
)
def test_refuses_by_name(name, call):
    with pytest.raises(OutOfRange) as caught:
        call()
    assert caught.value.name == name


def test_an_unknown_chemistry_is_named():
    for call in (lambda: battery_rest_v(0.5, "nickel", 6), lambda: capacity_share(20.0, "nickel")):
        with pytest.raises(UnknownName, match="nickel"):
            call()
