"""Loss and impedance of coaxial cable."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rigfeed.errors import OutOfRange
from rigfeed_antennas.coax import (
    fitted_loss,
    impedance_from_capacitance_ohm,
    impedance_from_diameters_ohm,
    loss_db,
    loss_db_per_100m,
)
from rigfeed_antennas.published import feeder, feeders

coefficients = st.tuples(st.floats(0.05, 5.0), st.floats(0.0, 0.05))
MHZ = (1.0, 10.0, 50.0, 150.0, 450.0, 900.0)


@given(coefficients)
def test_a_curve_is_found_again_from_its_own_points(known):
    k1, k2 = known
    fit = fitted_loss(tuple((mhz, k1 * math.sqrt(mhz) + k2 * mhz) for mhz in MHZ))
    assert fit.k1 == pytest.approx(k1, rel=1e-6)
    assert fit.k2 == pytest.approx(k2, abs=1e-9)
    assert fit.worst < 1e-9


@given(st.lists(st.tuples(st.floats(1, 1000), st.floats(0.1, 100)), min_size=2, max_size=12))
def test_no_coefficient_is_negative_and_no_neighbour_is_nearer(points):
    fit = fitted_loss(tuple(points))
    assert fit.k1 >= 0.0
    assert fit.k2 >= 0.0

    def distance(k1, k2):
        return sum(((k1 * math.sqrt(mhz) + k2 * mhz) / loss - 1.0) ** 2 for mhz, loss in points)

    best = distance(fit.k1, fit.k2)
    for up in (-1e-3, 1e-3):
        assert distance(max(fit.k1 + up, 0.0), fit.k2) >= best - 1e-6 * max(best, 1e-3)
        assert distance(fit.k1, max(fit.k2 + up * 0.1, 0.0)) >= best - 1e-6 * max(best, 1e-3)


def test_two_points_of_one_frequency_count_both():
    fit = fitted_loss(((1.0, 1.0), (100.0, 9.0), (100.0, 11.0)))
    assert 9.0 < fit.k1 * 10 + fit.k2 * 100 < 11.0


def test_points_that_fall_are_no_reason_for_a_negative_coefficient():
    assert fitted_loss(((10.0, 5.0), (100.0, 4.0))).k2 == 0.0
    assert fitted_loss(((10.0, 1.0), (100.0, 30.0))).k1 == 0.0


@pytest.mark.parametrize("points", [((1.0, 1.0),), ((1.0, 0.0), (2.0, 1.0)), ((-1.0, 1.0), (2.0, 1.0)), ()])
def test_points_that_are_none_are_refused(points):
    with pytest.raises(OutOfRange, match="points"):
        fitted_loss(points)


@given(coefficients, st.floats(1e6, 1e9), st.floats(1.01, 3.0), st.floats(0.1, 50))
def test_loss_rises_with_frequency_and_goes_with_length(known, hertz, more, metres):
    assert loss_db(hertz * more, metres, *known) > loss_db(hertz, metres, *known)
    assert loss_db(hertz, 2 * metres, *known) == pytest.approx(2 * loss_db(hertz, metres, *known))


# What one source prints, from the points of the others: 10 % is what the types of one name differ by.
@pytest.mark.parametrize(
    ("name", "left_out"),
    [
        ("rg58c", [(30.0, 8.10), (150.0, 18.47)]),  # ARRL General Class License Manual, table 6-1 (correction)
        ("rg213", [(30.0, 3.54), (150.0, 8.30)]),
        ("rg8x", [(30.0, 6.43), (150.0, 14.86)]),
    ],
)
def test_points_of_one_source_follow_from_those_of_the_others(name, left_out):
    points = tuple(point for point in feeder(name).loss_points if point not in left_out)
    assert len(points) == len(feeder(name).loss_points) - 2
    fit = fitted_loss(points)
    for mhz, published in left_out:
        assert loss_db_per_100m(mhz * 1e6, fit.k1, fit.k2) == pytest.approx(published, rel=0.10)


@pytest.mark.parametrize("name", sorted(feeders()))
def test_the_curve_of_every_type_is_near_its_points(name):
    assert feeder(name).loss.worst < 0.12


@pytest.mark.parametrize(
    ("call", "name"),
    [
        (lambda: loss_db(0.0, 1.0, 1.0, 0.0), "frequency_hz"),
        (lambda: loss_db(1e6, -1.0, 1.0, 0.0), "length_m"),
        (lambda: loss_db(1e6, 1.0, -1.0, 0.0), "k1"),
        (lambda: loss_db(1e6, 1.0, 1.0, math.nan), "k2"),
        (lambda: impedance_from_capacitance_ohm(1.01, 100.0), "velocity_factor"),
        (lambda: impedance_from_capacitance_ohm(0.66, 0.0), "capacitance_pf_per_m"),
        (lambda: impedance_from_diameters_ohm(3.0, 3.0, 0.66), "inner_mm"),
        (lambda: impedance_from_diameters_ohm(3.0, 1.0, 0.0), "velocity_factor"),
    ],
)
def test_refuses_by_name(call, name):
    with pytest.raises(OutOfRange) as caught:
        call()
    assert caught.value.name == name


def test_both_ways_to_the_impedance_agree_on_a_line_of_air():
    # capacitance of a metre of coaxial line: 2 pi e0 / ln(D/d)
    picofarads = 2 * math.pi * 8.8541878128 / math.log(3.0)
    by_capacitance = impedance_from_capacitance_ohm(1.0, picofarads)
    assert impedance_from_diameters_ohm(3.0, 1.0, 1.0) == pytest.approx(by_capacitance, rel=1e-6)


def test_arrays_broadcast_and_floats_stay_floats():
    assert type(loss_db(1e6, 10.0, 1.0, 0.0)) is float
    assert loss_db(np.array([1e6, 4e6]), 100.0, 1.0, 0.0).tolist() == [1.0, 2.0]
    assert impedance_from_capacitance_ohm(np.array([0.5, 1.0]), 100.0).shape == (2,)
