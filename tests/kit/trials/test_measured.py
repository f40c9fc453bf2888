"""What is measured stands in the place of what was assumed."""

from __future__ import annotations

import pytest

import rigfeed
from rigfeed import OPERATING, Path, Set, apply
from rigfeed.errors import DesignError, OutOfRange, UnknownName
from rigfeed.registry import installed_registry
from rigfeed.trials.measured import measured_body, path_resistance_ohm

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
