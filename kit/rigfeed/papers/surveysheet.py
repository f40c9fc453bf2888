"""The survey sheet: every question that only an eye can answer, and every resistance that a meter can find instead of
an assumption, in the order in which one walks round the vehicle."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from rigfeed.checks.facts import SUBJECTS, End, OpenQuestion, Subject, open_questions
from rigfeed.design.model import Run
from rigfeed.frozen import frozen
from rigfeed.installation import Installation, LaidPassage, PlacedNode
from rigfeed.measure import Measure
from rigfeed.papers.places import UNKNOWN, natural, place_notes, walk
from rigfeed.papers.table import Column, Table
from rigfeed.path import Path
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
# what to measure, two voltages and a current: nothing charging, so that only the load differs between the two readings
MEASURED = {
    "battery": "engine off: volts between its posts without load ______ V, and after 10 s with a load of 10 A or more "
    "______ V; amps of the load ______ A; battery at ______ degC",
    "bolt": "engine off: volts from here to the bolt of the battery strap, set idle ______ mV, set keyed ______ mV; "
    "amps that this adds ______ A",
    "take-off": "engine off: volts from the positive post to here without load ______ V, with a load ______ V; amps of "
    "the load ______ A",
}
_SORTS = {"vehicle": 0, "run": 1, "passage": 2, "node": 3, "end": 4}


_MEASURING = (
    "{count} lines ask for two voltages and a current: the resistance that they give takes the place of an assumption. "
    "Measure on the metal of post or bolt, not on the lug; read with the load on, then at once without it; take the "
    "amps with a clamp on the wire of that battery or set alone."
)


@frozen
class Line:
    """One question at one place, the things that it is about, and the checks that wait for the answer; of something to
    be measured, what is assumed until then."""

    where: str
    question: str
    subjects: tuple[Subject, ...]
    checks: tuple[str, ...]
    assumed: Measure | None = None


def survey_sheet(assessment: Assessment, system: System) -> Table:
    """A row for each open question at each place: the vehicle as a whole, then place by place along the way, what has
    no place last.

    A run and its holes are met on the way to the farther of its two points.
    """
    lines = survey_lines(assessment)
    rows = tuple(
        (line.where, line.question, _said(line.subjects), None, None, _waiting(line, system)) for line in lines
    )
    asked = sum(len(line.subjects) for line in lines if line.assumed is None)
    to_measure = sum(line.assumed is not None for line in lines)
    waiting = len({check for line in lines for check in line.checks})
    notes = (
        f"{asked} things are not known yet, and {waiting} checks wait for them.",
        "Where several things stand in one line, the answer is for all of them: strike out those that differ, and "
        "write what they are beside them. Leave out what cannot be seen: it is counted as not checked.",
        "Put the answers into the design, as facts of the thing that was looked at.",
        *([_MEASURING.format(count=to_measure)] if to_measure else []),
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
    found = dict(_to_measure(assessment, order))
    asked: dict[tuple[object, ...], list[OpenQuestion]] = {}
    for question in open_questions(assessment[SUBJECTS], assessment.asked):
        fact, about = question.fact, question.subject.about
        number, where = _place(question.subject, installation, order)
        # a run comes before the place that it leads to
        key = number, about not in ("run", "passage"), where, _SORTS[about], fact.name, fact.question
        asked.setdefault(key, []).append(question)
    found |= {key: _line(str(key[2]), same) for key, same in asked.items()}
    return [found[key] for key in sorted(found)]


def _to_measure(assessment: Assessment, order: dict[str, int]) -> Iterator[tuple[tuple[object, ...], Line]]:
    """The resistances of things that can be measured and are assumed."""
    from rigfeed.trials.measured import sort_of

    installation = assessment.installation
    assumed = {assumption.subject: assumption.value for assumption in installation.assumptions}
    for subject in assessment[SUBJECTS].of("node"):
        id_ = str(subject.path[1])
        value, sort = assumed.get(Path("nodes", id_, "settings", "resistance")), sort_of(installation, id_)
        if value is not None and sort is not None:
            number, where = _place(subject, installation, order)
            key = number, True, where, _SORTS["node"], "~resistance", id_  # after the questions there
            yield key, Line(where, MEASURED[sort], (subject,), (), value)


def _waiting(line: Line, system: System) -> str:
    return ", ".join(line.checks) if line.assumed is None else f"assumed: {line.assumed.text(system)}"


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
