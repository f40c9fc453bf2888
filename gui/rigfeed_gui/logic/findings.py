"""The list of what is wrong: filtered, sorted, numbered as in the drawing, explained, mended where that is plain."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Sequence
from typing import Literal

from rigfeed.assess import Assessment
from rigfeed.checks.check import SEVERITY_ORDER, Finding
from rigfeed.checks.facts import SUBJECTS, open_questions
from rigfeed.checks.fixes import fixes_for
from rigfeed.design.edit import COLLECTIONS, Add, Edit, Remove, Set
from rigfeed.design.model import Design
from rigfeed.drawing.scene import Scene
from rigfeed.frozen import frozen
from rigfeed.measure import Measure, apart
from rigfeed.parts.shelf import Shelf
from rigfeed.path import Path
from rigfeed.quantity import System
from rigfeed_gui.logic.commands import command
from rigfeed_gui.logic.surface import picture
from rigfeed_gui.logic.words import say

Order = Literal["severity", "subject", "state"]
SHAPES = {"error": "■", "warning": "▲", "advice": "●"}  # square, triangle, disc: as the marks in the drawings


@frozen
class Filter:
    """What to show: severities, those in a state, those of a subject and what is inside it, with a word in the text.
    Empty or None is no limit."""

    severities: Collection[str] = ()
    state: str | None = None
    subject: Path | None = None
    word: str = ""
    accepted: bool = True


@frozen
class Row:
    """A finding in the list. `number` is that of its mark in the drawing, None where it has none there; `mark` is the
    shape of its severity."""

    number: int | None
    mark: str
    severity: str
    subject: str
    state: str
    text: str
    finding: Finding


@frozen
class Fix:
    """An edit that mends a finding, and what it does in words."""

    words: str
    edits: tuple[Edit, ...]


@frozen
class Explanation:
    """A finding in full: what is wrong in one sentence, what to do, and on what that rests: the rest of the text, the
    value against its limit, who says so."""

    heading: str
    text: str
    rest: str
    figures: tuple[tuple[str, str], ...]
    authority: str
    remedy: str
    subjects: tuple[Path, ...]


@frozen
class Summary:
    """The counts for the status line: by severity, accepted, not checked, assumptions."""

    counts: tuple[tuple[str, int], ...]
    accepted: int
    not_checked: int
    assumptions: int
    words: str


def rows(
    assessment: Assessment, wanted: Filter, order: Order, system: System, scene: Scene | None = None
) -> tuple[Row, ...]:
    """The findings to show, with the numbers that they have in a picture."""
    numbers = picture(scene).numbers if scene else {}
    found = [_row(f, numbers.get((f.check, f.subject)), system) for f in assessment.findings if _is_wanted(f, wanted)]
    words = wanted.word.lower().split()
    shown = [row for row in found if all(word in _searched(row) for word in words)]
    return tuple(sorted(shown, key=lambda row: _place(row, order)))  # what it leaves open stays as it was


def _row(finding: Finding, number: int | None, system: System) -> Row:
    severity = finding.severity or "warning"
    return Row(
        number, SHAPES[severity], say(f"severity.{severity}"), str(finding.subject), finding.state or "",
        finding.text(system), finding,
    )


def _is_wanted(finding: Finding, wanted: Filter) -> bool:
    return (
        (not wanted.severities or finding.severity in wanted.severities)
        and (wanted.accepted or finding.accepted_by is None)
        and (wanted.state is None or finding.state in (None, wanted.state) or wanted.state in finding.also_states)
        and (wanted.subject is None or is_about(finding, wanted.subject))
    )


def _searched(row: Row) -> str:
    return f"{row.finding.check} {row.subject} {row.severity} {row.state} {row.text}".lower()


def _place(row: Row, order: Order) -> tuple[bool, str]:
    """Where a row stands: by subject or state; by severity they are in order already."""
    by = {"severity": "", "subject": row.subject, "state": row.state}
    return row.finding.accepted_by is not None, by[order]


def foremost(assessment: Assessment, selection: Path | None) -> Finding | None:
    """What to mend first: of the findings that nobody has accepted the first about a thing, else the first of all."""
    open_ = [finding for finding in assessment.findings if finding.accepted_by is None]
    about = [finding for finding in open_ if selection is not None and is_about(finding, selection)]
    return next(iter((*about, *open_)), None)


def again(findings: Sequence[Finding], finding: Finding | None) -> Finding | None:
    """The same finding of another assessment, by what it is about; None where it is gone."""
    at = _at(findings, finding)
    return None if at is None else findings[at]


def beside(findings: Sequence[Finding], finding: Finding | None, step: int) -> Finding:
    """The next (1) or the previous (-1) one of a list, around its end; from one that is not there the first or last."""
    at = _at(findings, finding)
    if at is None:
        at = -1 if step > 0 else 0
    return findings[(at + step) % len(findings)]


def _at(findings: Sequence[Finding], finding: Finding | None) -> int | None:
    if finding is None:
        return None
    return next((n for n, f in enumerate(findings) if (f.check, f.subject) == (finding.check, finding.subject)), None)


def is_about(finding: Finding, thing: Path) -> bool:
    """Whether a finding is about a thing or something inside of it."""
    return any(subject[: len(thing)] == thing for subject in (finding.subject, *finding.also))


def about(subject: Path) -> str:
    """A subject as people call it: ``W2``, ``W2 from``."""
    if subject[:1] == ("conductors",) and subject[2:] in (("ends", 0), ("ends", 1)):
        subject = Path(*subject[:2], "to" if subject[3] else "from")
    return " ".join(str(key) for key in (subject[1:] if len(subject) > 1 else subject))


def explanation(assessment: Assessment, finding: Finding, system: System) -> Explanation:
    """Everything about one finding."""
    severity = say(f"severity.{finding.severity or 'warning'}")
    text, rest = _first_sentence(finding.text(system))
    return Explanation(
        heading=say("finding.heading", mark=SHAPES[finding.severity or "warning"], severity=severity,
                    about=about(finding.subject)),
        text=text,
        rest=rest,
        figures=tuple(_figures(finding, system)),
        authority=say("finding.authority", authority=finding.authority, check=finding.check),
        remedy=finding.advice(system),
        subjects=tuple(dict.fromkeys((finding.subject, *finding.also))),
    )


def _first_sentence(text: str) -> tuple[str, str]:
    """A text after its first sentence: what to do comes before all that explains it."""
    first, *rest = re.split(r"(?<=[.!?]) (?=[A-Z])", text, maxsplit=1)
    return first, "".join(rest)


def _figures(finding: Finding, system: System) -> Iterator[tuple[str, str]]:
    if finding.value and finding.limit:
        value, limit = apart(finding.value, finding.limit, system)
        yield say("finding.value"), value
        yield say("finding.limit"), limit
    elif finding.value or finding.limit:
        measure = finding.value or finding.limit
        assert measure is not None
        yield say("finding.value" if finding.value else "finding.limit"), measure.text(system)
    if finding.state:
        yield say("finding.state"), finding.state
    if finding.also_states:
        yield say("finding.also"), ", ".join(finding.also_states)
    for name, number in finding.numbers.items():
        if isinstance(number, Measure):
            yield name.replace("_", " "), number.text(system)
    if finding.accepted_by:
        yield say("finding.accepted"), finding.accepted_by


def fixes(assessment: Assessment, finding: Finding, shelf: Shelf) -> tuple[Fix, ...]:
    """What mends a finding: what its check offers, else what can be told from the shelf."""
    offered = [finding.fixes] if finding.fixes else fixes_for(finding, assessment, shelf)
    return tuple(Fix(say("finding.fix", what=in_words(edits)), tuple(edits)) for edits in offered)


def in_words(edits: Collection[Edit]) -> str:
    """What some edits do, for a button and for undo."""
    return ", ".join(
        say("finding.unset", what=_called(edit.path)) if isinstance(edit, Remove)
        else say("finding.added", what=_called(edit.path)) if isinstance(edit, Add) and len(edit.path) <= 2
        else say("finding.set", what=_called(edit.path), value=edit.value) if isinstance(edit, Set | Add)
        else str(edit.path)
        for edit in edits
    )


def _called(path: Path) -> str:
    """A place in the design as people call it: ``part of F1``, ``W2``."""
    if len(path) < 3:
        return about(path)
    return say("finding.place", field=" ".join(str(key) for key in path[2:]).replace("_", " "), thing=path[1])


def together(paths: Collection[Path]) -> str:
    """Places in the design as people call them, those of a sort together.

    >>> together([Path("runs", "sill"), Path("runs", "bay"), Path("nodes", "F1", "at")])
    'runs sill, bay; place of F1'
    """
    sorts: dict[str, list[str]] = {}
    for path in paths:
        if len(path) == 2 and path[0] in COLLECTIONS:
            sort = say(f"section.{path[0]}").lower()
        else:
            field = " ".join(str(key) for key in path[2:]).replace("_", " ")
            sort = say("going.of", field=say("going.at") if field == "at" else field)
        sorts.setdefault(sort, []).append(str(path[min(1, len(path) - 1)]))
    return "; ".join(f"{sort} {', '.join(dict.fromkeys(names))}" for sort, names in sorts.items())


def is_empty(assessment: Assessment) -> bool:
    """Whether there was nothing in the design that a check could look at."""
    return not (assessment.installation.nodes or assessment.installation.conductors)


def nothing_found(assessment: Assessment) -> str:
    """Why there is no finding: nothing was found, or there was nothing to look at."""
    return say("findings.empty", key=command("add").shown_key) if is_empty(assessment) else say("findings.none")


def summary(assessment: Assessment) -> Summary:
    """How many of each, in numbers and in one sentence that calls nothing safe; an empty design has passed nothing."""
    counts = tuple((severity, assessment.count(severity)) for severity in SEVERITY_ORDER)
    accepted = sum(finding.accepted_by is not None for finding in assessment.findings)
    listed = [say(f"counted.{severity}{'' if count == 1 else 's'}", count=count) for severity, count in counts]
    listed += [say("summary.accepted", count=accepted)] if accepted else []
    lead = "summary.fix" if dict(counts)["error"] else "summary.none"
    rest = say(
        "summary.rest", made=len(assessment.made), all=len(assessment.checks), assumed=len(assessment.assumptions),
        open=len(assessment.not_checked),
    )
    words = say("summary.empty") if is_empty(assessment) else f"{say(lead, counts=', '.join(listed))} {rest}"
    return Summary(counts, accepted, len(assessment.not_checked), len(assessment.assumptions), words)


def accepting(design: Design, finding: Finding, reason: str, by: str, on: str | None) -> tuple[Edit, ...]:
    """The edit that accepts a finding, with the reason and a name; `on` is a date like 2026-05-31."""
    value = {"check": finding.check, "subject": str(finding.subject), "reason": reason, "by": by}
    value |= {"on": on} if on else {}
    return (Add(Path("deviations", len(design.deviations)), value),)


def reopening(design: Design, finding: Finding) -> tuple[Edit, ...]:
    """The edits that take the acceptance of a finding back."""
    key = (finding.check, str(finding.subject))
    positions = [n for n, d in enumerate(design.deviations) if (d.check, d.subject) == key]
    return tuple(Remove(Path("deviations", number)) for number in reversed(positions))


@frozen
class Note:
    """A line that is no finding, about a thing or a place in it; `whole` is what is read of it when it is chosen."""

    what: str
    why: str
    subject: Path
    whole: str


def suspected(check: str) -> str:
    """What a check looks for, in words: its name is that of what is wrong.

    >>> suspected("bend-too-tight")
    'bend too tight'
    """
    return check.replace("-", " ")


def open_lines(assessment: Assessment) -> tuple[Note, ...]:
    """What was not checked: what the design or a catalog lacks first, then what only an eye can answer, each at the
    first thing that nobody has looked at."""
    at: dict[tuple[str, str], Path] = {}
    for waiting in open_questions(assessment[SUBJECTS], assessment.asked):
        inside = () if waiting.fact.about == "end" else ("facts",)
        path = Path(*waiting.subject.path, *inside, waiting.fact.name)
        at.setdefault((waiting.check, waiting.fact.question), path)
    found = []
    for item in sorted(assessment.not_checked, key=lambda item: bool(item.questions)):
        asked = (path for (check, question), path in at.items() if check == item.check and question in item.why)
        whole = say("open.question", why=item.why) if item.questions else item.why
        subject = item.subject or next(asked, Path()) if item.questions else item.subject
        found.append(Note(suspected(item.check), item.why, subject, whole))
    return tuple(found)


def assumed_lines(assessment: Assessment, system: System) -> tuple[Note, ...]:
    """What was assumed: what, and the value with its authority."""
    found = ((a, f"{a.value.text(system)} ({a.authority})" if a.value else a.authority) for a in assessment.assumptions)
    return tuple(Note(a.what, why, a.subject, why) for a, why in found)
