"""Where does the black wire go: on one page the ways side by side, the advice with its reason, what would turn it, and
what each school says, with its authority."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from rigfeed.papers.paper import Paper
from rigfeed.papers.table import Cell, Column, Table
from rigfeed.quantity import System

if TYPE_CHECKING:
    from rigfeed.assess import Assessment
    from rigfeed.trials.returns import Option, ReturnAnswer, ReturnTrial

COLUMNS = (
    Column("set", "equipment", width=12, bold=True),
    Column("choice", "choice", width=8),
    Column("way", "its negative to", width=30, bold=True),
    Column("volts", "least volts at it", "V", width=9, align="right"),
    Column("lost", "lost on the way back", "V", width=9, align="right"),
    Column("length", "wire", "m", width=7, align="right"),
    Column("strap", "in it at once, strap open, cranking", "A", width=11, align="right"),
    Column("against", "what speaks against it", width=44),
)
NOTHING = "nothing found"
UNMEASURED = "body path not measured"
BYPASSES = "leads around the master switch"


def return_paper(assessment: Assessment, system: System = "metric") -> Table:
    """A row for each way of each equipment, the best first."""
    from rigfeed.trials.returns import try_returns

    trial = try_returns(
        assessment.installation.design, shelf=assessment.shelf, practice=assessment.practice
    )
    return return_table(trial, system)


def return_table(trial: ReturnTrial, system: System = "metric") -> Table:
    """The paper of a trial."""
    rows = tuple(row for answer in trial.answers for row in _rows(answer, system))
    return Table(
        "return-question", "Return question", COLUMNS, rows, tuple(_notes(trial)), group="set",
        use="where the negative of each equipment goes in this vehicle, and why",
    )


def _rows(answer: ReturnAnswer, system: System) -> Iterator[tuple[Cell, ...]]:
    for number, option in enumerate(answer.options):
        marks = ["advised"] if number == 0 else []
        marks += ["drawn"] if answer.drawn == option.way else []
        yield (
            answer.load.id, ", ".join(marks) or None, option.way.title, option.least_v, option.return_v,
            option.length_m, option.strap_a, against(answer, option),
        )


def against(answer: ReturnAnswer, option: Option) -> str:
    """What is found of one way and not of all, the gravest first, and what is not known."""
    shared = set.intersection(*({_key(f) for f in other.findings} for other in answer.options))
    said = [
        f"{finding.severity}: {finding.check}" for finding in option.findings
        if finding.severity != "advice" and _key(finding) not in shared
    ]
    said += [BYPASSES] if option.bypasses else []
    said += ["no feed"] if option.least_v is None else []
    said += [UNMEASURED] if option.unmeasured else []
    return "; ".join(dict.fromkeys(said)) or NOTHING


def _key(finding: object) -> tuple[str, str]:
    return str(getattr(finding, "check", "")), str(getattr(finding, "subject", ""))


def _notes(trial: ReturnTrial) -> Iterator[str]:
    for answer in trial.answers:
        yield f"{answer.load.title}: {answer.best.way.title}. {answer.reason} [{answer.authority}]"
        if answer.turns:
            turns = "; ".join(f"{turn.fact} -> {turn.to}" for turn in answer.turns)
            yield f"What would turn it for {answer.load.id}: {turns}."
    yield from _schools(trial.answers)
    if trial.others:
        yield "Not asked: " + "; ".join(f"{id_}: {why}" for id_, why in trial.others) + "."
    yield (
        "If you hold another rule: each is above with its authority, its figures for this vehicle in the table. The "
        "maker of the set or of the vehicle comes before all of them. Nothing here says that a design is safe."
    )


def _schools(answers: Iterable[ReturnAnswer]) -> Iterator[str]:
    """The rules of the schools, once, each with the equipment for which it is followed."""
    found: dict[tuple[str, str], list[str]] = {}
    for answer in answers:
        for school in answer.schools:
            found.setdefault((school.rule, school.authority), []).extend([answer.load.id] if school.followed else [])
    for (rule, authority), followed in found.items():
        taken = f" Followed here for {', '.join(followed)}." if followed else ""
        yield f"A school says: {rule} [{authority}]{taken}"


RETURN_PAPER = Paper("return-question", "Return question", return_paper)
