"""The reading of a row by the row schema alone: for every kind of part, whoever made it."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Collection
from functools import cache
from typing import Any

from marshmallow import ValidationError

from rigfeed.errors import BadQuantity
from rigfeed.fields import Text, complaints, one_of
from rigfeed.intake.columns import UNIT_OF
from rigfeed.intake.declare import Given, Note, Reading
from rigfeed.intake.numbers import NUMBER, figure, plain
from rigfeed.parts.part import Number, PartKind
from rigfeed.quantity import convert

_ONE = re.compile(rf"([-+\u2212\u2013]?)\s*({NUMBER})\s*(.*)")
_PRICE = re.compile(rf"([A-Za-z€$£]{{0,3}})\s*({NUMBER})\s*(?:[.,]?-+)?\s*([A-Za-z€$£]{{0,3}})")
_PER = re.compile(r"\s*(?:/|per\b|pro\b)\s*(?:\d+\s*)?\S+$|\s*\b(?:ex|exkl|excl|zzgl|plus|net|netto)\b.*$", re.I)
SIGNS = {"€": "EUR", "$": "USD", "£": "GBP"}
CODE = re.compile(r"[A-Z]{3}")
EMPTY = {"", "-", "--", "—", "–", "n/a", "na", "n.a.", "tba", "tbc", "?", "k.a.", "none", "nil", "./."}
YES_NO = {"yes": "yes", "ja": "yes", "oui": "yes", "si": "yes", "sí": "yes", "x": "yes", "true": "yes", "y": "yes"}
YES_NO |= {"no": "no", "nein": "no", "non": "no", "false": "no", "n": "no"}


def is_empty(text: str) -> bool:
    """Whether a cell says nothing."""
    return text.lower() in EMPTY


@cache
def _fields(kind: PartKind) -> dict[str, Any]:
    assert kind.row is not None
    schema = one_of(kind.row)
    return {key: schema.fields[name] for key, name in schema.keys_of().items()}


def read_plain(kind: PartKind, given: Given, but: Collection[str] = ()) -> Reading:
    """The cells of all columns that bear the meaning of a catalog column, but for those that the kind itself reads."""
    cells: dict[str, str] = {}
    notes: list[Note] = []
    for name, field in _fields(kind).items():
        text = given.text(name)
        if name in ("price", "title", "source", "confidence") or name in but or is_empty(text):
            continue
        cells[name] = text
        if isinstance(field, Number):
            try:
                cells[name] = _number(text, name, given)
            except (ValueError, BadQuantity) as error:
                notes.append(Note("refused", name, str(error)))
        elif choices := getattr(field, "choices", None):
            cells[name] = _choice(text, choices)
        elif not isinstance(field, Text) and re.fullmatch(r"\d+,\d+", text):
            cells[name] = text.replace(",", ".")
    price, note = read_price(given)
    return Reading(cells | ({"price": price} if price else {}), (*notes, *((note,) if note else ())))


def _number(text: str, column: str, given: Given) -> str:
    """A number in the unit of its column, whatever unit the cell or the header names."""
    match = _ONE.fullmatch(text)
    if not match:
        raise ValueError(f"{text!r} is not one number")
    number, header = figure(match[2], given.comma), given.header(column)
    if number.other is not None and not given.is_sure:
        raise ValueError(f"{text!r} could be {plain(number.value)} or {plain(number.other)}: write it plainly")
    value = -number.value if match[1] in ("-", "\u2212", "\u2013") else number.value
    unit = UNIT_OF.get(column.rpartition("_")[2], "")
    written = match[3].strip(" *") or _header_unit(header, column)
    if not unit or not written or written == unit:
        if written and not unit:
            raise ValueError(f"{text!r}: the column {column!r} has no unit, {written!r} is one")
        return _exact(value)
    return plain(convert(value, written, unit))


def _exact(value: float) -> str:
    """All digits of a number as it stands in a catalog."""
    return f"{value:.15g}" if "e" not in f"{value:.15g}" else plain(value)


def _header_unit(header: str, column: str) -> str:
    match = re.search(r"[\[(]\s*([^\])]+?)\s*[\])]", header)
    return match[1] if match and header != column else ""


def _choice(text: str, choices: tuple[str, ...]) -> str:
    folded = text.casefold().strip()
    for choice in choices:
        if choice.casefold() == folded:
            return choice
    return YES_NO.get(folded, text) if "yes" in choices else text


def read_price(given: Given) -> tuple[str, Note | None]:
    """Amount and currency of the price column; a price without a currency is none, and that is told."""
    text = given.text("price")
    if is_empty(text):
        return "", None
    match = _PRICE.fullmatch(_PER.sub("", text).strip())
    if not match:
        return "", Note("left out", "price", f"{text!r} is no price")
    number = figure(match[2], given.comma)
    if number.other is not None and not given.is_sure:
        return "", Note("left out", "price", f"{text!r} could be {plain(number.value)} or {plain(number.other)}")
    currency = currency_in(match[1] or match[3]) or currency_in(given.header("price")) or given.currency
    if not currency:
        return "", Note("left out", "price", f"{text!r} has no currency: say which it is")
    return f"{plain(round(number.value, 4))} {currency}", None


def currency_in(text: str) -> str:
    """The ISO 4217 code of the currency that a text names, empty if none.

    >>> currency_in("Preis €/m"), currency_in("EUR"), currency_in("price")
    ('EUR', 'EUR', '')
    """
    for sign, code in SIGNS.items():
        if sign in text:
            return code
    known = ("EUR", "USD", "GBP", "CHF", "AUD", "NZD", "CAD", "SEK", "NOK", "DKK", "PLN", "CZK", "JPY", "ZAR")
    return next((word for word in re.findall(r"[A-Z]{3}", text.upper()) if word in known), "")


def id_of(text: str) -> str:
    """The id that a code or a name becomes: letters, digits, point, - and _.

    >>> id_of("AC 6/30 rot"), id_of("Ölflex 2,5")
    ('AC-6-30-rot', 'Olflex-2.5')
    """
    bare = unicodedata.normalize("NFKD", text.replace("ß", "ss").replace(",", ".")).encode("ascii", "ignore").decode()
    return re.sub(r"[^A-Za-z0-9._-]+", "-", bare).strip("-._")[:64].rstrip("-._")


def fault(kind: PartKind, cells: dict[str, str]) -> Note | None:
    """What the schema of the kind says against a row, the first of it."""
    assert kind.row is not None
    try:
        one_of(kind.row).load(cells)
    except ValidationError as error:
        path, complaint = next(complaints(error.messages))
        says = f"{complaint} ({complaint.remedy})" if getattr(complaint, "remedy", "") else str(complaint)
        return Note("refused", str(path) or "row", says)
    except Exception as error:
        return Note("refused", "row", f"the part kind failed: {type(error).__name__}: {error}")
    return None
