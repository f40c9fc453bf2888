"""Where figures decide, nobody is asked to look: the survey holds what is left."""

from __future__ import annotations

import pytest

import rigfeed
from rigfeed import Path, Remove, Set, assess
from rigfeed.checks.facts import SUBJECTS, open_questions

PATHS = ("conductors.W1.sleeves", "conductors.W2.sleeves", "runs.sill.loom")
HAZEL = rigfeed.apply(rigfeed.load(rigfeed.example("hazel")), [Remove(Path.parse(path)) for path in PATHS])
CHECKS = (
    "sleeve-mismatch", "joint-unsealed", "loom-bore-mismatch", "grommet-mismatch", "ring-hole-mismatch",
    "underfloor-bare", "torque-missing",
)


def asked(**values: object) -> set[tuple[str, str]]:
    edits = [Set(Path.parse(path.replace("__", ".")), value) for path, value in values.items()]
    assessment = assess(rigfeed.apply(HAZEL, edits), only=CHECKS)
    checks = [check for check in assessment.asked if check.name in CHECKS]
    return {
        (question.fact.name, str(question.subject.path))
        for question in open_questions(assessment[SUBJECTS], checks)
    }


def studs(mm: str) -> dict[str, object]:
    """Every node on which a ring of ours sits, with stud and torque."""
    settings = {"stud": mm, "torque": "9 N m"}
    return {"nodes__start__settings": {"rest_voltage": "12.3 V", **settings}, "nodes__stud__settings": settings}


@pytest.mark.parametrize(
    ("values", "gone"),
    [
        ({"conductors__W1__sleeves": ["sleeve:lined-6", ""]}, {("sleeved", "conductors.W1.from_facts")}),
        ({"runs__sill__loom": "loom:slit-6.5"}, {("loom-fits", "runs.sill")}),
        ({"runs__bay__loom": "loom:slit-6.5"}, {("bare-under-floor", "runs.bay")}),
        ({"passages__H1__bore": "2.8 mm"}, {("grommet-grips", "passages.H1")}),
        (
            studs("8 mm"),
            {
                ("ring-fits", "conductors.W1.from_facts"), ("ring-fits", "conductors.W3.to_facts"),
                ("torques-recorded", "vehicle"),
            },
        ),
    ],
)
def test_a_question_that_figures_answer_is_not_asked(values, gone):
    assert asked() - asked(**values) == gone


def test_what_figures_leave_open_is_asked():
    """Nobody knows the barrel inside of a connector."""
    new = asked(conductors__W6__sleeves=["sleeve:lined-9", ""]) - asked()
    assert new == {("sleeve-grips", "conductors.W6.from_facts")}


def test_a_loom_of_a_run_without_anything_is_nothing_to_check():
    lonely = rigfeed.apply(
        HAZEL, [Set(Path.parse("runs.spare"), {"from": "seat", "to": "roof", "loom": "loom:conduit-36"})]
    )
    assert assess(lonely, only=["loom-bore-mismatch"]).findings == ()
