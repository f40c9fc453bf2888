"""Juniper, the camper with 200 Ah of lithium, against what a hand calculation says.

The hand calculation, from the same invented data: the charger takes 14.4 V x 40 A / 0.9 = 640 W. From 12.6 V at the
post over 1.6 m at 90 degC and 5.2 m at 45 degC, back 0.8 m and 5 mohm of body: about 55 A, and 11.6 V at its input with
16 mm2, 11.8 V with 25 mm2. Its lock-out is 12.0 V.

The full model says up to 0.15 V more at the input: while the alternator feeds, the current goes back to its case on the
engine and leaves out the strap of the battery, 2.5 of the 5 mohm.
"""

from __future__ import annotations

import pytest
from tests.scenarios.hands import cabled, changed, checks, found, names

import rigfeed
from rigfeed import OPERATING, Path, Remove
from rigfeed.studies.ampacity import AMPACITY
from rigfeed.studies.prospective import PROSPECTIVE
from rigfeed.studies.ratings import RATINGS

FULL = {"nodes__dcdc__settings": {"enable": "volts", "profile": "LiFePO4"}}  # all it can, started by its input
INPUT = ("W1", "W2", "W3")


@pytest.fixture(scope="module")
def assessment():
    return rigfeed.assess(rigfeed.load(rigfeed.example("juniper")))


def at_input(operating) -> float:
    return operating.between("charging", "dcdc.in-pos", "dcdc.in-neg")


def fed_by(mm2: str, fuse: str = "fuse:hi-70", **more: object):
    values = {**cabled(f"cable:thinwall-{mm2}", *INPUT), "nodes__F1__part": fuse, **FULL, **more}
    return rigfeed.assess(changed("juniper", **values), only=["fuse-above-ampacity", "charger-lockout"])


def test_the_input_takes_55_a_so_that_the_fuse_is_70_a(assessment):
    thick = fed_by("25")
    operating, window = thick[OPERATING], thick[RATINGS].windows["F1"]
    assert operating.across("charging", "start") == pytest.approx(12.6, abs=0.03)
    assert operating.current("charging", "W2") == pytest.approx(55, rel=0.05)
    assert window.least_a == pytest.approx(55 / 0.8, rel=0.05)  # 69 A
    assert window.fitting_a == (70.0,)
    assert not fed_by("16")[RATINGS].windows["F1"].is_open  # 49 A in the bay, and no fuse carries 55 A below that


def test_16_mm2_carries_less_than_any_fuse_that_carries_the_charger():
    thin = fed_by("16", "fuse:hi-60")  # the smallest above 55 A
    assert thin[AMPACITY].governing("W2").amps == pytest.approx(49, rel=0.02)
    assert ("fuse-above-ampacity", "nodes.F1") in names(thin)
    assert at_input(thin[OPERATING]) == pytest.approx(11.6, abs=0.15)
    assert found(thin, "charger-lockout", "nodes.dcdc").limit.value == 12.0


def test_25_mm2_bears_70_a_and_still_hunts():
    """76 A by the supplier's figure; the heat balance says 72 A, and the lower of the two governs."""
    thick = fed_by("25")
    amps = thick[AMPACITY].governing("W2").amps
    assert 70 < amps < 170 * ((105 - 90) / (105 - 30)) ** 0.5 == pytest.approx(76, abs=0.1)
    assert amps == pytest.approx(76, rel=0.07)
    assert ("fuse-above-ampacity", "nodes.F1") not in names(thick)
    assert at_input(thick[OPERATING]) == pytest.approx(11.8, abs=0.15)
    assert ("charger-lockout", "nodes.dcdc") in names(thick)


@pytest.mark.parametrize("settings", [
    {"enable": "volts", "profile": "LiFePO4", "current": "20 A"},  # 20..30 A
    {"enable": "volts", "profile": "LiFePO4", "current": "30 A"},
    {"enable": "engine", "profile": "LiFePO4"},
])
def test_less_current_or_the_engine_signal_ends_the_hunting(settings):
    assert ("charger-lockout", "nodes.dcdc") not in names(fed_by("25", nodes__dcdc__settings=settings))


def test_a_dedicated_negative_helps_where_the_body_is_bad():
    """To the body end of the strap, where it spares the sensor. 5.8 m more of 25 mm2 are 5 mohm: as much as the body is
    taken to have, so that it wins nothing until somebody has measured that the body has more."""
    remove = Remove(Path.parse("conductors.W3.length"))
    design = changed("juniper", remove, conductors__W3__route=["floor", "bay"], conductors__W3__to="strap.stud", **FULL)
    own = rigfeed.assess(design, only=["sensor-bypassed"])
    assert not own.findings
    assert at_input(own[OPERATING]) < at_input(fed_by("25")[OPERATING])
    bad = fed_by("25", nodes__stud__settings={"stud": "8 mm", "resistance": "20 mohm"})
    assert at_input(own[OPERATING]) > at_input(bad[OPERATING]) + 0.5


