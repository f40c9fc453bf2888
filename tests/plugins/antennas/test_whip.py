"""Short whips against a calculation by the method of moments, and what must hold of any.

The tables nec_*.csv are calculations over perfect ground, not measurements: they show that the short formulas follow
the long way, not that a vehicle does.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.plugins.antennas.tables import table

from rigfeed.errors import OutOfRange
from rigfeed_antennas.gain import monopole_gain_dbi
from rigfeed_antennas.whip import (
    loading_reactance_ohm,
    radiation_resistance_ohm,
    rod_length_m,
    short_whip,
    whip_reactance_ohm,
)

HEIGHT_M, ROD_MM, QUALITY, GROUND_OHM = 2.4, 3.0, 200.0, 8.0
ROWS = table("nec_whip.csv")
by_row = pytest.mark.parametrize(
    "row", ROWS, ids=lambda r: f"{r['frequency_mhz']} MHz {r['coil_height']:.2f} {r['segments']:.0f}"
)
heights_m = st.floats(0.5, 4.0)
places = st.floats(0.0, 0.8)


def made(row, **more):
    return short_whip(
        HEIGHT_M, ROD_MM, row["frequency_mhz"] * 1e6, coil_height=row["coil_height"], coil_q=QUALITY,
        ground_ohm=GROUND_OHM, **more,
    )


def test_the_table_has_every_place_of_the_coil_and_every_band():
    assert len(ROWS) == 24
    assert {row["frequency_mhz"] for row in ROWS} == {1.9, 3.7, 7.1, 10.1}


@by_row
def test_radiation_resistance_follows_the_calculation(row):
    ratio = made(row).radiation_ohm / row["feed_ohm"]
    least, most = (0.975, 1.055) if row["coil_height"] == 0 else (0.92, 1.0)
    assert least <= ratio <= most


@by_row
def test_the_coil_follows_the_calculation(row):
    assert made(row).coil_h * 1e6 == pytest.approx(row["coil_uh"], rel=0.03)


@by_row
def test_the_efficiency_follows_the_calculation(row):
    whole_ohm = row["feed_ohm"] + row["added_ohm"] + GROUND_OHM
    assert 0.98 <= made(row).efficiency / (row["feed_ohm"] / whole_ohm) <= 1.11


@pytest.mark.parametrize(("place", "ohm"), [(0.0, 1.28), (0.5, 2.87), (2 / 3, 3.54)])
def test_2p4_m_at_7p1_mhz(place, ohm):
    assert radiation_resistance_ohm(HEIGHT_M, 7.1e6, place) == pytest.approx(ohm, abs=0.005)


def test_at_7p1_mhz_the_base_coil_is_within_the_closer_band():
    for row in ROWS:
        if row["frequency_mhz"] == 7.1 and row["coil_height"] == 0:
            assert -0.01 <= radiation_resistance_ohm(HEIGHT_M, 7.1e6) / row["feed_ohm"] - 1 <= 0.04


@given(heights_m, st.floats(1.8, 7.0), st.floats(1.0, 10.0))
def test_the_coil_at_the_base_is_the_reactance_of_the_rod(height_m, mhz, rod_mm):
    coil_ohm = loading_reactance_ohm(height_m, rod_mm, mhz * 1e6)
    rod_ohm = 60 * (math.log(2000 * height_m / rod_mm) - 1) / math.tan(2 * math.pi * height_m * mhz / 299.792458)
    assert coil_ohm == pytest.approx(rod_ohm, rel=1e-9)
    assert whip_reactance_ohm(height_m, rod_mm, mhz * 1e6) == -coil_ohm


@given(heights_m, places, st.floats(0.01, 0.1))
def test_a_higher_coil_is_larger_and_radiates_more(height_m, place, more):
    mhz = 5e6
    assert loading_reactance_ohm(height_m, 3.0, mhz, place + more) > loading_reactance_ohm(height_m, 3.0, mhz, place)
    assert radiation_resistance_ohm(height_m, mhz, place + more) > radiation_resistance_ohm(height_m, mhz, place)


def test_a_coil_just_above_the_base_is_one_at_the_base():
    low, base = (loading_reactance_ohm(2.4, 3.0, 7.1e6, place) for place in (1e-6, 0.0))
    assert low == pytest.approx(base, rel=1e-4)


@given(heights_m, places, st.floats(20, 500), st.floats(0, 30))
def test_no_whip_radiates_more_than_it_gets(height_m, place, quality, ground_ohm):
    found = short_whip(height_m, 3.0, 5e6, coil_height=place, coil_q=quality, ground_ohm=ground_ohm)
    assert 0.0 < found.efficiency < 1.0
    assert found.feed_ohm == pytest.approx(found.radiation_ohm + found.coil_ohm + ground_ohm)
    better = short_whip(height_m, 3.0, 5e6, coil_height=place, coil_q=2 * quality, ground_ohm=ground_ohm)
    assert better.efficiency > found.efficiency
    assert better.bandwidth_hz < found.bandwidth_hz


def test_the_bandwidth_is_that_of_a_resonance():
    # at the edges of a series resonance matched to R, X = 2 R Q df/f and S follows from R + jX
    found = short_whip(2.4, 3.0, 7.1e6, coil_height=0.5, swr=2.0)
    reactance_ohm = found.coil_h * 2 * math.pi * 7.1e6 * found.bandwidth_hz / 7.1e6
    rho = abs(1j * reactance_ohm / (2 * found.feed_ohm + 1j * reactance_ohm))
    assert (1 + rho) / (1 - rho) == pytest.approx(2.0, rel=1e-6)


def test_gain_is_that_of_a_short_rod_less_the_losses():
    found = short_whip(0.5, 3.0, 7.1e6, ground_ohm=0.0, coil_q=1e9)
    assert found.gain_dbi == pytest.approx(monopole_gain_dbi(0.0118), abs=0.02)


def test_lengths_and_gain_of_resonant_rods():
    assert rod_length_m(146e6, 0.25, 1.0) * 4 * 146e6 == pytest.approx(299_792_458)
    assert rod_length_m(np.array([146e6, 73e6]))[1] == pytest.approx(2 * rod_length_m(146e6))
    gains = [monopole_gain_dbi(height) for height in (0.05, 0.25, 0.5, 0.625)]
    assert gains == sorted(gains)
    assert monopole_gain_dbi(0.7) < gains[-1]  # beyond five eighths the horizon loses again


@pytest.mark.parametrize(
    ("call", "name"),
    [
        (lambda: radiation_resistance_ohm(4.3, 7.1e6), "height_m"),
        (lambda: radiation_resistance_ohm(0.0, 7.1e6), "height_m"),
        (lambda: radiation_resistance_ohm(2.4, 7.1e6, 0.95), "coil_height"),
        (lambda: loading_reactance_ohm(2.4, 300.0, 7.1e6), "rod_mm"),
        (lambda: loading_reactance_ohm(2.4, 0.0, 7.1e6), "rod_mm"),
        (lambda: short_whip(2.4, 3.0, 7.1e6, coil_q=0.0), "coil_q"),
        (lambda: short_whip(2.4, 3.0, 7.1e6, ground_ohm=-1.0), "ground_ohm"),
        (lambda: short_whip(2.4, 3.0, 7.1e6, swr=1.0), "swr"),
        (lambda: short_whip(2.4, 3.0, math.nan), "frequency_hz"),
        (lambda: rod_length_m(146e6, 1.5), "wavelengths"),
        (lambda: rod_length_m(146e6, 0.25, 0.5), "shortening"),
        (lambda: monopole_gain_dbi(0.8), "height_wavelengths"),
    ],
)
def test_refuses_by_name(call, name):
    with pytest.raises(OutOfRange) as caught:
        call()
    assert caught.value.name == name


def test_arrays_broadcast_and_floats_stay_floats():
    ohms = radiation_resistance_ohm(np.array([1.2, 2.4]), 7.1e6)
    assert ohms[1] == pytest.approx(4 * ohms[0])
    coils = loading_reactance_ohm(2.4, 3.0, 7.1e6 * np.ones(2), np.array([0.0, 0.5]))
    assert coils.shape == (2,)
    assert type(loading_reactance_ohm(2.4, 3.0, 7.1e6, 0.5)) is float
