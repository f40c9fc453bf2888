"""Nets and loads to which no source is connected: no potential, a name, never an exception."""

from __future__ import annotations

import numpy as np
import pytest
from tests.kit.network.physics import lawful

from rigfeed.network.elements import Converter, Diode, Resistor, Sink, Source, Switch
from rigfeed.network.network import Network
from rigfeed.network.solve import solve

BATTERY = Source("battery", "post", "0V", 12.0, 0.1)


def test_no_elements_at_all():
    solution = solve(Network.build([]))
    assert solution.asked.net_v.shape == (1, 0)
    assert solution.unfed(0) == ()


@pytest.mark.parametrize("kind", ["current", "power", "resistance"])
def test_no_source_at_all(kind):
    solution = lawful(Resistor("lead", "a", "set", 0.1), Sink("radio", "set", "0V", kind, 5.0))
    assert solution.unfed(0) == ("radio",)
    assert solution.volts(0, "set") is None
    assert solution.between(0, "a", "set") is None
    assert np.isnan(solution.settled.net_v).all()
    assert solution.current(0, "lead") == solution.current(0, "radio") == 0.0
    assert solution.load_volts(0, "radio") is None
    assert solution.no_operating_point(0) == solution.switched_off(0) == ()


@pytest.mark.parametrize("kind", ["current", "power", "resistance"])
@pytest.mark.parametrize("end", ["positive", "negative"])
def test_a_load_with_one_end_open(kind, end):
    pos, neg = ("open", "0V") if end == "positive" else ("post", "open")
    solution = lawful(BATTERY, Sink("radio", pos, neg, kind, 5.0))
    assert solution.unfed(0) == ("radio",)
    assert solution.volts(0, "post") == pytest.approx(12.0)
    assert solution.volts(0, "open") is None


def test_loads_feed_nothing_on_their_far_side():
    """Two loads in a row without anything between them: the middle is not fed."""
    solution = lawful(BATTERY, Sink("a", "post", "mid", "resistance", 5.0), Sink("b", "mid", "0V", "resistance", 5.0))
    assert solution.unfed(0) == ("a", "b")


def test_a_load_behind_a_diode_the_wrong_way_has_no_operating_point():
    solution = lawful(BATTERY, Diode("diode", "set", "post", 0.7, 0.01), Sink("radio", "set", "0V", "power", 5.0))
    assert solution.no_operating_point(0) == ("radio",)


def test_a_converter_without_input_feeds_nothing():
    converter = Converter("dc", "in", "0V", "out", "out-", 24.0, 0.01, 10.0, 0.9)
    solution = lawful(BATTERY, converter, Sink("radio", "out", "out-", "power", 5.0))
    assert solution.unfed(0) == ("radio",)
    assert solution.volts(0, "out") is None


def test_two_converters_do_not_feed_each_other():
    forth = Converter("forth", "a", "0V", "b", "0V", 24.0, 0.01, 10.0, 0.9)
    back = Converter("back", "b", "0V", "a", "0V", 12.0, 0.01, 10.0, 0.9)
    solution = lawful(forth, back, Sink("radio", "a", "0V", "power", 5.0))
    assert solution.unfed(0) == ("radio",)


def test_a_converter_feeds_the_next():
    first = Converter("first", "post", "0V", "b", "b-", 24.0, 0.01, 10.0, 0.9)
    second = Converter("second", "b", "b-", "c", "c-", 5.0, 0.01, 10.0, 0.8)
    solution = lawful(BATTERY, first, second, Sink("radio", "c", "c-", "current", 2.0))
    assert solution.between(0, "c", "c-") == pytest.approx(4.98)
    assert solution.power(0, "battery") == pytest.approx(9.96 / 0.8 / 0.9, rel=1e-2)


def split(closed):
    return lawful(
        BATTERY,
        Switch("strap", "0V", "other-", 0.001, closed),
        Source("other", "other", "other-", 24.0, 0.1),
        Sink("lamp", "other", "other-", "resistance", 2.3),
        Sink("bridge", "other", "0V", "current", 1.0),
    )


def test_a_source_behind_an_open_contact_is_measured_to_its_own_zero():
    solution = split(closed=False)
    assert solution.volts(0, "other-") == 0.0
    assert solution.volts(0, "other") == pytest.approx(23.0)
    assert solution.between(0, "other", "post") is None
    assert solution.unfed(0) == ("bridge",)
    assert solution.current(0, "lamp") == pytest.approx(10.0)


def test_the_same_source_behind_the_closed_contact_is_measured_to_the_common_zero():
    solution = split(closed=True)
    assert solution.volts(0, "other-") == pytest.approx(-0.001)
    assert solution.between(0, "other", "post") == pytest.approx(solution.volts(0, "other") - 12.0)
    assert solution.unfed(0) == ()
