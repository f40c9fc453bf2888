"""Nodes and states: parts, settings, what the practice fills in, modes and charge."""

from __future__ import annotations

import pytest
from tests.kit.resolve.bench import bench_registry, bench_shelf, installed

from rigfeed.assess import assess
from rigfeed.design.file import parse
from rigfeed.errors import DesignError, InputErrors, PracticeError, UnknownName
from rigfeed.keyed import Keyed
from rigfeed.plugin import PartKind, TableSchema, hookimpl
from rigfeed.practice import Practice, Setting
from rigfeed.resolve import resolve


def node(keys: str):
    return installed(f"[nodes.N]\n{keys}").nodes["N"]


def assumed(keys: str) -> dict[str, str]:
    return {str(a.subject): str(a.value) for a in installed(f"[nodes.N]\n{keys}").assumptions}


# parts


def test_a_node_has_its_part_and_the_title_of_one_or_the_other():
    assert node('part = "link:ten"').part.rated_a == 10.0
    assert node('part = "link:ten"').title == "ten amps"
    assert node('part = "link:ten"\ntitle = "main"').title == "main"
    assert node("").title == "N"


@pytest.mark.parametrize(
    "kind", ["telescope", "converter", "heater", "tuner", "charger", "mount"]
)  # near to some known kind, but another one
def test_a_kind_that_no_plugin_adds_is_kept_and_said(kind):
    laid = installed(f'[nodes.N]\npart = "{kind}:x"\nsettings = {{ odd = 1, more = [2] }}')
    (item,) = [item for item in laid.not_checked if item.subject == ("nodes", "N", "part")]
    assert item.why == f"no plugin here adds the part kind {kind!r}"
    assert laid.nodes["N"].part is None
    assert laid.design.nodes["N"].settings == {"odd": 1, "more": (2,)}


@pytest.mark.parametrize(("kind", "near"), [("lnik", "link"), ("links", "link"), ("cel", "cell"), ("boxx", "box")])
def test_a_misspelt_kind_stops(kind, near):
    with pytest.raises(UnknownName, match=f"no part kind '{kind}'.*did you mean '{near}'"):
        node(f'part = "{kind}:x"')


@pytest.mark.parametrize("part", ["wire:one", "tag:five", "clip:plain"])
def test_what_has_no_terminals_is_no_node(part):
    with pytest.raises(DesignError, match=r"nodes\.N\.part: .* cannot be a node: it has no terminals"):
        node(f'part = "{part}"')


# settings


def test_settings_are_loaded_by_their_kind():
    settings = node('part = "cell:stiff"\nsettings = { volts = "12.4 V" }').settings
    assert (settings.volts.si, settings.volts.text, settings.charge) == (12.4, "12.4 V", None)


def test_a_setting_that_names_a_part_has_the_part():
    assert node('part = "link:ten"\nsettings = { clip = "clip:plain" }').settings.clip.title == "plain"


@pytest.mark.parametrize(
    ("part", "settings", "says"),
    [
        ("cell:stiff", '{ vots = "12 V" }', r"settings\.vots: unknown key 'vots'.*did you mean 'volts'"),
        ("cell:stiff", '{ volts = "12 A" }', r"settings\.volts: .*is a current"),
        ("cell:stiff", '{ volts = "200 V" }', r"settings\.volts: .*out of range"),
        ("link:ten", '{ clip = "link:ten" }', r"settings\.clip: 'link:ten' is not a clip"),
        ("link:ten", '{ clip = "clip:plian" }', r"settings\.clip: there is no clip 'plian'.*did you mean 'plain'"),
        ("box:amps", '{ volts = "12 V" }', r"settings\.volts: unknown key 'volts' \(a box has no settings"),
    ],
)
def test_a_wrong_setting_is_refused_where_it_stands(part, settings, says):
    with pytest.raises((DesignError, UnknownName), match=says):
        node(f'part = "{part}"\nsettings = {settings}')


class Fragile:
    """A plugin whose settings cannot be read."""

    class Settings(TableSchema):
        builds = staticmethod(lambda **data: 1 / 0)

    @hookimpl
    def register_part_kinds(self):
        part = bench_shelf().part("ornament")
        return [PartKind("fragile", "fragile", settings=self.Settings, standard=part)]


def test_settings_that_a_plugin_cannot_read_are_blamed_on_it():
    shelf = bench_shelf(registry=bench_registry(fragile=Fragile()))
    says = r"nodes\.N\.settings: the settings of part kind 'fragile' failed: ZeroDivisionError.*whoever made the plugin"
    with pytest.raises(DesignError, match=says):
        installed('[nodes.N]\npart = "fragile"', shelf=shelf)


def test_the_practice_fills_in_and_that_is_counted():
    assert node('part = "cell:stiff"').settings.charge.si == 0.5
    assert assumed('part = "cell:stiff"')["nodes.N.settings.charge"] == "50 %"


@pytest.mark.parametrize("given", ['charge = "80 %"', 'volts = "12 V"'])
def test_what_is_given_is_not_filled_in(given):
    assert "nodes.N.settings.charge" not in assumed(f'part = "cell:stiff"\nsettings = {{ {given} }}')


