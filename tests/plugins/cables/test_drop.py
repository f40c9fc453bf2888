"""Voltage drop: signs, monotony, and that size, length and area undo one another."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from rigfeed.errors import OutOfRange
from rigfeed_cables.awg import TRADE_GAUGES, area_mm2, cmil_from_mm2
from rigfeed_cables.drop import (
    area_for_drop_mm2,
    iso_drop_v,
    longest_loop_m,
    marine_area_mm2,
    resistive_load_current_a,
    smallest_gauge_for_drop,
    voltage_drop_v,
)
from rigfeed_cables.resistance import resistance_from_catalog_ohm, resistance_ohm

currents_a = st.floats(0.1, 200.0)
lengths_m = st.floats(0.1, 50.0)
areas_mm2 = st.floats(0.2, 120.0)
drops_v = st.floats(0.05, 5.0)
temperatures_c = st.floats(-40.0, 200.0)


@given(currents_a, lengths_m, areas_mm2, st.floats(1.001, 50.0))
def test_more_metal_never_drops_more(current_a, length_m, size_mm2, ratio):
    thin_v = voltage_drop_v(current_a, resistance_ohm(length_m, size_mm2))
    assert voltage_drop_v(current_a, resistance_ohm(length_m, size_mm2 * ratio)) < thin_v
    assert iso_drop_v(current_a, length_m, size_mm2 * ratio) < iso_drop_v(current_a, length_m, size_mm2)


@given(currents_a, lengths_m, areas_mm2, temperatures_c, temperatures_c)
def test_hotter_never_drops_less(current_a, length_m, size_mm2, one_c, other_c):
    cold_c, hot_c = sorted((one_c, other_c))
    cold_v = voltage_drop_v(current_a, resistance_ohm(length_m, size_mm2, cold_c))
    assert voltage_drop_v(current_a, resistance_ohm(length_m, size_mm2, hot_c)) >= cold_v


@given(currents_a, lengths_m, areas_mm2)
def test_reversing_the_current_changes_the_sign_only(current_a, length_m, size_mm2):
    path_ohm = resistance_ohm(length_m, size_mm2)
    assert voltage_drop_v(-current_a, path_ohm) == -voltage_drop_v(current_a, path_ohm)
    assert iso_drop_v(-current_a, length_m, size_mm2) == -iso_drop_v(current_a, length_m, size_mm2)


@given(currents_a, lengths_m, drops_v, temperatures_c)
def test_the_area_asked_for_drops_what_was_allowed(current_a, length_m, allowed_v, conductor_c):
    size_mm2 = area_for_drop_mm2(current_a, length_m, allowed_v, conductor_c)
    drop_v = voltage_drop_v(current_a, resistance_ohm(length_m, size_mm2, conductor_c))
    assert drop_v == pytest.approx(allowed_v, rel=1e-12)


@given(currents_a, drops_v, st.floats(0.1, 100.0), temperatures_c)
def test_the_longest_loop_drops_what_was_allowed(current_a, allowed_v, ohm_per_km, conductor_c):
    loop_m = longest_loop_m(allowed_v, current_a, ohm_per_km, conductor_c)
    drop_v = voltage_drop_v(current_a, resistance_from_catalog_ohm(loop_m, ohm_per_km, conductor_c))
    assert drop_v == pytest.approx(allowed_v, rel=1e-12)


@given(currents_a, lengths_m, drops_v, temperatures_c)
def test_the_size_is_enough_and_the_next_thinner_is_not(current_a, length_m, allowed_v, conductor_c):
    def drop_v(gauge):
        return voltage_drop_v(current_a, resistance_ohm(length_m, area_mm2(float(gauge)), conductor_c))

    assume(drop_v(TRADE_GAUGES[0]) < allowed_v * 0.999)
    gauge = smallest_gauge_for_drop(current_a, length_m, allowed_v, conductor_c)
    thinner = [size for size in TRADE_GAUGES if size > gauge]
    assert drop_v(gauge) <= allowed_v * (1 + 1e-12)
    assert not thinner or drop_v(thinner[0]) > allowed_v * (1 - 1e-12)


@given(currents_a, lengths_m, drops_v)
def test_conventions_differ_by_their_constants_only(current_a, length_m, allowed_v):
    ideal_mm2 = area_for_drop_mm2(current_a, length_m, allowed_v)
    # 10.75 ohm cmil/ft is 0.0178712 ohm mm2/m and ideal copper 0.0172414: 3.65 % in reserve
    assert marine_area_mm2(current_a, length_m, allowed_v) / ideal_mm2 == pytest.approx(1.0365, abs=1e-4)
    # 0.0164 is 4.88 % below ideal copper at 20 degC: the small-craft convention promises that much too little
    assert iso_drop_v(current_a, length_m, ideal_mm2) / allowed_v == pytest.approx(0.9512, abs=1e-4)


def test_marine_formula_as_it_is_printed():
    # CM = K I L / E in its own units: 10.75 * 20 A * 30 ft / 0.5 V = 12900 cmil
    assert cmil_from_mm2(marine_area_mm2(20.0, 30 * 0.3048, 0.5)) == pytest.approx(12900.0, rel=1e-12)


def test_the_basis_of_the_resistances_decides_the_size():
    # 20 A over a loop of 50 ft within 1 V: ideal copper allows 10 AWG (0.9988 V); tin-plated aircraft wire of 10 AWG,
    # 1.26 ohm/kft by FAA AC 43.13-1B change 1 table 11-9, would drop 1.26 V and the next size up is needed.
    tin_plated = {10: 1.26 / 0.3048, 8: 0.70 / 0.3048}
    assert smallest_gauge_for_drop(20.0, 50 * 0.3048, 1.0) == 10
    assert smallest_gauge_for_drop(20.0, 50 * 0.3048, 1.0, ohm_per_km_of=tin_plated) == 8


def test_no_size_is_enough():
    with pytest.raises(OutOfRange, match=r"allowed_v is 0.1; allowed: at least 0.16\d* V, the drop of 4/0 AWG"):
        smallest_gauge_for_drop(100.0, 10.0, 0.1)
    with pytest.raises(OutOfRange, match="number of sizes to choose from is 0"):
        smallest_gauge_for_drop(100.0, 10.0, 0.1, ohm_per_km_of={})


def test_resistive_load_divides_the_voltage():
    current_a = resistive_load_current_a(12.0, 5.0, 1.0)
    assert current_a == 2.0
    assert voltage_drop_v(current_a, 5.0) + voltage_drop_v(current_a, 1.0) == 12.0


@pytest.mark.parametrize("bad", [0.0, -1.0, math.nan, math.inf])
@pytest.mark.parametrize("place", range(3))
@pytest.mark.parametrize("function", [area_for_drop_mm2, marine_area_mm2, longest_loop_m, smallest_gauge_for_drop])
def test_what_sizes_a_conductor_is_above_zero(function, place, bad):
    arguments = [2.0, 3.0, 0.5]
    arguments[place] = bad
    with pytest.raises(OutOfRange, match="allowed: above 0"):
        function(*arguments)


@pytest.mark.parametrize("bad", [math.nan, math.inf, -math.inf])
def test_current_is_finite(bad):
    with pytest.raises(OutOfRange, match="current_a"):
        voltage_drop_v(bad, 1.0)
    with pytest.raises(OutOfRange, match="current_a"):
        iso_drop_v(bad, 1.0, 1.0)


@pytest.mark.parametrize(
    ("name", "call"),
    [
        ("path_ohm", lambda: voltage_drop_v(1.0, -0.1)),
        ("path_ohm", lambda: resistive_load_current_a(12.0, 5.0, -0.1)),
        ("load_ohm", lambda: resistive_load_current_a(12.0, 0.0, 0.1)),
        ("source_v", lambda: resistive_load_current_a(-12.0, 5.0, 0.1)),
        ("loop_length_m", lambda: iso_drop_v(1.0, -1.0, 1.0)),
        ("size_mm2", lambda: iso_drop_v(1.0, 1.0, 0.0)),
        ("conductor_c", lambda: longest_loop_m(0.5, 20.0, 4.134, 300.0)),
        ("conductor_c", lambda: area_for_drop_mm2(20.0, 5.0, 0.5, 300.0)),
        ("conductor_c", lambda: smallest_gauge_for_drop(20.0, 5.0, 0.5, 300.0)),
        ("resistivity_ohm_mm2_per_m", lambda: area_for_drop_mm2(20.0, 5.0, 0.5, resistivity_ohm_mm2_per_m=0.0)),
    ],
)
def test_refuses_by_name(name, call):
    with pytest.raises(OutOfRange) as caught:
        call()
    assert caught.value.name == name


def test_arrays_broadcast_and_floats_stay_floats():
    currents = np.array([[1.0], [-2.0]])
    assert voltage_drop_v(currents, np.array([0.1, 0.5])) == pytest.approx(np.array([[0.1, 0.5], [-0.2, -1.0]]))
    assert marine_area_mm2(np.array([10.0, 20.0]), 3.0, 0.5)[1] == 2 * marine_area_mm2(10.0, 3.0, 0.5)
    assert longest_loop_m(np.array([0.5, 1.0]), 20.0, 4.134, 60.0).shape == (2,)
    results = [
        voltage_drop_v(1.0, 1.0),
        resistive_load_current_a(12.0, 5.0, 1.0),
        area_for_drop_mm2(1.0, 1.0, 1.0),
        marine_area_mm2(1.0, 1.0, 1.0),
        iso_drop_v(1.0, 1.0, 1.0),
        longest_loop_m(1.0, 1.0, 1.0),
    ]
    assert {type(result) for result in results} == {float}


def test_a_drop_that_equals_the_allowed_one_is_within_it():
    # 10 A through 100 m of 1 ohm/km is 1 V to the last bit
    assert smallest_gauge_for_drop(10.0, 100.0, 1.0, ohm_per_km_of={10: 1.0, 8: 0.5}) == 10
