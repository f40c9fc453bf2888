"""Feeders, connectors, mounts, antennas, sets and loads as parts: what they answer, and how they solve in a circuit."""

from __future__ import annotations

import math

import pytest
from marshmallow import ValidationError
from tests.plugins.installing import assessed

from rigfeed.network.elements import BODY, Resistor, Sink
from rigfeed.parts.interfaces import Condition
from rigfeed.registry import make_registry
from rigfeed.studies.operating import OPERATING
from rigfeed_antennas.antenna import AntennaSchema, AntennaSettings
from rigfeed_antennas.bands import covers, wavelength_m
from rigfeed_antennas.connector import ConnectorSchema
from rigfeed_antennas.equipment import EquipmentSchema
from rigfeed_antennas.feeder import FeederSchema
from rigfeed_antennas.mount import MountSchema
from rigfeed_antennas.radio import RadioSchema

ROW = {"title": "a part", "source": "a test", "confidence": "invented"}
FEEDER = {
    "impedance_ohm": "50", "velocity_factor": "0.66", "od_mm": "5", "insulation_c": "80", "inner_mm2": "0.5",
    "inner_ohm_per_km": "36", "shield_mm2": "1.3", "shield_ohm_per_km": "13.5", "loss_db_per_100m": "1 1.5; 100 16",
}
MOUNT = {"form": "hole", "bond": "panel", "bond_mohm": "2.5", "hole_mm": "19"}
SET = {"transmit_a": "10", "receive_a": "1", "standby_a": "0.2"}
PLUG = {"contact_mohm": "1", "series": "UHF", "gender": "plug"}


def load(schema, columns, **more):
    return schema().load({key: value for key, value in {**ROW, **columns, **more}.items() if value is not None})


def test_the_kinds():
    kinds = make_registry().kinds
    assert {"radio", "equipment", "antenna", "mount", "feeder", "connector"} <= set(kinds)
    assert kinds["antenna"].settings is not None


# feeders


def test_a_feeder_answers_loss_and_direct_current():
    feeder = load(FeederSchema, FEEDER)
    assert feeder.loss_db(100e6, 50.0) == pytest.approx(8.0, rel=1e-6)
    assert [(core.name, core.ohm_per_m_20) for core in feeder.cores] == [("inner", 0.036), ("shield", 0.0135)]


def test_the_power_of_a_feeder_falls_with_frequency_and_heat():
    feeder = load(FeederSchema, FEEDER, power_w="10 400; 1000 40")
    assert feeder.power_w(1e6) == pytest.approx(400)
    assert feeder.power_w(100e6) == pytest.approx(math.sqrt(400 * 40))
    assert feeder.power_w(2000e6) == pytest.approx(20)
    assert feeder.power_w(10e6, air_c=60.0) == pytest.approx(200)
    assert feeder.power_w(10e6, air_c=0.0) == pytest.approx(400)
    assert feeder.power_w(10e6, air_c=90.0) == 0.0
    assert load(FeederSchema, FEEDER).power_w(10e6) is None


@pytest.mark.parametrize(
    "points", ["10 1", "10 1; 10 2", "10 1; 20 0", "10 1; 20 x", "10 1; 20 2 3", "", "10 1; nan 2"]
)
def test_loss_points_that_are_none(points):
    with pytest.raises(ValidationError, match="loss_db_per_100m"):
        load(FeederSchema, FEEDER, loss_db_per_100m=points)


# connectors


def test_what_mates():
    plug, socket = (load(ConnectorSchema, PLUG, gender=gender) for gender in ("plug", "socket"))
    assert plug.mates(socket)
    assert socket.mates(plug)
    assert not plug.mates(plug)
    assert not plug.mates(load(ConnectorSchema, PLUG, series="N", gender="socket"))
    assert plug.mates(load(ConnectorSchema, PLUG, series=None)) is None
    assert plug.mates(load(ConnectorSchema, PLUG, series="solder", gender="none")) is None


