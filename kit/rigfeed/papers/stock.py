"""What the workshop's stock gives: which piece each cut comes from and what is left of it, and what is left to buy."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from rigfeed.errors import InputError, UnknownName
from rigfeed.frozen import frozen
from rigfeed.installation import Installation
from rigfeed.papers.cutlist import whole_length_m
from rigfeed.papers.materials import Need, bill, needs, used_looms
from rigfeed.papers.places import by_id, natural
from rigfeed.papers.table import Cell, Column, Table
from rigfeed.quantity import System, show
from rigfeed.stock.cutting import Cut, Cutting, cutting
from rigfeed.stock.model import Stock, colour_of

if TYPE_CHECKING:
    from rigfeed.assess import Assessment

NO_STOCK_NOTE = (
    "There is no stock file. To have one, put stock.csv beside the design or in your data folder, with the columns "
    "part, length, pieces, label, colour, note: a row for each spool and offcut, and for each part that is counted."
)
Cuts = Mapping[str, Sequence[Cut]]  # what is cut of a part, by its key


@frozen
class Supply:
    """A need with what the stock gives of it: of lengths by a cutting, of all else so many pieces."""

    need: Need
    cutting: Cutting | None = None
    pieces: int = 0

    @property
    def given_m(self) -> float | None:
        """What is cut from the stock [m]; None for what is counted."""
        return None if self.cutting is None else math.fsum(
            cut.length_m for use in self.cutting.uses for cut in use.cuts
        )

    @property
    def to_buy(self) -> Need | None:
        """What is left to buy, None for nothing."""
        if self.cutting is not None:
            bought_m = math.fsum(cut.length_m for cut in self.cutting.bought)
            return replace(self.need, length_m=bought_m) if self.cutting.bought else None
        left = (self.need.pieces or 0) - self.pieces
        return replace(self.need, pieces=left) if left > 0 else None


def cuts_of(installation: Installation, system: System, vehicle: str = "") -> dict[str, list[Cut]]:
    """What is cut of each cable and conduit, under the whole key of its part; `vehicle` stands before the ids."""
    before = f"{vehicle}: " if vehicle else ""
    found: dict[str, list[Cut]] = {}
    for conductor in by_id(installation.conductors):
        if conductor.origin == "cut":
            length_m = whole_length_m(conductor.cut_length_m, system)
            cut = Cut(f"{before}{conductor.id}", length_m, colour_of(conductor.colour))
            found.setdefault(conductor.cable.key, []).append(cut)
    for run, loom in used_looms(installation):
        length = installation.design.runs[run].length
        if length is not None:
            found.setdefault(loom.key, []).append(Cut(f"{before}{run}", whole_length_m(length.si, system)))
    return found


def supplied(stock: Stock, wanted: Iterable[Need], cuts: Cuts) -> tuple[Supply, ...]:
    """What the stock gives of each need; of a part that is needed twice, as a device and inside one, in turn."""
    found = []
    given = Counter[str]()
    for need in wanted:
        if need.part is None:
            found.append(Supply(need))
        elif need.length_m is not None:
            key = need.part.key
            found.append(Supply(need, cutting(stock.lengths(key), cuts.get(key, ()))))
        else:
            key = need.part.key
            pieces = min(stock.pieces(key) - given[key], need.pieces or 0)
            given[key] += pieces
            found.append(Supply(need, pieces=pieces))
    return tuple(found)


def some_of(
    stock: Stock, supplies: Iterable[Supply], parts: Collection[str] = (), cuts: Collection[str] = ()
) -> tuple[Supply, ...]:
    """What of a plan is taken now: what is of these parts, and of these cuts alone where some are named; all where
    nothing is. The cuts come from the pieces that the plan gives them.

    Raises
    ------
    UnknownName
        If the plan has no such part, or no such cut of the parts that are named.
    InputError
        If no piece of the stock gives a cut.
    """
    of_parts = [(supply, (supply.need.part.key, supply.need.part.short_key)) for supply in supplies if supply.need.part]
    for part in parts:
        if not any(part in keys for _, keys in of_parts):
            raise UnknownName("part in the plan", part, {short for _, (_, short) in of_parts})
    chosen = [supply for supply, keys in of_parts if not parts or not set(parts).isdisjoint(keys)]
    known = {cut.id for supply in chosen if supply.cutting for cut in supply.cutting.cuts}
    for cut in cuts:
        if cut not in known:
            raise UnknownName("cut in the plan", cut, known)
    return tuple(_of_cuts(stock, supply, cuts) for supply in chosen if supply.cutting) if cuts else tuple(chosen)


def _of_cuts(stock: Stock, supply: Supply, ids: Collection[str]) -> Supply:
    assert supply.cutting is not None
    assert supply.need.part is not None
    made = supply.cutting.only(ids)
    if made.bought:  # cuts that were made on another day are still in the plan, and may take what is there
        made = cutting(stock.lengths(supply.need.part.key), made.cuts)
    for cut in made.bought:
        raise InputError(f"no piece of the stock gives {cut.id}", remedy="write what was bought into the stock file")
    return replace(supply, cutting=made)


def lefts(stock: Stock, supplies: Iterable[Supply]) -> tuple[dict[tuple[str, int], float], dict[tuple[str, int], int]]:
    """What is left of the rows that something is taken from, by file and line: lengths [m], and pieces."""
    lengths_m: dict[tuple[str, int], float] = {}
    wanted = Counter[str]()
    for supply in supplies:
        if supply.cutting is not None:
            lengths_m |= {use.length.at: use.left_m for use in supply.cutting.uses}
        elif supply.need.part is not None:
            wanted[supply.need.part.key] += supply.pieces
    there = {item.at: item.pieces or 0 for item in stock.items}
    rows = (row for key, count in wanted.items() for row in stock.taken(key, count).items())
    return lengths_m, {at: there[at] - taken for at, taken in rows}


# papers


def _supplies(assessment: Assessment, system: System) -> tuple[Supply, ...]:
    installation = assessment.installation
    return supplied(assessment.shelf.stock, needs(installation, system), cuts_of(installation, system))


def cutting_plan(assessment: Assessment, system: System) -> Table:
    """A row for each cut, with the piece of the stock that it comes from."""
    return plan_table(_supplies(assessment, system), system, has_stock=bool(assessment.shelf.stock))


def buying_list(assessment: Assessment, system: System) -> Table:
    """A row for each part of which the stock has not enough."""
    return buying_table(_supplies(assessment, system), system, has_stock=bool(assessment.shelf.stock))


def plan_table(supplies: Iterable[Supply], system: System, *, has_stock: bool) -> Table:
    """The cutting plan of whatever is needed."""
    columns = (
        Column("part", "cable or conduit", width=26),
        Column("piece", "cut it from", width=14, bold=True),
        Column("piece-length", "its length", "m", width=9, align="right", decimals=2),
        Column("id", "cut", width=14, bold=True),
        Column("colour", "colour", width=8),
        Column("cut", "cut length", "m", width=9, align="right", us="in", decimals=2, bold=True),
        Column("left", "left then", "m", width=9, align="right", decimals=2),
    )
    of_lengths = [supply for supply in supplies if supply.cutting is not None]
    rows = tuple(row for supply in of_lengths for row in _cut_rows(supply))
    notes = ["Measure each piece before the first cut. What is left goes back into stock.csv, with its length."]
    if not all(supply.cutting.is_best for supply in of_lengths if supply.cutting):
        notes.append("Of some there are too many cuts to try all ways: another one might take a little more of it.")
    if any(not use.length.colour for supply in of_lengths if supply.cutting for use in supply.cutting.uses):
        notes.append("A piece whose colour the stock file does not say is taken for any: look at it first.")
    return Table(
        "cutting-plan", "Cutting plan", columns, rows, tuple(notes) if has_stock else (NO_STOCK_NOTE,), group="part",
        use="which spool or offcut each cut comes from, and what is left of it",
    )


def _cut_rows(supply: Supply) -> Iterator[tuple[Cell, ...]]:
    assert supply.cutting is not None
    assert supply.need.part is not None
    title = supply.need.part.title
    for use in supply.cutting.uses:
        left_m = use.length.length_m
        for cut in use.cuts:
            left_m -= cut.length_m
            yield (
                title, use.length.label, use.length.length_m, cut.id, cut.colour or None, cut.length_m,
                max(0.0, left_m),
            )
    for cut in sorted(supply.cutting.bought, key=lambda cut: natural(cut.id)):
        yield title, "to buy", None, cut.id, cut.colour or None, cut.length_m, None


def buying_table(supplies: Sequence[Supply], system: System, *, has_stock: bool) -> Table:
    """The bill of what is left to buy; what the stock gives stands in the notes."""
    left = [supply.to_buy for supply in supplies]
    notes = [*_given(supplies, system), *_longest(supplies, system)] if has_stock else [NO_STOCK_NOTE]
    table = bill([need for need in left if need is not None], notes, system)
    return replace(
        table, name="buying-list", title="Buying list", use="what to buy: the bill of materials less what is in stock"
    )


def _given(supplies: Iterable[Supply], system: System) -> Iterator[str]:
    told = [
        f"{supply.need.part.title}: {_much(supply, system)}" for supply in supplies
        if supply.need.part is not None and (supply.given_m or supply.pieces)
    ]
    if told:
        yield f"From stock, and not in this list: {'; '.join(told)}."


def _much(supply: Supply, system: System) -> str:
    given_m = supply.given_m
    return f"{supply.pieces} pieces" if given_m is None else show(given_m, "m", system)


def _longest(supplies: Iterable[Supply], system: System) -> Iterator[str]:
    """What each length that is bought must hold, by colour."""
    for supply in supplies:
        if supply.cutting is None or not supply.cutting.bought or supply.need.part is None:
            continue
        colours: dict[str, list[float]] = {}
        for cut in supply.cutting.bought:
            colours.setdefault(cut.colour or "any colour", []).append(cut.length_m)
        told = [
            f"{colour} {show(math.fsum(lengths), 'm', system)}, the longest piece {show(max(lengths), 'm', system)}"
            for colour, lengths in sorted(colours.items())
        ]
        yield f"To buy of {supply.need.part.title}: {'; '.join(told)}."
