"""The cut list: what to cut, how long, and what goes on each end."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rigfeed.installation import LaidConductor, LaidEnd
from rigfeed.papers.paper import Paper
from rigfeed.papers.table import Column, Table
from rigfeed.quantity import System, show

if TYPE_CHECKING:
    from rigfeed.assess import Assessment

COLUMNS = (
    Column("id", "id", width=8),
    Column("from", "from", width=14),
    Column("to", "to", width=14),
    Column("cable", "cable", width=24),
    Column("colour", "colour", width=8),
    Column("length", "net length", "m", width=9, align="right"),
    Column("slack", "slack", "m", width=9, align="right"),
    Column("cut", "cut length", "m", width=9, align="right"),
    Column("end-from", "fitting at from", width=20),
    Column("end-to", "fitting at to", width=20),
    Column("label", "label", width=10),
)


def cut_list(assessment: Assessment, system: System) -> Table:
    """A row for each conductor that is cut for this installation, by id; supplied and vehicle leads are not cut."""
    conductors = [c for c in assessment.installation.conductors.values() if c.origin == "cut"]
    rows = tuple(
        (
            conductor.id, _terminals(conductor, start=True), _terminals(conductor, start=False), conductor.cable.title,
            " ".join(conductor.colour), conductor.length_m, conductor.slack_m, conductor.cut_length_m,
            _fittings(conductor, start=True), _fittings(conductor, start=False), conductor.label,
        )
        for conductor in conductors
    )  # fmt: skip
    return Table("cut-list", "Cut list", COLUMNS, rows, notes=_totals(conductors, system))


def _ends(conductor: LaidConductor, *, start: bool) -> list[LaidEnd]:
    return [core.start if start else core.end for core in conductor.cores]


def _terminals(conductor: LaidConductor, *, start: bool) -> str:
    return " ".join(end.terminal for end in _ends(conductor, start=start))


def _fittings(conductor: LaidConductor, *, start: bool) -> str:
    fittings = [end.fitting.title if end.fitting else "not chosen" for end in _ends(conductor, start=start)]
    return ", ".join(dict.fromkeys(fittings))


def _totals(conductors: list[LaidConductor], system: System) -> tuple[str, ...]:
    lengths: dict[str, list[float]] = {}
    for conductor in conductors:
        lengths.setdefault(conductor.cable.title, []).append(conductor.cut_length_m)
    return tuple(
        f"{title}: {len(cuts)} {'piece' if len(cuts) == 1 else 'pieces'}, {show(sum(cuts), 'm', system)} in all"
        for title, cuts in sorted(lengths.items())
    )


CUT_LIST = Paper("cut-list", "Cut list", cut_list)
