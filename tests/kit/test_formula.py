"""The guards of formulas: what they refuse, and which value they name."""

from __future__ import annotations

import math

import numpy as np
import pytest

from rigfeed.errors import OutOfRange
from rigfeed.formula import above_zero, not_negative, refuse_unless, within


def refused(guard, *arguments: object) -> OutOfRange:
    with pytest.raises(OutOfRange) as caught:
        guard(*arguments)
    return caught.value


@pytest.mark.parametrize("bad", [0.0, -1.0, math.nan, math.inf, -math.inf])
def test_above_zero(bad):
    above_zero("length_m", 1e-300)
    error = refused(above_zero, "length_m", bad)
    assert (error.name, error.allowed) == ("length_m", "above 0")
    assert error.value == bad or math.isnan(bad)


@pytest.mark.parametrize("bad", [-1e-300, math.nan, math.inf])
def test_not_negative(bad):
    not_negative("length_m", 0.0)
    assert refused(not_negative, "length_m", bad).allowed == "0 or more"


@pytest.mark.parametrize("bad", [-60.001, 260.001, math.nan, math.inf])
def test_within(bad):
    within("conductor_c", np.array([-60.0, 260.0]), -60.0, 260.0)
    assert refused(within, "conductor_c", bad, -60.0, 260.0).allowed == "-60 to 260"


def test_the_first_bad_value_of_an_array_is_named():
    assert refused(above_zero, "area_mm2", np.array([[1.0, 2.0], [-3.0, -4.0]])).value == -3.0


def test_a_condition_on_several_arguments_broadcasts():
    ambient_c, rated_c = np.array([[20.0], [95.0]]), np.array([90.0, 105.0])
    refuse_unless(ambient_c < 106.0, "ambient_c", ambient_c, "below the rated temperature")
    error = refused(refuse_unless, ambient_c < rated_c, "ambient_c", ambient_c, "below the rated temperature")
    assert (error.value, error.allowed) == (95.0, "below the rated temperature")


def test_nothing_is_nothing_to_refuse():
    above_zero("area_mm2", np.array([]))
