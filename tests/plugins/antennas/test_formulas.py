"""Coils, straps, filters, whine, wind and gain: what must hold of them, and what they refuse."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rigfeed.errors import OutOfRange
from rigfeed_antennas import gain, inductors, mechanics, noise

lengths_mm = st.floats(50.0, 1000.0)


@given(st.floats(1, 200), st.floats(5, 200), st.floats(1.0, 10.0))
def test_twice_the_turns_four_times_the_inductance(turns, diameter_mm, slender):
    once, twice = (inductors.coil_inductance_h(n, diameter_mm, slender * diameter_mm) for n in (turns, 2 * turns))
    assert twice == pytest.approx(4 * once)


def test_a_long_coil_is_a_solenoid():
    # mu0 n^2 A / l, short of it by the field that leaves at the ends: 1 + 0.9 r/l in Wheeler's formula
    solenoid_h = 4e-7 * math.pi * 100**2 * math.pi * 0.005**2 / 0.5
    assert inductors.coil_inductance_h(100.0, 10.0, 500.0) == pytest.approx(solenoid_h, rel=0.02)


@given(lengths_mm, st.floats(1.0, 25.0), st.floats(0.1, 3.0))
def test_a_longer_or_thinner_strap_has_more(length_mm, width_mm, thickness_mm):
    base_h = inductors.strap_inductance_h(length_mm, width_mm, thickness_mm)
    assert inductors.strap_inductance_h(1.1 * length_mm, width_mm, thickness_mm) > 1.1 * base_h
    assert inductors.strap_inductance_h(length_mm, 1.1 * width_mm, thickness_mm) < base_h


def test_a_thin_strap_is_a_wire_of_alike_girth():
    # round wire, low frequency: 0.002 l (ln(4 l/d) - 0.75) uH in cm; a square bar of side s stands for d = 1.18 s
    wire_h = 2e-7 * 0.3 * (math.log(4 * 300 / (1.18 * 2.0)) - 0.75)
    assert inductors.strap_inductance_h(300.0, 2.0, 2.0) == pytest.approx(wire_h, rel=0.01)


@given(st.floats(1e-6, 1.0), st.floats(1e-9, 1.0))
def test_at_its_corner_both_reactances_are_alike(inductance_h, capacitance_f):
    corner_hz = inductors.filter_corner_hz(inductance_h, capacitance_f)
    capacitive_ohm = 1 / (2 * math.pi * corner_hz * capacitance_f)
    assert inductors.reactance_ohm(inductance_h, corner_hz) == pytest.approx(capacitive_ohm)


def test_a_decade_above_the_corner_takes_40_db():
    tens = [inductors.filter_attenuation_db(10.0**power, 1.0) for power in (2, 3)]
    assert tens[1] - tens[0] == pytest.approx(40.0, abs=0.01)


@given(st.floats(0.0, 60.0), st.floats(0.5, 20.0), st.floats(0.1, 5.0))
def test_wind_goes_with_the_square_of_the_speed(speed, rod_mm, length_m):
    once, twice = (mechanics.wind_force_n(v, rod_mm, length_m) for v in (speed, 2 * speed))
    assert twice == pytest.approx(4 * once)
    assert mechanics.wind_moment_n_m(once, length_m) == pytest.approx(once * length_m / 2)


@given(st.floats(0.0, 100.0), st.floats(0.0, 30.0), st.floats(0.0, 30.0))
def test_decibels_add(power_w, one_db, other_db):
    in_turn = gain.power_after_loss_w(gain.power_after_loss_w(power_w, one_db), other_db)
    assert gain.power_after_loss_w(power_w, one_db + other_db) == pytest.approx(in_turn)
    assert gain.erp_w(power_w, one_db, one_db) == pytest.approx(power_w)
    assert gain.eirp_w(power_w, one_db, gain.DIPOLE_DBI) == pytest.approx(
        1.64 * gain.erp_w(power_w, one_db, 0.0), rel=1e-3
    )


def test_a_very_short_rod_has_three_times_an_isotropic_source():
    assert gain.monopole_gain_dbi(0.01) == pytest.approx(10 * math.log10(3), abs=0.01)


@pytest.mark.parametrize(
    ("call", "name"),
    [
        (lambda: inductors.coil_inductance_h(10.0, 50.0, 19.0), "length_mm"),
        (lambda: inductors.coil_inductance_h(0.0, 50.0, 50.0), "turns"),
        (lambda: inductors.coil_resistance_ohm(1e-6, 1e6, 0.0), "quality"),
        (lambda: inductors.ferrite_inductance_h(3.0, -1.0), "al_nh"),
        (lambda: inductors.strap_inductance_h(10.0, 20.0, 1.0), "length_mm"),
        (lambda: inductors.reactance_ohm(1e-6, math.nan), "frequency_hz"),
        (lambda: inductors.filter_corner_hz(0.0, 1e-6), "inductance_h"),
        (lambda: inductors.filter_attenuation_db(100.0, 100.0), "frequency_hz"),
        (lambda: noise.alternator_frequency_hz(5.0, 1000.0), "poles"),
        (lambda: noise.alternator_frequency_hz(0.0, 1000.0), "poles"),
        (lambda: noise.whine_hz(12.0, 0.0), "rpm"),
        (lambda: noise.alternator_rpm(1000.0, 0.0, 50.0), "engine_pulley_mm"),
        (lambda: mechanics.wind_force_n(-1.0, 3.0, 1.0), "speed_m_per_s"),
        (lambda: mechanics.wind_force_n(30.0, 3.0, 1.0, drag=5.0), "drag"),
        (lambda: mechanics.wind_moment_n_m(-1.0, 1.0), "force_n"),
        (lambda: mechanics.bend_radius_mm(5.0, 0.5), "times"),
        (lambda: gain.power_after_loss_w(10.0, -0.1), "loss_db"),
        (lambda: gain.erp_w(10.0, 0.0, math.inf), "gain_dbd"),
        (lambda: gain.eirp_w(-1.0, 0.0, 0.0), "power_w"),
    ],
)
def test_refuses_by_name(call, name):
    with pytest.raises(OutOfRange) as caught:
        call()
    assert caught.value.name == name


def test_arrays_broadcast_and_floats_stay_floats():
    assert noise.whine_hz(np.array([12.0, 16.0]), 1000.0).tolist() == [600.0, 800.0]
    assert inductors.strap_inductance_h(np.array([100.0, 200.0]), 20.0, 1.0).shape == (2,)
    for value in (
        inductors.filter_corner_hz(1e-3, 1e-3), gain.erp_w(1.0, 1.0, 1.0), mechanics.wind_force_n(30.0, 3.0, 1.0),
        inductors.filter_attenuation_db(10.0, 1.0), inductors.strap_inductance_h(100.0, 20.0, 1.0),
    ):
        assert type(value) is float
