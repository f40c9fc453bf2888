"""Hazel, the small hatchback, from the file to findings and cut list, against what a hand calculation says.

The hand calculation, from the same invented data: copper 7.60 mohm/m at 20 degC and 0.00393 per kelvin; 1.05 m at
85 degC and 2.40 m at 45 degC out, 0.40 m at 45 degC back; fuse with holder 100 mV at 10 A; lugs 0.2 mohm, plug contacts
1 mohm; 5 mohm of body; 12 mohm of aged battery at 12.3 V. Together 51 mohm of leads: 0.33 V at 6.5 A.
"""

from __future__ import annotations

import pytest

import rigfeed
from rigfeed import OPERATING, Add, Path, Remove, Set, assess
from rigfeed.parts.part import Rigid
from rigfeed.parts.shelf import Shelf, catalogs_beside
from rigfeed.registry import installed_registry

OFF, ON = "all-keyed-engine-off", "all-keyed-engine-on"


@pytest.fixture(scope="module")
def hazel():
    return rigfeed.load(rigfeed.example("hazel"))


@pytest.fixture(scope="module")
def assessment(hazel):
    return assess(hazel)


def set_to(path: str, value: object) -> Set:
    return Set(Path.parse(path), value)


def names(assessment) -> dict[str, str]:
    return {finding.check: str(finding.subject) for finding in assessment.findings}


def lead_drop_v(assessment, state: str) -> float:
    operating = assessment[OPERATING]
    return operating.across(state, "start") - operating.across(state, "vhf")


def test_the_file_is_short_and_complete(assessment):
    assert len(rigfeed.example("hazel").read_text().splitlines()) < 60
    assert not assessment.installation.design.states  # the practice supplies them
    assert not assessment.troubles


def test_the_design_as_it_stands_has_one_fault(assessment):
    """A blade fuse that breaks 1000 A sits at a battery that drives 1.3 kA into a short when it is cold and new:
    14.0 V and 12.7 V behind 8 mohm of battery and the lead, the engine running."""
    serious = [finding for finding in assessment.findings if finding.severity != "advice"]
    assert [(finding.check, str(finding.subject)) for finding in serious] == [("breaking-capacity-low", "nodes.F1")]
    (finding,) = serious
    assert finding.value.value == 1000
    assert finding.limit.value == pytest.approx(1300, rel=0.15)


def test_volts_and_drop(assessment):
    operating = assessment[OPERATING]
    assert operating.across(ON, "start") == pytest.approx(14.0, abs=0.02)
    assert operating.across(ON, "vhf") == pytest.approx(13.67, rel=0.005)
    assert operating.across(OFF, "vhf") == pytest.approx(11.89, rel=0.005)
    assert lead_drop_v(assessment, OFF) == pytest.approx(0.33, rel=0.05)
    assert operating.current(OFF, "W2") == pytest.approx(6.5)
    assert operating.current("parked", "W2") == pytest.approx(0.25)


def test_lengths_are_the_way_and_the_spare_is_cut_on_top(assessment):
    conductors = assessment.installation.conductors
    assert conductors["W1"].length_m + conductors["W2"].length_m == pytest.approx(0.15 + 0.90 + 2.40)
    assert conductors["W3"].length_m == pytest.approx(0.40)
    assert conductors["W2"].slack_m == pytest.approx(0.15 + 0.30)  # two terminations, a service loop at the set
    assert conductors["W1"].cut_length_m == pytest.approx(0.15)  # a stated length is cut as stated


def test_the_hole_is_far_from_full_and_lets_no_fitting_through(hazel, assessment):
    # (3.0 / 12)^2; with the 0.75 mm2 sense line through it as well, (3.0^2 + 1.9^2) / 12^2 is the 9 % of a vehicle
    # whose fuse box is in front of the firewall
    hole = assessment.installation.passages["H1"]
    assert hole.conductors == ("W2",)
    assert hole.fill == pytest.approx(3.0**2 / 12**2)
    through = assess(rigfeed.apply(hazel, [set_to("conductors.W5.route", ["bay", "sill"])]))
    assert through.installation.passages["H1"].fill == pytest.approx(0.09, rel=0.05)

    conductor = assessment.installation.conductors["W2"]
    plug = conductor.cores[0].end.fitting.rigid
    holder = assessment.installation.nodes["F1"].settings.holder.rigid
    assert plug.hole_mm == pytest.approx(18.6, abs=0.05)  # the diagonal of 15 x 11
    assert min(plug.hole_mm, holder.hole_mm) > hole.diameter_mm > conductor.cable.od_mm  # pull bare, fit after
    assert holder == Rigid(24, 38)


