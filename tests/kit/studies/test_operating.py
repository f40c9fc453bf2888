"""The operating study: volts and amps worked out beside it, warm metal, and loads that cannot run."""

from __future__ import annotations

import itertools
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.kit.resolve.bench import assessed, bench_registry, bench_shelf, installed

import rigfeed
from rigfeed.errors import UnknownName
from rigfeed.network.elements import BODY
from rigfeed.network.errors import NetworkError
from rigfeed.plugin import Check, Finding, Path, Study, hookimpl
from rigfeed.studies.circuit import elements_of
from rigfeed.studies.operating import CLOSE_K, MOST_ROUNDS, OPERATING, NotSettled, Operating, operate
from rigfeed.view import View, Workshop


def one_set(box: str = "box:amps", cable: str = "wire:one", extra: str = "") -> str:
    """A set on 2 m of wire each way: 10 mohm of battery, 10 of fuse, 41 of wire at 20 degC; joints without resistance.

    The state "tx" is in the warmest air, 60 degC, "cold" in the coldest, -20 degC.
    """
    none = 'ends = ["tag:none", "tag:none"]'
    return f"""
    [zones.z]
    warmest = "60 degC"
    coldest = "-20 degC"
    [points.p]
    zone = "z"
    [nodes]
    start = {{ part = "cell:stiff", at = "p", settings = {{ volts = "12 V" }} }}
    F1 = {{ part = "link:ten", at = "p" }}
    set = {{ part = "{box}", at = "p" }}
    [conductors]
    W1 = {{ cable = "{cable}", from = "start.pos", to = "F1.a", length = "0.1 m", {none} }}
    W2 = {{ cable = "{cable}", from = "F1.b", to = "set.pos", length = "2 m", {none} }}
    W3 = {{ cable = "{cable}", from = "set.neg", to = "start.neg", length = "2 m", {none} }}
    [states]
    tx = {{}}
    cold = {{ air = "coldest" }}
    idle = {{ modes = {{ set = "off" }} }}
    {extra}
    """


def view_of(text: str) -> View:
    shelf = bench_shelf()
    return Workshop(installed(text, shelf=shelf), shelf, shelf.registry.practices.get("road")).view()


def operating(text: str) -> Operating:
    return assessed(text)[OPERATING]


# numbers


def test_volts_and_amps_of_a_constant_current():
    found = operating(one_set())
    assert found.current("tx", "W2") == pytest.approx(5.0)
    assert found.current("tx", "F1") == pytest.approx(5.0)
    assert found.volts("tx", "start.neg") == 0.0
    assert found.volts("tx", "start.pos") == pytest.approx(12 - 5 * 0.010)
    assert found.volts("tx", "F1.a") == pytest.approx(12 - 5 * 0.011)
    assert found.volts("tx", "set.neg") == pytest.approx(5 * 0.020)
    assert found.across("tx", "set") == pytest.approx(12 - 5 * 0.061)
    assert found.across("tx", "start") == pytest.approx(11.95)
    assert found.between("tx", "set.neg", "set.pos") == pytest.approx(-found.across("tx", "set"))


def test_a_constant_power_has_the_larger_root():
    # I = (V - sqrt(V^2 - 4 R P)) / 2 R
    amps = (12 - math.sqrt(144 - 4 * 0.061 * 60)) / (2 * 0.061)
    assert operating(one_set("box:watts")).current("tx", "W2") == pytest.approx(amps)


def test_a_resistance():
    assert operating(one_set("box:ohms")).current("tx", "W1") == pytest.approx(12 / 2.061)


def test_nothing_flows_while_it_is_off():
    found = operating(one_set())
    assert found.current("idle", "W2") == pytest.approx(0.0, abs=1e-12)
    assert found.across("idle", "set") == pytest.approx(12.0)


def test_a_wire_laid_the_other_way_has_the_other_sign():
    turned = one_set().replace('from = "F1.b", to = "set.pos"', 'from = "set.pos", to = "F1.b"')
    assert operating(turned).current("tx", "W2") == pytest.approx(-5.0)
    assert operating(turned).across("tx", "set") == pytest.approx(operating(one_set()).across("tx", "set"))


def test_joints_of_a_wire_are_in_series_with_it():
    found = operating(one_set().replace('"tag:none", "tag:none"', '"tag:five", "tag:none"'))
    assert found.across("tx", "set") == pytest.approx(12 - 5 * (0.061 + 3 * 0.005))


