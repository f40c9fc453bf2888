"""An assessment as text for a terminal of 80 columns: what must be fixed first, then the rest."""

from __future__ import annotations

from collections.abc import Iterator

import click

from rigfeed.assess import Assessment
from rigfeed.cautions import CAUTIONS
from rigfeed.checks.check import SEVERITY_ORDER, Check, Finding
from rigfeed.cli.text import hanging
from rigfeed.errors import many
from rigfeed.measure import Measure
from rigfeed.quantity import System, show
from rigfeed.studies.operating import OPERATING

# A word and a shape for each severity; colour only repeats it, and only on a terminal.
SHAPES = {"error": "[!!]", "warning": "[ !]", "advice": "[ i]"}
COLOURS = {"error": "red", "warning": "yellow", "advice": "cyan"}


def report(assessment: Assessment, system: System) -> str:
    """The whole text."""
    return "\n".join(_lines(assessment, system)) + "\n"


def _lines(assessment: Assessment, system: System) -> Iterator[str]:
    yield click.style(assessment.installation.title, bold=True)
    yield f"practice: {assessment.practice.title}"
    yield ""
    yield from _summary(assessment)
    for finding in assessment.findings:
        yield ""
        yield from _finding(finding, system)
    yield from _volts(assessment, system)
    yield from _assumed(assessment, system)
    yield from _not_checked(assessment)
    yield from _section("Left out", assessment.troubles)
    yield from _section("Cautions", CAUTIONS, count=False)


def _summary(assessment: Assessment) -> Iterator[str]:
    counts = {severity: assessment.count(severity) for severity in SEVERITY_ORDER}
    accepted = sum(finding.accepted_by is not None for finding in assessment.findings)
    words = [many(counts["error"], "error"), many(counts["warning"], "warning"), f"{counts['advice']} advice"]
    text = ", ".join(words) + (f", {accepted} accepted" if accepted else "")
    lead = "To be fixed: " if counts["error"] else "No error among the checks made: "
    yield from hanging("", lead + text)
    questions = sum(item.questions for item in assessment.not_checked)
    other = sum(not item.questions for item in assessment.not_checked)
    made = [
        f"{len(assessment.made)} of {many(len(assessment.checks), 'check')} made in full",
        many(len(assessment.assumptions), "assumption"),
        f"{many(questions, 'question')} to be answered at the vehicle",
        f"{many(other, 'thing')} not checked",
    ]
    yield from hanging("", f"({', '.join(made)})")


def _not_checked(assessment: Assessment) -> Iterator[str]:
    """What is missing, in full; what only an eye can answer, as a number: the survey sheet has the questions."""
    missing = [item for item in assessment.not_checked if not item.questions]
    yield from _section(
        "Not checked", [f"{item.check}: {f'{item.subject}: ' if item.subject else ''}{item.why}" for item in missing]
    )
    waiting = sorted({item.check for item in assessment.not_checked if item.questions})
    if waiting:
        questions = sum(item.questions for item in assessment.not_checked)
        yield ""
        yield click.style(f"To be answered at the vehicle ({questions})", bold=True)
        yield from hanging("  ", "The paper survey-sheet lists the questions. These checks wait for them:")
        yield from hanging("  ", ", ".join(waiting))


def _finding(finding: Finding, system: System) -> Iterator[str]:
    severity = finding.severity or "warning"
    mark = click.style(f"{SHAPES[severity]} {severity.upper()}", fg=COLOURS[severity], bold=True)
    yield f"{mark} {finding.check}  {finding.subject}"
    yield from hanging("     ", finding.text(system))
    if finding.also_states:
        yield from hanging("     ", f"Also in: {', '.join(finding.also_states)}.")
    if finding.remedy:
        yield from hanging("     Do: ", finding.advice(system))
    yield from hanging("     By: ", finding.authority)
    if finding.accepted_by:
        yield from hanging("     Accepted by ", finding.accepted_by)


def _volts(assessment: Assessment, system: System) -> Iterator[str]:
    """The volts at each equipment in its worst state."""
    installation = assessment.installation
    if not installation.loads:
        return
    operating = assessment.get(OPERATING)
    if operating is None:
        return  # the study failed, which stands under what was not checked
    rows = []
    for node, part in installation.loads:
        volts = {state: operating.across(state, node.id) for state in operating.states}
        fed = {state: v for state, v in volts.items() if v is not None}
        if not fed:
            rows.append(f"{node.id}: {node.title}: nothing feeds it")
            continue
        worst = min(fed, key=lambda state: (fed[state], state))
        needs = f"needs {show(part.least_v or 0, 'V', system)}" if part.least_v else "no limit known"
        rows.append(
            f"{node.id}: {node.title}: {show(fed[worst], 'V', system)}, {needs} ({installation.states[worst].title})"
        )
    yield from _section("Volts at the equipment in the worst state", rows, count=False)


def _assumed(assessment: Assessment, system: System) -> Iterator[str]:
    yield from _section(
        "Assumed", (
            f"{a.subject}: {a.what}" + (f": {a.value.text(system)}" if a.value else "") for a in assessment.assumptions
        ),
    )


def _section(heading: str, items: object, *, count: bool = True) -> Iterator[str]:
    texts = list(items)  # type: ignore[call-overload]
    if texts:
        yield ""
        yield click.style(f"{heading} ({len(texts)})" if count else heading, bold=True)
        for text in texts:
            yield from hanging("  - ", text)


def explanation(assessment: Assessment, check: Check, system: System) -> str:
    """One check at length: what it said on each subject with every number, who says so, and what it could not see."""
    return "\n".join(_explained(assessment, check, system)) + "\n"


def _explained(assessment: Assessment, check: Check, system: System) -> Iterator[str]:
    yield click.style(f"{check.name} ({check.group}, {check.severity})", bold=True)
    yield from hanging("By: ", check.authority)
    for threshold in check.thresholds:
        found = assessment.practice.threshold(threshold)
        shown = "no value in this practice" if found is None else Measure(found[0], threshold.unit).text(system)
        authority = f" ({found[1].authority})" if found else ""
        yield from hanging(f"  {threshold.key} ", f"= {shown}: {threshold.meaning}{authority}")
    findings = [finding for finding in assessment.findings if finding.check == check.name]
    for finding in findings:
        yield ""
        yield from _finding(finding, system)
        numbers = {"value": finding.value, "limit": finding.limit, **finding.numbers}
        for name, measure in numbers.items():
            if isinstance(measure, Measure):
                yield from hanging(f"       {name:<10} ", f"{measure.text(system, 6)}")
        for path in finding.also:
            yield from hanging("     See also: ", str(path))
    waiting = [item for item in assessment.not_checked if item.check == check.name]
    yield from _section("Not checked", [f"{f'{i.subject}: ' if i.subject else ''}{i.why}" for i in waiting])
    if not findings and not waiting:
        yield "Nothing found."
