"""The cut list: what to cut, how long, and what goes on each end."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import TYPE_CHECKING

from rigfeed.installation import LaidConductor, LaidEnd
from rigfeed.papers.pieces import sleeve_id, sleeve_notes
from rigfeed.papers.places import by_id
from rigfeed.papers.table import Cell, Column, Table
from rigfeed.quantity import System, show

if TYPE_CHECKING:
    from rigfeed.assess import Assessment

COLUMNS = (
    Column("id", "id", width=6, bold=True),
    Column("cable", "cable", width=15),
    Column("colour", "colour", width=8),
    Column("from", "from", width=11),
    Column("to", "to", width=11),
    Column("length", "net length", "m", width=8, align="right", us="in", decimals=2),
    Column("slack", "slack", "m", width=7, align="right", us="in", decimals=2),
    Column("cut", "cut length", "m", width=8, align="right", us="in", decimals=2, bold=True),
    Column("end-from", "fitting at from", width=16),
    Column("strip-from", "strip", "mm", width=7, align="right"),
    Column("sleeve-from", "sleeve", width=8),
    Column("end-to", "fitting at to", width=16),
    Column("strip-to", "strip", "mm", width=7, align="right"),
    Column("sleeve-to", "sleeve", width=8),
    Column("label", "label", width=6),
)
STEP_M = {"metric": 0.010, "us": 0.5 * 0.0254}  # what a tape is read to, and what lengths are rounded up to
TINY_M = 1e-6  # what arithmetic leaves on a length that is whole


def whole_length_m(length_m: float, system: System = "metric") -> float:
    """A length rounded up to what a tape is read to: 10 mm, or half an inch; never down [m].

    >>> whole_length_m(3.3), round(whole_length_m(3.301), 3), whole_length_m(0.0)
    (3.3, 3.31, 0.0)
    """
    steps = math.ceil((length_m - TINY_M) / STEP_M[system])
    return max(steps, 0) / 100 if system == "metric" else max(steps, 0) * STEP_M[system]


def cut_list(assessment: Assessment, system: System) -> Table:
    """A row for each conductor that is cut for this installation, those of one cable together; supplied and vehicle
    leads are not cut."""
    conductors = _by_cable(c for c in by_id(assessment.installation.conductors) if c.origin == "cut")
    rows = tuple(
        (
            conductor.id, conductor.cable.title, " ".join(conductor.colour),
            _terminals(conductor, start=True), _terminals(conductor, start=False),
            conductor.length_m, conductor.slack_m, whole_length_m(conductor.cut_length_m, system),
            *_on_end(conductor, start=True), *_on_end(conductor, start=False), conductor.label,
        )
        for conductor in conductors
    )
    return Table(
        "cut-list", "Cut list", COLUMNS, rows, _notes(conductors, system), group="cable",
        use="what to cut, how long, and what goes on each end",
    )


def _by_cable(conductors: Iterable[LaidConductor]) -> list[LaidConductor]:
    """One spool after the other, in the order in which the ids ask for them."""
    spools: dict[str, list[LaidConductor]] = {}
    for conductor in conductors:
        spools.setdefault(conductor.cable.key, []).append(conductor)
    return [conductor for spool in spools.values() for conductor in spool]


def _ends(conductor: LaidConductor, *, start: bool) -> list[LaidEnd]:
    return [core.start if start else core.end for core in conductor.cores]


def _terminals(conductor: LaidConductor, *, start: bool) -> str:
    return ", ".join(end.terminal for end in _ends(conductor, start=start))


def _on_end(conductor: LaidConductor, *, start: bool) -> tuple[Cell, ...]:
    """What goes on one end: the fitting, what to strip for it, the sleeve."""
    sleeves = dict.fromkeys(sleeve_id(end.sleeve) for end in _ends(conductor, start=start))
    return (
        _fittings(conductor, start=start), _strip_mm(conductor, start=start), ", ".join(filter(None, sleeves)) or None,
    )


def _fittings(conductor: LaidConductor, *, start: bool) -> str:
    fittings = [end.fitting.title if end.fitting else "not chosen" for end in _ends(conductor, start=start)]
    return ", ".join(dict.fromkeys(fittings))


def _strips_mm(conductor: LaidConductor, *, start: bool) -> set[float | None]:
    return {end.fitting.strip_mm if end.fitting else None for end in _ends(conductor, start=start)}


def _strip_mm(conductor: LaidConductor, *, start: bool) -> float | None:
    """None too where the cores of one end differ."""
    strips = _strips_mm(conductor, start=start)
    return next(iter(strips)) if len(strips) == 1 else None


def _notes(conductors: list[LaidConductor], system: System) -> tuple[str, ...]:
    step = "a whole 10 mm" if system == "metric" else "the next half inch"
    notes = [
        f"Cut length is net length and slack, rounded up to {step}, never down. Measure on the vehicle before "
        "the first cut.",
    ]
    if any(len(_strips_mm(c, start=start)) > 1 for c in conductors for start in (True, False)):
        notes.append("Where a fitting has no strip length here, look in the termination list: cores may differ.")
    sleeves = sleeve_notes(end.sleeve for conductor in conductors for end in conductor.ends)
    return (*notes, *sleeves, *_totals(conductors, system))


def _totals(conductors: list[LaidConductor], system: System) -> tuple[str, ...]:
    lengths: dict[str, list[float]] = {}
    for conductor in conductors:
        lengths.setdefault(conductor.cable.title, []).append(whole_length_m(conductor.cut_length_m, system))
    return tuple(
        f"{title}: {len(cuts)} {'piece' if len(cuts) == 1 else 'pieces'}, {show(sum(cuts), 'm', system, _cm)} in all"
        for title, cuts in sorted(lengths.items())
    )


def _cm(value: float) -> str:
    """To the centimetre (hundredth of a foot), which three digits do not give beyond ten."""
    return f"{round(value, 2):.2f}".rstrip("0").rstrip(".")
