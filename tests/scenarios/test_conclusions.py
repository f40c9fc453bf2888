"""What Hazel, Larch and Alder conclude beside volts, wire and fuse: shorts, standing current, feeders, people near a
whip, bonds, hinges."""

from __future__ import annotations

import pytest
from tests.scenarios.hands import calc, changed, found, names

import rigfeed
from rigfeed import OPERATING
from rigfeed.studies.ampacity import AMPACITY
from rigfeed.studies.faults import FAULTS

OFF = "all-keyed-engine-off"


def said(name: str, check: str, **values: object) -> set[tuple[str, str]]:
    return names(rigfeed.assess(changed(name, **values), only=[check]))


# Hazel


def test_hazel_a_short_at_the_far_end_is_cleared():
    """12.3 V behind 12 mohm of aged battery and 51 mohm of leads: 195 A, twenty times the fuse."""
    assessment = rigfeed.assess(changed("hazel"), only=["fault-not-cleared-in-time"])
    low = next(case for case in assessment[FAULTS].cases if case.case == "lowest")
    number = next(n for n, short in enumerate(low.shorts) if (short.at, short.to) == ("vhf.pos", "vhf.neg"))
    assert low.course.device_a[0, number, low.device_ids.index("F1")] == pytest.approx(195, rel=0.05)
    assert not assessment.findings


def test_hazel_the_bay_leaves_15_a_to_2_5_mm2():
    ampacity = rigfeed.assess(changed("hazel"), only=["fuse-above-ampacity"])[AMPACITY]
    assert ampacity.governing("W2").amps == pytest.approx(15, rel=0.02)


def test_hazel_a_weekend_of_standby_takes_a_third_of_the_battery():
    """0.25 A over 60 h are 15 Ah of 45 Ah: the ignition sense (or a timer) is there for that."""
    assessment = rigfeed.assess(changed("hazel"), only=[])
    drained_ah = 60 * assessment[OPERATING].current("parked", "W2")
    assert drained_ah == pytest.approx(15, rel=0.01)
    assert drained_ah / assessment.installation.nodes["start"].part.capacity_ah == pytest.approx(0.33, rel=0.02)
    assert assessment.installation.conductors["W5"].cores[0].end.terminal == "vhf.sense"


def test_hazel_the_feeder():
    """4.0 m at 150 MHz: 0.74 dB, and 21.1 W of 25 W arrive. It stays clear of the curtain airbags."""
    feeder = rigfeed.assess(changed("hazel"), only=[]).installation.conductors["W6"]
    loss = feeder.cable.loss_db(150e6, feeder.length_m)
    assert loss == pytest.approx(0.74, rel=0.01)
    assert calc("power-at-antenna", power="25 W", feeder_loss=loss)["at_antenna"] == pytest.approx(21.1, rel=0.01)
    over = said("hazel", "in-airbag-zone", runs__headlining__facts={"clear-of-airbags": False})
    assert ("in-airbag-zone", "runs.headlining") in over


def test_hazel_what_is_fitted_before_does_not_pass_the_hole():
    fitted = {f"conductors__W2__{side}_facts": {"fitted-before-pulling": True} for side in ("from", "to")}
    assert ("will-not-pass", "conductors.W2") in said("hazel", "will-not-pass", **fitted)
    fitted["conductors__W2__from_facts"] = {"fitted-before-pulling": False}  # pulled bare, holder last
    assert not said("hazel", "will-not-pass", **fitted)


# Larch


@pytest.mark.parametrize(("check", "values", "subject"), [
    ("antenna-panel-unbonded", {"nodes__whip__facts": {"panel-bonded": False}}, "nodes.whip"),
    ("frame-unbonded", {"vehicle__facts": {"body-on-frame": True, "frame-bonded": False}}, "vehicle"),
    ("choke-missing", {"nodes__whip__facts": {"feedpoint-choke": False}}, "nodes.whip"),
    ("will-not-pass", {
        f"conductors__W15__{side}_facts": {"fitted-before-pulling": True} for side in ("from", "to")
    } | {"conductors__W15__ends": ["connector:uhf-plug-6", "connector:uhf-plug-6"]}, "conductors.W15"),
])
def test_larch_what_has_to_be_looked_at(check, values, subject):
    assert (check, subject) in said("larch", check, **values)


def test_larch_the_management_unit_bears_both_sets():
    """33 A of 50 A; and the charger gives 20 A to a battery that takes 25 A."""
    assessment = rigfeed.assess(changed("larch"), only=["battery-limit-exceeded"])
    assert not assessment.findings
    assert assessment[OPERATING].current("sending", "aux") == pytest.approx(33)
    assert assessment.installation.nodes["aux"].part.disconnects_a == 50


