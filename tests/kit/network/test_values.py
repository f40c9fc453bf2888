"""Numbers for many samples: taken from the elements, replaced, checked, not to be written to."""

from __future__ import annotations

import numpy as np
import pytest

from rigfeed.network.elements import Converter, Resistor, Sink, Source, Switch
from rigfeed.network.errors import NetworkError
from rigfeed.network.network import Network
from rigfeed.network.solve import solve
from rigfeed.network.values import Values

NETWORK = Network.build([
    Source("battery", "post", "0V", 12.0, 0.1),
    Resistor("a", "post", "x", 0.1),
    Resistor("b", "x", "set", 0.2),
    Sink("radio", "set", "0V", "power", 10.0, min_v=9.0),
    Sink("lamp", "set", "0V", "resistance", 5.0),
    Switch("switch", "x", "y", 0.1, False),
    Converter("dc", "x", "0V", "out", "0V", 5.0, 0.01, 10.0, 0.9, cutoff_v=8.0),
])


def test_the_elements_give_their_numbers_in_the_order_of_their_names():
    values = Values.of(NETWORK, samples=3)
    assert values.resistor_ohm_20.tolist() == [[0.1, 0.2]] * 3
    assert NETWORK.names["sink"] == ("lamp", "radio")
    assert values.sink_value.tolist() == [[5.0, 10.0]] * 3
    assert values.sink_asked.all()
    assert values.sink_on.all()
    assert not values.switch_closed.any()


def test_a_restart_that_is_not_given_is_the_minimum():
    values = Values.of(NETWORK)
    assert values.sink_restart_v.tolist() == [[0.0, 9.0]]
    assert values.converter_restart_v.tolist() == [[8.0]]


@pytest.mark.parametrize(("given", "shape"), [
    (0.3, (1, 2)), ([0.3, 0.4], (1, 2)), ([[0.3], [0.4], [0.5]], (3, 2)), (np.full((4, 2), 0.3), (4, 2)),
])
def test_whole_arrays_are_replaced_and_spread(given, shape):
    values = Values.of(NETWORK).replace(resistor_ohm_20=given)
    assert values.resistor_ohm_20.shape == shape
    assert values.sink_value.shape == (shape[0], 2)
    assert values.samples == shape[0]
    assert values.resistor_ohm_20[-1, 0] == np.broadcast_to(given, shape)[-1, 0]


def test_one_element_is_varied_over_the_samples():
    values = Values.of(NETWORK).vary("b", ohm_20=[0.1, 0.2, 0.3], temperature_c=50.0).vary("radio", asked=[1, 0, 1])
    assert values.resistor_ohm_20.tolist() == [[0.1, 0.1], [0.1, 0.2], [0.1, 0.3]]
    assert values.resistor_temperature_c.tolist() == [[20.0, 50.0]] * 3
    assert values.sink_asked.tolist() == [[True, True], [True, False], [True, True]]


def test_some_samples_are_taken():
    values = Values.of(NETWORK).vary("b", ohm_20=[0.1, 0.2, 0.3])
    assert values.take(slice(1, None)).resistor_ohm_20[:, 1].tolist() == [0.2, 0.3]
    assert values.take(np.array([True, False, True])).samples == 2


def test_arrays_cannot_be_written_to():
    values = Values.of(NETWORK).vary("b", ohm_20=[0.1, 0.2])
    for array in (values.resistor_ohm_20, values.sink_asked, values.source_emf_v):
        with pytest.raises(ValueError, match="read-only"):
            array[0] = 1.0


def test_the_given_array_may_change_afterwards():
    given = np.array([[0.3, 0.4]])
    values = Values.of(NETWORK).replace(resistor_ohm_20=given)
    given[:] = 9.0
    assert values.resistor_ohm_20.tolist() == [[0.3, 0.4]]


@pytest.mark.parametrize(("arrays", "message"), [
    ({"resistor_ohm_20": [[0.1, 0.1], [0.1, 0.0]]}, "network.b.ohm_20: ohm_20 is 0 in sample 1"),
    ({"resistor_ohm_20": [1.0, 2.0, 3.0]}, r"network.resistor_ohm_20: an array of shape \(3,\) for 2 elements"),
    ({"resistor_ohm_20": np.ones((2, 2, 2))}, "network.resistor_ohm_20: an array of shape"),
    ({"resistor_ohm": 1.0}, "network.resistor_ohm: there is no array"),
    ({"samples": 1.0}, "network.samples: there is no array"),
    ({"sink_value": np.ones((2, 2)), "source_emf_v": np.ones((3, 1))}, "arrays of 2 and 3 samples"),
    ({"sink_min_v": 10.0}, "network.lamp.restart_v: restart_v is 0; allowed: not below min_v"),
    ({"converter_efficiency": 1.1}, "network.dc.efficiency: efficiency is 1.1"),
])
def test_arrays_that_do_not_fit_are_refused(arrays, message):
    with pytest.raises(NetworkError, match=message):
        Values.of(NETWORK).replace(**arrays)


@pytest.mark.parametrize(("element", "numbers"), [
    ("nowhere", {"ohm_20": 1.0}), ("b", {"emf_v": 1.0}), ("b", {"ohm_20": [[1.0]]}), ("b", {"ohm_20": [1.0, 2.0]}),
    ("b", {"ohm_20": -1.0}),
])
def test_numbers_that_do_not_fit_are_refused(element, numbers):
    with pytest.raises(NetworkError):
        Values.of(NETWORK, samples=3).vary(element, **numbers)


def test_there_is_at_least_one_sample():
    with pytest.raises(NetworkError, match="0 samples; allowed: at least 1"):
        Values.of(NETWORK, samples=0)


def test_values_of_another_network_are_refused():
    with pytest.raises(NetworkError, match="another network"):
        solve(Network.build(NETWORK.elements), Values.of(NETWORK))
