"""What is measured stands in the place of what was assumed."""

from __future__ import annotations

import pytest

import rigfeed
from rigfeed import OPERATING, Path, Remove, Set, apply
from rigfeed.errors import DesignError, OutOfRange, UnknownName
from rigfeed.registry import installed_registry
from rigfeed.trials.measured import (
    entered,
    measured_body,
    measured_json,
    measured_text,
    path_resistance_ohm,
    reading_of,
)

HAZEL = rigfeed.load(rigfeed.example("hazel"))
OFF = "all-keyed-engine-off"


def body_path_ohm(design) -> float:
    """What a meter finds between the set's bolt and the strap's bolt, without and with the set keyed."""
    operating = rigfeed.assess(design, only=[])[OPERATING]
    volts = [operating.between(state, "stud.stud", "strap.stud") for state in ("parked", OFF)]
    amps = [operating.current(state, "W3") for state in ("parked", OFF)]
    return path_resistance_ohm(volts[0], volts[1], amps[1] - amps[0])


def test_reading_the_model_as_a_meter_would_gives_back_what_was_entered():
    assert body_path_ohm(HAZEL) == pytest.approx(5e-3, rel=1e-3)  # the practice's assumption
    measured = apply(HAZEL, measured_body(HAZEL, "stud", "strap", 12e-3))
    assert body_path_ohm(measured) == pytest.approx(12e-3, rel=1e-3)


def test_no_assumption_about_the_body_is_left():
    measured = rigfeed.assess(apply(HAZEL, measured_body(HAZEL, "stud", "strap", 12e-3)))
    assert not [a for a in measured.assumptions if "into the body" in a.what]
    assert "return-drop-high" not in {item.check for item in measured.not_checked}
    assert [a for a in rigfeed.assess(HAZEL).assumptions if "into the body" in a.what]


def test_a_second_set_is_measured_against_the_same_strap():
    first = apply(HAZEL, [Set(Path.parse("nodes.strap.settings"), {"resistance": "3 mohm"})])
    (edit,) = measured_body(first, "stud", "strap", 12e-3)
    assert (str(edit.path), edit.value) == ("nodes.stud.settings.resistance", "9 mohm")
    with pytest.raises(DesignError, match="less than"):
        measured_body(first, "stud", "strap", 2e-3)


def test_what_is_no_bolt_or_no_current():
    with pytest.raises(UnknownName):
        measured_body(HAZEL, "stad", "strap", 5e-3)
    with pytest.raises(DesignError, match="no bolt"):
        measured_body(HAZEL, "vhf", "strap", 5e-3)
    with pytest.raises(OutOfRange):
        path_resistance_ohm(12.4, 12.3, 0.0)


def test_the_calculator():
    """12.40 V at rest, 12.30 V at 6.5 A: 15.4 mohm."""
    done = installed_registry().calculators["measured-resistance"].run(
        {"idle": "12.40 V", "loaded": "12.30 V", "current": "6.5 A"}
    )
    ((_, _, result),) = done.outputs
    assert (result.value, result.unit) == (pytest.approx(100 / 6.5), "mohm")


# a reading entered


def assessed(design=HAZEL):
    return rigfeed.assess(design, only=[])


def meter(design, at: tuple[str, str], wire: str) -> tuple[str, str, str]:
    """What a meter and a clamp show in the model between two nets, parked and keyed, to four digits after the point."""
    operating = rigfeed.assess(design, only=[])[OPERATING]
    volts = [operating.between(state, *at) for state in ("parked", OFF)]
    amps = operating.current(OFF, wire) - operating.current("parked", wire)
    return f"{volts[0]:.6f} V", f"{volts[1]:.6f} V", f"{abs(amps):.6f} A"


@pytest.mark.parametrize(("node", "at", "ohm"), [
    ("start", ("start.pos", "start.neg"), 12e-3), ("stud", ("stud.stud", "strap.stud"), 5e-3),
])
def test_entering_what_the_model_shows_changes_nothing_but_that_it_is_known(node, at, ohm):
    found = entered(assessed(), reading_of(node, *meter(HAZEL, at, "W2")))
    assert found.ohm == pytest.approx(ohm, rel=2e-3)
    assert found.assumed_ohm == pytest.approx(ohm)
    known = apply(HAZEL, found.edits)
    before, after = (rigfeed.assess(design, only=[])[OPERATING].across(OFF, "vhf") for design in (HAZEL, known))
    assert after == pytest.approx(before, abs=1e-4)


@pytest.mark.parametrize(("node", "at", "to"), [
    ("start", ("start.pos", "start.neg"), None), ("stud", ("stud.stud", "strap.stud"), None),
    ("stud", ("stud.stud", "start.neg"), "start"),
])
def test_what_was_entered_is_what_a_meter_would_read_there_again(node, at, to):
    """A battery of 20 mohm, a body of 14 mohm: after the reading is entered, the model shows the same reading."""
    true = apply(HAZEL, [
        Set(Path.parse("nodes.start.settings.resistance"), "20 mohm"),
        Set(Path.parse("nodes.stud.settings.resistance"), "9 mohm"),
        Set(Path.parse("nodes.strap.settings.resistance"), "5 mohm"),
    ])
    idle, loaded, current = meter(true, at, "W2")
    known = apply(HAZEL, entered(assessed(), reading_of(node, idle, loaded, current, to=to)).edits)
    again = [path_resistance_ohm(float(a[:-2]), float(b[:-2]), float(c[:-2]))
             for a, b, c in ((idle, loaded, current), meter(known, at, "W2"))]
    assert again[1] == pytest.approx(again[0], rel=5e-3)  # the strap is warmer in the model than at 20 degC


