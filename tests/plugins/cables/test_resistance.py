"""Resistance: what it refuses, how it broadcasts, and laws that hold everywhere."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rigfeed.errors import OutOfRange, UnknownName
from rigfeed_cables.resistance import (
    MATERIALS,
    corrected_resistance_ohm,
    estimated_conductor_c,
    hot_run_length_m,
    material_factor,
    resistance_from_catalog_ohm,
    resistance_ohm,
    temperature_factor,
)

lengths_m = st.floats(0.01, 100.0)
areas_mm2 = st.floats(0.05, 150.0)
temperatures_c = st.floats(-60.0, 260.0)


@given(lengths_m, areas_mm2, st.floats(1.001, 100.0), temperatures_c)
def test_more_metal_always_resists_less(length_m, area_mm2, ratio, conductor_c):
    thick_ohm = resistance_ohm(length_m, area_mm2 * ratio, conductor_c)
    assert thick_ohm < resistance_ohm(length_m, area_mm2, conductor_c)


@given(lengths_m, areas_mm2, temperatures_c, temperatures_c)
def test_hotter_never_resists_less(length_m, area_mm2, one_c, other_c):
    cold_c, hot_c = sorted((one_c, other_c))
    assert resistance_ohm(length_m, area_mm2, cold_c) <= resistance_ohm(length_m, area_mm2, hot_c)


@given(lengths_m, lengths_m, areas_mm2)
def test_lengths_in_series_add(first_m, second_m, area_mm2):
    parts_ohm = resistance_ohm(first_m, area_mm2) + resistance_ohm(second_m, area_mm2)
    assert resistance_ohm(first_m + second_m, area_mm2) == pytest.approx(parts_ohm, rel=1e-12)


@given(lengths_m, areas_mm2, temperatures_c)
def test_catalog_and_metal_agree_where_the_catalog_is_ideal(length_m, area_mm2, conductor_c):
    ohm_per_km = resistance_ohm(1000.0, area_mm2)
    from_catalog_ohm = resistance_from_catalog_ohm(length_m, ohm_per_km, conductor_c)
    assert from_catalog_ohm == pytest.approx(resistance_ohm(length_m, area_mm2, conductor_c), rel=1e-12)


@given(st.floats(20.0, 260.0), lengths_m)
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


@pytest.mark.parametrize("material", MATERIALS)
def test_no_material_conducts_better_than_copper(material):
    assert 1.0 <= material_factor(material) < 1.6
    assert MATERIALS[material].source


def test_unknown_material_names_its_neighbours():
    with pytest.raises(UnknownName, match="metal-coated copper"):
        material_factor("metal-coated coper")


def test_arrays_broadcast():
    result_ohm = resistance_ohm(np.array([[58.0], [116.0]]), np.array([1.0, 2.0, 4.0]))
    assert result_ohm.tolist() == [[1.0, 0.5, 0.25], [2.0, 1.0, 0.5]]
    assert temperature_factor(np.array([20.0, 70.0])) == pytest.approx([1.0, 1.1965])
    assert hot_run_length_m(np.array([10.0, 20.0]), 20.0) == pytest.approx([10.0, 20.0])


def test_floats_stay_floats():
    results = [
        temperature_factor(70.0),
        resistance_ohm(1.0, 1.0),
        corrected_resistance_ohm(1.0, 50.0),
        estimated_conductor_c(1.0, 2.0, 20.0, 90.0),
        hot_run_length_m(1.0, 50.0),
    ]
    assert {type(result) for result in results} == {float}


@pytest.mark.parametrize("bad", [0.0, -1.0, math.nan, math.inf])
def test_area_is_above_zero_and_finite(bad):
    with pytest.raises(OutOfRange, match="area_mm2") as caught:
        resistance_ohm(1.0, bad)
    assert caught.value.name == "area_mm2"


@pytest.mark.parametrize("bad", [-0.001, math.nan, math.inf])
def test_length_is_not_negative(bad):
    with pytest.raises(OutOfRange, match="length_m is"):
        resistance_ohm(bad, 1.0)
    with pytest.raises(OutOfRange, match="length_m is"):
        resistance_from_catalog_ohm(bad, 3.3)
    with pytest.raises(OutOfRange, match="cold_length_m is"):
        hot_run_length_m(bad, 50.0)


@pytest.mark.parametrize("bad", [-60.1, 260.1, math.nan])
def test_temperature_within_the_ratings_of_wire(bad):
    with pytest.raises(OutOfRange, match=r"conductor_c is .*; allowed: -60 to 260"):
        resistance_from_catalog_ohm(1.0, 3.3, bad)


def test_ends_of_the_range_are_allowed():
    assert temperature_factor(-60.0) == pytest.approx(1 - 80 * 0.00393)
    assert temperature_factor(260.0) == pytest.approx(1 + 240 * 0.00393)
    assert resistance_ohm(0.0, 1.0) == 0.0


def test_one_bad_value_of_an_array_is_named():
    with pytest.raises(OutOfRange, match="area_mm2 is -2"):
        resistance_ohm(1.0, np.array([[1.0, 4.0], [-2.0, 1.0]]))


def test_a_coefficient_far_from_any_metal_is_refused():
    with pytest.raises(OutOfRange, match="alpha_per_k"):
        temperature_factor(70.0, alpha_per_k=0.393)
    with pytest.raises(OutOfRange, match="temperature factor"):
        temperature_factor(-60.0, alpha_per_k=0.004, reference_c=260.0)


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
