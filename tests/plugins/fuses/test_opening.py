"""When a fuse opens: the gates and the straight line between them, what air does, what is not known."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rigfeed.errors import OutOfRange, UnknownName
from rigfeed_fuses.families import BREAKERS, FUSES, family, opening_s
from rigfeed_fuses.gates import Curve, Gate
from rigfeed_fuses.opening import gate_time_s, rerated_a, rerating_factor

GATES, TIMES = [1.35, 2.0, 3.5], [1800.0, 60.0, 7.0]
names = st.sampled_from(FUSES + BREAKERS)
multiples = st.floats(0.0, 200.0)


def test_a_power_law_comes_back_between_two_gates():
    # t = 100 m^-3 is a straight line in logarithms
    assert gate_time_s(3.0, [1.0, 10.0], [100.0, 0.1]) == pytest.approx(100 / 27)


@pytest.mark.parametrize(("multiple", "time_s"), list(zip(GATES, TIMES, strict=True)))
def test_at_a_gate_it_is_the_gate(multiple, time_s):
    assert gate_time_s(multiple, GATES, TIMES) == pytest.approx(time_s)
    assert gate_time_s(multiple * (1 - 1e-12), GATES, TIMES) == pytest.approx(time_s)


def test_below_the_first_gate_it_need_not_open():
    assert gate_time_s(1.349, GATES, TIMES) == math.inf
    assert gate_time_s(0.0, GATES, TIMES) == math.inf


def test_above_the_last_gate_the_same_energy_opens_it():
    for multiple in (3.5, 7.0, 100.0):
        assert gate_time_s(multiple, GATES, TIMES) * multiple**2 == pytest.approx(7.0 * 3.5**2)


def test_arrays_give_what_the_single_values_give():
    asked = np.array([[0.0, 1.35, 1.7], [2.5, 3.5, 20.0]])
    found = gate_time_s(asked, GATES, TIMES)
    assert found.shape == asked.shape
    assert found.tolist() == [[gate_time_s(float(m), GATES, TIMES) for m in row] for row in asked]


@pytest.mark.parametrize(
    ("multiple", "gates", "times", "name"),
    [
        (-0.1, GATES, TIMES, "multiple"),
        (math.nan, GATES, TIMES, "multiple"),
        (2.0, [2.0, 1.35], [1.0, 2.0], "at_multiples"),
        (2.0, [0.0, 1.35], [1.0, 2.0], "at_multiples"),
        (2.0, [1.35, 2.0], [1.0], "times_s"),
        (2.0, [], [], "times_s"),
        (2.0, [1.35], [0.0], "times_s"),
    ],
)
def test_what_is_out_of_range_is_named(multiple, gates, times, name):
    with pytest.raises(OutOfRange) as caught:
        gate_time_s(multiple, gates, times)
    assert caught.value.name == name


def test_rerating_is_straight_between_its_points_and_unknown_beyond():
    assert rerating_factor(72.5, [60.0, 85.0], [0.9, 0.8]) == pytest.approx(0.85)
    assert rerating_factor(np.array([60.0, 85.0]), [60.0, 85.0], [0.9, 0.8]).tolist() == [0.9, 0.8]
    assert rerated_a(40.0, 0.85) == pytest.approx(34.0)
    for air_c in (59.9, 85.1, math.nan):
        with pytest.raises(OutOfRange, match="60 to 85"):
            rerating_factor(air_c, [60.0, 85.0], [0.9, 0.8])
    with pytest.raises(OutOfRange, match="factor"):
        rerated_a(40.0, 0.0)


def test_a_curve_without_gates_knows_nothing():
    assert Curve().window_s(100.0) == (0.0, math.inf)
    assert Curve().confidence == ""
    assert Curve().air_range_c == (-math.inf, math.inf)


def test_a_curve_may_be_trusted_as_far_as_its_worst_gate():
    gates = (Gate(1.1, confidence="published"), Gate(2.0, confidence="memory"), Gate(3.0, confidence="derived"))
    assert Curve(gates).confidence == "memory"
    assert family("E").curve(40.0).confidence == "published"
    assert family("C").curve(10.0).confidence == "memory"


def test_the_shortest_time_of_a_fast_glass_fuse_is_not_known_above_its_carrying_gate():
    assert opening_s("glass 6.3x32", 11.0, 10.0) == pytest.approx((14400.0, math.inf))
    assert opening_s("glass 6.3x32", 13.5, 10.0) == pytest.approx((0.0, 3600.0))
    assert opening_s("glass 6.3x32", 40.0, 10.0) == pytest.approx((0.0, 30.0))
    assert opening_s("glass 6.3x32", 10.9, 10.0) == (math.inf, math.inf)


@pytest.mark.parametrize(("rated_a", "least_s"), [(3.0, 5.0), (3.15, 12.0), (10.0, 12.0), (15.0, 0.0)])
def test_gates_that_stand_for_some_ratings_only(rated_a, least_s):
    assert opening_s("glass 6.3x32 delay", 2 * rated_a, rated_a) == (pytest.approx(least_s), pytest.approx(120.0))


def test_air_widens_the_window_and_never_narrows_it():
    cold, mild, hot = (opening_s("E", 100.0, 40.0, air_c) for air_c in (-40.0, 25.0, 85.0))
    assert hot[0] < mild[0] == cold[0]
    assert hot[1] == mild[1] < cold[1]
    assert hot[0] == pytest.approx(opening_s("E", 100.0 / 0.87, 40.0)[0])
    assert cold[1] == pytest.approx(opening_s("E", 100.0 / 1.1, 40.0)[1])


def test_air_beyond_the_curve_is_refused():
    assert family("E").curve(40.0).air_range_c == (-40.0, 125.0)
    with pytest.raises(OutOfRange, match="air_c is 126"):
        opening_s("E", 100.0, 40.0, 126.0)


def test_an_unknown_family_names_the_nearest():
    with pytest.raises(UnknownName, match="SF30"):
        opening_s("SF3", 100.0, 40.0)


@given(names, multiples, st.floats(-40.0, 85.0))
def test_the_shortest_time_is_never_the_longer_one(name, multiple, air_c):
    shortest_s, longest_s = family(name).curve(20.0).window_s(multiple, air_c)
    assert 0.0 <= shortest_s <= longest_s
    assert longest_s > 0.0


@given(names, multiples, st.floats(1.0, 3.0))
def test_more_current_never_opens_later(name, multiple, more):
    curve = family(name).curve(20.0)
    assert curve.window_s(multiple * more)[0] <= curve.window_s(multiple)[0] * (1 + 1e-9)
    assert curve.window_s(multiple * more)[1] <= curve.window_s(multiple)[1] * (1 + 1e-9)


@given(names, st.floats(0.0, 1.34))
def test_nothing_must_open_below_the_common_gate(name, multiple):
    assert family(name).curve(20.0).window_s(multiple)[1] == math.inf
