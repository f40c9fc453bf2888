"""The papers of a batch: what to cut and to buy for all vehicles together, and what is found in which of them."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import replace

from rigfeed.assess import Assessment
from rigfeed.cautions import CAUTIONS
from rigfeed.checks.check import SEVERITY_ORDER
from rigfeed.papers.cutlist import COLUMNS, cut_list
from rigfeed.papers.front import Front
from rigfeed.papers.layout import Paper
from rigfeed.papers.materials import Need, bill, left_out, needs
from rigfeed.papers.places import natural, subject_title
from rigfeed.papers.stock import Supply, buying_table, cuts_of, plan_table, supplied
from rigfeed.papers.table import Cell, Column, Table
from rigfeed.papers.xlsx import workbook_bytes
from rigfeed.quantity import System
from rigfeed.stock.cutting import Cut
from rigfeed.stock.model import NO_STOCK, Stock
from rigfeed.trials.batch import Batch

VEHICLES = Column("vehicles", "vehicles", width=24)
# the order of a bill of materials
LIKE_NEED = {"cable": 0, "end fitting": 1, "sleeve": 2, "conduit": 3, "grommet": 4, "device": 5, "accessory": 6}
OF_A_PIECE = tuple(column for column in COLUMNS if column.key not in ("length", "slack"))


def batch_workbook(
    batch: Batch, title: str = "", *, system: System = "metric", paper: Paper = "A4"
) -> bytes:
    """All papers of a batch as one workbook; the same batch gives the same bytes."""
    title = title or f"Batch of {len(batch.assessments)} vehicles"
    practices = sorted({assessment.practice.title for assessment in batch.assessments.values()})
    job = f"{title} - practice: {', '.join(practices)}"
    facts = (("Vehicles", str(len(batch.assessments))), ("Practice", ", ".join(practices)))
    counts = ", ".join(f"{batch.count(severity)} {severity}" for severity in SEVERITY_ORDER)
    notes = (("Left out", "; ".join(batch.troubles)),) if batch.troubles else ()
    front = Front(title, facts, (("Findings", f"{counts}, in all vehicles together"), *notes))
    tables = batch_papers(batch, system)
    return workbook_bytes(tables, job=job, cautions=CAUTIONS, system=system, paper=paper, front=front)


def batch_papers(batch: Batch, system: System = "metric") -> tuple[Table, ...]:
    """Cut list and bill of materials of all vehicles, the vehicles, their findings, and what was not checked."""
    lists = (merged_cut_list(batch, system), merged_bill(batch, system))
    return (
        *lists, *stock_papers(batch, system), vehicle_list(batch), findings_list(batch, system), not_checked_list(batch)
    )


def stock_papers(batch: Batch, system: System = "metric") -> tuple[Table, ...]:
    """Cutting plan and buying list of all vehicles out of one stock; none where there is no stock."""
    stock, supplies = merged_supplies(batch, system)
    if not stock:
        return ()
    return plan_table(supplies, system, has_stock=True), buying_table(supplies, system, has_stock=True)


def merged_supplies(batch: Batch, system: System = "metric") -> tuple[Stock, tuple[Supply, ...]]:
    """The stock of the workshop and of the designs, each row once, and what it gives of the needs of all vehicles."""
    stock = NO_STOCK
    cuts: dict[str, list[Cut]] = {}
    for name, assessment in batch.assessments.items():
        stock = stock.also(assessment.shelf.stock)
        before = name if len(batch.assessments) > 1 else ""
        for key, found in cuts_of(assessment.installation, system, before).items():
            cuts.setdefault(key, []).extend(found)
    return stock, supplied(stock, _merged_needs(batch, system), cuts)


def merged_cut_list(batch: Batch, system: System = "metric") -> Table:
    """A row for each different piece, with how many of it: what differs in cable, length, ends or label is another."""
    spools: dict[str, dict[tuple[Cell, ...], list[str]]] = {}
    for name, assessment in batch.assessments.items():
        for cable, row in _cuts(assessment, system):
            spools.setdefault(cable, {}).setdefault(row, []).append(name)
    rows = tuple(
        (*row, len(names), among(names, batch.assessments))
        for _, spool in sorted(spools.items(), key=lambda item: natural(item[0]))
        for row, names in sorted(spool.items(), key=lambda item: (natural(str(item[0][0])), str(item[0])))
    )
    columns = (*OF_A_PIECE, Column("pieces", "pieces", width=7, align="right", bold=True), VEHICLES)
    notes = (
        "Each row is one piece; cut as many as the column says. The cut length is rounded up, never down. "
        "Measure on the vehicle before the first cut: no two of a model are alike.",
        f"{sum(len(names) for spool in spools.values() for names in spool.values())} pieces in all, "
        f"for {len(batch.assessments)} vehicles.",
    )
    return Table(
        "cut-list", "Cut list", columns, rows, notes, group="cable",
        use="what to cut for all vehicles, how many of each, and what goes on each end",
    )


def _cuts(assessment: Assessment, system: System) -> Iterable[tuple[str, tuple[Cell, ...]]]:
    """The key of the cable and the row of each piece: two cables may have one title."""
    table = cut_list(assessment, system)
    wanted = [number for number, column in enumerate(table.columns) if column in OF_A_PIECE]
    for row in table.rows:
        yield assessment.installation.conductors[str(row[0])].cable.key, tuple(row[number] for number in wanted)


def merged_bill(batch: Batch, system: System = "metric") -> Table:
    """The bill of materials of all vehicles together, each part once."""
    notes: dict[str, list[str]] = {}
    for name, assessment in batch.assessments.items():
        for note in left_out(assessment):
            notes.setdefault(note, []).append(name)
    every = batch.assessments
    said = [note if len(names) == len(every) else f"{among(names, every)}: {note}" for note, names in notes.items()]
    said.append("A note that names no vehicle is true of each; sums and totals are for all together.")
    whole = bill(_merged_needs(batch, system), said, system)
    return replace(whole, use=f"what to buy for all {len(every)} vehicles together")


def _merged_needs(batch: Batch, system: System) -> list[Need]:
    """What all vehicles need, each part once."""
    found: dict[tuple[str, str], Need] = {}
    for assessment in batch.assessments.values():
        for need in needs(assessment.installation, system):
            key = need.sort, need.key
            found[key] = _with(found[key], need) if key in found else need
    return sorted(found.values(), key=lambda need: (LIKE_NEED.get(need.sort, 9), natural(need.key)))


def _with(one: Need, other: Need) -> Need:
    """Two needs of one part as one."""
    if one.length_m is not None and other.length_m is not None:
        return replace(one, length_m=math.fsum((one.length_m, other.length_m)))
    return replace(one, pieces=(one.pieces or 0) + (other.pieces or 0))


def vehicle_list(batch: Batch) -> Table:
    """A row for each vehicle with its counts."""
    columns = (
        Column("vehicle", "vehicle", width=18, bold=True),
        Column("title", "design", width=34),
        *(Column(severity, severity, width=9, align="right") for severity in SEVERITY_ORDER),
        Column("not-checked", "not checked", width=9, align="right"),
        Column("assumptions", "assumptions", width=12, align="right"),
        Column("practice", "practice", width=20),
    )
    rows: tuple[tuple[Cell, ...], ...] = tuple(
        (
            name, assessment.installation.title, *(assessment.count(severity) for severity in SEVERITY_ORDER),
            len(assessment.not_checked), len(assessment.assumptions), assessment.practice.title,
        )
        for name, assessment in batch.assessments.items()
    )
    notes = ("Counted is what nobody has accepted. What was not checked is not known to be right.",)
    return Table("vehicles", "Vehicles", columns, rows, notes, use="how each vehicle stands")


def findings_list(batch: Batch, system: System = "metric") -> Table:
    """A row for each thing found, with the vehicles that have it: where they differ, the worst of them is described."""
    columns = (
        Column("severity", "severity", width=10, bold=True),
        Column("check", "check", width=16),
        Column("subject", "subject", width=12),
        Column("what", "what is wrong", width=34),
        Column("remedy", "what to do", width=26),
        Column("authority", "by authority of", width=15),
        Column("count", "how many", width=7, align="right"),
        replace(VEHICLES, width=18),
        Column("accepted", "accepted in", width=11),
    )
    rows: list[tuple[Cell, ...]] = []
    for line in batch.lines:
        worst, accepted = line.worst, [name for name in line.findings if name not in line.open]
        rows.append((
            worst.severity, line.check, subject_title(line.subject), worst.text(system), worst.advice(system),
            worst.authority, len(line.findings), among(list(line.findings), batch.assessments),
            among(accepted, batch.assessments) or None,
        ))
    notes = ("Where vehicles differ, the worst of them is described.",)
    return Table("findings", "Findings", columns, tuple(rows), notes, use="what is wrong, and in which vehicles")


def not_checked_list(batch: Batch) -> Table:
    """A row for each thing that no check could look at, with the vehicles of which that is true."""
    columns = (
        Column("check", "check", width=26), Column("subject", "subject", width=22), Column("why", "why", width=56),
        VEHICLES,
    )
    rows = tuple(
        (item.check, subject_title(item.subject) or None, item.why, among(names, batch.assessments))
        for item, names in batch.not_checked
    )
    return Table("not-checked", "Not checked", columns, rows, use="what no check could look at, and in which vehicles")


def among(names: Sequence[str], every: Iterable[str]) -> str:
    """Which of all vehicles, in as few words as it takes.

    >>> among(["a", "b", "c"], "abc"), among(["a", "b", "d"], "abcd"), among(["b"], "abcd"), among([], "ab")
    ('all 3', 'all but c', 'b', '')
    """
    known, named = list(every), set(names)
    others = [name for name in known if name not in named]
    if not others:
        return f"all {len(known)}" if len(known) > 1 else known[0]
    if len(others) * 3 <= len(known):
        return f"all but {', '.join(others)}"
    return ", ".join(names)