def test_only_the_metal_of_a_wire_is_warm_and_not_its_joints():
    text = one_set(cable="wire:warm").replace('"tag:none", "tag:none"', '"tag:five", "tag:none"')
    wires_ohm = 0.041 * (1 + 0.00393 * (60 - 20))
    assert operating(text).across("tx", "set") == pytest.approx(12 - 5 * (0.020 + wires_ohm + 3 * 0.005))


def test_the_charge_of_a_state_wins_over_the_setting():
    text = one_set(extra='half = { start = { start = "50 %" } }')
    assert operating(text).across("half", "start") == pytest.approx(11.5 - 5 * 0.010)
    assert operating(text).across("tx", "start") == pytest.approx(12 - 5 * 0.010)


def test_warm_copper_resists_more_than_cold():
    found = operating(one_set(cable="wire:warm"))
    for state, air_c in (("tx", 60.0), ("cold", -20.0)):
        wire_ohm = 0.041 * (1 + 0.00393 * (air_c - 20))
        assert found.across(state, "set") == pytest.approx(12 - 5 * (0.020 + wire_ohm))
        assert dict(found.metal_c[state]) == {"W1": air_c, "W2": air_c, "W3": air_c}


# what nothing feeds


def test_what_nothing_feeds_has_no_volts():
    cut = one_set().replace('from = "F1.b"', 'from = "hub.x"')
    found = operating(cut.replace("[conductors]", 'hub = { part = "joint" }\n[conductors]'))
    assert found.across("tx", "set") is None
    assert found.volts("tx", "set.pos") is None
    assert found.current("tx", "W2") == 0.0
    assert found.volts("tx", "F1.b") == pytest.approx(12.0)
    assert found.solutions["tx"].unfed(0) == ("set",)


def test_a_terminal_that_nothing_touches_has_no_volts():
    assert operating(one_set()).volts("tx", "set.spare") is None


def test_a_design_without_electricity_has_states_and_no_volts():
    found = operating('[nodes]\nset = { part = "ornament" }\nhub = { part = "joint" }\n[states.tx]')
    assert found.states == ("tx",)
    assert found.volts("tx", "hub.x") is None
    assert found.without_operating_point("tx") == ()
    assert dict(found.solutions) == {}


@pytest.mark.parametrize(
    ("ask", "says"),
    [
        (lambda found: found.volts("xt", "set.pos"), "no state 'xt'.*known: cold, idle, tx"),
        (lambda found: found.volts("tx", "sett.pos"), "no node 'sett'.*'set'"),
        (lambda found: found.volts("tx", "set.plus"), "box:amps has no terminal 'plus'"),
        (lambda found: found.across("tx", "F1"), "no load or source 'F1'"),
        (lambda found: found.across("tx", "nothing"), "no load or source 'nothing'"),
        (lambda found: found.current("xt", "W1"), "no state 'xt'"),
        (lambda found: found.without_operating_point("xt"), "no state 'xt'"),
    ],
)
def test_what_is_asked_wrongly_is_named(ask, says):
    with pytest.raises(UnknownName, match=says):
        ask(operating(one_set()))


def test_an_element_that_is_not_there_is_no_zero():
    with pytest.raises(NetworkError, match="no element 'W9'"):
        operating(one_set()).current("tx", "W9")


# loads that cannot run


def test_a_load_below_its_least_voltage_is_shown_running_and_settles_off():
    found = operating(one_set().replace('volts = "12 V"', 'volts = "10.2 V"'))
    assert found.across("tx", "set") == pytest.approx(10.2 - 5 * 0.061)
    assert found.solutions["tx"].below_minimum(0) == ("set",)
    assert found.solutions["tx"].settled.current(0, "W2") == pytest.approx(0.0, abs=1e-12)


def test_a_load_without_an_operating_point_is_named_and_the_other_runs():
    second = """lamp = { part = "box:amps" }
    [conductors]
    X1 = { cable = "wire:one", from = "F1.b", to = "lamp.pos", length = "1 m" }
    X2 = { cable = "wire:one", from = "lamp.neg", to = "start.neg", length = "1 m" }
    """
    found = operating(one_set("box:greedy").replace("[conductors]", second))
    assert found.without_operating_point("tx") == ("set",)
    assert found.without_operating_point("idle") == ()
    assert found.current("tx", "X1") == pytest.approx(5.0)
    assert found.current("tx", "W2") == pytest.approx(0.0, abs=1e-12)


