"""The window of ratings, what gets through, resistance, and the charts of others: values, properties, refusals."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rigfeed.errors import OutOfRange, UnknownName
from rigfeed.quantity import mm2_from_awg
from rigfeed_fuses.charts import PLACING, WIRE_CHART, breaking_capacity_a, furthest_fuse_m, protection_for_wire_a
from rigfeed_fuses.letthrough import let_through_a2s, smallest_area_mm2
from rigfeed_fuses.resistance import cold_resistance_ohm, hot_resistance_ohm, loss_w
from rigfeed_fuses.window import highest_rating_a, lowest_rating_a, most_load_a

amperes = st.floats(0.1, 500.0)


def test_the_window_of_a_converter_feed():
    # 15.9 A for good at 80 % want 19.9 A; 4 mm2 that carries 26.6 A at 70 degC allows no more: a 20 A fuse fits
    assert lowest_rating_a(15.9) == pytest.approx(19.875)
    assert highest_rating_a(26.6) == 26.6
    assert most_load_a(20.0) == pytest.approx(16.0)


def test_hot_air_raises_the_lowest_rating():
    assert lowest_rating_a(15.9, factor=0.87) == pytest.approx(22.84, abs=0.01)


def test_the_lower_of_cable_and_equipment_is_the_highest_rating():
    assert highest_rating_a(26.6, stated_a=10.0) == 10.0
    assert highest_rating_a(8.0, stated_a=10.0) == 8.0
    assert highest_rating_a(26.6, allowed=1.5) == pytest.approx(39.9)
    assert highest_rating_a(np.array([5.0, 50.0]), stated_a=10.0).tolist() == [5.0, 10.0]


@given(amperes, st.floats(0.1, 1.0), st.floats(0.3, 1.3))
def test_the_lowest_rating_carries_just_the_load(load_a, share, factor):
    assert most_load_a(lowest_rating_a(load_a, share, factor), share, factor) == pytest.approx(load_a)


@given(amperes, amperes, st.floats(50.0, 200.0), st.floats(1.01, 3.0))
def test_a_longer_or_larger_fault_wants_a_thicker_wire(current_a, time_s, k, more):
    area_mm2 = smallest_area_mm2(let_through_a2s(current_a, time_s), k)
    assert smallest_area_mm2(let_through_a2s(current_a * more, time_s), k) == pytest.approx(area_mm2 * more)
    assert smallest_area_mm2(let_through_a2s(current_a, time_s * more), k) > area_mm2
    assert k**2 * area_mm2**2 == pytest.approx(current_a**2 * time_s)


def test_the_same_fault_passes_from_70_degrees_and_fails_from_105():
    let_through = let_through_a2s(140.0, 7.0)
    assert (115 * 2.5) ** 2 < let_through < (115 * 4.0) ** 2
    assert let_through > (87.6 * 4.0) ** 2


def test_resistance_of_a_fuse():
    hot_ohm = hot_resistance_ohm(0.125, 20.0)
    assert hot_ohm == pytest.approx(6.25e-3)
    assert cold_resistance_ohm(hot_ohm, 1.25) == pytest.approx(5e-3)
    assert loss_w(20.0, hot_ohm) == pytest.approx(2.5)
    assert hot_resistance_ohm(np.array([0.1, 0.2]), 10.0).tolist() == [0.01, 0.02]


def test_the_chart_goes_by_the_thinner_of_two_gauges():
    assert protection_for_wire_a(mm2_from_awg(10)) == protection_for_wire_a(mm2_from_awg(8) * 0.98) == 30.0
    assert protection_for_wire_a(5.26) == 30.0  # as catalogs round it
    assert protection_for_wire_a(200.0) == 150.0


def test_the_chart_rises_with_the_metal():
    gauges = [row.gauge for row in WIRE_CHART]
    assert gauges == sorted(gauges, reverse=True)
    fuses = [protection_for_wire_a(mm2_from_awg(gauge)) for gauge in gauges]
    assert fuses == sorted(fuses)
    assert fuses == [row.fuse_a for row in WIRE_CHART]


def test_a_sheath_never_shortens_the_way():
    for rule in PLACING:
        for start in ("source", "battery"):
            assert furthest_fuse_m(rule, start, sheathed=True) >= furthest_fuse_m(rule, start)
        assert furthest_fuse_m(rule, "battery", sheathed=True) >= furthest_fuse_m(rule, "source", sheathed=True)


@pytest.mark.parametrize(
    ("call", "says"),
    [
        (lambda: lowest_rating_a(-1.0), "load_a is -1"),
        (lambda: lowest_rating_a(1.0, 0.0), "share is 0"),
        (lambda: lowest_rating_a(1.0, 1.1), "share is 1.1"),
        (lambda: lowest_rating_a(1.0, 0.8, 0.0), "factor is 0"),
        (lambda: most_load_a(-1.0), "rating_a is -1"),
        (lambda: highest_rating_a(-1.0), "ampacity_a is -1"),
        (lambda: highest_rating_a(1.0, 1.6), "allowed is 1.6"),
        (lambda: highest_rating_a(1.0, 1.0, 0.0), "stated_a is 0"),
        (lambda: let_through_a2s(1.0, float("inf")), "time_s is inf"),
        (lambda: let_through_a2s(-1.0, 1.0), "current_a is -1"),
        (lambda: smallest_area_mm2(-1.0, 115.0), "let_through is -1"),
        (lambda: smallest_area_mm2(1.0, 0.0), "k is 0"),
        (lambda: hot_resistance_ohm(-0.1, 1.0), "drop_v is -0.1"),
        (lambda: hot_resistance_ohm(0.1, 0.0), "rated_a is 0"),
        (lambda: cold_resistance_ohm(0.1, 0.9), "hot_over_cold is 0.9"),
        (lambda: loss_w(-1.0, 1.0), "current_a is -1"),
        (lambda: loss_w(1.0, -1.0), "resistance_ohm is -1"),
        (lambda: protection_for_wire_a(0.2), "22 AWG"),
        (lambda: protection_for_wire_a(42.4, "breaker"), "names none for larger wires"),
        (lambda: breaking_capacity_a(0.0), "cranking_a is 0"),
    ],
)
def test_what_is_out_of_range_is_named(call, says):
    with pytest.raises(OutOfRange, match=says):
        call()


@pytest.mark.parametrize(
    "call",
    [
        lambda: protection_for_wire_a(5.0, "relay"),
        lambda: furthest_fuse_m("33 CFR"),
        lambda: furthest_fuse_m("ABYC E-11", "alternator"),
    ],
)
def test_a_word_that_no_chart_has_is_refused(call):
    with pytest.raises(UnknownName):
        call()
