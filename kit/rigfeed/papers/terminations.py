"""The termination list: what goes on every end, place by place."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rigfeed.checks.offers import number, stud_of, torque_n_m
from rigfeed.installation import Installation
from rigfeed.papers.pieces import Piece, pieces, sleeve_id, sleeve_notes
from rigfeed.papers.places import UNKNOWN, natural, place_notes, walk
from rigfeed.papers.table import Cell, Column, Table
from rigfeed.quantity import System

if TYPE_CHECKING:
    from rigfeed.assess import Assessment

COLUMNS = (
    Column("where", "where", width=10),
    Column("terminal", "terminal", width=12, bold=True),
    Column("on", "on", width=23),
    Column("id", "conductor", width=7),
    Column("core", "core", width=5),
    Column("label", "label", width=7),
    Column("fitting", "fitting", width=20),
    Column("strip", "strip", "mm", width=7, align="right"),
    Column("stud", "stud", "mm", width=6, align="right"),
    Column("torque", "torque", "N m", width=8, align="right"),
    Column("diameter", "cable", "mm", width=7, align="right"),
    Column("sleeve", "sleeve", width=9),
    Column("done", "done", width=6),
)
NOTES = (
    "Supplied leads are listed, because somebody connects them; what the vehicle came with is not.",
    "An empty torque is not on record: write in what the maker of the stud states. Write in the sleeve that was used "
    "where none is named; it goes on before the fitting, over the diameter of the cable.",
)


def termination_list(assessment: Assessment, system: System) -> Table:
    """A row for each end of each core, in the order in which one walks past them."""
    installation = assessment.installation
    order = {point: number_ for number_, point in enumerate(walk(installation))}

    def key(piece: Piece) -> tuple[object, ...]:
        at = installation.nodes[piece.node].at
        place = order[at] if at is not None else len(order)
        return place, natural(piece.node), natural(piece.terminals), natural(piece.conductor.id), piece.side, piece.core

    found = sorted(pieces(installation), key=key)
    rows = tuple(_row(piece, installation) for piece in found)
    unchosen = sum(piece.fitting is None for piece in found)
    notes = (f"Not chosen yet: {unchosen} of {len(rows)} fittings.",) if unchosen else ()
    places = place_notes(installation, (installation.nodes[piece.node].at for piece in found))
    sleeves = sleeve_notes(piece.sleeve for piece in found)
    return Table(
        "termination-list", "Termination list", COLUMNS, rows, (*places, *notes, *NOTES, *sleeves), group="where",
        use="what goes on each end, place by place; to tick off",
    )


def _row(piece: Piece, installation: Installation) -> tuple[Cell, ...]:
    node, fitting, conductor = installation.nodes[piece.node], piece.fitting, piece.conductor
    return (
        node.at or UNKNOWN, piece.terminals, node.title, conductor.id, piece.core, conductor.label,
        _fitting(piece), fitting.strip_mm if fitting else None, stud_of(node) or number(fitting, "stud_mm"),
        torque_n_m(node), conductor.cable.od_mm, sleeve_id(piece.sleeve) or None, None,
    )


def _fitting(piece: Piece) -> str:
    if piece.fitting is not None:
        return piece.fitting.title
    return "as supplied" if piece.conductor.origin == "supplied" else "not chosen"
