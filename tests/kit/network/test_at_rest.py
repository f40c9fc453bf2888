"""Nets that nothing but idle one-way elements touch: the voltage that a trace of leakage to 0 V leaves there."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.kit.network.physics import lawful, solved_lawfully

from rigfeed.network.elements import Converter, Diode, Element, Resistor, Sink, Source
from rigfeed.network.network import Network
from rigfeed.network.solve import solve
from rigfeed.network.values import Values

EXACT = {"rel": 1e-14, "abs": 1e-14}
VOLTS = st.floats(5.0, 60.0)
DROPS = st.floats(0.0, 0.8)
OHMS = st.floats(1e-6, 2.0)
BATTERY = Source("battery", "post", "0V", 12.4, 0.01)
CHARGER = Converter("charger", "post", "0V", "out", "out-", 14.4, 0.01, 20.0, 0.9)
BOND = Resistor("bond", "0V", "out-", 1e-4)


def second(emf_v: float, a: str, b: str) -> list[Element]:
    return [Source("second", "cells", "out-", emf_v, 0.01), Diode("diode", a, b, 0.0, 1e-5)]


@pytest.mark.parametrize("bond", [[], [BOND]], ids=["isolated", "common negative"])
@pytest.mark.parametrize(
    ("emf_v", "a", "b", "out_v"),
    [
        (12.8, "cells", "out", 14.4),  # the battery may only give, and is below
        (15.0, "cells", "out", 15.0),  # it gives, and is above: the charger rests
        (15.0, "out", "cells", 14.4),  # it may only take, and is full
    ],
)
def test_a_charger_whose_output_meets_only_a_diode(bond, emf_v, a, b, out_v):
    solution = lawful(BATTERY, CHARGER, *bond, *second(emf_v, a, b), zeros=("0V", "out-"))
    assert solution.volts(0, "out") == pytest.approx(out_v, **EXACT)
    assert solution.volts(0, "cells") == pytest.approx(emf_v, **EXACT)
    assert solution.current(0, "charger") == pytest.approx(0.0, abs=1e-15)
    assert solution.current(0, "diode") == pytest.approx(0.0, abs=1e-15)


def test_a_charger_that_the_battery_can_take_from_works_at_its_limit():
    solution = lawful(BATTERY, CHARGER, BOND, *second(12.8, "out", "cells"))
    assert solution.volts(0, "out") == pytest.approx(12.8 + 20.0 * (0.01 + 1e-5))
    assert solution.limited(0) == ("charger",)


@given(out_v=VOLTS, ohm=OHMS, limit_a=st.floats(0.1, 100.0), efficiency=st.sampled_from([0.5, 1.0]))
def test_a_converter_that_feeds_nothing(out_v, ohm, limit_a, efficiency):
    solution = lawful(BATTERY, Converter("dc", "post", "0V", "out", "0V", out_v, ohm, limit_a, efficiency))
    assert solution.volts(0, "out") == pytest.approx(out_v, **EXACT)
    assert solution.current(0, "battery") == pytest.approx(0.0, abs=1e-9)


def test_a_converter_without_losses_and_without_load_takes_its_standby():
    dc = Converter("dc", "post", "0V", "out", "0V", 24.0, 0.01, 5.0, 1.0, standby_w=1.2)
    solution = lawful(BATTERY, dc)
    assert solution.volts(0, "out") == pytest.approx(24.0, **EXACT)
    assert solution.settled.input_current(0, "dc") * solution.volts(0, "post") == pytest.approx(1.2)


@given(emf_v=VOLTS, ohm=OHMS, limit_a=st.floats(0.1, 100.0), drop_v=DROPS)
def test_a_limited_source_that_feeds_nothing(emf_v, ohm, limit_a, drop_v):
    solution = lawful(Source("supply", "a", "0V", emf_v, ohm, limit_a), Diode("diode", "a", "out", drop_v, 0.01))
    assert solution.volts(0, "a") == pytest.approx(emf_v, **EXACT)
    assert solution.volts(0, "out") == pytest.approx(emf_v - drop_v, **EXACT)
    assert solution.limited(0) == ()


def test_a_supply_with_a_limit_of_nothing_holds_nothing():
    dead = Source("supply", "a", "0V", 12.0, 0.01, limit_a=0.0)
    idle = Converter("dc", "post", "0V", "out", "0V", 24.0, 0.01, 0.0, 0.9)
    solution = lawful(BATTERY, dead, idle)
    assert solution.volts(0, "a") == solution.volts(0, "out") == 0.0


def one_way(emfs_v: list[float], drops_v: list[float], ohm: float = 0.01) -> list[Element]:
    elements: list[Element] = []
    for number, (emf_v, drop_v) in enumerate(zip(emfs_v, drops_v, strict=True)):
        elements += [
            Source(f"source{number}", f"pos{number}", "0V", emf_v, ohm),
            Diode(f"diode{number}", f"pos{number}", "net", drop_v, ohm),
        ]
    return elements


@given(st.lists(st.tuples(VOLTS, DROPS), min_size=2, max_size=5), OHMS)
def test_several_one_way_sources_on_one_net(sources, ohm):
    emfs_v, drops_v = [emf_v for emf_v, _ in sources], [drop_v for _, drop_v in sources]
    solution = lawful(*one_way(emfs_v, drops_v, ohm))
    highest_v = max(emf_v - drop_v for emf_v, drop_v in sources)
    assert solution.volts(0, "net") == pytest.approx(highest_v, **EXACT)


@pytest.mark.parametrize("kind", ["current", "power", "resistance"])
def test_several_one_way_sources_and_hardly_any_load(kind):
    load = Sink("clock", "net", "0V", kind, {"current": 1e-6, "power": 1e-5, "resistance": 1e7}[kind])
    solution = lawful(*one_way([12.0, 13.0], [0.5, 0.5]), load)
    load_a = solution.current(0, "clock")
    assert 0.5e-6 < load_a < 2e-6
    assert solution.volts(0, "net") == pytest.approx(12.5 - 0.02 * load_a, rel=1e-12)
    assert solution.current(0, "diode1") == pytest.approx(load_a, rel=1e-9)
    assert solution.current(0, "diode0") == 0.0


def test_a_load_of_nothing_is_no_load():
    for kind in ("current", "power"):
        solution = lawful(*one_way([12.0, 13.0], [0.5, 0.5]), Sink("off", "net", "0V", kind, 0.0))
        assert solution.volts(0, "net") == pytest.approx(12.5, **EXACT)


def test_several_converters_on_one_net():
    both = [Converter(f"dc{v}", "post", "0V", "out", "0V", v, 0.01, 5.0, 0.9) for v in (13.8, 14.4, 5.0)]
    assert lawful(BATTERY, *both).volts(0, "out") == pytest.approx(14.4, **EXACT)


@given(emf_v=VOLTS, drops_v=st.lists(DROPS, min_size=1, max_size=5))
def test_a_row_of_diodes_to_nowhere(emf_v, drops_v):
    diodes = [Diode(f"d{n}", f"net{n}", f"net{n + 1}", drop_v, 0.01) for n, drop_v in enumerate(drops_v)]
    solution = lawful(Source("battery", "net0", "0V", emf_v, 0.01), *diodes)
    for number in range(len(drops_v) + 1):
        expected_v = max(0.0, emf_v - sum(drops_v[:number]))
        assert solution.volts(0, f"net{number}") == pytest.approx(expected_v, **EXACT)


def test_what_can_only_be_drained_is_at_nothing():
    solution = lawful(BATTERY, Diode("d", "loose", "post", 0.7, 0.01))
    assert solution.volts(0, "loose") == 0.0


@pytest.mark.parametrize(("a", "b", "net_v"), [("net", "rail", -11.5), ("rail", "net", 0.0)])
def test_a_negative_supply_holds_its_net_below_nothing(a, b, net_v):
    minus = Source("minus", "0V", "rail", 12.0, 0.01)
    solution = lawful(minus, Diode("d", a, b, 0.5, 0.01), zeros=("0V",))
    assert solution.volts(0, "rail") == pytest.approx(-12.0, **EXACT)
    assert solution.volts(0, "net") == pytest.approx(net_v, **EXACT)


@pytest.mark.parametrize("load", [[], [Sink("radio", "out", "0V", "power", 30.0)]], ids=["at rest", "loaded"])
@pytest.mark.parametrize("reversed_", [False, True])
def test_a_bridge_against_wrong_polarity(load, reversed_):
    """A battery that nothing joins to 0 V but the diodes of its bridge; two drops are lost either way round."""
    pos, neg = ("y", "x") if reversed_ else ("x", "y")
    ups = [Diode(f"up-{net}", net, "out", 0.5, 0.01) for net in "xy"]
    downs = [Diode(f"down-{net}", "0V", net, 0.5, 0.01) for net in "xy"]
    solution = lawful(Source("battery", pos, neg, 12.0, 0.01), *ups, *downs, *load, zeros=("0V",))
    load_a = solution.current(0, "radio") if load else 0.0
    assert solution.volts(0, "out") == pytest.approx(12.0 - 1.0 - 0.03 * load_a, **EXACT)
    assert solution.volts(0, neg) == pytest.approx(-0.5 - 0.01 * load_a, **EXACT)
    assert bool(load) == (load_a > 2.7)


def test_what_floats_as_a_whole_stands_even_about_nothing():
    """Leakage of equal size from both posts pulls a battery that hangs on blocked diodes to the middle."""
    solution = lawful(BATTERY, Source("loose", "x", "y", 10.0, 0.01), Diode("d", "x", "post", 0.5, 0.01), zeros=("0V",))
    assert solution.volts(0, "x") == pytest.approx(5.0, **EXACT)
    assert solution.volts(0, "y") == pytest.approx(-5.0, **EXACT)


@pytest.mark.parametrize("load_a", [0.001, 5.0, 20.0, 30.0])
def test_a_load_beside_a_full_battery_is_fed_by_the_charger(load_a):
    """The net begins at the corner of what will feed it, not of the element that is in the way."""
    load = Sink("radio", "out", "out-", "current", load_a)
    solution = lawful(BATTERY, CHARGER, BOND, *second(15.0, "out", "cells"), load, zeros=("0V",))
    assert solution.no_operating_point(0) == (("radio",) if load_a > 20.0 else ())
    if load_a <= 20.0:
        assert solution.across(0, "radio") == pytest.approx(14.4 - 0.01 * load_a, rel=1e-12)


def test_a_load_on_the_far_side_of_two_blocked_ways_is_found():
    """From the tap of a bank to its full voltage: the load's own return is behind a diode that nothing has opened."""
    solution = lawful(
        Source("lower", "tap", "0V", 12.0, 0.01), Source("upper", "top", "tap", 12.0, 0.01),
        Diode("in", "top", "pos", 0.5, 0.01), Diode("back", "neg", "tap", 0.5, 0.01),
        Sink("radio", "pos", "neg", "current", 4.0), zeros=("0V",),
    )
    assert solution.across(0, "radio") == pytest.approx(12.0 - 1.0 - 4.0 * 0.03, rel=1e-12)
    assert solution.volts(0, "neg") == pytest.approx(12.0 + 0.5 + 4.0 * 0.01, rel=1e-12)


