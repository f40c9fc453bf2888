"""Where the negative goes: vehicles of both schools get different answers, each with its authority."""

from __future__ import annotations

import pytest

import rigfeed
from rigfeed import Path, Remove, Set, apply
from rigfeed.papers.returnpaper import against, return_table
from rigfeed.trials.measured import measured_body
from rigfeed.trials.returns import try_returns, try_returns_of


def vehicle(base: str = "hazel", **changes: object):
    edits = [Set(Path.parse(path.replace("__", ".")), value) for path, value in changes.items()]
    return apply(rigfeed.load(rigfeed.example(base)), edits)


THICK = {f"conductors__{wire}__cable": "cable:thinwall-4" for wire in ("W1", "W2", "W3")}
STEEL = {"vehicle__battery_sensor": False, **THICK}
BUS = {"vehicle__battery_sensor": False, "vehicle__isolated_return": True, **THICK}


def hull():
    """A plastic hull: nothing joins the battery to a body; as drawn, someone took a hull bolt."""
    design = vehicle(**BUS)
    return apply(design, [Remove(Path.parse("conductors.V1")), Remove(Path.parse("nodes.strap")),
                          Remove(Path.parse("nodes.alt"))])


def answer(design, practice: str | None = None, load: str = "vhf"):
    (found,) = try_returns(design, practice=practice, only=[load]).answers
    return found


@pytest.mark.parametrize(
    ("design", "practice", "way", "authority"),
    [
        (vehicle(), "road", ("body", False), "FCS 1362:2010 4.6.4"),
        (vehicle(**THICK), "amateur", ("body", False), "FCS 1362:2010 4.6.4"),  # the sensor counts more than the school
        (vehicle(**STEEL), "amateur", ("post", True), "Caltrans vehicle equipment guide"),
        (vehicle(**STEEL), "road", ("body", False), "FCS 1362:2010 4.6.4"),
        (vehicle(**BUS), "road", ("post", True), "FCS 1362:2010 4.7.2"),
        (hull(), "marine", ("post", True), "33 CFR 183.455(a)"),
    ],
    ids=["sensor", "sensor, amateur", "old steel car, amateur", "old steel car, road", "isolated return", "hull"],
)
def test_vehicles_of_both_schools_get_their_answer_with_its_authority(design, practice, way, authority):
    found = answer(design, practice)
    assert (found.best.way.where, found.best.way.fused) == way
    assert authority in found.authority


def test_the_sensor_is_what_turns_the_old_steel_car():
    found = answer(vehicle(**STEEL), "amateur")
    assert {(turn.fact, turn.to) for turn in found.turns} >= {
        ("a sensor on the negative post", "body point near the set, no fuse"),
    }
    sensor = answer(vehicle(**{**STEEL, "vehicle__battery_sensor": True}), "amateur")
    assert sensor.best.way.title == "body point near the set, no fuse"  # and so it is when the fact is turned


@pytest.mark.parametrize(("name", "load"), [("hazel", "vhf"), ("larch", "dcdc"), ("alder", "conv")])
def test_every_turn_of_a_fact_holds_when_the_fact_is_turned(name, load):
    design = vehicle(name)
    turns = {turn.fact: turn.to for turn in answer(design, load=load).turns}
    facts = {"both poles kept off the body": "vehicle__isolated_return", "a sensor on the negative post":
             "vehicle__battery_sensor"}
    for said, path in facts.items():
        edit = Set(Path.parse(path.replace("__", ".")), True)
        turned = answer(apply(design, [edit]), load=load).best.way.title
        assert turned == turns.get(said, answer(design, load=load).best.way.title)


@pytest.mark.parametrize(("name", "load"), [("hazel", "vhf"), ("wren", "vhf")])
def test_a_body_path_measured_beyond_what_is_said_turns_the_answer_and_one_short_of_it_does_not(name, load):
    design = vehicle(name)
    found = answer(design, load=load)
    (turn,) = [turn for turn in found.turns if "body path measured" in turn.fact]
    said_ohm = float(turn.fact.split("above ")[1].split()[0]) / 1000
    for share, way in ((1.1, turn.to), (0.9, found.best.way.title)):
        measured = apply(design, measured_body(design, "stud", "strap", share * said_ohm))
        after = answer(measured, load=load)
        assert after.best.way.title == way
        assert not [turn for turn in after.turns if "body path measured" in turn.fact]  # it is known now


def test_a_body_that_is_not_what_decides_turns_nothing():
    """Larch's charger has volts to spare, Alder's post would lead around the master switch: no path turns that."""
    for name, load in (("larch", "dcdc"), ("alder", "conv")):
        assert not [turn for turn in answer(vehicle(name), load=load).turns if "body path" in turn.fact]


