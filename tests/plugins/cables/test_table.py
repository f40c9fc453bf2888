"""The table: every figure of it is one of its own, and none is ever raised."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rigfeed.errors import OutOfRange
from rigfeed_cables.ampacity import ambient_factor
from rigfeed_cables.awg import area_mm2
from rigfeed_cables.table import (
    CLASSES_C,
    GAUGES,
    bundle_factor,
    derated_a,
    engine_space_factor,
    table_a,
    table_class_c,
    table_gauge,
)


def test_thicker_and_hotter_classes_carry_more():
    for column in CLASSES_C:
        amps = [table_a(gauge, column) for gauge in GAUGES]
        assert amps == sorted(amps, reverse=True)
    for gauge in GAUGES:
        amps = [table_a(gauge, column) for column in CLASSES_C]
        assert amps == sorted(amps)


@given(st.floats(0.83, 500))
def test_the_size_of_the_table_never_has_more_metal(size_mm2):
    assert area_mm2(float(table_gauge(size_mm2))) <= size_mm2 * 1.006


@pytest.mark.parametrize("gauge", GAUGES)
def test_a_gauge_finds_itself_even_when_rounded(gauge):
    assert table_gauge(area_mm2(float(gauge))) == gauge
    assert table_gauge(float(f"{area_mm2(float(gauge)):.3g}")) == gauge


@pytest.mark.parametrize("column", CLASSES_C)
def test_engine_space_is_the_correction_for_50_degrees(column):
    assert engine_space_factor(column) == pytest.approx(ambient_factor(50.0, column), abs=0.0075)


@given(st.floats(1, 500), st.sampled_from(CLASSES_C), st.floats(-60, 260), st.integers(1, 60))
def test_derating_never_raises(base_a, class_c, air_c, together):
    amps = derated_a(base_a, class_c, air_c, together)
    assert 0 <= amps <= base_a
    assert (amps == 0) == (air_c >= class_c)


def test_factors_multiply_once():
    assert derated_a(100.0, 105.0, 60.0, 4) == pytest.approx(100 * 0.6 * math.sqrt(45 / 75))
    assert derated_a(100.0, 105.0, 60.0, base_c=60.0) == 100


@pytest.mark.parametrize(
    ("name", "call"),
    [
        ("area_mm2", lambda: table_gauge(0.8)),
        ("area_mm2", lambda: table_gauge(0.0)),
        ("gauge", lambda: table_a(5, 105.0)),
        ("insulation_c", lambda: table_a(8, 59.0)),
        ("insulation_c", lambda: table_class_c(math.nan)),
        ("conductors", lambda: bundle_factor(0)),
        ("air_c", lambda: derated_a(10.0, 105.0, math.nan)),
        ("base_a", lambda: derated_a(-1.0, 105.0, 30.0)),
        ("insulation_c", lambda: derated_a(10.0, 25.0, 20.0)),
    ],
)
def test_refuses_by_name(name, call):
    with pytest.raises(OutOfRange) as caught:
        call()
    assert caught.value.name == name