def test_limits_that_the_maker_does_not_state_are_the_practices_share():
    part = node('part = "box:bare"').part
    assert (part.least_v, part.most_v) == (pytest.approx(11.7), pytest.approx(15.87))
    assert {"nodes.N"} <= set(assumed('part = "box:bare"'))
    stated = node('part = "box:amps"').part
    assert (stated.least_v, stated.most_v) == (10.0, 16.0)
    assert "nodes.N" not in assumed('part = "box:amps"')


# the practice


def test_a_default_that_no_practice_gives_stops_with_what_to_do():
    with pytest.raises(InputErrors) as caught:
        resolve(parse('format = 1\n[nodes.N]\npart = "cell:stiff"'), bench_shelf(), Practice("bare"))
    said = str(caught.value)
    assert "nodes.N.settings.charge: practice 'bare' has no 'battery.charge' (charge of a battery" in said
    assert "vehicle.system_voltage: practice 'bare' has no 'vehicle.system-voltage'" in said
    assert "give the figure in the design, or add the key to the practice" in said


def test_a_default_of_another_unit_is_blamed_on_the_practice():
    defaults = {
        **bench_registry().practices.get("road").defaults,
        "battery.charge": Setting("12 V", "a book", where="odd.toml"),
    }
    practice = Practice("odd", defaults=Keyed(defaults))
    with pytest.raises(PracticeError, match=r"odd\.toml: defaults\..*battery.charge.*is a voltage"):
        assess(parse('format = 1\n[nodes.N]\npart = "cell:stiff"'), shelf=bench_shelf(), practice=practice)


def test_the_system_voltage_is_given_or_assumed():
    assert installed('[vehicle]\nsystem_voltage = "24 V"').system_v == 24.0
    laid = installed("")
    assert laid.system_v == 12.0
    assert "vehicle.system_voltage" in {str(a.subject) for a in laid.assumptions}


def test_nothing_is_assumed_twice():
    text = "[nodes]\n" + "".join(f'N{n} = {{ part = "cell:stiff" }}\n' for n in range(5))
    assumptions = installed(text).assumptions
    assert len(assumptions) == len({(a.subject, a.what) for a in assumptions})


def test_everything_stands_by_name_whatever_the_order_of_the_file():
    laid = installed("""
    [zones]
    z = {}
    a = {}
    [points]
    p2 = {}
    p1 = {}
    [runs]
    r = { from = "p2", to = "p1", length = "1 m" }
    [passages]
    H2 = { run = "r" }
    H1 = { run = "r" }
    [nodes]
    n2 = { part = "joint" }
    n1 = { part = "joint" }
    [conductors]
    W2 = { cable = "wire:one", from = "n1.a", to = "n2.a", length = "1 m" }
    W1 = { cable = "wire:one", from = "n1.a", to = "n2.a", length = "1 m" }
    [states]
    tx = {}
    rx = {}
    """)
    tables = [laid.zones, laid.passages, laid.nodes, laid.conductors, laid.states]
    assert [list(table) for table in tables] == [
        ["a", "z"], ["H1", "H2"], ["n1", "n2"], ["W1", "W2"], ["rx", "tx"],
    ]


# states

PAIR = '[nodes]\nstart = { part = "cell:stiff" }\nset = { part = "box:amps" }\nF1 = { part = "link:ten" }\n'


def states(text: str):
    return installed(PAIR + text).states


def test_without_states_the_practice_gives_them_and_they_are_counted():
    laid = installed(PAIR)
    given = bench_registry().practices.get("road").states
    assert set(laid.states) == set(given)
    assert laid.states["all-keyed-engine-off"].modes == {"set": "on"}
    assert laid.states["parked"].modes == {"set": "off"}
    assert laid.states["all-keyed-engine-on"].engine_on
    assert laid.states["idle-engine-on"].air == "coldest"
    assert len([a for a in laid.assumptions if str(a.subject) == "states"]) == len(given)


def test_a_state_of_the_design_stands_alone():
    laid = installed(f'{PAIR}[states.tx]\ntitle = "talking"\nengine = "on"\nmodes = {{ set = "off" }}')
    assert set(laid.states) == {"tx"}
    state = laid.states["tx"]
    assert (state.title, state.engine_on, state.air, state.modes) == ("talking", True, "warmest", {"set": "off"})
    assert not [a for a in laid.assumptions if str(a.subject) == "states"]


def test_what_a_state_does_not_name_is_in_its_default_mode():
    assert states("[states.tx]")["tx"].modes == {"set": "on"}


def test_the_charge_of_a_battery_is_a_share():
    assert states('[states.tx]\nstart = { start = "80 %" }')["tx"].charge == {"start": 0.8}


@pytest.mark.parametrize(
    ("keys", "says"),
    [
        ('modes = { set = "onn" }', r"states\.tx\.modes\.set: there is no mode of box:amps 'onn'.*did you mean 'on'"),
        ('modes = { F1 = "on" }', r"states\.tx\.modes\.F1: there is no mode of link:ten 'on' \(none is defined"),
        ('start = { set = "80 %" }', r"states\.tx\.start\.set: 'set' has no charge: it is no battery"),
    ],
)
def test_a_wrong_mode_or_charge_is_refused_where_it_stands(keys, says):
    with pytest.raises((DesignError, UnknownName), match=says):
        states(f"[states.tx]\n{keys}")


def test_a_mode_of_a_node_without_part_waits_for_it():
    laid = installed('[nodes.later]\n[states.tx]\nmodes = { later = "transmit" }\nstart = { later = "10 %" }')
    assert laid.states["tx"].modes == {}
