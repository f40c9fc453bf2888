"""Bundles: circles in circles, against closed forms, bounds, and a packing found here."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rigfeed.errors import OutOfRange
from rigfeed_cables.bundle import EQUAL_CIRCLES, bundle_bounds_mm, equal_bundle_mm, fill_ratio
from rigfeed_cables.pair import pair_inductance_h, rise_time_constant_s

ods = st.lists(st.floats(0.5, 30), min_size=1, max_size=30)

# Worked out from the figure that the circles form: rings of n around nothing or around one, and the golden ones.
CLOSED = {
    1: 1.0,
    2: 2.0,
    3: 1 + 2 / math.sqrt(3),
    4: 1 + math.sqrt(2),
    5: 1 + 1 / math.sin(math.pi / 5),
    6: 1 + 1 / math.sin(math.pi / 6),
    7: 3.0,
    8: 1 + 1 / math.sin(math.pi / 7),
    9: 1 + 1 / math.sin(math.pi / 8),
    11: 1 + 1 / math.sin(math.pi / 9),
    13: 2 + math.sqrt(5),
    18: 1 + math.sqrt(2) + math.sqrt(6),
    19: 1 + math.sqrt(2) + math.sqrt(6),
}


@pytest.mark.parametrize(("number", "ratio"), CLOSED.items())
def test_closed_form(number, ratio):
    assert EQUAL_CIRCLES[number] == pytest.approx(ratio, abs=1e-6)


def packed(number, tries=24):
    """The best of some packings: springs push circles of diameter 1 apart and together, then the circle is measured."""
    random, best = np.random.default_rng(number), math.inf
    for _ in range(tries):
        at, wall = random.uniform(-0.5, 0.5, (number, 2)) * EQUAL_CIRCLES[number], EQUAL_CIRCLES[number] / 2 - 0.5
        for step in range(400):
            apart = at[:, None] - at[None, :]
            distance = np.sqrt((apart**2).sum(-1)) + np.eye(number) * 9
            push = np.clip(1 - distance, 0, None)
            at = at + 0.5 * (apart / distance[..., None] * push[..., None]).sum(1)
            radius = np.sqrt((at**2).sum(-1))
            outside = np.clip(radius - wall, 0, None) / np.maximum(radius, 1e-9)
            at = at * (1 - outside[:, None]) + random.normal(0, 0.02 / (1 + step), at.shape)
        nearest = (np.sqrt(((at[:, None] - at[None, :]) ** 2).sum(-1)) + np.eye(number) * 9).min()
        best = min(best, 2 * np.sqrt((at**2).sum(-1)).max() / nearest + 1)
    return best


@pytest.mark.parametrize("number", [10, 12, 14, 15, 16, 17, 20])
def test_a_packing_comes_close_and_none_is_tighter(number):
    found = packed(number)
    assert EQUAL_CIRCLES[number] * 0.9999 <= found <= EQUAL_CIRCLES[number] * 1.01


def test_more_cables_are_never_thinner():
    ratios = [EQUAL_CIRCLES[number] for number in sorted(EQUAL_CIRCLES)]
    assert ratios == sorted(ratios)
    assert list(EQUAL_CIRCLES) == list(range(1, 21))


@pytest.mark.parametrize("number", range(1, 21))
def test_the_known_optimum_lies_within_the_bounds(number):
    girth = bundle_bounds_mm([2.0] * number)
    assert girth.least_mm - 1e-9 <= equal_bundle_mm(number, 2.0) <= girth.most_mm + 1e-9


@given(ods)
def test_bounds_are_in_order_and_order_does_not_matter(ods_mm):
    girth = bundle_bounds_mm(ods_mm)
    assert girth.least_mm <= girth.trade_mm <= girth.most_mm
    assert bundle_bounds_mm(ods_mm[::-1]) == pytest.approx(girth)


@given(ods, st.floats(0.5, 30))
def test_one_more_cable_makes_no_bound_smaller(ods_mm, another_mm):
    fewer, more = bundle_bounds_mm(ods_mm), bundle_bounds_mm([*ods_mm, another_mm])
    assert more.least_mm >= fewer.least_mm
    assert more.most_mm >= fewer.most_mm


def test_fill():
    assert fill_ratio([10.0], 10.0) == 1.0
    assert fill_ratio([3.0, 4.0], 5.0) == pytest.approx(1.0)
    assert fill_ratio([], 5.0) == 0


@given(st.floats(0.1, 50), st.floats(0.2, 10), st.floats(2, 100), st.floats(1.01, 3))
def test_a_wider_pair_has_more_inductance(length_m, radius_mm, apart, more):
    near = pair_inductance_h(length_m, radius_mm, apart * radius_mm)
    assert pair_inductance_h(length_m, radius_mm, apart * radius_mm * more) > near
    assert pair_inductance_h(2 * length_m, radius_mm, apart * radius_mm) == pytest.approx(2 * near)


@pytest.mark.parametrize(
    ("name", "call"),
    [
        ("number", lambda: equal_bundle_mm(21, 1.0)),
        ("number", lambda: equal_bundle_mm(0, 1.0)),
        ("od_mm", lambda: equal_bundle_mm(2, 0.0)),
        ("number of cables", lambda: bundle_bounds_mm([])),
        ("ods_mm", lambda: bundle_bounds_mm([1.0, -1.0])),
        ("ods_mm", lambda: fill_ratio([math.nan], 5.0)),
        ("bore_mm", lambda: fill_ratio([1.0], 0.0)),
        ("length_m", lambda: pair_inductance_h(-1.0, 1.0, 5.0)),
        ("radius_mm", lambda: pair_inductance_h(1.0, 0.0, 5.0)),
        ("spacing_mm", lambda: pair_inductance_h(1.0, 3.0, 5.0)),
        ("loop_ohm", lambda: rise_time_constant_s(1e-6, 0.0)),
        ("inductance_h", lambda: rise_time_constant_s(-1e-6, 1.0)),
    ],
)
def test_refuses_by_name(name, call):
    with pytest.raises(OutOfRange) as caught:
        call()
    assert caught.value.name == name


def test_arrays_broadcast():
    assert pair_inductance_h(np.array([1.0, 5.0]), 2.5, 10.0).tolist() == pytest.approx(
        [0.6545e-6, 3.2726e-6], rel=1e-3
    )
    assert type(pair_inductance_h(5.0, 2.5, 10.0)) is float
