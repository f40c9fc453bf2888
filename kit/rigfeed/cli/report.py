"""An assessment as text for a terminal of 80 columns: what must be fixed first, then the rest."""

from __future__ import annotations

from collections.abc import Iterator

import click

from rigfeed.assess import Assessment
from rigfeed.cautions import CAUTIONS
from rigfeed.checks.check import SEVERITY_ORDER, Finding
from rigfeed.cli.text import hanging
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
    yield _summary(assessment)
    for finding in assessment.findings:
        yield ""
        yield from _finding(finding, system)
    yield from _volts(assessment, system)
    yield from _assumed(assessment, system)
    yield from _section(
        "Not checked", (f"{item.check}: {f'{item.subject}: ' if item.subject else ''}{item.why}" for item in
        assessment.not_checked),
    )  # fmt: skip
    yield from _section("Left out", assessment.troubles)
    yield from _section("Cautions", CAUTIONS, count=False)


def _summary(assessment: Assessment) -> str:
    counts = {severity: assessment.count(severity) for severity in SEVERITY_ORDER}
    accepted = sum(finding.accepted_by is not None for finding in assessment.findings)
    words = [_many(counts["error"], "error"), _many(counts["warning"], "warning"), f"{counts['advice']} advice"]
    text = ", ".join(words) + (f", {accepted} accepted" if accepted else "")
    lead = "To be fixed: " if counts["error"] else "No error among the checks made: "
    checks = f"{_many(len(assessment.checks), 'check')} made, {len(assessment.not_checked)} things not checked"
    return f"{lead}{text}\n({checks}, {_many(len(assessment.assumptions), 'assumption')})"


def _many(number: int, word: str) -> str:
    return f"{number} {word}{'' if number == 1 else 's'}"


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
    )  # fmt: skip


def _section(heading: str, items: object, *, count: bool = True) -> Iterator[str]:
    texts = list(items)  # type: ignore[call-overload]
    if texts:
        yield ""
        yield click.style(f"{heading} ({len(texts)})" if count else heading, bold=True)
        for text in texts:
            yield from hanging("  - ", text)