def test_which_cable_it_takes():
    plug = load(ConnectorSchema, PLUG, least_od_mm="4.7", most_od_mm="5.4")
    assert [plug.takes(od_mm) for od_mm in (4.6, 4.95, 5.5)] == [False, True, False]
    assert load(ConnectorSchema, PLUG).takes(5.0) is None


def test_what_it_loses():
    plug = load(ConnectorSchema, PLUG, loss_db="30 0.02; 450 0.2")
    assert plug.loss_db(1e6) == 0.02
    assert plug.loss_db(240e6) == pytest.approx(0.11)
    assert plug.loss_db(450e6) == pytest.approx(0.2)
    with pytest.raises(ValueError, match=r"up to 4\.5e\+08"):
        plug.loss_db(500e6)
    assert load(ConnectorSchema, PLUG).loss_db(1e6) is None


# mounts and antennas


@pytest.mark.parametrize(
    ("column", "changes"),
    [
        ("bond_mohm", {"bond_mohm": None}),
        ("bond_mohm", {"bond": "none"}),
        ("hole_mm", {"hole_mm": None}),
        ("least_panel_mm", {"least_panel_mm": "3", "most_panel_mm": "2"}),
        ("needs_steel", {"needs_steel": "true"}),
        ("form", {"form": "glue"}),
    ],
)
def test_a_mount_that_contradicts_itself(column, changes):
    with pytest.raises(ValidationError, match=column):
        load(MountSchema, MOUNT, **changes)


def test_which_panel_a_mount_holds_on():
    mount = load(MountSchema, MOUNT, least_panel_mm="0.6", most_panel_mm="2")
    assert [mount.holds_on(mm) for mm in (0.5, 0.8, 2.1)] == [False, True, False]
    assert load(MountSchema, MOUNT).holds_on(1.0) is None


def elements(antenna, mount):
    return antenna.elements(AntennaSettings(mount), Condition())


def test_the_mount_bonds_the_shield_and_a_coil_joins_feed_and_shield():
    bonded = load(MountSchema, MOUNT)
    insulated = load(MountSchema, MOUNT, form="clamp", bond="none", bond_mohm=None, hole_mm=None)
    rod, coil = load(AntennaSchema, {}, reading="open"), load(AntennaSchema, {}, reading="short")
    assert elements(rod, bonded) == [Resistor("bond", "shield", BODY, 0.0025)]
    assert elements(rod, insulated) == elements(rod, None) == []
    assert [element.name for element in elements(coil, bonded)] == ["bond", "coil"]


def test_a_half_wave_needs_no_panel():
    assert [load(AntennaSchema, {}, form=form).needs_panel for form in ("quarter wave", "half wave", None)] == [
        True, False, None,
    ]


def test_bands_are_in_hertz_and_in_order():
    antenna = load(AntennaSchema, {}, bands_mhz="144 148; 430 440")
    assert antenna.bands == ((144e6, 148e6), (430e6, 440e6))
    assert [covers(antenna.bands, hz) for hz in (144e6, 148e6, 200e6)] == [True, True, False]
    assert wavelength_m(299_792_458.0) == 1.0
    for bad in ("148 144", "144 148; 146 150", "144 144", "144e6 148e6", "144"):
        with pytest.raises(ValidationError, match="bands_mhz"):
            load(AntennaSchema, {}, bands_mhz=bad)


# sets and loads


def test_the_case_of_a_set_joins_shield_and_negative_only_where_shields_count():
    radio = load(RadioSchema, SET, bands_mhz="144 148", socket="UHF", keyed_a="3")
    quiet, counting = (radio.elements(None, Condition(mode="off", shields_carry=carry)) for carry in (False, True))
    assert quiet == []
    assert [(e.a, e.b) for e in counting] == [("shield", "neg")]