# warm metal


def heated(kelvin_per_a2: float, calls: list[str] | None = None):
    """A conductor in air of 20 degC whose metal rises with the square of its current."""

    def metal(conductor, state, current_a):
        if calls is not None:
            calls.append(conductor.id)
        assert set(current_a) == {"W1", "W2", "W3"}
        return 20.0 + kelvin_per_a2 * current_a[conductor.id] ** 2

    return metal


def test_the_resistance_follows_the_temperature_that_the_current_makes():
    calls: list[str] = []
    found = operate(view_of(one_set(cable="wire:warm")), heated(2.0, calls))
    assert found.metal_c["tx"] == {"W1": 70.0, "W2": 70.0, "W3": 70.0}
    assert found.metal_c["idle"] == {"W1": 20.0, "W2": 20.0, "W3": 20.0}
    # 5 A, 50 K: the wire has 0.041 ohm * (1 + 0.00393 * 50)
    assert found.across("tx", "set") == pytest.approx(12 - 5 * (0.020 + 0.041 * (1 + 0.00393 * 50)))
    assert calls.count("W1") == 3 + 3 + 2  # without current, cold and warm; once less where there is none


@settings(max_examples=20)
@given(st.floats(0.0, 6.0), st.sampled_from(["box:watts", "box:ohms", "box:amps"]))
def test_metal_and_current_agree_within_a_tenth_of_a_kelvin(kelvin_per_a2, box):
    model = heated(kelvin_per_a2)
    found = operate(view_of(one_set(box, "wire:warm")), model)
    amps = {core: found.current("tx", core) for core in ("W1", "W2", "W3")}
    assert len({round(a, 9) for a in amps.values()}) == 1
    for conductor in found.installation.conductors.values():
        made_c = model(conductor, found.installation.states["tx"], amps)
        assert abs(made_c - found.metal_c["tx"][conductor.id]) <= CLOSE_K
    metal_c = found.metal_c["tx"]["W2"]
    drop_v = found.between("tx", "F1.b", "set.pos")
    assert drop_v == pytest.approx(amps["W2"] * 0.020 * (1 + 0.00393 * (metal_c - 20)), rel=1e-9)


def test_one_core_warms_the_whole_conductor():
    text = f"""{one_set().split("[conductors]")[0]}
    [conductors.W]
    cable = "wire:two"
    from = ["start.pos", "start.neg"]
    to = ["set.pos", "set.neg"]
    length = "2 m"
    [states.tx]
    """
    found = operate(view_of(text), lambda conductor, state, current_a: 20 + sum(map(abs, current_a.values())))
    assert found.metal_c["tx"] == {"W.1": pytest.approx(30.0), "W.2": pytest.approx(30.0)}


def restless():
    """A model whose answer never comes to rest."""
    turns = itertools.cycle([40.0, 80.0])
    return lambda conductor, state, current_a: next(turns) if conductor.id == "W2" else 20.0


def test_a_temperature_that_does_not_settle_is_an_error_that_names_the_wire():
    with pytest.raises(NotSettled, match=r"metal of W2 does not settle in state cold: (40|80)\.0 degC, then") as caught:
        operate(view_of(one_set(cable="wire:warm")), restless())
    assert caught.value.place.path == ("conductors", "W2")
    assert caught.value.remedy


@pytest.mark.parametrize("warm", [math.nan, math.inf, -1e6])
def test_a_temperature_that_is_none_is_an_error(warm):
    with pytest.raises((NotSettled, NetworkError)):
        operate(view_of(one_set(cable="wire:warm")), lambda conductor, state, current_a: warm)


def test_what_needs_a_study_that_does_not_settle_is_not_checked():
    warm = Study("warm", lambda view: operate(view, restless()))

    def run(view):
        yield Finding(subject=Path("job"), message=str(view[warm]))

    class Made:
        @hookimpl
        def register_checks(self):
            return [Check("made.warm", "made", "error", run, needs=(warm,))]

    shelf = bench_shelf(registry=bench_registry(made=Made()))
    assessment = assessed(one_set(cable="wire:warm"), shelf)
    (why,) = [item.why for item in assessment.not_checked if item.check == "made.warm"]
    assert why.startswith("study 'warm' failed: conductors.W2: the temperature of the metal of W2 does not settle")
    assert assessment[OPERATING].current("tx", "W2") == pytest.approx(5.0)


