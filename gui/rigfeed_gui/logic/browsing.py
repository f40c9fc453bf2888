"""The shelf to look through: kinds, their parts, each with its source and how far to trust it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from rigfeed.errors import UnknownName
from rigfeed.fields import PART_KEY
from rigfeed.frozen import frozen
from rigfeed.parts.catalog import Row
from rigfeed.parts.shelf import Shelf

HIDDEN = ("title", "source", "confidence")  # shown before the figures


@frozen
class Kind:
    """A kind of parts."""

    name: str
    title: str
    count: int


@frozen
class PartRow:
    """A part in the list: its key as people write it, title, where its figures come from and how far to trust them."""

    key: str
    title: str
    catalog: str
    source: str
    confidence: str


@frozen
class Found:
    """The parts to show, and how many more there are."""

    rows: tuple[PartRow, ...]
    more: int


def kinds(shelf: Shelf) -> tuple[Kind, ...]:
    """The kinds of which there are parts, by title."""
    counts: dict[str, int] = {}
    for _, rows in shelf.catalogs():
        for kind in rows.kinds():
            counts[kind] = counts.get(kind, 0) + sum(1 for _ in rows.ids(kind))
    known = [Kind(name, shelf.kinds[name].title, count) for name, count in counts.items() if name in shelf.kinds]
    return tuple(sorted(known, key=lambda kind: (kind.title, kind.name)))


def search(shelf: Shelf, kind: str, words: str = "", most: int = 200) -> Found:
    """The parts of a kind that have all the words in key, title or source, those in stock first; how many more is
    counted to the end."""
    wanted = words.lower().split()
    shown: list[PartRow] = []
    more = 0
    for row in _rows(shelf, kind):
        cells = row.cells
        whole = f"{kind}:{row.id} {cells.get('title', '')} {cells.get('source', '')}".lower()
        if not all(word in whole for word in wanted):
            continue
        if len(shown) < most:
            shown.append(_part(kind, row))
        else:
            more += 1
    return Found(tuple(shown), more)


def _rows(shelf: Shelf, kind: str) -> Iterator[Row]:
    held = [PART_KEY.fullmatch(key) for key in dict.fromkeys(item.part for item in shelf.stock.items)]
    first = {(match["catalog"], match["row"]) for match in held if match and match["kind"] == kind}
    tables = [(file.name, rows) for file, rows in shelf.catalogs()]
    found = (rows.get(kind, id_) for name, rows in tables for id_ in rows.ids(kind) if (name, id_) in first)
    yield from (row for row in found if row is not None)
    for name, rows in tables:
        for id_ in rows.ids(kind):
            row = rows.get(kind, id_) if (name, id_) not in first else None
            if row is not None:
                yield row


def _part(kind: str, row: Row) -> PartRow:
    cells = row.cells
    key = f"{kind}:{row.catalog}/{row.id}"
    return PartRow(key, cells.get("title", ""), row.catalog, cells.get("source", ""), cells.get("confidence", ""))


# How the name of a column ends, the unit that this stands for, and what is measured, where the name does not say it.
UNITS: Mapping[str, tuple[str, str]] = {
    "by_c": ("", "by temperature"), "db_per_100m": ("dB/100 m", "loss"), "ohm_per_km": ("ohm/km", "resistance"),
    "mv_per_k": ("mV/K", ""), "g_per_m": ("g/m", "mass"), "percent": ("%", ""), "mohm": ("mohm", "resistance"),
    "ohm": ("ohm", "resistance"), "mhz": ("MHz", ""), "mm2": ("mm2", "area"), "dbi": ("dBi", ""), "mm": ("mm", ""),
    "ms": ("ms", "time"), "ma": ("mA", "current"), "mv": ("mV", "voltage"), "ah": ("Ah", ""), "db": ("dB", ""),
    "pf": ("pF", ""), "kg": ("kg", ""), "a": ("A", "current"), "v": ("V", "voltage"), "w": ("W", "power"),
    "c": ("degC", "temperature"), "m": ("m", ""),
}
SAID = ("area", "current", "drop", "fuse", "impedance", "loss", "power", "resistance", "temperature", "voltage")
LONG = {"od": "outside diameter", "cca": "cold cranking", "bms": "battery management"}


def in_words(column: str) -> str:
    """The name of a column as people read it, with its unit.

    >>> in_words("rated_a"), in_words("od_mm"), in_words("ohm_per_km"), in_words("family")
    ('rated current [A]', 'outside diameter [mm]', 'resistance [ohm/km]', 'family')
    """
    for ending, (unit, measured) in UNITS.items():
        stem = column.removesuffix(ending)
        if stem == column or (stem and not stem.endswith("_")):
            continue
        words = [LONG.get(word, word) for word in stem.split("_") if word]
        if measured and not (words and words[-1] in SAID):
            words.append(measured)
        return " ".join((*words, f"[{unit}]") if unit else words)
    return column.replace("_", " ")


def details(shelf: Shelf, key: str) -> tuple[tuple[str, str], ...]:
    """Everything that the catalog says of a part, by column, its title and its source first.

    Raises
    ------
    UnknownName
        If there is no such part.
    """
    match = PART_KEY.fullmatch(key)
    for file, rows in shelf.catalogs():
        if match is None or match["row"] is None or match["catalog"] not in (None, file.name):
            continue
        row = rows.get(match["kind"], match["row"])
        if row is not None:
            first = [(name, row.cells[name]) for name in HIDDEN if name in row.cells]
            figures = [(in_words(name), cell) for name, cell in row.cells.items() if name not in HIDDEN]
            return (("key", key), ("catalog", f"{file.where}, line {row.line}"), *first, *figures)
    raise UnknownName("part", key, ())
