"""What a conductor stands for a short time: laws, limits, and the two equations that must agree."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rigfeed.errors import OutOfRange, UnknownName
from rigfeed_cables.short_time import (
    k_factor,
    onderdonk_current_a,
    preece_current_a,
    preece_diameter_mm,
    smallest_area_mm2,
    withstand_a2s,
)

starts_c = st.floats(-40, 150)


@given(starts_c, starts_c)
def test_a_hotter_start_leaves_less(one_c, other_c):
    cold_c, hot_c = sorted((one_c, other_c))
    assert k_factor(hot_c, 160.0) <= k_factor(cold_c, 160.0)


@given(st.floats(0.1, 500), st.floats(10, 200))
def test_the_smallest_area_just_bears_it(area_mm2, k):
    assert smallest_area_mm2(withstand_a2s(area_mm2, k), k) == pytest.approx(area_mm2)


@given(st.floats(-40, 200), st.floats(0.01, 5))
def test_onderdonk_is_the_adiabatic_equation_up_to_melting(ambient_c, time_s):
    """Two ways to the same physics; the constants of either were rounded by others."""
    adiabatic_a = k_factor(ambient_c, 1083.0) / math.sqrt(time_s)
    assert onderdonk_current_a(1.0, time_s, ambient_c) == pytest.approx(adiabatic_a, rel=0.006)


def test_a_warm_wire_melts_sooner():
    """The copied form with 234 minus the ambient says the contrary."""
    assert onderdonk_current_a(1.0, 1.0, 100.0) < onderdonk_current_a(1.0, 1.0, 0.0)


@given(st.floats(0.5, 2000))
def test_preece_there_and_back(current_a):
    assert preece_current_a(preece_diameter_mm(current_a)) == pytest.approx(current_a)


def test_arrays_broadcast_and_floats_stay_floats():
    assert k_factor(np.array([70.0, 160.0]), 160.0).tolist() == pytest.approx([115.0, 0.0], abs=0.1)
    assert onderdonk_current_a(np.array([1.0, 2.0]), 1.0).tolist() == pytest.approx([288.9, 577.8], abs=0.5)
    assert type(k_factor(70.0, 160.0)) is type(onderdonk_current_a(1.0, 1.0)) is float
    assert type(preece_diameter_mm(10.0)) is float


@pytest.mark.parametrize(
    ("name", "call"),
    [
        ("final_c", lambda: k_factor(170.0, 160.0)),
        ("start_c", lambda: k_factor(math.nan, 160.0)),
        ("area_mm2", lambda: withstand_a2s(0.0, 115.0)),
        ("k", lambda: withstand_a2s(1.0, -1.0)),
        ("k", lambda: smallest_area_mm2(1.0, 0.0)),
        ("let_through_a2s", lambda: smallest_area_mm2(-1.0, 115.0)),
        ("time_s", lambda: onderdonk_current_a(1.0, 11.0)),
        ("area_mm2", lambda: onderdonk_current_a(0.0, 1.0)),
        ("ambient_c", lambda: onderdonk_current_a(1.0, 1.0, -234.0)),
        ("current_a", lambda: preece_diameter_mm(0.0)),
        ("diameter_mm", lambda: preece_current_a(math.inf)),
    ],
)
def test_refuses_by_name(name, call):
    with pytest.raises(OutOfRange) as caught:
        call()
    assert caught.value.name == name


def test_an_unknown_metal_names_the_known():
    with pytest.raises(UnknownName, match="copper"):
        k_factor(70.0, 160.0, "coper")
