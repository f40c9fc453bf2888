"""What the scenarios conclude on return, tap and master switch, and Wren typed in.

Hand calculation for Wren, from the same invented data: 7.60 mohm/m, 1.2 m at 60 degC and 2.8 m at 45 degC out, 0.5 m
back at 45 degC; fuse with holder 100 mV at 10 A; lugs, plug contacts and 5 mohm of body: 0.36 V at 6.5 A.
"""

from __future__ import annotations

import pytest

import rigfeed
from rigfeed import OPERATING, Path, Remove, Set, apply
from rigfeed.studies.whatif import WHATIF
from rigfeed.trials.returns import try_returns


def design(name: str, **changes: object):
    edits = [Set(Path.parse(path.replace("__", ".")), value) for path, value in changes.items()]
    return apply(rigfeed.load(rigfeed.example(name)), edits)


def names(found) -> set[tuple[str, str]]:
    return {(finding.check, str(finding.subject)) for finding in found.findings}


@pytest.mark.parametrize(
    ("name", "load", "way"),
    [("hazel", "vhf", "body"), ("larch", "dcdc", "body"), ("wren", "vhf", "body"), ("alder", "conv", "body")],
)
def test_the_return(name, load, way):
    """A sensor on the post (Hazel, Larch, Wren) wants the body; Alder's post would lead around the master switch."""
    (answer,) = [answer for answer in try_returns(design(name)).answers if answer.load.id == load]
    assert answer.best.way.where == way
    assert not answer.best.way.fused


def test_alder_centre_tap():
    """Seeded fault "centre tap": the set between the two batteries, its negative on the body."""
    tapped = rigfeed.assess(design("alder", conductors__W6__from="b1.pos", conductors__W8__to="strap.stud"))
    assert ("tap-reversed-by-isolator", "nodes.vhf") in names(tapped)
    operating = tapped[OPERATING]
    state = "all-keyed-engine-off"
    lower_a, upper_a = operating.current(state, "V2"), operating.current(state, "V1")
    assert abs(lower_a) > abs(upper_a) + 6.0  # one battery carries the load of the set alone
    assert "tap-reversed-by-isolator" not in {check for check, _ in names(rigfeed.assess(design("alder")))}


def test_a_tap_whose_negative_is_on_the_lower_battery_is_not_reversed():
    tapped = design("alder", conductors__W6__from="b1.pos", conductors__W8__to="b1.neg")
    assert "tap-reversed-by-isolator" not in {check for check, _ in names(rigfeed.assess(tapped))}


def test_wren_volts():
    operating = rigfeed.assess(design("wren"), only=[])[OPERATING]
    assert operating.across("ready", "start") == pytest.approx(15.5, abs=0.02)
    for state in ("ready", "sending"):
        lost_v = operating.across(state, "start") - operating.across(state, "vhf")
        assert lost_v == pytest.approx(0.36, rel=0.05)


def test_wren_passes_at_its_highest_voltage_and_a_device_for_15_volts_does_not(tmp_path):
    assert "volts-above-maximum" not in {check for check, _ in names(rigfeed.assess(design("wren")))}
    (tmp_path / "catalogs").mkdir()
    (tmp_path / "catalogs" / "set.csv").write_text(
        "part,title,most_v,transmit_a,receive_a,standby_a,source,confidence\n"
        "radio:low,set up to 15 V,15,6.5,0.6,0.25,x,invented\n"
    )
    text = rigfeed.example("wren").read_text().replace("radio:vhf-25", "radio:low")
    (tmp_path / "wren.toml").write_text(text)
    assert ("volts-above-maximum", "nodes.vhf") in names(rigfeed.assess_file(tmp_path / "wren.toml"))


def test_wren_parked_takes_a_quarter_of_the_battery_in_a_working_day():
    """0.6 A over 8 h are 4.8 Ah, 24 % of 20 Ah."""
    assessment = rigfeed.assess(design("wren"), only=[])
    drained_ah = 8 * assessment[OPERATING].current("parked", "W2")
    assert drained_ah == pytest.approx(4.8, rel=0.02)
    assert drained_ah / assessment.installation.nodes["start"].part.capacity_ah == pytest.approx(0.24, rel=0.02)


def test_wren_has_no_starter_to_come_back_through_the_set():
    case, = rigfeed.assess(design("wren"), only=[])[WHATIF].of("strap-open")
    assert not case.change.extra
    on_post = design("wren", conductors__W3__to="start.neg")
    assert "strap-open-overloads" not in {check for check, _ in names(rigfeed.assess(on_post))}
    cranked = apply(on_post, [Remove(Path.parse("vehicle.facts"))])
    assert ("strap-open-overloads", "conductors.W3") in names(rigfeed.assess(cranked))


def test_wren_hole_lets_no_plug_through():
    assessment = rigfeed.assess(design("wren"), only=[])
    plug = assessment.installation.conductors["W2"].cores[0].end.fitting.rigid
    assert plug.hole_mm > assessment.installation.passages["H1"].diameter_mm