def test_a_resistive_load_at_nothing_is_not_below_a_minimum_of_nothing():
    solution = lawful(
        BATTERY, Sink("radio", "post", "0V", "power", 30.0),
        *[Diode(f"d{n}", f"net{n + 1}", "post" if n == 0 else f"net{n}", 0.3, 0.01) for n in range(3)],
        *[Sink(f"lamp{n}", f"net{n + 1}", "0V", "resistance", 4000.0 + n) for n in range(3)],
    )
    assert solution.hunting(0) == solution.switched_off(0) == solution.below_minimum(0) == ()


def test_samples_at_once_stand_where_each_alone_does():
    network = Network.build([BATTERY, CHARGER, BOND, *second(12.8, "cells", "out")], ("0V",))
    emf_v = np.linspace(10.0, 20.0, 41)
    values = Values.of(network).vary("second", emf_v=emf_v)
    together = solved_lawfully(network, values)
    np.testing.assert_allclose(
        together.settled.net_v[:, network.net("out")], np.maximum(emf_v, 14.4), rtol=1e-14, atol=0.0
    )
    for sample in range(len(emf_v)):
        alone = solve(network, values.take(slice(sample, sample + 1)))
        np.testing.assert_array_equal(alone.settled.net_v[0], together.settled.net_v[sample])


def test_a_wide_network_at_rest_by_the_sparse_way():
    """More nets than dense matrices are used for: diodes in a row, and behind them a long lead that nothing holds."""
    elements: list[Element] = [Source("battery", "net000", "0V", 24.0, 0.01)]
    elements += [Diode(f"d{n:03}", f"net{n:03}", f"net{n + 1:03}", 0.5, 0.01) for n in range(20)]
    elements += [Resistor(f"r{n:03}", f"net{n:03}", f"net{n + 1:03}", 0.001) for n in range(20, 320)]
    solution = lawful(*elements)
    expected_v = [24.0 - 0.5 * min(number, 20) for number in range(321)]
    found_v = [solution.volts(0, f"net{number:03}") for number in range(321)]
    np.testing.assert_allclose(found_v, expected_v, rtol=1e-13)
    assert math.isclose(solution.settled.kirchhoff_a[0], 0.0, abs_tol=1e-9)
