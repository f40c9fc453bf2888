"""Heat of a cable in still air: physics that holds everywhere, and what is refused."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rigfeed.errors import OutOfRange
from rigfeed_cables.heat import (
    MORGAN,
    air_properties,
    convection_w_per_m,
    free_air_ampacity_a,
    heat_balance_current_a,
    nusselt,
    radiation_w_per_m,
)
from rigfeed_cables.resistance import resistance_from_catalog_ohm

airs_c = st.floats(-40, 120)
rises_k = st.floats(0.1, 100)
wide_mm = st.floats(1, 40)


@given(wide_mm, airs_c, rises_k, st.floats(1.05, 2))
def test_a_hotter_surface_loses_more(diameter_mm, air_c, rise_k, more):
    """By more than the correlations jump where their pieces meet."""
    for lost in (convection_w_per_m, radiation_w_per_m):
        assert lost(diameter_mm, air_c + more * rise_k * 0.7, air_c) > lost(diameter_mm, air_c + rise_k * 0.7, air_c)


@given(airs_c, rises_k, st.floats(1, 40), st.floats(1.05, 2))
def test_a_thicker_cable_loses_more(air_c, rise_k, diameter_mm, more):
    for lost in (convection_w_per_m, radiation_w_per_m):
        assert lost(diameter_mm * more, air_c + rise_k, air_c) > lost(diameter_mm, air_c + rise_k, air_c)


def test_without_a_difference_nothing_is_lost():
    assert convection_w_per_m(5.0, 40.0, 40.0) == 0
    assert radiation_w_per_m(5.0, 40.0, 40.0) == 0


def test_the_pieces_of_the_correlation_meet():
    for most, _, _ in MORGAN[:-1]:
        assert nusselt(most * (1 + 1e-12)) == pytest.approx(nusselt(most), rel=0.01)


def test_thin_air_carries_less():
    assert convection_w_per_m(5.0, 90.0, 30.0, height_m=3000.0) < convection_w_per_m(5.0, 90.0, 30.0)
    assert air_properties(20.0, 3000.0).density_kg_per_m3 < air_properties(20.0).density_kg_per_m3


@given(
    area_mm2=st.sampled_from([0.5, 1.0, 2.5, 6.0, 16.0, 50.0]), wall_mm=st.floats(0.2, 2), air_c=st.floats(-40, 100),
    rated_c=st.floats(60, 200),
)
def test_the_solution_balances(area_mm2, wall_mm, air_c, rated_c):
    """The heat that the current makes passes the insulation and leaves the surface."""
    od_mm, ohm_per_km = math.sqrt(4 * area_mm2 / math.pi) + 2 * wall_mm, 18.0 / area_mm2
    amps = free_air_ampacity_a(area_mm2, ohm_per_km, od_mm, rated_c, air_c)
    if rated_c <= air_c:
        assert amps == 0
        return
    made = amps**2 * resistance_from_catalog_ohm(1.0, ohm_per_km, rated_c)
    surface_c = rated_c - made * math.log(od_mm / (od_mm - 2 * wall_mm)) / (2 * math.pi * 0.2)
    lost = convection_w_per_m(od_mm, surface_c, air_c) + radiation_w_per_m(od_mm, surface_c, air_c)
    assert lost == pytest.approx(made, rel=0.01)


# Installation codes keep a reserve: NFPA 70 table 310.17, single conductor in free air at 75 degC in 30 degC, with the
# outside diameter of its thick insulation
@pytest.mark.parametrize(
    ("area_mm2", "ohm_per_km", "od_mm", "code_a"),
    [(3.309, 5.342, 3.86, 35), (5.261, 3.3455, 4.47, 50), (21.15, 0.831, 8.94, 125), (107.2, 0.164, 17.48, 360)],
)
def test_no_more_than_a_quarter_above_a_code(area_mm2, ohm_per_km, od_mm, code_a):
    assert 0.95 <= free_air_ampacity_a(area_mm2, ohm_per_km, od_mm, 75.0, 30.0) / code_a <= 1.25


def test_arrays_broadcast_and_floats_stay_floats():
    heats = radiation_w_per_m(np.array([5.0, 10.0]), 90.0, 30.0)
    assert heats[1] == pytest.approx(2 * heats[0])
    assert type(radiation_w_per_m(5.0, 90.0, 30.0)) is float
    assert heat_balance_current_a(np.array([10.0, 40.0]), 10.0).tolist() == pytest.approx([31.62, 63.25], abs=0.01)


@pytest.mark.parametrize(
    ("name", "call"),
    [
        ("surface_c", lambda: convection_w_per_m(5.0, 20.0, 30.0)),
        ("surface_c", lambda: radiation_w_per_m(5.0, 20.0, 30.0)),
        ("diameter_mm", lambda: convection_w_per_m(0.0, 90.0, 30.0)),
        ("diameter_mm", lambda: radiation_w_per_m(math.nan, 90.0, 30.0)),
        ("air_c", lambda: convection_w_per_m(5.0, 90.0, math.nan)),
        ("emissivity", lambda: radiation_w_per_m(5.0, 90.0, 30.0, 1.1)),
        ("rayleigh", lambda: nusselt(0.0)),
        ("film_c", lambda: air_properties(300.0)),
        ("height_m", lambda: air_properties(30.0, -1.0)),
        ("lost_w_per_m", lambda: heat_balance_current_a(-1.0, 1.0)),
        ("ohm_per_km", lambda: heat_balance_current_a(1.0, 0.0)),
        ("od_mm", lambda: free_air_ampacity_a(2.5, 7.98, 1.7, 90.0, 30.0)),
        ("rated_c", lambda: free_air_ampacity_a(2.5, 7.98, 3.0, 300.0, 30.0)),
    ],
)
def test_refuses_by_name(name, call):
    with pytest.raises(OutOfRange) as caught:
        call()
    assert caught.value.name == name
