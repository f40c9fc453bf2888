"""The list of findings: what is shown, in which order, with which words; accepted and taken back."""

from __future__ import annotations

import re

import pytest

from rigfeed import Add, Path, Remove, Set, apply, assess, example, load
from rigfeed.design.file import parse
from rigfeed.papers.paper import Wanted
from rigfeed.parts.shelf import open_shelf
from rigfeed_gui.logic import findings
from rigfeed_gui.logic.findings import Filter
from rigfeed_gui.logic.words import say

SHELF = open_shelf()
# Larch with a fuse that is too small in more than one state, a hole that is overfull, cables that want tin
CHANGES = [Set(Path("nodes", "F1", "part"), "fuse:blade-30"), Set(Path("conductors", "W1", "sleeves"), [])]
LARCH = apply(load(example("larch")), [*CHANGES, Set(Path("passages", "H1", "diameter"), "22 mm")])
ASSESSED = assess(LARCH, shelf=SHELF)


def _rows(order="severity", system="metric", **wanted):
    return findings.rows(ASSESSED, Filter(**wanted), order, system)


def test_without_a_filter_everything_is_shown_as_the_assessment_has_it():
    assert [row.finding for row in _rows()] == list(ASSESSED.findings)


def test_severity_is_a_word_and_a_shape():
    shown = {(row.severity, row.mark) for row in _rows()}
    assert len(shown) == len({mark for _, mark in shown}) == 3


@pytest.mark.parametrize("severity", ["error", "warning", "advice"])
def test_one_severity_alone(severity):
    found = _rows(severities={severity})
    assert found
    assert {row.finding.severity for row in found} == {severity}


def test_a_subject_shows_what_points_at_it_and_into_it():
    found = _rows(subject=Path("nodes", "F1"))
    assert found
    assert all(Path("nodes", "F1") in (row.finding.subject, *row.finding.also) for row in found)


def test_a_state_shows_what_it_makes_worse_and_what_no_state_matters_to():
    state = next(row.state for row in _rows() if row.state)
    found = _rows(state=state)
    assert {row.state for row in found} == {"", state}
    other = _rows(state="no such state")
    assert all(not row.state for row in other)


def test_words_are_looked_for_in_name_subject_and_text():
    assert {row.finding.check for row in _rows(word="tinned bay")} == {"untinned-in-wet"}
    assert {row.subject for row in _rows(word="H1")} == {"passages.H1"}
    assert _rows(word="tinned nonsense") == ()


def test_orders():
    by_subject = [row.subject for row in _rows("subject")]
    assert by_subject == sorted(by_subject)
    by_state = [row.state for row in _rows("state")]
    assert by_state == sorted(by_state)
    assert len(by_subject) == len(by_state) == len(_rows())


def test_numbers_are_those_of_the_picture():
    scene = ASSESSED.drawing("routes", Wanted())
    found = findings.rows(ASSESSED, Filter(), "severity", "metric", scene)
    assert [row.finding.check for row in found if row.number] == ["hole-overfull"]
    marks = [item for _, item in scene.walk() if getattr(item, "subject", None) == Path("passages", "H1")]
    texts = [inner.text for mark in marks for inner in mark.items if hasattr(inner, "text") and inner.text.isdigit()]
    assert set(texts) == {"1"}


def test_an_explanation_says_value_limit_authority_and_what_to_do():
    finding = next(f for f in ASSESSED.findings if f.check == "fuse-loaded-too-close")
    told = findings.explanation(ASSESSED, finding, "metric")
    figures = dict(told.figures)
    assert told.heading == "▲ warning: F1"
    assert (figures["value"], figures["limit"]) == ("26.8 A", "24 A")
    assert figures["state"] == finding.state
    assert told.authority == f"Authority: {finding.authority}. Check: fuse-loaded-too-close."
    assert told.remedy == finding.advice()
    assert told.subjects[0] == Path("nodes", "F1")


def test_an_explanation_speaks_the_units_of_the_reader():
    short = apply(LARCH, [Set(Path("conductors", "W2", "length"), "14 ft")])
    assessment = assess(short, shelf=SHELF)
    finding = next(f for f in assessment.findings if f.check == "cut-too-short")
    assert " ft" in findings.explanation(assessment, finding, "us").text
    assert " ft" not in findings.explanation(assessment, finding, "metric").text