def test_the_cut_list(assessment):
    table = assessment.paper("cut-list")
    rows = {row[0]: dict(zip((column.key for column in table.columns), row, strict=True)) for row in table.rows}
    assert list(rows) == ["W1", "W2", "W3", "W4", "W5", "W6"]  # what the vehicle came with is not cut
    assert rows["W2"]["cut"] == pytest.approx(3.75)
    assert (rows["W2"]["from"], rows["W2"]["to"]) == ("F1.b", "vhf.pos")
    assert rows["W2"]["end-to"] == "two-pole radio plug contact"
    assert table.notes[-1] == "thin-wall 2.5 mm2 105 degC: 3 pieces, 4.3 m in all"


# The variants that the eight checks are about; each changes one thing.

THINNER = [set_to(f"conductors.{name}.cable", "cable:thinwall-1") for name in ("W1", "W2", "W3")]
SUPPLIED_PAIR = [
    *(set_to(f"conductors.{name}.cable", "cable:thinwall-2") for name in ("W1", "W2", "W3")),
    Add(Path("nodes", "F3"), {"part": "fuse:blade-10", "at": "battery"}),
    set_to("conductors.W3.to", "F3.a"),
    Remove(Path.parse("conductors.W3.length")),
    set_to("conductors.W3.route", ["sill", "bay"]),
    Add(Path("conductors", "W7"), {
        "cable": "cable:thinwall-2", "from": "F3.b", "to": "start.neg", "length": "0.15 m",
        "ends": ["blade:6.3-2.5", "ring:m8-2.5"],
    }),
]


def test_1_mm2_starves_the_set(hazel):
    assessment = assess(rigfeed.apply(hazel, THINNER))
    assert assessment[OPERATING].across(OFF, "vhf") == pytest.approx(11.58, rel=0.005)
    assert names(assessment)["volts-below-minimum"] == "nodes.vhf"


def test_the_supplied_pair_to_both_posts_shuts_down_and_bypasses_the_sensor(hazel):
    assessment = assess(rigfeed.apply(hazel, SUPPLIED_PAIR))
    assert assessment[OPERATING].across(OFF, "vhf") == pytest.approx(11.6, rel=0.005)
    assert lead_drop_v(assessment, OFF) == pytest.approx(0.63, rel=0.05)
    found = names(assessment)
    assert found["volts-below-minimum"] == "nodes.vhf"
    assert found["lead-drop-high"] == "nodes.vhf"
    assert found["sensor-bypassed"] == "conductors.W7"


SEEDED = {
    "fuse of 15 A with 1.0 mm2": (
        [*THINNER, set_to("nodes.F1.part", "fuse:blade-15")], {"fuse-above-equipment-limit": "nodes.F1"},
    ),
    "negative to the post": ([set_to("conductors.W3.to", "start.neg")], {"sensor-bypassed": "conductors.W3"}),
    "fuse 0.9 m from the post": (
        [set_to("conductors.W1.length", "0.9 m")], {"fuse-far-from-source": "nodes.F1"},
    ),
    "fuse left out": (
        [set_to("conductors.W1.to", "vhf.pos")], {"unfused-source": "conductors.W1"},
    ),
    "fuse of 7.5 A": ([set_to("nodes.F1.part", "fuse:blade-7.5")], {"fuse-loaded-too-close": "nodes.F1"}),
    "regulator gone wild": (
        [set_to("nodes.alt.settings.voltage", "16.5 V")], {"volts-above-maximum": "nodes.vhf"},
    ),
}


@pytest.mark.parametrize("fault", SEEDED)
def test_a_seeded_fault_is_found(hazel, fault):
    edits, expected = SEEDED[fault]
    found = names(assess(rigfeed.apply(hazel, edits)))
    assert expected.items() <= found.items()


def test_a_catalog_row_that_means_its_outside_diameter(hazel, tmp_path):
    """ "2.5 mm" of an outside-diameter list is 0.64 mm2: 29.7 mohm/m where 7.60 was meant."""
    (tmp_path / "catalogs").mkdir()
    (tmp_path / "catalogs" / "auto.csv").write_text(
        "part,title,area_mm2,ohm_per_km,od_mm,insulation_c,source,confidence\n"
        "cable:auto-2.5,auto cable 2.5 mm,0.64,29.7,2.5,105,a list of outside diameters,invented\n"
    )
    shelf = Shelf(installed_registry(), catalogs_beside(tmp_path / "hazel.toml"))
    edits = [set_to(f"conductors.{name}.cable", "cable:auto-2.5") for name in ("W1", "W2", "W3")]
    assert "volts-below-minimum" in names(assess(rigfeed.apply(hazel, edits), shelf=shelf))