def test_the_assumption_about_a_battery_goes():
    found = entered(assessed(), reading_of("start", "12.62 V", "12.49 V", "11.2 A", "15 C"))
    assert [(str(edit.path), edit.value) for edit in found.edits] == [
        ("nodes.start.settings.resistance", "11.61 mohm"), ("nodes.start.settings.resistance_at", "15 C"),
    ]
    before, after = (
        {str(a.subject) for a in rigfeed.assess(design).assumptions} for design in (HAZEL, apply(HAZEL, found.edits))
    )
    assert before - after == {"nodes.start.settings.resistance"}
    assert after <= before


def test_a_reading_without_the_temperature_of_the_battery_assumes_one():
    design = apply(HAZEL, entered(assessed(), reading_of("start", "12.62 V", "12.49 V", "11.2 A")).edits)
    assert "nodes.start.settings.resistance_at" in {str(a.subject) for a in rigfeed.assess(design).assumptions}


def test_the_last_digit_says_how_sure_it_is():
    """130 mV by steps of 10 mV at 11.2 A: 11.6 mohm and 0.9 either way; 20 mV by the same steps is half guessed."""
    found = entered(assessed(), reading_of("start", "12.62 V", "12.49 V", "11.2 A"))
    assert (1000 * found.least_ohm, 1000 * found.most_ohm) == pytest.approx((120 / 11.2, 140 / 11.2))
    assert not found.rough
    rough = entered(assessed(), reading_of("start", "12.62 V", "12.60 V", "2.0 A"))
    assert rough.rough
    assert any("greater load" in line for line in measured_text(rough))
    assert measured_json(rough)["rough"]
    exponent = entered(assessed(), reading_of("start", "1.262e1 V", "12.49V", "11.2 A"))
    assert exponent.most_ohm == found.most_ohm
    fine = entered(assessed(), reading_of("stud", "0.0 mV", "38.2 mV", "6.5 A"))
    assert fine.most_ohm - fine.ohm == pytest.approx(0.1e-3 / 6.5)


def test_a_take_off_of_the_vehicle_is_measured_too():
    found = entered(assessed(), reading_of("box", "0 mV", "250 mV", "6.5 A"))
    assert [(str(edit.path), edit.value) for edit in found.edits] == [("nodes.box.settings.resistance", "38.46 mohm")]
    assert found.assumed_ohm == pytest.approx(50e-3)


@pytest.mark.parametrize(("reading", "says"), [
    (("start", "12.4 V", "12.5 V", "10 A"), "do not fall"),
    (("start", "12.4 V", "12.4 V", "10 A"), "are the same"),
    (("vhf", "12.4 V", "12.3 V", "10 A"), "no resistance that can be entered"),
    (("strap", "0 mV", "20 mV", "10 A"), "the battery strap itself"),
    (("stud", "0 mV", "4 mV", "6.5 A", None, "start"), "the strap alone"),
    (("stud", "0 mV", "40 mV", "6.5 A", None, "alt"), "no strap leads"),
    (("stud", "0 mV", "40 mV", "6.5 A", None, "stud"), "both probes are on the same bolt"),
])
def test_a_reading_that_cannot_be_true_or_cannot_be_entered(reading, says):
    with pytest.raises(DesignError, match=says):
        entered(assessed(), reading_of(*reading))


@pytest.mark.parametrize(("reading", "says", "remedy"), [
    (("start", "12.62 V", "0.2 V", "1 mA"), r"45 Ah\) cannot have that: .* 12400000 mohm", "at most 10000 mohm"),
    (("start", "12.62 V", "12.49 V", "11.2 A", "400 C"), "'400 C' is out of range", "from -40 to 80 degC"),
    (("stud", "0 mV", "4 V", "1 mA"), "body from stud to strap cannot have that", "to 10000 mohm"),
    (("box", "0 V", "4 V", "1 mA"), "wiring to box cannot have that", "to 100000 mohm"),
])
def test_what_nothing_can_have_is_refused_before_anyone_writes_it(reading, says, remedy):
    with pytest.raises(DesignError, match=says) as error:
        entered(assessed(), reading_of(*reading))
    assert remedy in error.value.remedy


def test_where_no_strap_is_drawn_the_other_probe_must_be_named():
    bare = apply(HAZEL, [Remove(Path.parse("nodes.strap"))])
    with pytest.raises(DesignError, match="where the other probe was"):
        entered(assessed(bare), reading_of("stud", "0 mV", "40 mV", "6.5 A"))
    with pytest.raises(UnknownName):
        entered(assessed(), reading_of("stuf", "0 mV", "40 mV", "6.5 A"))