def test_what_is_wrong_is_told_in_one_sentence_and_nothing_of_the_rest_is_lost():
    for finding in ASSESSED.findings:
        told = findings.explanation(ASSESSED, finding, "metric")
        assert " ".join(part for part in (told.text, told.rest) if part) == finding.text()
        assert told.text[-1] in ".!?"
    told = findings.explanation(ASSESSED, next(f for f in ASSESSED.findings if f.check == "hole-overfull"), "metric")
    assert "54.7 %" in told.text, "a point inside of a number ends no sentence"
    long = next(f for f in ASSESSED.findings if f.check == "breaking-capacity-low")
    assert findings.explanation(ASSESSED, long, "metric").rest.startswith("Computed, ")


def test_a_fix_says_what_it_does():
    finding = next(f for f in ASSESSED.findings if f.check == "fuse-loaded-too-close")
    # of the same family and its own list first: there are none above 30 A in it, so two others of the form
    assert [fix.words for fix in findings.fixes(ASSESSED, finding, SHELF)] == [
        "Mend: part of F1 becomes fuse:c-35", "Mend: part of F1 becomes fuse:c58-35",
    ]
    other = apply(LARCH, [Set(Path("nodes", "F1", "part"), "fuse:hi-30")])
    assessment = assess(other, shelf=SHELF)
    finding = next(f for f in assessment.findings if f.check == "fuse-loaded-too-close")
    (fix,) = findings.fixes(assessment, finding, SHELF)
    assert fix.words == "Mend: part of F1 becomes fuse:hi-35"
    assert apply(other, fix.edits).nodes["F1"].part == "fuse:hi-35"


def test_what_a_check_offers_itself_stands_before_what_can_be_found():
    from dataclasses import replace

    offered = (Set(Path("nodes", "F1", "title"), "x"),)
    finding = replace(ASSESSED.findings[0], fixes=offered)
    (fix,) = findings.fixes(ASSESSED, finding, SHELF)
    assert fix.edits == offered


def test_accepting_needs_a_reason_and_can_be_taken_back():
    finding = next(f for f in ASSESSED.findings if f.check == "hole-overfull")
    design = apply(LARCH, findings.accepting(LARCH, finding, "drawn with care", "A. Fitter", "2026-05-31"))
    assessment = assess(design, shelf=SHELF)
    accepted = next(f for f in assessment.findings if f.check == "hole-overfull")
    assert accepted.accepted_by == "A. Fitter: drawn with care"
    assert findings.rows(assessment, Filter(), "severity", "metric")[-1].finding == accepted
    assert accepted not in [r.finding for r in findings.rows(assessment, Filter(accepted=False), "severity", "metric")]
    assert findings.summary(assessment).accepted == 1
    assert "1 accepted" in findings.summary(assessment).words
    figures = dict(findings.explanation(assessment, accepted, "metric").figures)
    assert figures["accepted by"] == "A. Fitter: drawn with care"
    assert apply(design, findings.reopening(design, accepted)) == LARCH


def test_what_is_put_forward_is_about_the_thing_in_hand_and_accepted_by_nobody():
    first = ASSESSED.findings[0]
    assert findings.foremost(ASSESSED, None) is first
    assert findings.foremost(ASSESSED, Path("passages", "H1")).check == "hole-overfull"
    quiet = Path("points", "roof")
    assert not any(findings.is_about(finding, quiet) for finding in ASSESSED.findings)
    assert findings.foremost(ASSESSED, quiet) is first
    accepted = apply(LARCH, findings.accepting(LARCH, first, "seen", "A. Fitter", None))
    found = findings.foremost(assess(accepted, shelf=SHELF), None)
    assert (found.check, found.subject) != (first.check, first.subject)
    clean = assess(LARCH, shelf=SHELF, only=["body-return-not-allowed"])
    assert not clean.findings
    assert findings.foremost(clean, None) is None


