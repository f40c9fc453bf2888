"""The fault table: for every cable what protects it, from which side, how fast, and what is left without protection."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING

from rigfeed.installation import Installation, LaidConductor, LaidCore
from rigfeed.papers.places import natural
from rigfeed.papers.table import Cell, Column, Table
from rigfeed.parts.interfaces import FeederType
from rigfeed.quantity import System, show
from rigfeed.studies.faults import FAULTS, Faults, Side, Stress
from rigfeed.studies.faults.result import TRACE_A

if TYPE_CHECKING:
    from rigfeed.assess import Assessment

COLUMNS = (
    Column("id", "id", width=6, bold=True),
    Column("from", "fed from", width=13),
    Column("by", "cleared by", width=10, bold=True),
    Column("time", "at the latest after", "s", width=9, align="right"),
    Column("least", "least current", "A", width=8, align="right"),
    Column("most", "most current", "A", width=8, align="right"),
    Column("place", "worst short for the cable", width=22),
    Column("through", "let through", "A2s", width=10, align="right"),
    Column("bears", "bears", "A2s", width=10, align="right"),
    Column("left", "what is left", width=34),
)
NOTES = (
    "Each row is what comes from one end to a dead short on the cable, at an end or half way, to its return or to the "
    "body. A return has no such row: its row is the worst short anywhere for it.",
    "Times are the longest that the standard of the fuse allows, at the lowest current (warm, aged, engine off) and at "
    "the highest (cold, new, engine on). A management unit of a battery counts as failed closed, and as open.",
    "What equipment draws is left out, and what a motor that runs on gives back for a moment: beside a dead short "
    "neither counts. Relays stay as they stood before it.",
    "Up to 5 s the square of the current times its time is compared with what the insulation bears from its running "
    "temperature; beyond that, what the cable gives off counts. Nothing here says that a design is safe.",
)
FAILED = "The currents could not be computed: see what was not checked."
NOTHING = "nothing"


def fault_table(assessment: Assessment, system: System) -> Table:
    """A row for each side of each core from which it can be fed, by id."""
    faults = assessment.get(FAULTS)
    rows = tuple(_rows(assessment.installation, faults, system)) if faults is not None else ()
    notes = NOTES if faults is not None else (*NOTES, FAILED)
    return Table(
        "fault-table", "Fault table", COLUMNS, rows, notes, group="id",
        use="what a dead short on each cable does, and what ends it",
    )


def _rows(installation: Installation, faults: Faults, system: System) -> Iterator[tuple[Cell, ...]]:
    known = set(faults.cases[0].core_ids)
    wires = [
        (conductor, core)
        for conductor in installation.conductors.values()
        if conductor.origin != "vehicle" and not isinstance(conductor.cable, FeederType)
        for core in conductor.cores
    ]
    for conductor, core in sorted(wires, key=lambda wire: natural(wire[1].id)):
        stress = faults.stress(core.id) if core.id in known else None
        if stress is None:
            yield (core.id, NOTHING, *(None,) * (len(COLUMNS) - 3), "no short drives anything through it")
        else:
            yield from _of_core(conductor, core, faults.sides(core.id), stress, system)


def _of_core(
    conductor: LaidConductor, core: LaidCore, sides: tuple[Side, ...], stress: Stress, system: System
) -> Iterator[tuple[Cell, ...]]:
    timeline, short = stress.timeline, stress.timeline.short
    through = stress.let_through_a2s if stress.lasting_a <= TRACE_A else None  # endless, if it goes on
    where = short.where if short.core is not None else short.at
    heat = (f"{where} to {short.to}", through, stress.withstand_a2s)
    if not sides:
        never = math.isinf(timeline.cleared_s)
        left = _left(timeline.fed_by, stress, system) if never else NOTHING
        by, after_s = ", ".join(timeline.opened) or NOTHING, None if never else timeline.cleared_s
        yield core.id, "as a return", by, after_s, None, abs(stress.first_a), *heat, left
        return
    for number, side in enumerate(sides):
        end = core.start if side.end == "from" else core.end
        never = math.isinf(side.slowest_s)
        by = ", ".join(side.devices) or NOTHING
        left = _left_of(side, stress, system) if never else NOTHING
        cells = heat if number == 0 else (None, None, None)
        yield core.id, end.terminal, by, None if never else side.slowest_s, side.least_a, side.most_a, *cells, left


def _left_of(side: Side, stress: Stress, system: System) -> str:
    """What is left of a side that is not stopped in every case."""
    if stress.ampacity_a is not None and side.most_a <= stress.ampacity_a:
        return f"no more than {show(side.most_a, 'A', system)}, which the cable carries for hours"
    left = _left(tuple((source, 0.0) for source in side.fed_by), stress, system)
    return left if side.devices or math.isinf(stress.limit_s) else f"{left}; nothing but its length protects it"


def _left(fed: tuple[tuple[str, float], ...], stress: Stress, system: System) -> str:
    """What goes on, and whether the cable stands it."""
    still = f"still fed by {' and '.join(source for source, _ in fed)}"
    if math.isfinite(stress.limit_s):
        return f"{still}, past its limit after {show(stress.limit_s, 's', system)}"
    if stress.too_much_a > TRACE_A:
        return f"{still}, {show(stress.lasting_a, 'A', system)}: more than the cable carries for hours"
    return f"{still}, within what the cable carries for hours"