def test_equipment_takes_a_current_or_a_power():
    lamp = load(EquipmentSchema, {"on_a": "2"})
    laptop = load(EquipmentSchema, {"on_w": "100", "standby_w": "2", "least_v": "11"})
    assert lamp.elements(None, Condition(mode="on")) == (Sink("", "pos", "neg", "current", 2.0, 0.0),)
    assert lamp.elements(None, Condition(mode="standby")) == ()
    assert laptop.elements(None, Condition(mode="on")) == (Sink("", "pos", "neg", "power", 100.0, 11.0),)
    assert laptop.elements(None, Condition(mode="standby")) == (Sink("", "pos", "neg", "power", 2.0, 11.0),)
    assert laptop.elements(None, Condition(mode="off")) == ()


@pytest.mark.parametrize(
    "columns", [{}, {"on_a": "2", "on_w": "20"}, {"standby_a": "1"}, {"on_a": "2", "standby_w": "3"}]
)
def test_equipment_that_is_neither_or_both(columns):
    with pytest.raises(ValidationError, match="a current in on_a"):
        load(EquipmentSchema, columns)


DESIGN = """
[nodes]
start = { part = "battery:b", settings = { rest_voltage = "12.6 V" } }
laptop = { part = "equipment:laptop" }
lamp = { part = "equipment:lamp" }
set = { part = "radio:r" }
ant = { part = "antenna:coil", settings = { mount = "mount:m" } }
strap = { part = "body-point" }
[conductors]
W1 = { cable = "cable:w", from = "start.pos", to = "laptop.pos", length = "3 m" }
W2 = { cable = "cable:w", from = "laptop.neg", to = "start.neg", length = "3 m" }
W3 = { cable = "cable:w", from = "start.pos", to = "lamp.pos", length = "3 m" }
W4 = { cable = "cable:w", from = "lamp.neg", to = "start.neg", length = "3 m" }
W5 = { cable = "cable:w", from = "start.pos", to = "set.pos", length = "3 m" }
W6 = { cable = "cable:w", from = "set.neg", to = "start.neg", length = "3 m" }
W7 = { cable = "cable:w", from = "start.neg", to = "strap.stud", length = "1 m" }
C1 = { cable = "feeder:c", from = ["set.ant", "set.shield"], to = ["ant.feed", "ant.shield"], length = "4 m" }
[states]
on = { modes = { laptop = "on", lamp = "on" } }
standby = { modes = { laptop = "standby", lamp = "standby" } }
"""
ROWS = (
    "battery:b: chemistry=AGM | capacity_ah=80 | aged_mohm=10 | new_mohm=5 | rest_v=0 11.8; 100 12.8",
    "cable:w: area_mm2=2 | ohm_per_km=9.42 | od_mm=3",
    "equipment:laptop: on_w=100 | standby_w=2",
    "equipment:lamp: on_a=2",
    "radio:r: transmit_a=10 | receive_a=1 | standby_a=0.2",
    "antenna:coil: form=five-eighths wave | reading=short",
    "mount:m: form=hole | bond=panel | hole_mm=19 | bond_mohm=2.5",
    "feeder:c: " + " | ".join(f"{key}={value}" for key, value in FEEDER.items()),
)


@pytest.fixture(scope="module")
def operating():
    return assessed(DESIGN, *ROWS)[OPERATING]


def test_a_constant_power_takes_more_current_from_fewer_volts(operating):
    volts, amps = operating.across("on", "laptop"), operating.current("on", "W1")
    assert volts * amps == pytest.approx(100.0, rel=1e-9)
    assert volts < 12.2
    assert operating.current("standby", "W1") * operating.across("standby", "laptop") == pytest.approx(2.0, rel=1e-9)


def test_a_constant_current_is_one(operating):
    assert operating.current("on", "W3") == pytest.approx(2.0)
    assert operating.current("standby", "W3") == pytest.approx(0.0, abs=1e-9)


def test_a_shorted_antenna_carries_no_supply_current(operating):
    assert operating.current("on", "C1.inner") == pytest.approx(0.0, abs=1e-9)
    assert operating.current("on", "C1.shield") == pytest.approx(0.0, abs=1e-9)


def test_a_mount_that_is_no_mount_is_told():
    from rigfeed.errors import RigfeedError

    with pytest.raises(RigfeedError, match="mount"):
        assessed(DESIGN.replace("mount:m", "cable:w"), *ROWS)
