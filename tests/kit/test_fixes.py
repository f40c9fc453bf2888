"""A fix mends its finding, is what a person would have done, and raises no error."""

from __future__ import annotations

import pytest

from rigfeed import Path, Remove, Set, apply, assess, example, load
from rigfeed.checks.fixes import FIXERS, fixes_for
from rigfeed.parts.shelf import open_shelf

SHELF = open_shelf()


def _set(path, value):
    return Set(Path.parse(path), value)


# check -> base design, what is done to it, and the subject of the finding with all ways to mend it
CASES = {
    "fuse-above-ampacity": ("hazel", [_set("nodes.F2.part", "fuse:blade-20")], "nodes.F2", ["fuse:blade-10"]),
    # the maker of the set states 10 A
    "fuse-above-equipment-limit": ("hazel", [_set("nodes.F1.part", "fuse:blade-20")], "nodes.F1", ["fuse:blade-10"]),
    # 26.8 A: more than 80 % of 30 A, less than 80 % of 35 A
    "fuse-loaded-too-close": ("larch", [_set("nodes.F1.part", "fuse:hi-30")], "nodes.F1", ["fuse:hi-35"]),
    # made for 14 V, in a truck of 24 V
    "fuse-voltage-low": (
        "alder", [_set("nodes.F1.part", "breaker:hold-20"), Remove(Path("nodes", "F1", "settings"))], "nodes.F1",
        ["breaker:push-20"],
    ),
    "self-resetting-main": (
        "hazel", [_set("nodes.F1.part", "breaker:auto-10"), Remove(Path("nodes", "F1", "settings"))], "nodes.F1",
        ["breaker:hold-10", "breaker:push-10"],
    ),
    # a holder for miniature fuses
    "holder-underrated": (
        "larch", [_set("nodes.F4.settings.holder", "holder:f-inline-20")], "nodes.F4", ["holder:c-inline-30"],
    ),
    "holder-not-sealed": (
        "hazel", [_set("nodes.F1.settings.holder", "holder:c-inline-20")], "nodes.F1", ["holder:c-inline-30"],
    ),
    "insulation-class-low": (
        "hazel", [_set("conductors.W2.cable", "cable:iec5-2.5")], "conductors.W2",
        ["cable:road-b-2.5", "cable:road-thick-2.5"],
    ),
    "untinned-in-wet": (
        "hazel", [_set("conductors.W2.cable", "cable:iec5-2.5"), _set("conductors.W2.sleeves", [])], "conductors.W2",
        ["cable:iec2t-2.5", "cable:iec5t-2.5"],
    ),
    # beside another one for M8
    "ring-hole-mismatch": (
        "hazel", [_set("conductors.W1.ends.0", "ring:ins-2.5-m10")], "conductors.W1.ends.0", ["ring:ins-2.5-m8"],
    ),
}


def _errors(assessment):
    return {(f.check, f.subject) for f in assessment.findings if f.severity == "error"}


@pytest.mark.parametrize("check", sorted(FIXERS))
def test_a_fix_mends_its_finding_and_raises_no_error(check):
    base, change, subject, wanted = CASES[check]
    design = apply(load(example(base)), change)
    before = assess(design, shelf=SHELF)
    finding = next(f for f in before.findings if (f.check, str(f.subject)) == (check, subject))
    offered = fixes_for(finding, before, SHELF)
    assert [edit.value for edits in offered for edit in edits] == wanted
    for edits in offered:
        after = assess(apply(design, edits), shelf=SHELF)
        assert (check, finding.subject) not in {(f.check, f.subject) for f in after.findings}
        assert _errors(after) <= _errors(before)


def test_what_has_to_be_thought_about_is_left_to_the_person():
    assessment = assess(load(example("hazel")), shelf=SHELF)
    finding = next(f for f in assessment.findings if f.check == "breaking-capacity-low")
    assert fixes_for(finding, assessment, SHELF) == []


def test_a_smaller_fuse_is_not_offered_where_it_could_not_carry_the_load():
    # 26.8 A flow through F1; a cable that carries less than that wants a thicker cable, not a smaller fuse
    design = apply(load(example("larch")), [_set("conductors.W2.cable", "cable:thinwall-2.5")])
    assessment = assess(design, shelf=SHELF)
    finding = next(f for f in assessment.findings if (f.check, str(f.subject)) == ("fuse-above-ampacity", "nodes.F1"))
    assert fixes_for(finding, assessment, SHELF) == []


def test_a_larger_fuse_is_not_offered_where_the_cable_or_the_maker_forbids_it():
    # F1 of Hazel at 5 A: the set draws 6.1 A, more than 80 % of 5 A and of 7.5 A, and its maker states 10 A at most
    design = apply(load(example("hazel")), [_set("nodes.F1.part", "fuse:blade-5")])
    assessment = assess(design, shelf=SHELF)
    finding = next(f for f in assessment.findings if f.check == "fuse-loaded-too-close")
    (edits,) = fixes_for(finding, assessment, SHELF)
    assert [edit.value for edit in edits] == ["fuse:blade-10"]
    thin = apply(design, [_set(f"conductors.{name}.cable", "cable:thinwall-0.75") for name in ("W1", "W2", "W3")])
    assessment = assess(apply(thin, [_set("zones.bay.warmest", "100 degC")]), shelf=SHELF)
    finding = next(f for f in assessment.findings if f.check == "fuse-loaded-too-close")
    assert fixes_for(finding, assessment, SHELF) == []


def test_the_key_of_a_part_names_its_catalog_where_two_have_it(tmp_path):
    from rigfeed.parts.catalog import LocalFile
    from rigfeed.parts.shelf import Shelf

    head = "part,title,family,rated_a,rated_v,drop_mv,breaking_a,source,confidence\n"
    rows = head + "".join(f"fuse:own-{a},own {a} A,C,{a},32,100,1000,a list,invented\n" for a in (10, 20))
    for name in ("one", "other"):
        (tmp_path / f"{name}.csv").write_text(rows)
    shelf = Shelf(SHELF.registry, [LocalFile(tmp_path / f"{name}.csv") for name in ("one", "other")])
    design = apply(load(example("hazel")), [_set("nodes.F1.part", "fuse:one/own-20")])
    assessment = assess(design, shelf=shelf)
    finding = next(f for f in assessment.findings if f.check == "fuse-above-equipment-limit")
    assert [e.value for edits in fixes_for(finding, assessment, shelf) for e in edits] == ["fuse:one/own-10"]
