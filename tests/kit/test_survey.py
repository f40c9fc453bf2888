"""Questions that only an eye answers: whom they are asked, which wait for another one, and what an answer leads to."""

from __future__ import annotations

from dataclasses import dataclass, replace

import pytest

import rigfeed
from rigfeed import Path, Set, assess
from rigfeed.checks import (
    survey_antenna,
    survey_ground,
    survey_power,
    survey_record,
    survey_routing,
    survey_source,
    survey_termination,
)
from rigfeed.checks.check import Fact, NotChecked
from rigfeed.checks.facts import SUBJECTS, Subjects, open_questions
from rigfeed.checks.survey import Survey, ask, facts_of, survey_check, survey_checks
from rigfeed.checks.termination import ring_hole_mismatch
from rigfeed.examples import examples
from rigfeed.keyed import Keyed
from rigfeed.parts.interfaces import Joint
from rigfeed.parts.shelf import open_shelf
from rigfeed.quantity import Quantity
from rigfeed.registry import installed_registry
from rigfeed.view import Workshop

MODULES = (
    survey_antenna, survey_ground, survey_power, survey_record, survey_routing, survey_source, survey_termination,
)
ROWS = [
    row
    for module in MODULES
    for value in vars(module).values()
    for row in (value if isinstance(value, tuple) else (value,))
    if isinstance(row, Survey)
]
GOOD = {(row.fact.about, row.fact.name): row.good for row in ROWS}
CHECKS = tuple(installed_registry().checks.values())
FACTS = [fact for check in CHECKS for fact in check.facts]

ON_FRAME = Fact("on-frame", "vehicle", "Has it a frame?")
BONDED = Fact("bonded", "vehicle", "Is the frame bonded?")
GATED = Survey("frame", "test", "warning", BONDED, True, "{subject} is loose.", "Bond it.", gate=ON_FRAME)


@pytest.fixture(scope="module")
def hazel():
    return rigfeed.load(rigfeed.example("hazel"))


def view_of(design, thresholds=(), *, installation=None):
    assessment = assess(design, only=["label-missing"])
    workshop = Workshop(installation or assessment.installation, open_shelf(), assessment.practice)
    return workshop.view([SUBJECTS], thresholds)


def with_facts(design, path, **facts):
    answers = {name.replace("_", "-"): value for name, value in facts.items()}
    return rigfeed.apply(design, [Set(Path.parse(f"{path}.facts"), answers)])


def said(view, *rows, **kwargs):
    found = list(ask(view, *rows, **kwargs))
    lines = [item.why for item in found if isinstance(item, NotChecked)]
    return [item.text() for item in found if not isinstance(item, NotChecked)], lines


# a question behind another one


@pytest.mark.parametrize(
    ("facts", "findings", "open_"),
    [
        ({}, [], ["Has it a frame?"]),
        ({"bonded": False}, [], ["Has it a frame?"]),
        ({"on_frame": False}, [], []),
        ({"on_frame": False, "bonded": False}, [], []),
        ({"on_frame": True}, [], ["Is the frame bonded?"]),
        ({"on_frame": True, "bonded": False}, ["the vehicle is loose."], []),
        ({"on_frame": True, "bonded": True}, [], []),
    ],
)
def test_a_question_behind_a_gate_waits_for_it(hazel, facts, findings, open_):
    view = view_of(with_facts(hazel, "vehicle", **facts))
    texts, lines = said(view, GATED)
    assert texts == findings
    assert lines == [f"not looked at: {question}" for question in open_]
    asked = open_questions(view[SUBJECTS], [survey_check(GATED)])
    assert [question.fact.question for question in asked] == open_


def test_a_gate_that_is_not_asked_of_a_subject_shuts_the_question(hazel):
    only_stud = Fact("rusty", "node", "Is it rusty?", only=lambda subject: subject.path[1] == "stud")
    oiled = Fact("oiled", "node", "Is it oiled?")
    row = Survey("r", "test", "warning", oiled, True, "{subject}.", "Oil it.", gate=only_stud)
    design = with_facts(hazel, "nodes.stud", rusty=True, oiled=False)
    design = with_facts(design, "nodes.strap", rusty=True, oiled=False)
    assert said(view_of(design), row) == (["stud (body point)."], [])


# rows


def test_rows_of_one_check_make_one_check():
    other = replace(GATED, fact=Fact("painted", "vehicle", "Is it painted?"), severity="error", gate=None)
    elsewhere = replace(GATED, check="else")
    checks = survey_checks([GATED, other, elsewhere])
    assert [check.name for check in checks] == ["frame", "else"]
    assert [fact.name for fact in checks[0].facts] == ["on-frame", "bonded", "painted"]
    assert checks[0].severity == "warning"
    assert facts_of(GATED, elsewhere) == (ON_FRAME, BONDED)  # each once


def test_each_row_brings_its_own_severity(hazel):
    rows = (GATED, replace(GATED, severity="error", gate=None))
    design = with_facts(hazel, "vehicle", on_frame=True, bonded=False)
    assert [finding.severity for finding in ask(view_of(design), *rows)] == ["warning", "error"]


def test_numbers_are_made_for_bad_answers_only(hazel):
    row = replace(GATED, message="{subject} {more}.", gate=None)

    def numbers(subject):
        assert subject.answer(BONDED) is False
        return {"more": subject.path[0]}

    loose = view_of(with_facts(hazel, "vehicle", bonded=False))
    assert said(loose, row, numbers=numbers)[0] == ["the vehicle vehicle."]
    assert said(view_of(hazel), row, numbers=numbers) == ([], ["not looked at: Is the frame bonded?"])


