"""Short-circuit currents against Ohm's law: 10 mohm of battery and of each fuse, 10 mohm for each metre of wire."""

from __future__ import annotations

import pytest
from tests.kit.resolve.bench import assessed

import rigfeed
from rigfeed.studies.prospective import HIGHEST, PROSPECTIVE

ENDS = 'ends = ["tag:none", "tag:none"]'
BODY = "body"


def wire(name: str, start: str, end: str, length: str) -> str:
    return f'{name} = {{ cable = "wire:one", from = "{start}", to = "{end}", length = "{length}", {ENDS} }}'


NODES = {
    "start": 'part = "cell:stiff", settings = { volts = "12 V" }', "F1": 'part = "link:ten"',
    "set": 'part = "box:amps"',
}
WIRES = [wire("W1", "start.pos", "F1.a", "0.1 m"), wire("W2", "F1.b", "set.pos", "2 m")]
TWO_WIRE = [*WIRES, wire("W3", "set.neg", "start.neg", "2 m")]


def study(wires: list[str], **nodes: str):
    lines = [f"{name} = {{ {text} }}" for name, text in {**NODES, **nodes}.items()]
    return assessed("\n".join(["[nodes]", *lines, "[conductors]", *wires]))[PROSPECTIVE]


def test_the_highest_is_that_of_a_link_in_the_place_of_the_device():
    found = study(TWO_WIRE)
    assert found.highest["F1"].current_a == pytest.approx(12 / (0.010 + 0.001), rel=1e-3)
    assert (found.highest["F1"].at, found.highest["F1"].to) == ("F1.b", "start.neg")
    assert found.let_through["F1"].current_a == pytest.approx(12 / (0.010 + 0.001 + 0.010), rel=1e-3)
    assert found.posts["start"].current_a == pytest.approx(12 / 0.010, rel=1e-3)


def test_the_lowest_is_at_the_far_end_through_the_device():
    short = study(TWO_WIRE).lowest["F1"]
    assert short.current_a == pytest.approx(12 / (0.010 + 0.001 + 0.010 + 0.020), rel=1e-4)
    assert (short.at, short.to) == ("set.pos", "start.neg")


def test_where_a_strap_leads_to_the_body_the_lowest_goes_over_it():
    strap = 'part = "body-point", settings = { resistance = "4 mohm" }'
    short = study([*WIRES, wire("W3", "strap.stud", "start.neg", "0.3 m")], strap=strap).lowest["F1"]
    # beside the strap's own 4 mohm, half a body path of 5 mohm: the practice's
    assert short.current_a == pytest.approx(12 / (0.041 + 0.0025 + 0.004 + 0.003), rel=1e-4)
    assert (short.at, short.to) == ("set.pos", BODY)


def test_sources_side_by_side_add_up():
    more = [wire("W4", "aux.pos", "start.pos", "1 m"), wire("W5", "aux.neg", "start.neg", "1 m")]
    found = study([*TWO_WIRE, *more], aux=NODES["start"])
    both_ohm = 1 / (1 / 0.010 + 1 / 0.030)
    assert found.highest["F1"].current_a == pytest.approx(12 / (both_ohm + 0.001), rel=1e-3)
    assert found.posts["start"].current_a == pytest.approx(12 / both_ohm, rel=1e-3)


def test_sources_in_series_are_shorted_over_the_whole_string():
    lower = [*WIRES, wire("W3", "set.neg", "low.neg", "2 m"), wire("W4", "low.pos", "start.neg", "0.2 m")]
    short = study(lower, low=NODES["start"]).highest["F1"]
    assert short.to == "low.neg"
    assert short.current_a == pytest.approx(24 / (0.010 + 0.002 + 0.010 + 0.001), rel=1e-3)


