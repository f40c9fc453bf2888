"""Conductors: lengths, spare, zones, ways, cores, terminals and end fittings."""

from __future__ import annotations

import pytest
from tests.kit.resolve.bench import bench_shelf, installed

from rigfeed.errors import DesignError, InputErrors, UnknownName
from rigfeed.resolve.conductors import CONTACT_OHM, SLACK_END_M, SLACK_EQUIPMENT_M

HOUSE = """
[zones]
bay = { warmest = "90 degC", coldest = "-20 degC" }
cabin = { warmest = "40 degC", coldest = "-10 degC" }
[points]
front = { zone = "bay" }
wall = {}
seat = { zone = "cabin" }
roof = {}
[runs]
hood = { from = "front", to = "wall", length = "1 m", zone = "bay" }
sill = { from = "seat", to = "wall", length = "3 m", zone = "cabin" }
pillar = { from = "seat", to = "roof" }
[nodes]
start = { part = "cell:stiff", at = "front" }
hub = { part = "joint", at = "seat" }
far = { part = "joint" }
set = { part = "box:amps", at = "seat" }
"""


def wire(keys: str, cable: str = "wire:one", ends: str = 'from = "start.pos"\nto = "hub.x"'):
    return installed(f'{HOUSE}\n[conductors.W1]\ncable = "{cable}"\n{ends}\n{keys}').conductors.get("W1")


def missing(keys: str, ends: str = 'from = "start.pos"\nto = "hub.x"') -> str:
    laid = installed(f'{HOUSE}\n[conductors.W1]\ncable = "wire:one"\n{ends}\n{keys}')
    (item,) = [item for item in laid.not_checked if "conductors.W1" in str(item.subject)]
    return f"{item.check}: {item.why}"


def practised(threshold) -> float:
    return bench_shelf().registry.practices.get("road").threshold(threshold)[0]


# the length


def test_a_route_gives_the_sum_of_its_runs():
    laid = wire('route = ["hood", "sill"]')
    assert laid.length_m == pytest.approx(4.0)
    assert [(s.run, s.length_m, s.zone.id) for s in laid.stretches] == [("hood", 1.0, "bay"), ("sill", 3.0, "cabin")]


def test_a_measured_length_wins_and_is_shared_out_among_the_runs():
    laid = wire('route = ["hood", "sill"]\nlength = "6 m"')
    assert [s.length_m for s in laid.stretches] == pytest.approx([1.5, 4.5])
    assert laid.length_m == pytest.approx(6.0)


def test_a_length_alone_is_one_stretch_in_the_warmest_zone_of_its_ends():
    (stretch,) = wire('length = "0.5 m"').stretches
    assert (stretch.run, stretch.length_m, stretch.zone.id) == (None, 0.5, "bay")


def test_the_air_is_the_mean_over_the_length():
    laid = wire('route = ["hood", "sill"]')
    assert laid.air_c("warmest") == pytest.approx((90 * 1 + 40 * 3) / 4)
    assert laid.air_c("coldest") == pytest.approx((-20 * 1 - 10 * 3) / 4)


def test_a_run_without_a_length_is_said_and_the_wire_left_out():
    assert wire('route = ["hood", "sill", "pillar"]', ends='from = "start.pos"\nto = "far.x"') is None
    assert missing('route = ["hood", "pillar"]') == "routes: the length of run pillar is not measured yet"
    assert missing('route = ["hood", "pillar"]\nlength = "3 m"').endswith("run pillar is not measured yet")


def test_one_unmeasured_run_takes_the_whole_measured_length():
    (stretch,) = wire('route = ["pillar"]\nlength = "2 m"', ends='from = "hub.x"\nto = "far.x"').stretches
    assert (stretch.run, stretch.length_m) == ("pillar", 2.0)


# the spare


def test_the_practice_gives_the_spare_of_each_end():
    end_m, loop_m = practised(SLACK_END_M), practised(SLACK_EQUIPMENT_M)
    assert loop_m > end_m > 0
    assert wire('route = ["hood", "sill"]').slack_m == pytest.approx(2 * end_m)
    laid = wire('route = ["hood", "sill"]', ends='from = "start.pos"\nto = "set.pos"')
    assert laid.slack_m == pytest.approx(end_m + loop_m)
    assert laid.cut_length_m == pytest.approx(4.0 + end_m + loop_m)