def test_open_answers_are_counted_in_one_line(hazel):
    row = Survey("l", "test", "warning", Fact("clean", "end", "Is it clean?"), True, "{subject}.", "Clean it.")
    (line,) = ask(view_of(hazel), row)
    assert line.why == "not looked at on 12 of 12: Is it clean?"
    assert line.questions == 12


# subjects


def test_a_subject_knows_what_lies_on_it(hazel):
    view = view_of(hazel)
    installation = view.installation
    found = {
        str(subject.path): [conductor.id for conductor in subject.conductors]
        for about in ("run", "passage", "node", "end", "vehicle")
        for subject in view[SUBJECTS].of(about)
    }
    assert found["runs.sill"] == ["W2", "W5"]
    assert found["passages.H1"] == ["W2"]
    assert found["nodes.strap"] == ["V1"]
    assert found["conductors.W6.to_facts"] == ["W6"]
    assert found["vehicle"] == sorted(installation.conductors)
    assert "conductors.V1.from_facts" not in found  # as its maker fitted it


def test_what_the_vehicle_came_with_is_not_ours(hazel):
    ours = Fact("x", "node", "X?", only=lambda subject: bool(subject.ours))
    asked = {subject.path[1] for subject in view_of(hazel)[SUBJECTS].asked(ours)}
    assert "start" in asked
    assert asked.isdisjoint({"strap", "alt"})


def test_what_was_asked_is_remembered_and_two_that_are_asked_of_others_are_not_one(hazel):
    subjects = view_of(hazel)[SUBJECTS]
    everywhere = Fact("x", "node", "X?")
    at_stud = Fact("x", "node", "X?", only=lambda subject: subject.path[1] == "stud")
    assert everywhere == at_stud
    assert subjects.asked(everywhere) == subjects.of("node")
    assert [subject.path for subject in subjects.asked(at_stud)] == [("nodes", "stud")]
    assert subjects.asked(at_stud) is subjects.asked(at_stud)


# all questions of the kit


def test_a_fact_has_one_question_for_all_checks():
    questions = {}
    for fact in FACTS:
        questions.setdefault((fact.about, fact.name), set()).add(fact.question)
    assert not {key: asked for key, asked in questions.items() if len(asked) > 1}


@pytest.mark.parametrize("fact", FACTS, ids=lambda fact: f"{fact.about}: {fact.name}")
def test_a_question_can_be_answered_with_yes_or_no(fact):
    assert fact.question.rstrip("?)") != fact.question
    assert fact.question[0].isupper()
    assert "{" not in fact.question


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row.check}: {row.fact.name}")
def test_a_row_is_whole(row):
    assert row.message.endswith(".")
    assert row.remedy.endswith(".")
    assert row.authority
    if row.fact.about != "vehicle":
        assert "{subject}" in row.message


def answered(design, answers):
    """The design with every open question answered, and those that come up by that, until none is left."""
    for _ in range(4):
        installation = assess(design, only=["label-missing"]).installation
        asked = open_questions(Subjects(installation), CHECKS)
        if not asked:
            return design
        facts = {}
        for question in asked:
            answer = answers.get((question.fact.about, question.fact.name), True)
            facts.setdefault(question.subject.path, dict(question.subject.facts))[question.fact.name] = answer
        paths = {path: path if path[-1] in ("from_facts", "to_facts") else path / "facts" for path in facts}
        design = rigfeed.apply(design, [Set(paths[path], given) for path, given in facts.items()])
    raise AssertionError("questions without end")


@pytest.mark.parametrize("name", examples())
def test_when_all_is_answered_well_no_question_is_left(name):
    design = rigfeed.load(rigfeed.example(name))
    before, after = assess(design), assess(answered(design, GOOD))
    assert sum(item.questions for item in before.not_checked) > 50
    assert sum(item.questions for item in after.not_checked) == 0
    surveyed = {row.check for row in ROWS}
    was = {(finding.check, finding.subject) for finding in before.findings}
    now = {(finding.check, finding.subject) for finding in after.findings if finding.check in surveyed}
    assert now <= was


def test_when_all_is_answered_badly_every_row_that_is_asked_speaks():
    design = rigfeed.load(rigfeed.example("larch"))
    bad = {key: not good for key, good in GOOD.items()}
    design = answered(design, bad)
    assessment = assess(design)
    asked = {
        row.check
        for row in ROWS
        if any(subject.answer(row.fact) is not None for subject in assessment[SUBJECTS].asked(row.facts[-1]))
    }
    assert len(asked) > 40
    assert asked <= {finding.check for finding in assessment.findings}


# a stud whose size its node tells


@dataclass(frozen=True)
class StudSettings:
    stud: Quantity | None = None


@dataclass(frozen=True, kw_only=True)
class Bolt(Joint):
    stud_mm: float | None = None


@pytest.mark.parametrize(
    ("settings", "stud_mm", "severity"),
    [
        (StudSettings(Quantity.parse("8 mm", "mm")), 6.0, None),  # what is set wins
        (StudSettings(), 8.0, None),
        (None, 8.0, None),
        (None, 6.0, "warning"),
        (StudSettings(Quantity.parse("10 mm", "mm")), None, "error"),
        (None, None, None),  # an eye decides
    ],
)
def test_the_ring_of_a_stud(hazel, settings, stud_mm, severity):
    installation = assess(hazel, only=["label-missing"]).installation
    stud = replace(installation.nodes["stud"], part=Bolt(title="bolt", stud_mm=stud_mm), settings=settings)
    installation = replace(installation, nodes=Keyed({**installation.nodes, "stud": stud}))
    threshold = installed_registry().checks["ring-hole-mismatch"].thresholds
    found = list(ring_hole_mismatch(view_of(hazel, threshold, installation=installation)))
    severities = [item.severity for item in found if not isinstance(item, NotChecked)]
    assert severities == ([severity] if severity else [])
