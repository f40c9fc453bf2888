"""Two designs on one paper: what changed, findings gained and lost, volts at each load, copper and cost."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from rigfeed.papers.table import Cell, Column, Table
from rigfeed.quantity import System, show

if TYPE_CHECKING:
    from rigfeed.checks.check import Finding
    from rigfeed.trials.compare import Comparison

COLUMNS = (
    Column("sort", "what", width=14, bold=True),
    Column("subject", "about", width=26, bold=True),
    Column("before", "first design", width=40),
    Column("after", "second design", width=40),
)
NEW, GONE, OTHER = "new finding", "finding gone", "finding changed"
NOTES = (
    "Volts are those of the worst state that both designs have. Copper is that of the cable to cut, feeders left out. "
    "Cost is of what has a price in a catalog.",
    "Fewer findings are not a safer vehicle: see what was not checked in each. Nothing here says that one is safe.",
)


def comparison_table(comparison: Comparison, system: System = "metric") -> Table:
    """A row for each thing that differs; none if nothing does."""
    figures = (*_volts(comparison, system), *_amounts(comparison, system))
    rows = (*_findings(comparison, system), *figures, *_text(comparison))
    one, two = (a.installation.title for a in (comparison.before, comparison.after))
    notes = (f"First design: {one}. Second design: {two}.", *NOTES)
    return Table(
        "comparison", "Comparison", COLUMNS, rows, notes, group="sort", use="what differs between two designs",
    )


def _findings(comparison: Comparison, system: System) -> Iterator[tuple[Cell, ...]]:
    for finding in comparison.gained:
        yield NEW, _about(finding), None, _said(finding, system)
    for finding in comparison.lost:
        yield GONE, _about(finding), _said(finding, system), None
    for before, after in comparison.changed:
        yield OTHER, _about(after), _said(before, system), _said(after, system)


def _about(finding: Finding) -> str:
    return f"{finding.check} at {finding.subject}"


def _said(finding: Finding, system: System) -> str:
    return f"{finding.severity}: {finding.text(system)}"


def _volts(comparison: Comparison, system: System) -> Iterator[tuple[Cell, ...]]:
    states = comparison.after.installation.states
    for volts in comparison.volts:
        before, after = (None if v is None else show(v, "V", system) for v in (volts.before_v, volts.after_v))
        if before != after:
            yield "volts", f"{volts.load}, {states[volts.state].title}", before or "not fed", after or "not fed"


def _amounts(comparison: Comparison, system: System) -> Iterator[tuple[Cell, ...]]:
    for amount in comparison.amounts:
        before, after = (_amount(value, amount.unit, system) for value in (amount.before, amount.after))
        if before != after:
            yield "amounts", amount.what, before, after


def _amount(value: float | None, unit: str, system: System) -> str | None:
    if value is None:
        return None
    if not unit:
        return f"{value:g}"
    return show(value, unit, system) if unit in ("m", "kg") else f"{value:.2f} {unit}"


def _text(comparison: Comparison) -> Iterator[tuple[Cell, ...]]:
    for difference in comparison.differences:
        yield "written", str(difference.path), difference.before, difference.after
