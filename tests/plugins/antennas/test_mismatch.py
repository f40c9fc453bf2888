"""Standing waves, and the line with a load held against a ladder of lumped elements."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rigfeed.errors import OutOfRange
from rigfeed_antennas import mismatch
from rigfeed_antennas.line import loaded_line

ratios = st.floats(1.0, 100.0)
losses = st.floats(0.0, 20.0)


@given(ratios)
def test_power_is_either_taken_or_reflected(swr):
    taken = 10 ** (-mismatch.mismatch_loss_db(swr) / 10)
    assert taken + mismatch.reflected_share(swr) == pytest.approx(1.0)


@given(st.floats(0.1, 1e4), st.floats(1.0, 300.0))
def test_a_load_and_its_inverse_stand_alike(load_ohm, line_ohm):
    other = mismatch.swr_from_load(line_ohm**2 / load_ohm, line_ohm)
    assert mismatch.swr_from_load(load_ohm, line_ohm) == pytest.approx(other)
    assert other >= 1.0 - 1e-12


@given(st.floats(1.0, 20.0), st.floats(0.1, 1000.0))
def test_a_wattmeter_reads_the_ratio_back(swr, forward_w):
    reflected_w = forward_w * mismatch.reflected_share(swr)
    assert mismatch.swr_from_powers(forward_w, reflected_w) == pytest.approx(swr, rel=1e-9)


@given(ratios, losses)
def test_a_ratio_never_looks_worse_at_the_set(swr, loss_db):
    assert 1.0 <= mismatch.swr_at_set(swr, loss_db) <= swr * (1 + 1e-12)


def test_three_decibels_hide_even_an_open_end():
    assert mismatch.swr_at_set(1e9, 10 * math.log10(2)) == pytest.approx(3.0, rel=1e-6)


@given(ratios, losses)
def test_a_mismatch_never_loses_less_by_the_handbook(swr, loss_db):
    assert mismatch.handbook_line_loss_db(swr, loss_db) >= loss_db - 1e-9


def test_a_perfect_match_returns_nothing():
    assert mismatch.return_loss_db(1.0) == math.inf
    assert mismatch.mismatch_loss_db(1.0) == 0.0
    assert mismatch.handbook_line_loss_db(1.0, 2.0) == pytest.approx(2.0)


@pytest.mark.parametrize(
    ("call", "name"),
    [
        (lambda: mismatch.reflection(0.99), "swr"),
        (lambda: mismatch.reflected_share(math.inf), "swr"),
        (lambda: mismatch.swr_from_load(0.0), "load_ohm"),
        (lambda: mismatch.swr_from_powers(10.0, 10.0), "reflected_w"),
        (lambda: mismatch.swr_from_powers(0.0, 0.0), "forward_w"),
        (lambda: mismatch.swr_at_set(2.0, -0.1), "matched_loss_db"),
        (lambda: mismatch.handbook_line_loss_db(math.nan, 0.1), "swr"),
        (lambda: loaded_line(7e6, 5.0, 1.4, 0.02, load_ohm=0.0), "load_ohm"),
        (lambda: loaded_line(7e6, 5.0, 1.4, 0.02, load_ohm=50.0, reactance_ohm=math.inf), "reactance_ohm"),
        (lambda: loaded_line(7e6, 0.0, 1.4, 0.02, load_ohm=50.0), "length_m"),
        (lambda: loaded_line(7e6, 5.0, 1.4, 0.02, load_ohm=50.0, velocity_factor=1.1), "velocity_factor"),
        (lambda: loaded_line(1e3, 5.0, 500.0, 0.02, load_ohm=50.0), "k1"),
    ],
)
def test_refuses_by_name(call, name):
    with pytest.raises(OutOfRange) as caught:
        call()
    assert caught.value.name == name


def ladder(hertz, metres, k1, k2, load, cells=4000, ohm=50.0, speed=0.66):
    """The line as a ladder of lumped elements, walked from the load to the set; loss [dB] and what the set sees."""
    metal, dielectric = k1 * math.sqrt(hertz / 1e6) / 868.588964, k2 * hertz / 1e6 / 868.588964  # neper per metre
    piece = metres / cells
    omega = 2 * math.pi * hertz
    series = (2 * metal * ohm + 1j * omega * ohm / (speed * 299_792_458.0)) * piece
    shunt = (2 * dielectric / ohm + 1j * omega / (ohm * speed * 299_792_458.0)) * piece
    amps, volts = 1.0 + 0j, load + 0j
    taken = (volts * amps.conjugate()).real
    for _ in range(cells):  # half of the series element, the shunt element, the other half
        volts += amps * series / 2
        amps += volts * shunt
        volts += amps * series / 2
    return 10 * math.log10((volts * amps.conjugate()).real / taken), volts / amps


@pytest.mark.parametrize("load", [12, 208, 50, 3 - 400j, 15 + 60j, 2000, 35 - 20j])
@pytest.mark.parametrize(("hertz", "metres"), [(3.8e6, 5.0), (28.5e6, 5.0), (146e6, 4.0), (7.1e6, 30.0)])
def test_the_line_is_a_long_ladder(hertz, metres, load):
    line = loaded_line(hertz, metres, 1.386, 0.0199, load_ohm=load.real, reactance_ohm=load.imag)
    loss_db, seen = ladder(hertz, metres, 1.386, 0.0199, load)
    assert line.loss_db == pytest.approx(loss_db, rel=2e-4)
    assert complex(line.input_ohm, line.input_reactance_ohm) == pytest.approx(seen, rel=2e-4)


@given(st.floats(1.0, 3000.0), st.floats(-2000.0, 2000.0), st.floats(0.1, 100.0), st.floats(1e6, 1e9))
def test_a_line_never_gives_power(load_ohm, reactance_ohm, metres, hertz):
    line = loaded_line(hertz, metres, 1.386, 0.0199, load_ohm=load_ohm, reactance_ohm=reactance_ohm)
    assert line.loss_db > 0.0
    assert line.input_ohm > 0.0


def test_the_handbook_is_right_where_metal_and_dielectric_lose_alike():
    for load_ohm in (12.0, 208.0):
        line = loaded_line(4e6, 5.0, 0.7, 0.35, load_ohm=load_ohm)  # 1.4 dB per 100 m in each
        handbook = mismatch.handbook_line_loss_db(line.swr_at_load, line.matched_db)
        assert line.loss_db == pytest.approx(handbook, rel=1e-6)


def test_the_handbook_fails_on_a_short_line_of_hf_and_is_right_on_a_long_one():
    short = loaded_line(3.8e6, 5.0, 1.386, 0.0199, load_ohm=np.array([12.0, 208.0]))
    handbook = mismatch.handbook_line_loss_db(short.swr_at_load, short.matched_db)
    assert handbook == pytest.approx([0.30, 0.30], abs=0.005)
    assert short.loss_db[0] > 1.5 * handbook[0]
    assert short.loss_db[1] < 0.5 * handbook[1]
    long = loaded_line(146e6, 30.0, 1.386, 0.0199, load_ohm=np.array([12.0, 208.0]))
    assert long.half_waves == pytest.approx(44.3, abs=0.1)
    assert long.loss_db == pytest.approx(mismatch.handbook_line_loss_db(long.swr_at_load, long.matched_db), rel=0.01)


def test_a_matched_line_loses_what_its_curve_says():
    line = loaded_line(146e6, 10.0, 1.386, 0.0199, load_ohm=50.0)
    assert line.matched_db == pytest.approx(0.1 * (1.386 * math.sqrt(146) + 0.0199 * 146), rel=1e-4)
    assert line.loss_db == pytest.approx(line.matched_db, rel=0.01)
    assert type(line.loss_db) is float
