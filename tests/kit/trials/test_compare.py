"""Two designs side by side."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import rigfeed
from rigfeed import Add, Path, Remove, Set, apply
from rigfeed.trials.compare import compare, compare_assessments, differences

HAZEL = rigfeed.load(rigfeed.example("hazel"))


def changed(*edits):
    return apply(HAZEL, edits)


def set_to(path: str, value: object) -> Set:
    return Set(Path.parse(path), value)


THIN = changed(*(set_to(f"conductors.{wire}.cable", "cable:thinwall-1") for wire in ("W1", "W2", "W3")))


def amounts(comparison):
    return {amount.what: (amount.before, amount.after) for amount in comparison.amounts}


def test_a_thinner_wire_gains_findings_and_loses_volts_and_copper():
    comparison = compare(HAZEL, THIN)
    assert {finding.check for finding in comparison.gained} >= {"volts-below-minimum", "fuse-above-ampacity"}
    (volts,) = comparison.volts
    assert volts.load == "vhf"
    assert volts.before_v == pytest.approx(11.89, rel=0.005)  # by the hand calculation of the scenario
    assert volts.after_v == pytest.approx(11.58, rel=0.005)
    before, after = amounts(comparison)["copper in it"]
    cut_m = sum(HAZEL_CUT[wire] for wire in ("W1", "W2", "W3"))
    assert before - after == pytest.approx(1.5 * cut_m * 8.89e-3)  # 1.5 mm2 less, 8.89 g/cm3 (IEC 60028)


HAZEL_CUT = {
    id_: conductor.cut_length_m
    for id_, conductor in rigfeed.assess(HAZEL, only=[]).installation.conductors.items()
}


def test_back_to_front_gained_is_lost():
    there, back = compare(HAZEL, THIN), compare(THIN, HAZEL)
    assert {(f.check, f.subject) for f in there.gained} == {(f.check, f.subject) for f in back.lost}
    assert {(f.check, f.subject) for f in there.lost} == {(f.check, f.subject) for f in back.gained}
    assert [(d.before, d.after) for d in there.differences] == [(d.after, d.before) for d in back.differences]


def test_a_design_and_itself():
    assessment = rigfeed.assess(HAZEL)
    comparison = compare_assessments(assessment, assessment)
    assert comparison.is_same
    assert not comparison.changed
    assert all(amount.before == amount.after for amount in comparison.amounts)


def test_a_feed_that_is_lost_in_one_state_is_the_worst_of_a_load():
    """Both keep their feed while someone keys; only the second turns the master switch off when parked."""
    alder = rigfeed.load(rigfeed.example("alder"))
    before = apply(alder, [
        Add(Path("states", "sending"), {"title": "keyed", "modes": {"vhf": "transmit"}}),
        Add(Path("states", "parked"), {"title": "parked"}),
    ])
    after = apply(before, [Set(Path.parse("states.parked.modes"), {"main": "off"})])
    volts = {item.load: item for item in compare(before, after).volts}
    assert {(load, item.state, item.after_v) for load, item in volts.items()} == {
        ("tablet", "parked", None), ("vhf", "parked", None),
    }
    assert volts["vhf"].before_v is not None
    fed_again = {item.load: item.state for item in compare(after, before).volts}
    assert fed_again == {"tablet": "sending", "vhf": "sending"}


def test_the_same_text_under_another_practice_is_not_the_same():
    one, other = rigfeed.assess(HAZEL, practice="road"), rigfeed.assess(HAZEL, practice="marine")
    comparison = compare_assessments(one, other)
    assert not comparison.differences
    assert not comparison.is_same


def test_another_figure_alone_is_a_difference():
    """Two catalogs may say different things of one part: the designs are alike, their volts are not."""
    comparison = compare_assessments(rigfeed.assess(HAZEL, only=[]), rigfeed.assess(HAZEL, only=[]))
    (volts,) = comparison.volts
    assert comparison.is_same
    assert not replace(comparison, volts=(replace(volts, after_v=volts.after_v - 0.5),)).is_same
    assert not replace(comparison, volts=(replace(volts, after_v=None),)).is_same
    assert not replace(comparison, amounts=(replace(comparison.amounts[-1], after=-1.0),)).is_same


def test_what_is_new_or_gone_is_told_once():
    more = changed(Add(Path("nodes", "spare"), {"part": "joint", "at": "seat"}), Remove(Path.parse("nodes.ant")))
    found = {str(difference.path): difference for difference in differences(HAZEL, more)}
    assert set(found) == {"nodes.spare", "nodes.ant", "conductors.W6"}
    assert found["nodes.spare"].before is None
    assert found["nodes.ant"].after is None


def test_positions_in_a_window_are_no_difference():
    moved = apply(HAZEL, [Set(Path("drawing", "vhf"), [1, 2])])
    assert list(differences(HAZEL, moved)) == []


@settings(max_examples=30)
@given(length=st.sampled_from(["0.1 m", "0.4 m", "2 m"]), wire=st.sampled_from(["W1", "W3"]),
       cable=st.sampled_from(["cable:thinwall-1.5", "cable:thinwall-2.5"]))
def test_the_differences_are_exactly_the_edits_that_change_something(length, wire, cable):
    edits = {f"conductors.{wire}.length": length, f"conductors.{wire}.cable": cable}
    new = changed(*(set_to(path, value) for path, value in edits.items()))
    now = {f"conductors.{wire}.length": HAZEL.conductors[wire].length.text,
           f"conductors.{wire}.cable": HAZEL.conductors[wire].cable}
    wanted = {path for path, value in edits.items() if now[path] != value}
    assert {str(difference.path) for difference in differences(HAZEL, new)} == wanted
