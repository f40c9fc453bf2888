"""A warm run: between what laws of nature and a worked example of its source allow, and what it refuses."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rigfeed.errors import OutOfRange
from rigfeed_cables.hot_run import estimated_conductor_c, hot_run_length_m
from rigfeed_cables.resistance import resistance_ohm


@given(st.floats(20.0, 260.0), st.floats(0.01, 100.0))
def test_hot_run_keeps_the_cold_drop(conductor_c, cold_m):
    # 254.5 and 234.5 are rounded from 1/0.00393 = 254.45: the two straight lines part by at most 0.02 %.
    hot_m = hot_run_length_m(cold_m, conductor_c)
    assert resistance_ohm(hot_m, 6.0, conductor_c) == pytest.approx(resistance_ohm(cold_m, 6.0), rel=2e-4)


@given(st.floats(0.0, 1.0), st.floats(-40.0, 100.0), st.floats(1.0, 150.0))
def test_estimate_lies_between_ambient_and_rating_and_above_the_square_law(load, ambient_c, rise_k):
    rated_c = ambient_c + rise_k
    estimate_c = estimated_conductor_c(load * 30.0, 30.0, ambient_c, rated_c)
    assert ambient_c - 1e-9 <= estimate_c <= rated_c + 1e-9
    assert estimate_c >= ambient_c + rise_k * load**2 - 1e-9


def test_estimate_by_hand():
    # 14 AWG rated 200 degC in 50 degC, 20 A of the 26 A it may carry; L1 = 15.5 ft. Inputs of example 2 of FAA
    # AC 43.13-1B change 1, page 11-27; worked by hand: sqrt(20/26) = 0.877058, so T2 = 50 + 150 * 0.877058 = 181.559,
    # and L2 = 254.5 * 15.5 / (234.5 + 181.559) = 9.4812 ft.
    conductor_c = estimated_conductor_c(20.0, 26.0, ambient_c=50.0, rated_c=200.0)
    assert conductor_c == pytest.approx(181.559, abs=0.001)
    assert hot_run_length_m(15.5 * 0.3048, conductor_c) / 0.3048 == pytest.approx(9.4812, abs=0.0002)


def test_arrays_broadcast_and_floats_stay_floats():
    assert hot_run_length_m(np.array([10.0, 20.0]), 20.0) == pytest.approx([10.0, 20.0])
    estimates_c = estimated_conductor_c(np.array([0.0, 30.0]), 30.0, 50.0, 200.0)
    assert estimates_c == pytest.approx([50.0, 200.0])
    assert {type(estimated_conductor_c(1.0, 2.0, 20.0, 90.0)), type(hot_run_length_m(1.0, 50.0))} == {float}


@pytest.mark.parametrize("bad", [-0.001, math.nan, math.inf])
def test_a_length_is_not_negative(bad):
    with pytest.raises(OutOfRange, match="cold_length_m is"):
        hot_run_length_m(bad, 50.0)


@pytest.mark.parametrize(
    ("name", "arguments"),
    [
        ("current_a", (27.0, 26.0, 50.0, 200.0)),
        ("current_a", (-1.0, 26.0, 50.0, 200.0)),
        ("most_current_a", (0.0, 0.0, 50.0, 200.0)),
        ("ambient_c", (20.0, 26.0, 200.0, 200.0)),
        ("rated_c", (20.0, 26.0, 50.0, 300.0)),
        ("current_a", (math.nan, 26.0, 50.0, 200.0)),
    ],
)
def test_estimate_refuses(name, arguments):
    with pytest.raises(OutOfRange) as caught:
        estimated_conductor_c(*arguments)
    assert caught.value.name == name


def test_hot_run_is_for_warm_copper():
    with pytest.raises(OutOfRange, match="allowed: 20 to 260"):
        hot_run_length_m(10.0, 0.0)
