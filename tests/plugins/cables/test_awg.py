"""American wire gauge: there and back, the choice of a size, and the same figures as the kit's own reader of sizes."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rigfeed.errors import OutOfRange
from rigfeed.quantity import mm2_from_awg, parse
from rigfeed_cables.awg import (
    TRADE_GAUGES,
    area_mm2,
    cmil_from_mm2,
    diameter_mm,
    gauge_from_area,
    gauge_name,
    mm2_from_cmil,
    smallest_gauge,
)

gauges = st.floats(-3.0, 40.0)
needs_mm2 = st.floats(0.001, 107.0)


@given(gauges)
def test_gauge_to_area_and_back(gauge):
    assert gauge_from_area(area_mm2(gauge)) == pytest.approx(gauge, abs=1e-9)


@given(st.floats(0.00502, 107.2))
def test_area_to_gauge_and_back(size_mm2):
    assert area_mm2(gauge_from_area(size_mm2)) == pytest.approx(size_mm2, rel=1e-9)


@given(st.floats(1e-3, 1e3))
def test_circular_mils_and_back(size_mm2):
    assert mm2_from_cmil(cmil_from_mm2(size_mm2)) == pytest.approx(size_mm2, rel=1e-12)


@given(st.floats(-3.0, 39.0), st.floats(0.001, 1.0))
def test_a_higher_number_is_thinner(gauge, step):
    assert diameter_mm(gauge + step) < diameter_mm(gauge)


def test_six_numbers_halve_the_diameter_nearly():
    # 92^(6/39) = 2.0050, the rule of thumb of the trade
    assert diameter_mm(4.0) / diameter_mm(10.0) == pytest.approx(92 ** (6 / 39), rel=1e-12)


@pytest.mark.parametrize("gauge", range(-3, 41))
def test_the_kit_reads_the_same_sizes(gauge):
    assert area_mm2(float(gauge)) == pytest.approx(mm2_from_awg(gauge), rel=1e-12)
    assert parse(gauge_name(gauge), "mm2") == pytest.approx(area_mm2(float(gauge)), rel=1e-12)


@given(needs_mm2)
def test_smallest_gauge_is_enough_and_the_next_is_not(needed_mm2):
    gauge = smallest_gauge(needed_mm2)
    thinner = [size for size in TRADE_GAUGES if size > gauge]
    assert area_mm2(float(gauge)) >= needed_mm2
    assert not thinner or area_mm2(float(thinner[0])) < needed_mm2


@given(needs_mm2, st.floats(1.0, 10.0))
def test_needing_more_never_gives_a_thinner_size(needed_mm2, ratio):
    if needed_mm2 * ratio <= 107.0:
        assert smallest_gauge(needed_mm2 * ratio) <= smallest_gauge(needed_mm2)


def test_an_area_that_equals_the_need_is_enough():
    assert smallest_gauge(area_mm2(8.0)) == 8
    assert smallest_gauge(3.0, {12: 3.0, 10: 5.0}) == 12


def test_the_order_of_a_series_does_not_matter():
    series = {10: 4.734, 16: 1.184, 12: 2.956, 14: 1.876}
    assert smallest_gauge(2.0, series) == smallest_gauge(2.0, dict(reversed(series.items()))) == 12


def test_no_size_is_enough():
    with pytest.raises(OutOfRange, match=r"needed_mm2 is 120; allowed: at most 107.2 mm2"):
        smallest_gauge(120.0)
    with pytest.raises(OutOfRange, match="number of sizes to choose from is 0"):
        smallest_gauge(1.0, {})


@pytest.mark.parametrize("bad", [-3.5, 40.5, math.nan])
def test_gauge_outside_of_the_series(bad):
    for function in (diameter_mm, area_mm2):
        with pytest.raises(OutOfRange, match="allowed: -3 to 40"):
            function(bad)


@pytest.mark.parametrize("bad", [0.0, -1.0, math.nan, math.inf])
def test_areas_are_above_zero(bad):
    for function in (gauge_from_area, cmil_from_mm2, mm2_from_cmil, smallest_gauge):
        with pytest.raises(OutOfRange, match="allowed: above 0"):
            function(bad)


def test_names_outside_of_the_series():
    with pytest.raises(OutOfRange, match="gauge is -4"):
        gauge_name(-4)


def test_arrays_broadcast_and_floats_stay_floats():
    sizes = np.array([-3.0, 10.0, 40.0])
    assert gauge_from_area(area_mm2(sizes)) == pytest.approx(sizes)
    assert cmil_from_mm2(area_mm2(sizes)) == pytest.approx([211600.0, 10383.0, 9.888], rel=1e-4)
    assert {type(f(5.0)) for f in (diameter_mm, area_mm2, gauge_from_area, cmil_from_mm2, mm2_from_cmil)} == {float}
