"""Which column of a list means what: the row with the headers is found, each header is held against the known words."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from functools import lru_cache

from rigfeed.errors import InputError
from rigfeed.frozen import frozen
from rigfeed.intake.declare import Meaning
from rigfeed.intake.reading import Sheet
from rigfeed.parts.part import PartKind
from rigfeed.quantity import UNITS

# What lists of every kind of part have. The words are those of the trade in six languages.
COMMON = (
    Meaning("part", ("part",)),
    Meaning("code", (
        "code", "article", "article no", "art no", "art.-nr", "artikel", "artikelnummer", "artikelnr", "bestellnummer",
        "best.-nr", "item", "item no", "item code", "sku", "part no", "part number", "part code", "order code",
        "order no", "ref", "reference", "référence", "réf", "referencia", "codice", "cat no", "stock code", "number",
        "no", "nr", "numéro", "type no", "product code", "id",
    )),
    Meaning("title", (
        "title", "description", "desc", "name", "product", "bezeichnung", "beschreibung", "artikelbezeichnung",
        "désignation", "designation", "descripción", "descrizione", "omschrijving", "benennung", "text", "type", "typ",
        "product name", "produkt", "libellé", "item",
    )),
    Meaning("price", (
        "price", "preis", "prix", "precio", "prezzo", "prijs", "unit price", "list price", "price ex", "net price",
        "einzelpreis", "vk", "cost", "netto", "nettopreis", "rrp", "€", "eur", "usd", "gbp",
    )),
    Meaning("pack", (
        "pack", "reel", "spool", "packing", "pack size", "unit", "packaging", "gebinde", "ve", "rolle", "ring", "bund",
        "conditionnement", "touret", "bobine", "confezione", "length", "länge", "put-up", "supplied as", "sold as",
        "verpackung", "verpackungseinheit", "lieferform", "einheit", "coil",
    )),
    Meaning("source", ("source",)),
    Meaning("confidence", ("confidence",)),
)
UNIT_OF = {
    "a": "A", "ma": "mA", "v": "V", "mv": "mV", "mm": "mm", "mm2": "mm2", "m": "m", "c": "degC", "ah": "Ah", "w": "W",
    "kg": "kg", "g": "g", "ohm": "ohm", "mohm": "mohm", "mhz": "MHz", "s": "s", "ms": "ms", "h": "h", "km": "km",
    "percent": "%",
}
_PER = re.compile(r"(?:(.+)_)?([a-z]+)_per_([a-z]+)")
LOOKED_AT = 60  # rows at the start, among which the headers are looked for


@frozen
class Columns:
    """The headers as printed, the meaning of each ("" for none), and the number of the first row of parts."""

    headers: tuple[str, ...]
    meanings: tuple[str, ...]
    first: int


def meanings_of(kind: PartKind) -> tuple[Meaning, ...]:
    """All columns that a kind knows: those of every list, its own words, and the names of its catalog columns."""
    own = kind.intake().meanings if kind.intake else ()
    known = {meaning.name for meaning in (*own, *COMMON)}
    return (*own, *COMMON, *(Meaning(name, (name, *_words(name))) for name in columns_of(kind) if name not in known))


def columns_of(kind: PartKind) -> tuple[str, ...]:
    """The catalog columns of a kind, as its row schema names them."""
    return tuple(kind.row().keys_of()) if kind.row else ()


def parted(column: str) -> tuple[str, str]:
    """The name of a catalog column without its unit, and that unit; empty where it has none.

    >>> parted("rated_a"), parted("shield_ohm_per_km"), parted("g_per_m"), parted("strands")
    (('rated', 'A'), ('shield', 'ohm/km'), ('', 'g/m'), ('strands', ''))
    """
    if per := _PER.fullmatch(column):
        unit = "/".join(UNIT_OF.get(word, word) for word in per.group(2, 3))
        return (per[1] or "", unit) if unit in UNITS else (column, "")
    bare, _, last = column.rpartition("_")
    return (bare, UNIT_OF[last]) if bare and last in UNIT_OF else (column, "")


def _words(column: str) -> tuple[str, ...]:
    """What a header may say for a column, from its name: ``rated_a`` is "rated a" and "rated"."""
    bare, _ = parted(column)
    return tuple(dict.fromkeys(name.replace("_", " ") for name in (column, bare) if name))


def find_columns(sheet: Sheet, known: Sequence[Meaning], given: dict[str, str]) -> Columns:
    """The headers of a list and what they mean; `given` maps headers to meanings and goes before any guess.

    Raises
    ------
    InputError
        If no row looks like headers.
    """
    best, at = 0, 0
    found: tuple[str, ...] = ()
    for number, row in enumerate(sheet.rows[:LOOKED_AT]):
        meanings = _meanings(row, known, given)
        score = sum(1 for meaning in meanings if meaning)
        if score > best:
            best, found, at = score, meanings, number
    if best < 2:
        told = ", ".join(repr(cell) for cell in sheet.rows[0][:8]) if sheet.rows else "nothing"
        remedy = "write headers above the columns, or name them in a mapping"
        raise InputError(f"has no row of headers that say what the columns are; it begins with {told}", remedy=remedy)
    headers, first = sheet.rows[at], at + 1
    if first < len(sheet.rows) and _is_units(sheet.rows[first]):  # units in a row of their own below
        below = sheet.rows[first]
        headers = tuple(
            f"{header} {below[n]}".strip() if n < len(below) else header for n, header in enumerate(headers)
        )
        first += 1
    return Columns(headers, found, first)


def _meanings(row: Sequence[str], known: Sequence[Meaning], given: dict[str, str]) -> tuple[str, ...]:
    """The meaning of each cell of a row of headers; a meaning is given once, to the header that fits it best."""
    ranks: list[tuple[int, int, str]] = []
    for number, cell in enumerate(row):
        if cell in given:
            ranks.append((-1, number, given[cell]))
        elif cell:
            ranks += ((rank, number, meaning.name) for meaning in known if (rank := _rank(cell, meaning)) is not None)
    taken: dict[int, str] = {}
    for _, number, name in sorted(ranks):
        if number not in taken and (name == "" or name not in taken.values()):
            taken[number] = name
    return tuple(taken.get(number, "") for number in range(len(row)))


@lru_cache(maxsize=20_000)
def _rank(cell: str, meaning: Meaning) -> int | None:
    """How well a header fits: 0 the very name, then by words, whole before part; None for not at all."""
    text = plain_header(cell)
    if cell.strip().lower() == meaning.name:
        return 0
    bare = re.sub(r"[(\[].*?[)\]]|\bin (?:mm²?2?|a|m)\b|@.*", " ", text).strip(" .:*-/")
    bare = re.sub(r"\s+", " ", bare)
    if bare in meaning.words or text in meaning.words:
        return 1
    words = re.findall(r"[^\W\d_]+|[ø⌀Ω€#]", bare)
    for word in meaning.words:
        if len(word) > 2 and (word in words or (" " in word and f" {word} " in f" {bare} ")):
            return 2 if words and words[0] == word else 3
        if word in ("ø", "⌀", "Ω", "€") and word in text:
            return 3
    return None


def plain_header(cell: str) -> str:
    """A header in small letters with single blanks, underscores as blanks."""
    return re.sub(r"[\s_]+", " ", cell.lower()).strip(" .:*")


_UNITS = re.compile(
    r"[(\[]?\s*(?:mm²?2?|mm\^2|sqmm|in(?:ch)?|\"|a|amps?|v|°?c|degc|awg|ohm/k?m|ohm/1000 ?ft|m?[ωΩ]/k?m|mohm/m|eur|€|"
    r"(?:eur|usd|gbp|chf|€|\$|£)(?:\s*(?:/|per)\s*\d*\s*(?:m|ft|km))?|m|ft|kg/km|g/m|n\s*[x×]\s*(?:mm|ø|d)|no\.?|-|)"
    r"\s*[)\]]?",
    re.IGNORECASE,
)


def _is_units(row: Iterable[str]) -> bool:
    cells = list(row)
    return sum(1 for cell in cells if cell) >= 2 and all(_UNITS.fullmatch(cell) for cell in cells)
