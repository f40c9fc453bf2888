"""What is seeded into Hazel, and what the checks of sources and conductors say to it."""

from __future__ import annotations

from dataclasses import replace

import pytest

import rigfeed
from rigfeed import Path, Set, assess
from rigfeed.json_report import assessment_json
from rigfeed.keyed import Keyed
from rigfeed.parts.shelf import Shelf, catalogs_beside, open_shelf
from rigfeed.registry import installed_registry

LEADS = ("W1", "W2", "W3")

# "2.5 mm" of a list of outside diameters: 0.64 mm2, 29.7 mohm/m where 7.60 was meant
AUTO = (
    "part,title,area_mm2,ohm_per_km,od_mm,insulation_c,source,confidence\n"
    "cable:auto-2.5,auto cable 2.5 mm,0.64,29.7,2.5,105,a list of outside diameters,invented\n"
)


@pytest.fixture(scope="module")
def hazel():
    return rigfeed.load(rigfeed.example("hazel"))


def with_cable(design, cable: str, **more: str):
    edits = [Set(Path.parse(f"conductors.{name}.cable"), cable) for name in LEADS]
    edits += [Set(Path.parse(path.replace("__", ".")), value) for path, value in more.items()]
    return rigfeed.apply(design, edits)


def found(assessment) -> set[tuple[str, str]]:
    return {(finding.check, str(finding.subject)) for finding in assessment.findings}


def text(assessment, check: str) -> str:
    return next(finding.text() for finding in assessment.findings if finding.check == check)


def test_15_a_on_1_mm2_is_too_much_for_wire_and_set(hazel):
    assessment = assess(with_cable(hazel, "cable:thinwall-1", nodes__F1__part="fuse:blade-15"))
    assert {("fuse-above-ampacity", "nodes.F1"), ("fuse-above-equipment-limit", "nodes.F1")} <= found(assessment)
    assert "carries 8.52 A for hours in engine bay" in text(assessment, "fuse-above-ampacity")


def test_1_mm2_does_not_even_bear_the_fuse_of_10_a(hazel):
    assert ("fuse-above-ampacity", "nodes.F1") in found(assess(with_cable(hazel, "cable:thinwall-1")))
    assert "fuse-above-ampacity" not in {name for name, _ in found(assess(with_cable(hazel, "cable:thinwall-1.5")))}


def test_a_row_that_means_its_outside_diameter(hazel, tmp_path):
    (tmp_path / "catalogs").mkdir()
    (tmp_path / "catalogs" / "auto.csv").write_text(AUTO)
    shelf = Shelf(installed_registry(), catalogs_beside(tmp_path / "hazel.toml"))
    said = found(assess(with_cable(hazel, "cable:auto-2.5"), shelf=shelf))
    assert ("volts-below-minimum", "nodes.vhf") in said
    assert ("fuse-above-ampacity", "nodes.F1") in said
    for check in ("ambiguous-size", "catalog-row-inconsistent", "mechanically-thin"):
        assert {(check, f"conductors.{name}") for name in LEADS} <= said


def test_the_blade_at_the_battery_is_told_with_both_bases(hazel):
    assessment = assess(hazel)
    assert ("breaking-capacity-low", "nodes.F1") in found(assessment)
    assert "1430 A" in text(assessment, "breaking-capacity-low")
    assert "no cold cranking current is in the catalog" in text(assessment, "breaking-capacity-low")
    # a battery whose cold cranking current is known: 1500 A for a main device at a small one (ABYC E-11, older edition)
    known = rigfeed.apply(hazel, [Set(Path.parse("nodes.start.part"), "battery:flooded-52")])
    assert "it takes 1500 A" in text(assess(known), "breaking-capacity-low")


def test_a_practice_may_go_by_the_table(hazel, tmp_path):
    """1600 A is enough by the table for a small battery (1500 A), and less than what is computed for it."""
    (tmp_path / "practices").mkdir()
    (tmp_path / "practices" / "shop.toml").write_text(
        'practice = "shop"\nextends = "road"\n[thresholds]\n"breaking-capacity-low.by-table" = '
        '{ value = "1", meaning = "the table by battery rating governs", authority = "the shop" }\n'
    )
    (tmp_path / "catalogs").mkdir()
    (tmp_path / "catalogs" / "fuses.csv").write_text(
        "part,title,family,rated_a,rated_v,drop_mv,breaking_a,source,confidence\n"
        "fuse:strong,blade fuse C 10 A,C,10,32,100,1600,a case,invented\n"
    )
    edits = {"nodes.start.part": "battery:flooded-52", "nodes.F1.part": "fuse:strong"}
    design = rigfeed.apply(hazel, [Set(Path.parse(path), value) for path, value in edits.items()])
    shelf = open_shelf(tmp_path / "hazel.toml")
    computed = assess(design, shelf=shelf)
    assert ("breaking-capacity-low", "nodes.F1") in found(computed)
    assert "it takes 1500 A" in text(computed, "breaking-capacity-low")
    assert "breaking-capacity-low" not in {name for name, _ in found(assess(design, shelf=shelf, practice="shop"))}


def test_the_order_in_the_file_changes_nothing(hazel):
    def turned(table):
        return Keyed(dict(reversed(list(table.items()))))

    names = ("zones", "points", "runs", "passages", "nodes", "conductors")
    other = replace(hazel, **{name: turned(getattr(hazel, name)) for name in names})
    design = with_cable(hazel, "cable:thinwall-1")
    mirrored = with_cable(other, "cable:thinwall-1")
    assert list(mirrored.conductors) != list(design.conductors)
    assert assessment_json(assess(design)) == assessment_json(assess(mirrored))