def test_a_fuse_in_the_negative_sees_the_same_short():
    fused = [*WIRES, wire("W3", "set.neg", "F2.a", "2 m"), wire("W4", "F2.b", "start.neg", "0.1 m")]
    found = study(fused, F2=NODES["F1"])
    assert found.highest["F2"].current_a == pytest.approx(12 / (0.010 + 0.001), rel=1e-3)
    assert found.lowest["F2"].current_a == pytest.approx(12 / (0.010 + 0.001 + 0.010 + 0.020), rel=1e-3)


def test_a_link_between_two_batteries_is_fed_from_both_ends():
    link = [wire("W1", "start.pos", "F1.a", "0.1 m"), wire("W2", "F1.b", "aux.pos", "2 m")]
    found = study(
        [*link, wire("W5", "aux.neg", "start.neg", "1 m")], aux='part = "cell:soft", settings = { volts = "12 V" }'
    )
    # whatever lies behind the fuse adds to the short, and does not pass through it
    assert found.highest["F1"].current_a == pytest.approx(12 / (0.010 + 0.001), rel=1e-3)


def test_what_nothing_feeds_has_no_entry():
    found = study([wire("W2", "F1.b", "set.pos", "2 m")])
    assert dict(found.highest) == {}
    assert dict(found.lowest) == {}
    assert list(found.posts) == ["start"]


def test_a_second_fuse_ends_the_reach_of_the_first():
    wires = [*WIRES[:1], wire("W2", "F1.b", "F2.a", "2 m"), wire("W4", "F2.b", "set.pos", "3 m")]
    found = study([*wires, wire("W3", "set.neg", "start.neg", "2 m")], F2=NODES["F1"])
    assert found.lowest["F1"].at == "F2.a"
    assert found.lowest["F2"].at == "set.pos"
    assert found.lowest["F2"].current_a == pytest.approx(12 / (0.010 + 0.001 + 0.010 + 0.020 + 0.010 + 0.030), rel=1e-4)


def test_hazel_against_a_hand_calculation():
    """8 mohm of new battery, full at 12.7 V, and 90 A of alternator on top; 0.15 m of 7.60 mohm/m at -20 degC.

    A round sum without the alternator is about 1.3 kA. The far end: 12 mohm of aged battery at 12.3 V, 10 mohm of fuse,
    warm copper, two lugs and the plug, 2.5 mohm into the body and 2.5 mohm out of it, 0.3 m of strap.
    """
    found = rigfeed.assess(rigfeed.load(rigfeed.example("hazel")), only=[])[PROSPECTIVE]
    cold_ohm = 0.15 * 7.60e-3 * (1 - 0.00393 * 40) + 0.4e-3
    assert found.highest["F1"].current_a == pytest.approx((12.7 + 90 * 8e-3) / (8e-3 + cold_ohm), rel=0.005)
    assert found.highest["F1"].current_a - 90 == pytest.approx(1300, rel=0.05)
    hot, warm = 1 + 0.00393 * 65, 1 + 0.00393 * 25
    wires_ohm = 7.60e-3 * (1.05 * hot + 2.40 * warm) + 0.3 * 0.743e-3 * hot
    ohm = 12e-3 + 10e-3 + wires_ohm + 0.2e-3 + 0.2e-3 + 0.2e-3 + 1e-3 + 0.4e-3 + 5e-3
    assert found.lowest["F1"].current_a == pytest.approx(12.3 / ohm, rel=0.01)
    assert found.lowest["F1"].current_a == pytest.approx(200, rel=0.05)
    assert found.lowest["F1"].at == "vhf.pos"


def test_an_assessment_leaves_the_lowest_to_who_asks_for_them():
    """The checks want what a device must break; a second network is not solved for nobody."""
    assessment = rigfeed.assess(rigfeed.load(rigfeed.example("hazel")))
    assert HIGHEST in assessment._workshop.results
    assert PROSPECTIVE not in assessment._workshop.results
    assert assessment[PROSPECTIVE].highest == assessment[HIGHEST].highest
    assert assessment[PROSPECTIVE].lowest.keys() == assessment[HIGHEST].highest.keys()
