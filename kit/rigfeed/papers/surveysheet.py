"""The survey sheet: every question that only an eye can answer, in the order in which one walks round the vehicle."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from rigfeed.checks.facts import End, OpenQuestion, Subject, open_questions
from rigfeed.design.model import Run
from rigfeed.installation import Installation, LaidPassage, PlacedNode
from rigfeed.papers.paper import Paper
from rigfeed.papers.places import UNKNOWN, natural, place_notes, walk
from rigfeed.papers.table import Column, Table
from rigfeed.quantity import System

if TYPE_CHECKING:
    from rigfeed.assess import Assessment

COLUMNS = (
    Column("where", "where", width=16),
    Column("question", "question", width=46),
    Column("subjects", "look at", width=34),
    Column("yes", "yes", width=5),
    Column("no", "no", width=5),
    Column("checks", "waits for it", width=18),
)
VEHICLE = "vehicle"
_SORTS = {"vehicle": 0, "run": 1, "passage": 2, "node": 3, "end": 4}


@dataclass(frozen=True)
class Line:
    """One question at one place, the things that it is about, and the checks that wait for the answer."""

    where: str
    question: str
    subjects: tuple[Subject, ...]
    checks: tuple[str, ...]


def survey_sheet(assessment: Assessment, system: System) -> Table:
    """A row for each open question at each place: the vehicle as a whole, then place by place along the way, what has
    no place last.

    A run and its holes are met on the way to the farther of its two points.
    """
    lines = survey_lines(assessment)
    rows = tuple(
        (line.where, line.question, _said(line.subjects), None, None, ", ".join(line.checks)) for line in lines
    )
    asked = sum(len(line.subjects) for line in lines)
    waiting = len({check for line in lines for check in line.checks})
    notes = (
        f"{asked} things are not known yet, and {waiting} checks wait for them.",
        "Where several things stand in one line, the answer is for all of them: strike out those that differ, and "
        "write what they are beside them. Leave out what cannot be seen: it is counted as not checked.",
        "Put the answers into the design, as facts of the thing that was looked at.",
        *place_notes(assessment.installation, walk(assessment.installation)),
    )
    return Table(
        "survey-sheet", "Survey sheet", COLUMNS, rows, notes, group="where",
        use="what to look at in the vehicle, place by place",
    )


def survey_lines(assessment: Assessment) -> list[Line]:
    """The open questions in the order of the sheet; a question that several checks ask is one."""
    installation = assessment.installation
    order = {point: number for number, point in enumerate(walk(installation))}
    asked: dict[tuple[object, ...], list[OpenQuestion]] = {}
    for question in open_questions(installation, assessment.asked):
        fact, about = question.fact, question.subject.about
        number, where = _place(question.subject, installation, order)
        # a run comes before the place that it leads to
        key = number, about not in ("run", "passage"), where, _SORTS[about], fact.name, fact.question
        asked.setdefault(key, []).append(question)
    return [_line(str(key[2]), asked[key]) for key in sorted(asked)]


def _line(where: str, same: list[OpenQuestion]) -> Line:
    subjects = {str(question.subject.path): question.subject for question in same}
    checks = tuple(dict.fromkeys(question.check for question in same))
    return Line(
        where, same[0].fact.question, tuple(subjects[path] for path in sorted(subjects, key=natural)), checks
    )


def _said(subjects: tuple[Subject, ...]) -> str:
    return "; ".join(subject.title for subject in subjects)


def _place(subject: Subject, installation: Installation, order: dict[str, int]) -> tuple[int, str]:
    """Where one stands to see a subject: its number on the way, and what the place is called."""
    thing = subject.thing
    match thing:
        case PlacedNode() | End():
            at = thing.node.at if isinstance(thing, End) else thing.at
            return (len(order), UNKNOWN) if at is None else (order[at], at)
        case Run() | LaidPassage():
            run = installation.design.runs[thing.run] if isinstance(thing, LaidPassage) else thing
            near, far = sorted((run.start, run.end), key=lambda point: order[point])
            return order[far], f"{near} to {far}"
        case _:
            return -1, VEHICLE


SURVEY_SHEET = Paper("survey-sheet", "Survey sheet", survey_sheet)
