"""What the checks say, on which assumptions, and what they could not look at: three papers."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rigfeed.papers.paper import Paper
from rigfeed.papers.table import Column, Table
from rigfeed.quantity import System

if TYPE_CHECKING:
    from rigfeed.assess import Assessment


def findings(assessment: Assessment, system: System) -> Table:
    """A row for each finding, in their order."""
    columns = (
        Column("severity", "severity", width=10),
        Column("check", "check", width=24),
        Column("subject", "subject", width=18),
        Column("state", "worst state", width=18),
        Column("what", "what is wrong", width=52),
        Column("remedy", "what to do", width=44),
        Column("authority", "authority", width=24),
        Column("accepted", "accepted by", width=16),
    )
    rows = tuple(
        (
            f.severity, f.check, str(f.subject), f.state, f.text(system), f.advice(system), f.authority, f.accepted_by,
        )
        for f in assessment.findings
    )  # fmt: skip
    note = f"Practice: {assessment.practice.title}. Checks made: {', '.join(assessment.checks)}."
    return Table("findings", "Findings", columns, rows, notes=(note,))


def assumptions(assessment: Assessment, system: System) -> Table:
    """A row for each default that stands in for a fact."""
    columns = (
        Column("subject", "subject", width=26),
        Column("what", "assumed", width=52),
        Column("value", "value", width=12),
        Column("authority", "authority", width=52),
    )
    rows = tuple(
        (str(a.subject), a.what, a.value.text(system) if a.value else None, a.authority) for a in assessment.assumptions
    )
    return Table("assumptions", "Assumptions", columns, rows, notes=("Replace each by a fact or a measurement.",))


def not_checked(assessment: Assessment, system: System) -> Table:
    """A row for each thing that a check could not look at."""
    columns = (
        Column("check", "check", width=26),
        Column("subject", "subject", width=26),
        Column("why", "why", width=70),
    )
    rows = tuple((item.check, str(item.subject), item.why) for item in assessment.not_checked)
    return Table("not-checked", "Not checked", columns, rows)


FINDINGS = Paper("findings", "Findings", findings)
ASSUMPTIONS = Paper("assumptions", "Assumptions", assumptions)
NOT_CHECKED = Paper("not-checked", "Not checked", not_checked)
