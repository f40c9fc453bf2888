"""The label list: what to print, how often, and where each label goes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rigfeed.installation import Installation, PlacedNode
from rigfeed.papers.pieces import untouched
from rigfeed.papers.places import UNKNOWN, by_id, natural, place_notes
from rigfeed.papers.table import Cell, Column, Table
from rigfeed.quantity import System

if TYPE_CHECKING:
    from rigfeed.assess import Assessment

COLUMNS = (
    Column("label", "label", width=14, bold=True),
    Column("count", "how many", width=7, align="right"),
    Column("sort", "on", width=12),
    Column("what", "what it is", width=32),
    Column("ends", "where", width=38),
    Column("diameter", "goes round", "mm", width=9, align="right"),
    Column("done", "done", width=6),
)


def label_list(assessment: Assessment, system: System) -> Table:
    """A row for each conductor (a label at both its ends) and each device that somebody works on; then the total."""
    installation = assessment.installation
    rows = (*_of_conductors(installation), *_of_devices(installation))
    total = sum(count for _, count, *_ in rows if isinstance(count, int))
    notes = [f"{total} labels in all: {2 * sum(row[2] == 'conductor' for row in rows)} on conductors, one at each end."]
    texts = [str(row[0]) for row in rows]
    if twice := sorted({text for text in texts if texts.count(text) > 1}, key=natural):
        notes.append(f"The same text stands on more than one thing: {', '.join(twice)}.")
    notes += place_notes(installation, (node.at for node in _devices(installation)))
    notes.append("What the vehicle came with, and nobody works on, bears no label.")
    return Table(
        "label-list", "Label list", COLUMNS, rows, tuple(notes), group="sort",
        use="the labels to print, and where to put them",
    )


def _of_conductors(installation: Installation) -> tuple[tuple[Cell, ...], ...]:
    return tuple(
        (
            conductor.label, 2, "conductor", conductor.cable.title,
            f"{', '.join(core.start.terminal for core in conductor.cores)} and "
            f"{', '.join(core.end.terminal for core in conductor.cores)}",
            conductor.cable.od_mm, None,
        )
        for conductor in by_id(installation.conductors)
        if conductor.origin != "vehicle"
    )


def _of_devices(installation: Installation) -> tuple[tuple[Cell, ...], ...]:
    return tuple(
        (node.id, 1, "device", node.title, node.at or UNKNOWN, None, None) for node in _devices(installation)
    )


def _devices(installation: Installation) -> list[PlacedNode]:
    nodes = sorted(installation.nodes.values(), key=lambda node: natural(node.id))
    return [node for node in nodes if not untouched(installation, node)]