def test_a_given_spare_wins():
    assert wire('route = ["hood", "sill"]\nslack = "0.2 m"').slack_m == 0.2
    assert wire('route = ["hood", "sill"]\nslack = "0 m"').slack_m == 0.0
    assert wire('length = "2 m"\nslack = "0.2 m"').cut_length_m == pytest.approx(2.2)


def test_a_stated_length_is_cut_to_it():
    assert wire('length = "2 m"').cut_length_m == 2.0


@pytest.mark.parametrize("origin", ["supplied", "vehicle"])
def test_what_is_not_cut_has_no_spare(origin):
    laid = wire(f'route = ["hood", "sill"]\norigin = "{origin}"')
    assert (laid.origin, laid.slack_m, laid.length_m) == (origin, 0.0, 4.0)


def test_the_spare_is_counted_once_as_left_out_of_the_resistance():
    text = f'{HOUSE}\n[conductors]\n' + "".join(
        f'W{n} = {{ cable = "wire:one", from = "start.pos", to = "hub.x{n}", length = "1 m", slack = "0.{n} m" }}\n'
        for n in (1, 2)
    )
    (assumption,) = [a for a in installed(text).assumptions if a.subject == ("conductors",)]
    assert (assumption.value.value, assumption.value.unit) == (pytest.approx(0.3), "m")


# the way


def test_a_gap_in_a_route_is_said_and_the_wire_stays():
    assert missing('route = ["sill", "hood"]').startswith("routes: run sill does not go on from front")
    assert wire('route = ["sill", "hood"]').length_m == pytest.approx(4.0)


def test_a_route_that_ends_elsewhere_is_said():
    assert missing('route = ["hood"]') == "routes: the route ends at wall, not at seat: the length may be wrong"


@pytest.mark.parametrize(
    ("ends", "route"),
    [
        ('from = "start.pos"\nto = "hub.x"', '["hood", "sill"]'),
        ('from = "hub.x"\nto = "start.pos"', '["sill", "hood"]'),
        ('from = "start.pos"\nto = "far.x"', '["hood"]'),
        ('from = "far.x"\nto = "hub.x"', '["hood", "sill"]'),
        ('from = "far.x"\nto = "far.y"', '["sill"]'),
        ('from = "hub.x"\nto = "set.pos"', '["sill", "sill"]'),
    ],
)
def test_a_route_from_end_to_end_is_fine(ends, route):
    laid = installed(f'{HOUSE}\n[conductors.W1]\ncable = "wire:one"\n{ends}\nroute = {route}')
    assert [item for item in laid.not_checked if item.check == "routes"] == []


# zones


def test_a_point_without_zone_has_the_warmest_of_its_runs():
    nodes = installed(f'{HOUSE}\n[nodes.b]\npart = "joint"\nat = "wall"').nodes
    assert nodes["b"].zone.id == "bay"
    assert nodes["hub"].zone.id == "cabin"


def test_a_place_in_no_zone_has_the_air_of_the_practice_and_that_is_counted():
    laid = installed(f'{HOUSE}\n[nodes.b]\npart = "joint"\nat = "roof"')
    assert laid.nodes["b"].zone.title == "no zone"
    assumed = {str(a.subject): a.what for a in laid.assumptions if a.what.endswith("air")}
    assert {"points.roof.zone", "nodes.far.at"} <= set(assumed)
    assert not any("front" in subject or "wall" in subject for subject in assumed)


def test_a_zone_that_lacks_a_temperature_has_the_practices_and_that_is_counted_once():
    laid = installed('[zones.z]\ncoldest = "-40 degC"\n[points]\na = { zone = "z" }\nb = { zone = "z" }')
    (assumption,) = [a for a in laid.assumptions if str(a.subject) == "zones.z.warmest"]
    assert assumption.value.value == laid.zones["z"].warmest_c
    assert laid.zones["z"].coldest_c == -40.0
    assert assumption.authority


# cores, terminals, fittings

TWO = 'from = ["start.pos", "start.neg"]\nto = ["set.pos", "set.neg"]'