@pytest.mark.parametrize(("subject", "called"), [
    (Path("conductors", "W2", "ends", 0), "W2 from"), (Path("conductors", "W2", "ends", 1), "W2 to"),
    (Path("conductors", "W2"), "W2"), (Path("vehicle"), "vehicle"), (Path("nodes", "F1", "part"), "F1 part"),
])
def test_subjects_as_people_call_them(subject, called):
    assert findings.about(subject) == called


def test_what_goes_is_told_by_its_sort():
    told = findings.together([Path("nodes", "F1"), Path("conductors", "W2", "route"), Path("conductors", "W1"),
                              Path("nodes", "F2", "at"), Path("nodes", "F3"), Path("conductors", "W5", "route")])
    assert told == "devices F1, F3; route of W2, W5; conductors W1; place of F2"


def test_edits_in_words():
    edits = [Set(Path("conductors", "W1", "length"), "2 m"), Add(Path("nodes", "F9"), {"part": "fuse:c-10"}),
             Remove(Path("nodes", "F1")), Set(Path("vehicle", "system_voltage"), "12 V")]
    assert findings.in_words(edits) == (
        "length of W1 becomes 2 m, F9 is added, F1 goes, system_voltage becomes 12 V")


def test_the_summary_counts_and_claims_nothing():
    told = findings.summary(ASSESSED)
    assert dict(told.counts) == {s: ASSESSED.count(s) for s in ("error", "warning", "advice")}
    assert told.words.startswith(f"To be fixed: {ASSESSED.count('error')} error")
    assert f"{len(ASSESSED.made)} of {len(ASSESSED.checks)} checks made in full" in told.words
    assert "0 warnings, 1 advice" in findings.summary(assess(LARCH, shelf=SHELF, only=["untinned-in-wet"])).words
    clean = assess(LARCH, shelf=SHELF, only=["untinned-in-wet"])
    assert findings.summary(clean).words.startswith("No error among the checks made")


def test_an_empty_design_has_passed_nothing():
    empty = assess(parse("format = 1\n"), shelf=SHELF)
    assert empty.findings == ()
    assert not re.search("[0-9]|error", findings.summary(empty).words)


def test_a_finding_is_followed_into_another_assessment_and_walked_around():
    found = ASSESSED.findings
    other = assess(LARCH, shelf=SHELF).findings
    assert findings.again(other, found[1]) is other[1]
    assert findings.again(other[2:], found[1]) is None
    assert findings.again(other, None) is None
    assert [findings.beside(found, start, step) for start, step in (
        (None, 1), (None, -1), (found[-1], 1), (found[0], -1), (other[0], 1),
    )] == [found[0], found[-1], found[0], found[-1], found[1]]


def test_what_was_not_checked_and_what_was_assumed_can_be_gone_to():
    assert len(findings.open_lines(ASSESSED)) == len(ASSESSED.not_checked)
    assumed = findings.assumed_lines(ASSESSED, "metric")
    assert len(assumed) == len(ASSESSED.assumptions)
    assert any(line.why.startswith("2.5 mohm (") and line.subject == Path("nodes", "stud", "settings", "resistance")
               for line in assumed)


def test_what_was_not_checked_is_told_in_words_what_can_be_typed_in_first():
    lines = findings.open_lines(ASSESSED)
    asks = [say("open.question", why=line.why) == line.whole for line in lines]
    assert asks == sorted(asks)
    assert set(asks) == {True, False}
    assert "bend too tight" in [line.what for line in lines]
    assert not any("-" in line.what for line in lines)


def test_a_question_leads_to_the_first_thing_that_nobody_has_looked_at():
    def loose(assessment):
        return next(line for line in findings.open_lines(assessment) if line.what == "equipment loose")

    first = loose(ASSESSED)
    assert "on 3 of 3" in first.why
    answered = apply(LARCH, [Set(first.subject, True)])
    then = loose(assess(answered, shelf=SHELF, only=["equipment-loose"]))
    assert "on 2 of 3" in then.why
    assert (first.subject[0], first.subject[2:]) == (then.subject[0], then.subject[2:]) == ("nodes", ("facts", "fixed"))
    assert first.subject != then.subject
