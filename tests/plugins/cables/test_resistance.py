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


def test_floats_stay_floats():
    results = [
        temperature_factor(70.0),
        resistance_ohm(1.0, 1.0),
        corrected_resistance_ohm(1.0, 50.0),
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
