"""End fittings as things: which pieces go on the ends of the conductors that somebody works on."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Literal

from rigfeed.frozen import frozen
from rigfeed.installation import Installation, LaidConductor, LaidEnd, PlacedNode
from rigfeed.papers.places import by_id, natural
from rigfeed.parts.interfaces import Accessory, EndFitting, FeederType

Side = Literal["from", "to"]


@frozen
class Piece:
    """What ends a conductor at one side: one core with its fitting, or all cores of a feeder with their one connector.

    `core` is the name of the core, empty where the conductor has one only.
    """

    conductor: LaidConductor
    core: str
    side: Side
    ends: tuple[LaidEnd, ...]

    @property
    def node(self) -> str:
        """The id of the node that it ends on."""
        return self.ends[0].node

    @property
    def terminals(self) -> str:
        """Where it ends, as written."""
        return ", ".join(end.terminal for end in self.ends)

    @property
    def fitting(self) -> EndFitting | None:
        """What is put on, None while nothing is chosen."""
        return self.ends[0].fitting

    @property
    def sleeve(self) -> Accessory | None:
        """What is shrunk over it, None while none is chosen."""
        return self.ends[0].sleeve


def sleeve_id(sleeve: Accessory | None) -> str:
    """A sleeve as narrow columns name it: by its row, whose title stands in a note."""
    return sleeve.short_key.partition(":")[2] if sleeve else ""


def sleeve_notes(sleeves: Iterable[Accessory | None]) -> tuple[str, ...]:
    """What the names of sleeves stand for, as a note."""
    titles = {sleeve_id(sleeve): sleeve.title for sleeve in sleeves if sleeve}
    said = "; ".join(f"{name} is {titles[name]}" for name in sorted(titles, key=natural))
    return (f"Sleeves, to be slid on before the fitting: {said}.",) if said else ()


def pieces(installation: Installation) -> Iterator[Piece]:
    """Every end that somebody works on, by conductor; those of the vehicle's own conductors stay as they are."""
    for conductor in by_id(installation.conductors):
        if conductor.origin != "vehicle":
            yield from _pieces(conductor)


def _pieces(conductor: LaidConductor) -> Iterator[Piece]:
    starts, ends = (tuple(core.start for core in conductor.cores), tuple(core.end for core in conductor.cores))
    sides: tuple[tuple[Side, tuple[LaidEnd, ...]], ...] = (("from", starts), ("to", ends))
    for side, laid in sides:
        if _is_one(conductor, laid):
            yield Piece(conductor, "all" if len(laid) > 1 else "", side, laid)
        else:
            for core, end in zip(conductor.cores, laid, strict=True):
                yield Piece(conductor, core.core.name, side, (end,))


def _is_one(conductor: LaidConductor, laid: tuple[LaidEnd, ...]) -> bool:
    """A connector takes inner and shield of a feeder together; all else is one piece for each core."""
    on_it = [(end.node, *(part.key if part else "" for part in (end.fitting, end.sleeve))) for end in laid]
    same = len(set(on_it)) == 1
    return len(laid) == 1 or (isinstance(conductor.cable, FeederType) and same)


def untouched(installation: Installation, node: PlacedNode) -> bool:
    """Whether only conductors of the vehicle end on a node, so that nobody works there."""
    on_it = [c for c in installation.conductors.values() if any(end.node == node.id for end in c.ends)]
    return bool(on_it) and all(conductor.origin == "vehicle" for conductor in on_it)
