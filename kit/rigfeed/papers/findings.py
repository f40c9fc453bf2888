"""What the checks say, on which assumptions, and what they could not look at: three papers."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rigfeed.checks.check import SEVERITY_ORDER, Finding
from rigfeed.papers.places import subject_title
from rigfeed.papers.table import Column, Table
from rigfeed.quantity import System

if TYPE_CHECKING:
    from rigfeed.assess import Assessment


def findings(assessment: Assessment, system: System) -> Table:
    """A row for each finding: errors first, then warnings, then advice; what somebody accepted stays in the list."""
    columns = (
        Column("severity", "severity", width=10, bold=True),
        Column("check", "check", width=16),
        Column("subject", "subject", width=12),
        Column("state", "worst state", width=14),
        Column("what", "what is wrong", width=34),
        Column("remedy", "what to do", width=26),
        Column("authority", "by authority of", width=15),
        Column("accepted", "accepted by", width=11),
    )
    ranked = sorted(assessment.findings, key=lambda finding: SEVERITY_ORDER[finding.severity or ""])  # keeps the rest
    rows = tuple(
        (
            f.severity, f.check, subject_title(f.subject), _states(f), f.text(system), f.advice(system), f.authority,
            f.accepted_by,
        )
        for f in ranked
    )
    counts = ", ".join(f"{assessment.count(severity)} {severity}" for severity in SEVERITY_ORDER)
    notes = (
        f"Not accepted: {counts}.",
        f"Practice: {assessment.practice.title}. Checks made in full: {', '.join(assessment.made)}.",
    )
    return Table("findings", "Findings", columns, rows, notes, use="what is not as the practice wants it; what to do")


def _states(finding: Finding) -> str | None:
    more = len(finding.also_states)
    return f"{finding.state}; and {more} more" if finding.state and more else finding.state


def assumptions(assessment: Assessment, system: System) -> Table:
    """A row for each default that stands in for a fact."""
    columns = (
        Column("subject", "subject", width=24),
        Column("what", "assumed", width=42),
        Column("value", "value", width=12),
        Column("authority", "by authority of", width=40),
    )
    rows = tuple(
        (subject_title(a.subject), a.what, a.value.text(system) if a.value else None, a.authority)
        for a in assessment.assumptions
    )
    return Table(
        "assumptions", "Assumptions", columns, rows, notes=("Replace each by a fact or a measurement.",),
        use="what stands in for facts that nobody gave",
    )


def not_checked(assessment: Assessment, system: System) -> Table:
    """A row for each thing that a check could not look at."""
    columns = (
        Column("check", "check", width=26),
        Column("subject", "subject", width=22),
        Column("why", "why", width=70),
    )
    rows = tuple((item.check, subject_title(item.subject) or None, item.why) for item in assessment.not_checked)
    return Table("not-checked", "Not checked", columns, rows, use="what no check could look at, and what it lacks")