def test_a_fitter_who_disagrees_finds_his_rule_and_is_told_which_is_followed():
    def followed(design, practice: str | None = None) -> set[str]:
        return {school.authority.split(",")[0] for school in answer(design, practice).schools if school.followed}

    assert followed(vehicle()) == {"practice road", "46 CFR 111.05-37(a)"}
    assert followed(vehicle(**STEEL), "amateur") == {"Caltrans vehicle equipment guide 17"}
    assert followed(vehicle(**BUS)) == {"FCS 1362:2010 4.7.2; 33 CFR 183.455(a)"}
    bad = apply(vehicle(), measured_body(vehicle(), "stud", "strap", 40e-3))  # the body is poor: to the strap's bolt
    assert followed(bad) == {"FCS 1362:2010 4.6.4", "US amateur question pool 2022", "46 CFR 111.05-37(a)"}


def test_the_way_as_drawn_is_not_assessed_twice_and_says_the_same(monkeypatch):
    """Of an assessment that is there already; the paper is made of one."""
    from rigfeed.trials import return_options

    design = vehicle()
    base, asked = rigfeed.assess(design), []
    monkeypatch.setattr(return_options, "assess", lambda design, **more: asked.append(design) or rigfeed.assess(
        design, **more))
    whole = try_returns_of(base)
    assert design not in asked
    apart = try_returns(design)
    for one, two in zip(whole.answers[0].options, apart.answers[0].options, strict=True):
        assert one.way.title == two.way.title
        assert {f.check for f in one.findings} == {f.check for f in two.findings}
        assert one.least_v == two.least_v


def test_hazel_by_the_hand_calculation():
    """0.40 m to a stud: 11.89 V; the pair of 2.5 mm2 to the posts is about 3.4 m each way and passes the sensor by."""
    found = answer(vehicle())
    ways = {(option.way.where, option.way.fused): option for option in found.options}
    assert len(ways) == 6
    assert found.drawn == found.best.way
    assert ways["body", False].least_v == pytest.approx(11.89, rel=0.005)
    assert ways["post", True].least_v < 11.7
    assert "sensor-bypassed" in {f.check for f in ways["post", True].findings}
    assert {"strap-open-overloads", "negative-at-post-unfused"} <= {f.check for f in ways["post", False].findings}
    assert ways["post", False].strap_a > 50 > ways["body", False].strap_a


def test_a_way_around_the_master_switch_is_said():
    found = answer(vehicle("alder"), load="conv")
    ways = {(option.way.where, option.way.fused): option for option in found.options}
    assert ways["post", True].bypasses
    assert not ways["strap", False].bypasses
    assert "master switch" in against(found, ways["post", True])


def test_where_neither_pole_is_grounded_a_bare_negative_does_not_read_as_nothing_found():
    """33 CFR 183.455(a): each current-carrying conductor that is not grounded is protected."""
    for design in (vehicle(**BUS), hull()):
        found = answer(design)
        ways = {(option.way.where, option.way.fused): option for option in found.options}
        assert "isolated-negative-unfused" in against(found, ways["post", False])
        assert "isolated-negative-unfused" not in against(found, ways["post", True])
    grounded = answer(vehicle(**STEEL))
    assert not any("isolated-negative-unfused" in against(grounded, option) for option in grounded.options)


def test_sets_on_their_own_auxiliary_are_not_asked():
    trial = try_returns(vehicle("larch"))
    assert [found.load.id for found in trial.answers] == ["dcdc"]
    assert {"hf", "vhf"} <= dict(trial.others).keys()
    assert "two wires" in dict(trial.others)["hf"]


@pytest.mark.parametrize("name", ["hazel", "larch", "alder"])
def test_every_school_finds_its_rule_on_the_paper(name):
    table = return_table(try_returns(vehicle(name)))
    said = " ".join(table.notes)
    for authority in ("FCS 1362:2010 4.6.4", "Caltrans vehicle equipment guide", "33 CFR 183.455(a)"):
        assert authority in said


def test_the_way_back_over_a_fuse_at_the_post_is_one_of_the_ways_as_drawn():
    """A negative that is fused at the post already: the same six ways, without a second fuse in a row."""
    design = apply(vehicle(**STEEL), [
        Set(Path.parse("nodes.N1"), {"part": "fuse:blade-10", "at": "battery"}),
        Set(Path.parse("conductors.W3.to"), "N1.a"), Remove(Path.parse("conductors.W3.length")),
        Set(Path.parse("conductors.W9"),
            {"cable": "cable:thinwall-4", "from": "N1.b", "to": "start.neg", "length": "0.15 m"}),
    ])
    found = answer(design, "amateur")
    assert (found.best.way.where, found.best.way.fused) == ("post", True)
    assert len(found.options) == 6
    for option in found.options:
        fuses = [id_ for id_, node in option.design.nodes.items() if (node.part or "").startswith("fuse:blade-10")]
        assert len(fuses) == 1 + option.way.fused