def test_the_output_is_fused_at_the_auxiliary_with_its_own_size(assessment):
    assert not {"unfused-source", "charge-link-unfused"} & checks(assessment)
    bare = rigfeed.assess(changed("juniper", conductors__W13__to="aux.pos"))
    assert {("unfused-source", "conductors.W13"), ("charge-link-unfused", "conductors.W13")} <= names(bare)


def test_the_management_unit_switches_off_when_all_runs_at_once(assessment):
    """95 + 22 + 11 = 128 A of 100 A; the inverter takes a power, so that its 95 A are those at 12 V."""
    finding = found(assessment, "battery-limit-exceeded", "nodes.aux")
    assert finding.value.value == pytest.approx(128, rel=0.05)
    assert finding.limit.value == 100
    quiet = rigfeed.assess(changed("juniper", states__sending__modes__inv="off"), only=["battery-limit-exceeded"])
    assert not quiet.findings


def test_the_cable_fills_a_quarter_of_the_hole_and_its_lug_does_not_pass(assessment):
    hole, feed = assessment.installation.passages["H1"], assessment.installation.conductors["W2"]
    assert hole.fill == pytest.approx(0.27, abs=0.005)
    assert feed.cable.od_mm < hole.bore_mm < feed.cores[0].end.fitting.rigid.hole_mm
    fitted = {"conductors__W2__from_facts": {"fitted-before-pulling": True},
              "conductors__W2__to_facts": {"fitted-before-pulling": True}}
    stuck = rigfeed.assess(changed("juniper", **fitted), only=["will-not-pass"])
    assert ("will-not-pass", "conductors.W2") in names(stuck)
    fitted["conductors__W2__to_facts"] = {"fitted-before-pulling": False}  # terminated after pulling
    assert "will-not-pass" not in checks(rigfeed.assess(changed("juniper", **fitted), only=["will-not-pass"]))


def test_the_battery_drives_3_3_ka_and_its_unit_is_no_protection():
    """13.2 V behind 4 mohm are 3.3 kA. The battery is full in this case (14.3 V, 3.6 kA), 0.15 m of 35 mm2 and four
    lugs lie before the fuse, and charger and sun add what they can give; 100 A of a management unit change nothing."""
    blade = rigfeed.assess(changed("juniper", nodes__F0__part="fuse:blade-30"), only=["breaking-capacity-low"])
    finding = found(blade, "breaking-capacity-low", "nodes.F0")
    assert finding.limit.value == pytest.approx(3300, rel=0.15)
    assert finding.value.value == 1000


def test_the_main_fuse_as_drawn_breaks_it(assessment):
    assert "breaking-capacity-low" not in checks(assessment)
    assert assessment[PROSPECTIVE] is not None


def test_the_leads_of_the_hf_set(assessment):
    operating = assessment[OPERATING]
    assert operating.current("quiet", "W16") == pytest.approx(22)
    lost_v = operating.across("quiet", "aux") - operating.across("quiet", "hf")
    assert lost_v == pytest.approx(0.40, rel=0.05)


def test_the_solar_regulator_is_too_near_to_the_feeder(assessment):
    assert ("switcher-near-antenna", "runs.rear") in names(assessment)
    assert assessment.installation.conductors["W23"].length_m == pytest.approx(3.0)
    for better in ({"runs__rear__beside": {"switcher": "0.5 m"}}, {"runs__rear__facts": {"switcher-choked": True}}):
        assert not rigfeed.assess(changed("juniper", **better), only=["switcher-near-antenna"]).findings


def test_the_mains_side_is_not_checked_and_that_is_said(assessment):
    said = [item for item in assessment.not_checked if item.check == "mains-side" and str(item.subject) == "nodes.inv"]
    assert "mains side" in said[0].why


def test_nothing_else_is_wrong_with_it(assessment):
    """The fuses of the set overlap only by gates from memory; the negative of a set on its own two wires can open."""
    assert names(assessment) == {
        ("battery-limit-exceeded", "nodes.aux"), ("switcher-near-antenna", "runs.rear"),
        ("grommet-mismatch", "passages.H1"), ("poor-selectivity", "nodes.F6"),
        ("negative-open-uses-coax", "nodes.hf"), ("negative-open-uses-coax", "nodes.vhf"),
    }
    assert not assessment.troubles
