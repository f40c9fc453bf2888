"""Ambient correction: never more current in hotter air, nothing at all in air as hot as the rating."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from rigfeed.errors import OutOfRange
from rigfeed_cables.ampacity import ambient_factor, corrected_ampacity_a

ratings_c = st.floats(60.0, 260.0)
ambients_c = st.floats(-60.0, 259.0)


@given(ratings_c, ambients_c, ambients_c)
def test_hotter_air_never_allows_more(rated_c, one_c, other_c):
    cold_c, hot_c = sorted((one_c, other_c))
    assume(hot_c < rated_c)
    assert corrected_ampacity_a(50.0, hot_c, rated_c) <= corrected_ampacity_a(50.0, cold_c, rated_c)


@given(ratings_c, ambients_c)
def test_square_of_the_factor_is_the_ratio_of_rises(rated_c, ambient_c):
    assume(ambient_c < rated_c)
    rise_k = ambient_factor(ambient_c, rated_c) ** 2 * (rated_c - 30.0)
    assert rise_k == pytest.approx(rated_c - ambient_c, rel=1e-9)


@given(ratings_c, ambients_c, ambients_c)
def test_correcting_there_and_back_changes_nothing(rated_c, one_c, other_c):
    assume(max(one_c, other_c) < rated_c - 0.01)
    there_a = corrected_ampacity_a(50.0, one_c, rated_c, base_c=other_c)
    assert corrected_ampacity_a(there_a, other_c, rated_c, base_c=one_c) == pytest.approx(50.0, rel=1e-9)


def test_the_ambient_of_the_table_changes_nothing():
    assert ambient_factor(30.0, 105.0) == 1.0
    assert ambient_factor(40.0, 105.0, base_c=40.0) == 1.0


@pytest.mark.parametrize("ambient_c", [105.0, 110.0])
def test_air_as_hot_as_the_rating_is_an_error(ambient_c):
    with pytest.raises(OutOfRange, match=r"below the conductor's rated 105 degC; .* may carry nothing") as caught:
        corrected_ampacity_a(80.0, ambient_c, rated_c=105.0)
    assert (caught.value.name, caught.value.value) == ("ambient_c", ambient_c)


def test_one_place_too_hot_among_many():
    with pytest.raises(OutOfRange, match="ambient_c is 120"):
        ambient_factor(np.array([40.0, 120.0]), 105.0)
    with pytest.raises(OutOfRange, match="ambient_c is 80; allowed: below the conductor's rated temperature"):
        ambient_factor(80.0, np.array([105.0, 75.0]))


@pytest.mark.parametrize(
    ("name", "arguments"),
    [
        ("base_c", (20.0, 60.0, 60.0)),
        ("ambient_c", (math.nan, 105.0, 30.0)),
        ("ambient_c", (-61.0, 105.0, 30.0)),
        ("rated_c", (20.0, 261.0, 30.0)),
        ("base_c", (20.0, 105.0, math.nan)),
    ],
)
def test_refuses_by_name(name, arguments):
    with pytest.raises(OutOfRange) as caught:
        ambient_factor(*arguments)
    assert caught.value.name == name


@pytest.mark.parametrize("bad", [-1.0, math.nan, math.inf])
def test_table_ampacity_is_not_negative(bad):
    with pytest.raises(OutOfRange, match="table_a"):
        corrected_ampacity_a(bad, 40.0, 105.0)


def test_arrays_broadcast_and_floats_stay_floats():
    factors = ambient_factor(np.array([[30.0], [50.0]]), np.array([60.0, 75.0, 90.0]))
    assert factors.shape == (2, 3)
    assert factors[0].tolist() == [1.0, 1.0, 1.0]
    assert corrected_ampacity_a(np.array([10.0, 20.0]), 30.0, 90.0).tolist() == [10.0, 20.0]
    assert type(ambient_factor(50.0, 75.0)) is float
    assert type(corrected_ampacity_a(50.0, 50.0, 75.0)) is float
