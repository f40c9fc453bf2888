"""How warm a current makes a cable: the inverse of the heat balance, and what must hold of any such law."""

from __future__ import annotations

import math
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rigfeed.parts.shelf import Shelf
from rigfeed.plugin import OutOfRange, Surroundings
from rigfeed.registry import installed_registry
from rigfeed_cables.heat import free_air_ampacity_a
from rigfeed_cables.warmth import free_air_metal_c

# area, resistance, diameter of cables of the demonstration catalog and of two at the ends of what is sold
CABLES = [(0.75, 24.7, 1.9), (2.5, 7.6, 3.0), (16.0, 1.16, 8.3), (35.0, 0.527, 12.0), (0.22, 90.0, 1.2)]


@pytest.mark.parametrize("cable", CABLES)
@pytest.mark.parametrize("air_c", [-40.0, 20.0, 90.0])
@pytest.mark.parametrize("rise_k", [0.1, 1.0, 5.0, 20.0, 75.0, 110.0])
def test_it_is_the_ampacity_read_the_other_way_round(cable, air_c, rise_k):
    area_mm2, ohm_per_km, od_mm = cable
    amps = free_air_ampacity_a(area_mm2, ohm_per_km, od_mm, air_c + rise_k, air_c)
    assert free_air_metal_c(amps, *cable, air_c) == pytest.approx(air_c + rise_k, abs=0.1)


@given(st.sampled_from(CABLES), st.floats(-40, 120), st.floats(0, 500), st.floats(0, 50))
def test_more_current_is_never_cooler(cable, air_c, amps, more_a):
    cool_c, warm_c = (free_air_metal_c(a, *cable, air_c) for a in (amps, amps + more_a))
    assert air_c <= cool_c <= warm_c + 1e-9 <= 260.0 + 1e-9


def test_no_current_is_the_air_and_too_much_is_the_end_of_the_scale():
    assert free_air_metal_c(0.0, 2.5, 7.6, 3.0, 45.0) == 45.0
    assert free_air_metal_c(1000.0, 2.5, 7.6, 3.0, 45.0) == 260.0


def test_a_little_current_warms_with_its_square():
    rise_k = [free_air_metal_c(amps, 16.0, 1.16, 8.3, 20.0) - 20.0 for amps in (0.1, 0.2)]
    assert rise_k[1] == pytest.approx(4 * rise_k[0], rel=1e-6)


@pytest.mark.parametrize(
    ("name", "numbers"),
    [
        ("current_a", (-1.0, 2.5, 7.6, 3.0, 30.0)), ("area_mm2", (1.0, 0.0, 7.6, 3.0, 30.0)),
        ("ohm_per_km", (1.0, 2.5, math.nan, 3.0, 30.0)), ("od_mm", (1.0, 2.5, 7.6, 1.7, 30.0)),
        ("air_c", (1.0, 2.5, 7.6, 3.0, 300.0)),
    ],
)
def test_refuses_by_name(name, numbers):
    with pytest.raises(OutOfRange) as caught:
        free_air_metal_c(*numbers)
    assert caught.value.name == name


# the part

SHELF = Shelf(installed_registry())


@pytest.mark.parametrize("key", ["cable:thinwall-2.5", "cable:thinwall-16"])
@pytest.mark.parametrize("bundled", [1, 3, 7])
def test_at_its_ampacity_by_heat_a_cable_has_the_class_of_its_insulation(key, bundled):
    part, around = SHELF.part(key), Surroundings(45.0, bundled)
    (amps,) = (figure.amps for figure in part.ampacities(around) if "heat balance" in figure.basis)
    assert part.running_c(amps, around) == pytest.approx(part.insulation_c, abs=0.1)


@pytest.mark.parametrize("key", ["cable:thinwall-2.5", "cable:thinwall-16"])
@pytest.mark.parametrize("air_c", [30.0, 85.0])
def test_all_bases_stand_side_by_side_and_the_model_raises_none(key, air_c):
    """The supplier of the demonstration catalog keeps a reserve that the heat balance does not know."""
    figures = SHELF.part(key).ampacities(Surroundings(air_c))
    by_basis = {re.split(r",| for ", figure.basis)[0]: figure.amps for figure in figures}
    assert set(by_basis) == {"33 CFR 183.425 table 5", "supplier's figure", "heat balance of a cable in still air"}
    assert min(by_basis.values()) < by_basis["heat balance of a cable in still air"]
