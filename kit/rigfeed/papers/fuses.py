"""The fuse schedule: the paper that stays in the vehicle."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rigfeed.errors import RigfeedError
from rigfeed.installation import Installation, PlacedNode
from rigfeed.papers.downstream import downstream
from rigfeed.papers.places import natural, where
from rigfeed.papers.table import Cell, Column, Table
from rigfeed.parts.interfaces import ProtectiveDevice
from rigfeed.parts.part import Part
from rigfeed.quantity import System
from rigfeed.studies.operating import OPERATING, Operating

if TYPE_CHECKING:
    from rigfeed.assess import Assessment

COLUMNS = (
    Column("id", "id", width=6, bold=True),
    Column("rating", "rating", "A", width=8, align="right", bold=True),
    Column("sort", "sort", width=17),
    Column("colour", "colour", width=8),
    Column("where", "where it sits", width=16),
    Column("holder", "holder", width=12),
    Column("protects", "protects", width=20),
    Column("conductors", "conductors", width=11),
    Column("current", "load current", "A", width=8, align="right"),
    Column("state", "in state", width=15),
    Column("breaking", "breaking capacity", "A", width=10, align="right"),
)
NOTES = (
    "Replace a fuse by one of the same rating and sort, never by a larger one; find out first why it opened.",
    "Load current is the greatest of all states. Where no breaking capacity stands, it is not known.",
    "Keep this paper in the vehicle, with one spare of each.",
)


def fuse_schedule(assessment: Assessment, system: System) -> Table:
    """A row for each fuse and breaker, by id."""
    operating = assessment.get(OPERATING)
    found = sorted(assessment.installation.protections, key=lambda pair: natural(pair[0].id))
    rows = tuple(_row(node, part, assessment.installation, operating) for node, part in found)
    notes = NOTES if operating else (*NOTES, "The currents could not be computed: see what was not checked.")
    return Table("fuse-schedule", "Fuse schedule", COLUMNS, rows, notes, use="every fuse; stays in the vehicle")


def _row(
    node: PlacedNode, part: ProtectiveDevice, installation: Installation, operating: Operating | None
) -> tuple[Cell, ...]:
    beyond = downstream(installation, node)
    current_a, state = greatest_a(node.id, operating)
    holder = getattr(node.settings, "holder", None)
    protects = [f"{consumer.id} ({consumer.title})" for consumer in beyond.consumers]
    if beyond.between:
        protects.append(f"the link between {' and '.join(source.id for source in beyond.between)}")
    return (
        node.id, part.rated_a, part.title, getattr(part, "colour", None), where(installation, node),
        holder.title if isinstance(holder, Part) else None, ", ".join(protects) or "nothing that takes current",
        ", ".join(beyond.conductors), current_a, state, part.breaking_a,
    )


def greatest_a(element: str, operating: Operating | None) -> tuple[float | None, str | None]:
    """The greatest current of an element over all states, without its sign [A], and the title of its state."""
    found: list[tuple[float, str]] = []
    for state in operating.states if operating else ():
        try:
            assert operating is not None
            found.append((abs(operating.current(state, element)), operating.installation.states[state].title))
        except RigfeedError:
            continue  # nothing conducts there in this state
    if not found:
        return None, None
    return max(found, key=lambda pair: pair[0])