def test_larch_whether_the_battery_refuses_charge_in_the_cold_is_asked():
    assessment = rigfeed.assess(changed("larch"), only=["lithium-charged-frozen"])
    (line,) = [item for item in assessment.not_checked if item.check == "lithium-charged-frozen"]
    assert "aux" in line.why


@pytest.mark.parametrize(("average", "distance_m"), [("4 W", 1.4), ("20 W", 1.8)])
def test_larch_how_far_people_keep_from_the_whip(average, distance_m):
    """100 W SSB, 40 % on average: 4 W at a tenth of the time, 20 W at half of it. 1.0 to 1.8 m on 7 MHz, by the field
    close to a short whip and 47 CFR 1.1310 for the general public; 0.9 m by habit is not enough. A carrier of 100 W
    without a pause would want 2.3 m."""
    whip = calc("short-whip", height="2.4 m", rod="3 mm", frequency="7.1 MHz", coil_height=0.5, coil_q=200,
                ground="10 ohm", swr=2)
    limit = calc("exposure-limit", rule="fcc-general", frequency="7.1 MHz")
    keep_m = calc(
        "near-field-distance", power=average, frequency="7.1 MHz", radiation=f"{whip['radiation']} ohm",
        feed=f"{whip['feed']} ohm", electric_v_per_m=limit["electric_v_per_m"],
        magnetic_a_per_m=limit["magnetic_a_per_m"],
    )["distance"]
    assert keep_m == pytest.approx(distance_m, rel=0.05)
    assert 1.0 <= keep_m <= 1.8
    assert keep_m > 0.9


# Alder


def test_alder_the_converter_idles_away_10_ah_a_week_where_the_switch_is_passed_by():
    """1.44 W at 24 V are 60 mA. Behind the master switch, as drawn, it takes nothing."""
    behind = rigfeed.assess(changed("alder"), only=[])[OPERATING]
    assert behind.current("parked", "W2") == pytest.approx(0, abs=1e-9)
    alone = {"parked": {"modes": {"main": "off", "conv": "standby", "vhf": "off", "tablet": "off"}}}
    past = rigfeed.assess(changed("alder", conductors__W3__to="main.a", states=alone), only=[])[OPERATING]
    assert past.current("parked", "W2") == pytest.approx(0.060, rel=0.05)
    assert past.current("parked", "W2") * 7 * 24 == pytest.approx(10, rel=0.05)


def test_alder_the_isolated_output_meets_the_body_at_the_antenna():
    wanted = changed("alder", nodes__conv__facts={"isolation-required": True})
    required = rigfeed.assess(wanted, only=["isolation-lost"])
    assert "VHF quarter wave" in found(required, "isolation-lost", "nodes.conv").text()


def test_alder_the_hinge_wants_a_loop_and_a_stranded_coax():
    facts = {"crosses-hinge": True, "flex-loop": False}
    assert ("hinge-without-loop", "runs.cab") in said("alder", "hinge-without-loop", runs__cab__facts=facts)
    facts = {"crosses-hinge": True, "flex-loop": True}
    solid = said("alder", "hinge-without-loop", runs__roof__facts=facts, conductors__W12__cable="feeder:foam-10.3")
    assert solid == {("hinge-without-loop", "conductors.W12")}
    assert not said("alder", "hinge-without-loop", runs__roof__facts=facts)


def test_alder_a_branch_behind_the_limit_of_the_converter_may_open_late_and_nothing_burns():
    """15 A at the output for hours, and a fuse of 10 A behind it: late, and safe because every wire carries it."""
    assessment = rigfeed.assess(changed("alder"), only=["fault-not-cleared-in-time", "fault-heats-conductor"])
    assert {finding.severity for finding in assessment.findings} == {"advice"}
    text = found(assessment, "fault-not-cleared-in-time", "conductors.W7").text()
    assert "Every wire on the way carries that for hours" in text
    assert "do not wait for a fuse" in text


def test_alder_what_sleeps_behind_the_open_master_switch_is_nothing_left_unchecked():
    quiet = rigfeed.assess(changed("alder"), only=["volts-below-minimum"])
    assert not [item for item in quiet.not_checked if item.check == "volts-below-minimum"]
    # keyed while the switch is open is another matter
    modes = {"main": "off", "conv": "on", "vhf": "transmit", "tablet": "on"}
    states = {"keyed": {"modes": {"vhf": "transmit"}}, "dark": {"modes": modes}}
    keyed = rigfeed.assess(changed("alder", states=states), only=["volts-below-minimum"])
    assert {str(item.subject) for item in keyed.not_checked} == {"nodes.vhf", "nodes.tablet"}