def test_each_core_runs_from_its_terminal_to_its_terminal():
    laid = wire('length = "1 m"', "wire:two", TWO)
    assert [(c.id, c.start.net, c.end.net) for c in laid.cores] == [
        ("W1.1", "start.pos", "set.pos"), ("W1.2", "start.neg", "set.neg"),
    ]
    assert [end.terminal for end in laid.ends] == ["start.pos", "set.pos", "start.neg", "set.neg"]


def test_a_single_core_has_the_name_of_its_conductor():
    assert [core.id for core in wire('length = "1 m"').cores] == ["W1"]


def test_a_joint_is_one_net_under_all_its_terminals():
    laid = wire('length = "1 m"')
    assert (laid.cores[0].end.terminal, laid.cores[0].end.net) == ("hub.x", "hub")


def test_terminals_and_cores_must_be_as_many():
    with pytest.raises(DesignError, match=r"conductors\.W1\.from: 1 terminal, but the cable has 2 cores.*1, 2"):
        wire('length = "1 m"', "wire:two")
    with pytest.raises(DesignError, match="2 terminals, but the cable has 1 core"):
        wire('length = "1 m"', ends=TWO)


def test_an_unknown_terminal_is_refused_where_it_stands():
    with pytest.raises(DesignError, match=r"W1\.to: box:amps has no terminal 'plus'") as caught:
        wire('length = "1 m"', ends='from = "start.pos"\nto = "set.plus"')
    assert "neg, pos, spare" in caught.value.remedy


def fitted(ends: str, cable: str = "wire:two", terminals: str = TWO):
    return [end.contact_ohm for end in wire(f'length = "1 m"\nends = {ends}', cable, terminals).ends]


def test_one_fitting_serves_all_cores_of_an_end_or_each_has_its_own():
    assert fitted('["tag:five", "tag:none"]') == [0.005, 0.0, 0.005, 0.0]
    assert fitted('["tag:five", ["tag:none", "tag:five"]]') == [0.005, 0.0, 0.005, 0.005]


def test_a_fitting_that_is_not_chosen_has_the_resistance_of_the_practice():
    laid = installed(f'{HOUSE}\n[conductors.W1]\ncable = "wire:two"\n{TWO}\nlength = "1 m"')
    assumed = [a for a in laid.assumptions if a.what == CONTACT_OHM.meaning]
    assert len(assumed) == 1
    assert str(assumed[0].subject) == "conductors.W1.ends"
    assert {end.contact_ohm for end in laid.conductors["W1"].ends} == {0.0002}
    assert str(assumed[0].value) == "0.2 mohm"
    assert all(end.fitting is None for end in laid.conductors["W1"].ends)


@pytest.mark.parametrize(
    ("ends", "says"),
    [
        ('["tag:five", ["tag:five", "tag:five", "tag:five"]]', r"ends\.1: 3 end fittings for 2 cores"),
        ('["wire:one", "tag:five"]', r"ends\.0: 'wire:one' does not fit the end of a conductor"),
        ('["tag:five", "tag:fiver"]', r"ends\.1: there is no tag 'fiver'.*did you mean 'five'"),
    ],
)
def test_a_wrong_fitting_is_refused_where_it_stands(ends, says):
    with pytest.raises((DesignError, UnknownName), match=says):
        fitted(ends)


def test_all_that_is_wrong_is_told_at_once():
    keys = 'length = "1 m"\nends = ["tag:x", "box:amps"]'
    with pytest.raises(InputErrors) as caught:
        wire(keys, ends='from = "start.plus"\nto = "set.minus"')
    assert [str(error.place.path) for error in caught.value.errors] == [
        "conductors.W1.ends.0", "conductors.W1.ends.1", "conductors.W1.from", "conductors.W1.to",
    ]


def test_a_wire_over_a_passage_is_in_it():
    text = f'{HOUSE}\n[passages.H1]\nrun = "hood"\ndiameter = "12 mm"\nexisting = ["6 mm"]\n' + (
        '[conductors]\nW1 = { cable = "wire:one", from = "start.pos", to = "hub.x", route = ["hood", "sill"] }\n'
        'W2 = { cable = "wire:one", from = "hub.x", to = "far.x", route = ["sill"] }\n'
    )
    passage = installed(text).passages["H1"]
    assert (passage.conductors, passage.cable_mm) == (("W1",), (3.0,))
    assert passage.fill == pytest.approx((36 + 9) / 144)
    assert installed(text.replace('diameter = "12 mm"\n', "")).passages["H1"].fill is None
