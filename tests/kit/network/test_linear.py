"""Linear systems that have no solution do not stop the samples beside them."""

from __future__ import annotations

import math

import numpy as np
import pytest

from rigfeed.network import linear
from rigfeed.network.circuit import Circuit
from rigfeed.network.elements import Resistor
from rigfeed.network.network import Network

CIRCUIT = Circuit.of(Network.build([Resistor("lead", "a", "b", 0.1), Resistor("return", "b", "c", 0.1)]))
FREE = np.array([[False, True, True]] * 3)


@pytest.fixture(params=[300, 0], ids=["dense", "sparse"])
def system(request, monkeypatch):
    """Three samples of 10 S between neighbours; the middle one is for the test to spoil."""
    monkeypatch.setattr(linear, "DENSE_MOST", request.param)
    return CIRCUIT.jacobian(np.full((3, 2), 10.0), np.zeros((3, 0)), FREE), np.array([[[0.0], [1.0], [0.0]]] * 3)


def test_one_ampere_through_one_resistance(system):
    answer = linear.solved(CIRCUIT, *system)[:, :, 0]
    np.testing.assert_allclose(answer, [[0.0, 0.1, 0.1]] * 3, rtol=1e-12)


@pytest.mark.parametrize("spoilt", [math.nan, math.inf])
def test_a_sample_that_is_no_number_leaves_the_others_alone(system, spoilt):
    entries, right = system
    entries[1, 2] = spoilt
    answer = linear.solved(CIRCUIT, entries, right)[:, :, 0]
    np.testing.assert_allclose(answer[[0, 2]], [[0.0, 0.1, 0.1]] * 2, rtol=1e-12)


def test_a_singular_sample_leaves_the_others_nearly_alone(system):
    entries, right = system
    entries[1] = 0.0
    answer = linear.solved(CIRCUIT, entries, right)[:, :, 0]
    assert np.isfinite(answer).all()
    np.testing.assert_allclose(answer[[0, 2]], [[0.0, 0.1, 0.1]] * 2, rtol=1e-9)