def test_a_slow_model_settles_within_its_rounds():
    closer = {"W1": 0.0, "W2": 0.0, "W3": 0.0}

    def slow(conductor, state, current_a):
        closer[conductor.id] += 0.5 * (60.0 - closer[conductor.id])
        return closer[conductor.id]

    found = operate(view_of(one_set(cable="wire:warm")), slow)
    assert found.metal_c["tx"]["W2"] == pytest.approx(60.0, abs=2 * CLOSE_K)
    assert MOST_ROUNDS > 10


# Kirchhoff over the whole installation


def on_the_body(found: Operating, state: str) -> set[str]:
    """The nodes with a way into the body."""
    laid = found.installation
    elements = elements_of(laid, laid.states[state], found.metal_c[state])
    return {element.name.split(".")[0] for element in elements if BODY in vars(element).values()}


def into_nodes_a(found: Operating, state: str) -> dict[str, float]:
    """The sum of the currents that the wires bring to each node [A]."""
    total = dict.fromkeys(found.installation.nodes, 0.0)
    for core in found.installation.cores:
        total[core.start.node] -= found.current(state, core.id)
        total[core.end.node] += found.current(state, core.id)
    return total


def assert_lawful(found: Operating) -> None:
    """What goes into a node by its wires comes out of it by its wires, except into the body, which keeps nothing."""
    for state in found.states:
        total, body = into_nodes_a(found, state), on_the_body(found, state)
        assert all(abs(amps) < 1e-6 for node, amps in total.items() if node not in body), (state, total)
        assert abs(math.fsum(total[node] for node in body)) < 1e-6
        answer = found.solutions[state].asked
        assert answer.kirchhoff_a.max() < 1e-6
        assert answer.power_error.max() < 1e-9


def test_currents_balance_in_every_state_of_hazel():
    found = rigfeed.assess_file(rigfeed.example("hazel"))[OPERATING]
    assert len(found.states) == 4
    assert_lawful(found)
    assert max(abs(amps) for amps in into_nodes_a(found, "all-keyed-engine-on").values()) > 1.0  # into the body


def test_currents_balance_around_two_batteries_and_a_ring():
    ring = """
    aux = { part = "cell:soft" }
    lamp = { part = "box:watts" }
    F2 = { part = "link:twenty" }
    stud = { part = "body-point" }
    [conductors]
    X1 = { cable = "wire:one", from = "aux.pos", to = "F2.a", length = "1 m" }
    X2 = { cable = "wire:one", from = "F2.b", to = "set.pos", length = "1 m" }
    X3 = { cable = "wire:one", from = "F2.b", to = "F1.b", length = "3 m" }
    X4 = { cable = "wire:one", from = "lamp.pos", to = "set.pos", length = "1 m" }
    X5 = { cable = "wire:one", from = "lamp.neg", to = "stud.x", length = "1 m" }
    X6 = { cable = "wire:one", from = "aux.neg", to = "stud.x", length = "1 m" }
    X7 = { cable = "wire:one", from = "start.neg", to = "stud.x", length = "1 m" }
    """
    found = operating(one_set("box:ohms").replace("[conductors]", ring.replace("stud.x", "stud.stud")))
    assert_lawful(found)
    assert found.across("tx", "set") > 8.0
    assert found.current("tx", "W2") != pytest.approx(found.current("tx", "W1"))


def test_a_load_that_runs_on_cold_leads_only_does_not_come_and_go_for_ever():
    """60 W over 2 x 0.5 ohm cannot be had from 12 V; the leads are that hot only while it runs."""
    text = one_set("box:watts", "wire:warm").replace('"2 m"', '"4 m"')
    assert operate(view_of(text), lambda *_: 3000.0).without_operating_point("tx") == ("set",)
    assert operate(view_of(text), lambda *_: 20.0).without_operating_point("tx") == ()

    def hot_while_it_runs(conductor, state, current_a):
        return 3000.0 if 0.1 < abs(current_a[conductor.id]) < 5.5 else 20.0

    found = operate(view_of(text), hot_while_it_runs)
    assert found.without_operating_point("tx") == ("set",)
    assert set(found.metal_c["tx"].values()) == {3000.0}
