"""The reading of a row by the row schema alone: for every kind of part, whoever made it."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Collection
from functools import cache
from typing import Any

from marshmallow import ValidationError

from rigfeed.complaints import complaints
from rigfeed.errors import BadQuantity
from rigfeed.fields import Text, one_of
from rigfeed.intake.columns import parted
from rigfeed.intake.declare import Given, Note, Reading
from rigfeed.intake.numbers import NUMBER, figure, plain
from rigfeed.parts.part import Number, PartKind
from rigfeed.quantity import UNITS, convert, kind_of

_ONE = re.compile(rf"([-+\u2212\u2013]?)\s*({NUMBER})\s*(.*)")
_PRICE = re.compile(rf"([A-Za-z€$£]{{0,3}})\s*({NUMBER})\s*(?:[.,]?-+)?\s*([A-Za-z€$£]{{0,3}})")
_PER = re.compile(r"\s*(?:/|per\b|pro\b)\s*(?:\d+\s*)?\S+$|\s*\b(?:ex|exkl|excl|zzgl|plus|net|netto)\b.*$", re.I)
# how lists write units that the kit writes otherwise
PLAINER = {"²": "2", "ω": "ohm", "Ω": "ohm", "°": "deg", "µ": "u", "μ": "u"}
_PLAINER = re.compile("|".join(PLAINER))
MORE: dict[str, tuple[float, str]] = {
    "ka": (1000.0, "A"), "kv": (1000.0, "V"), "amp": (1.0, "A"), "amps": (1.0, "A"), "ampere": (1.0, "A"),
    "volt": (1.0, "V"), "volts": (1.0, "V"), "watt": (1.0, "W"), "watts": (1.0, "W"), "c": (1.0, "degC"),
    "sqmm": (1.0, "mm2"), "qmm": (1.0, "mm2"), "ohms": (1.0, "ohm"), "mohms": (1.0, "mohm"), "inch": (1.0, "in"),
    "kg/km": (1.0, "g/m"),
}
REMARKS = {"max", "min", "typ", "nom", "max.", "min.", "typ.", "nom.", "nominal", "dc", "approx", "approx.", "ca"}
_THREAD = re.compile(r"M\s*(\d{1,2}(?:[.,]\d)?)", re.I)  # a metric thread is named by its diameter: ISO 68-1
_PER_MANY = re.compile(r"(?:/|\bper|\bpro|\bje|\bfor|%)\s*(\d{2,5})(?!\d|\s*(?:m|ft|mm)\b)", re.I)
SIGNS = {"€": "EUR", "$": "USD", "£": "GBP"}
CODE = re.compile(r"[A-Z]{3}")
_PERCENT = re.compile("%|percent|prozent", re.I)
EMPTY = {"", "-", "--", "—", "–", "n/a", "na", "n.a.", "tba", "tbc", "?", "k.a.", "none", "nil", "./."}
YES_NO = {"yes": "yes", "ja": "yes", "oui": "yes", "si": "yes", "sí": "yes", "x": "yes", "true": "yes", "y": "yes"}
YES_NO |= {"no": "no", "nein": "no", "non": "no", "false": "no", "n": "no"}


def is_empty(text: str) -> bool:
    """Whether a cell says nothing."""
    return text.lower() in EMPTY


def chosen_words(kind: PartKind) -> dict[str, frozenset[str]]:
    """The words of the columns that have choices, in small letters: "none" can be one of them."""
    choices = {name: getattr(field, "choices", ()) for name, field in _fields(kind).items()}
    return {name: frozenset(word.lower() for word in words) for name, words in choices.items() if words}


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
        if name in ("price", "title", "source", "confidence") or name in but or not text:
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
    price, note = read_price(given, by_piece=kind.intake is None)
    return Reading(cells | ({"price": price} if price else {}), (*notes, *((note,) if note else ())))


def _number(text: str, column: str, given: Given) -> str:
    """A number in the unit of its column, whatever unit the cell or the header names."""
    match = _ONE.fullmatch(thread[1] if column == "stud_mm" and (thread := _THREAD.fullmatch(text)) else text)
    if not match:
        raise ValueError(f"{text!r} is not one number")
    number, header = figure(match[2], given.comma), given.header(column)
    if number.other is not None and not given.is_sure:
        raise ValueError(f"{text!r} could be {plain(number.value)} or {plain(number.other)}: write it plainly")
    value = -number.value if match[1] in ("-", "\u2212", "\u2013") else number.value
    _, unit = parted(column)
    written = match[3].strip(" *")
    if unit == "%" and not written and value <= 1 and not _PERCENT.search(header):
        raise ValueError(f"{text!r} could be a share or a percentage: write it with %")
    if not unit:
        if written == "%":
            return plain(value / 100)
        if written:
            raise ValueError(f"{text!r}: the column {column!r} has no unit, {written!r} is one")
        return _exact(value)
    factor, said = unit_in(written, unit) if written else header_unit(header, column, unit)
    if said == unit:
        return _exact(value) if factor == 1.0 else plain(value * factor)
    return plain(convert(value * factor, said, unit))


def _exact(value: float) -> str:
    """All digits of a number as it stands in a catalog."""
    return f"{value:.15g}" if "e" not in f"{value:.15g}" else plain(value)


def unit_in(text: str, unit: str) -> tuple[float, str]:
    """The unit that a text is, of the kind of another one, and a factor before it.

    >>> unit_in("MA", "A"), unit_in("kA", "A"), unit_in("Volts", "V")
    ((1.0, 'mA'), (1000.0, 'A'), (1.0, 'V'))

    Raises
    ------
    ValueError
        If it is none, or one of another kind.
    """
    folded = _PLAINER.sub(lambda match: PLAINER[match[0]], text.strip(" .*").lower())
    factor, name = MORE.get(folded, (1.0, ""))
    known = [name] if name else [text] if text in UNITS else [one for one in UNITS if one and one.lower() == folded]
    fitting = [one for one in known if kind_of(one) == kind_of(unit)]
    if len(fitting) != 1:
        raise ValueError(f"{text!r} is no unit for a number in {unit}")
    return factor, fitting[0]


def header_unit(header: str, column: str, unit: str) -> tuple[float, str]:
    """The unit that a header (and what the column is treated as) says; that of the column where it says none.

    What stands in brackets must be a unit or a usual remark: to read kiloamperes as amperes would be the worst.

    >>> header_unit("receive ma", "receive_a", "A"), header_unit("rated (ma at 25 c)", "rated_a", "A")
    ((1.0, 'mA'), (1.0, 'mA'))

    Raises
    ------
    ValueError
        If brackets hold something else.
    """
    if header == column:
        return 1.0, unit
    found: list[tuple[float, str]] = []
    for bracket in re.findall(r"[\[(]([^\])]*)[\])]", header):
        words = [word for word in re.split(r"[\s,;]+", bracket) if word]
        has_figures = any(char.isdigit() for char in bracket.replace("mm2", ""))
        units = [
            said for before, word in zip(("", *words), words, strict=False)
            if not before[-1:].isdigit() and (said := _unit_or_none(word, unit)) is not None  # "32 V" is no unit
        ]
        if not units and (has_figures or all(word in REMARKS for word in words)):
            continue
        if not units:
            raise ValueError(f"the header says {bracket!r}, which is no unit for a number in {unit}")
        found += units
    if not found:
        bare = re.sub(r"[\[(][^\])]*[\])]", " ", header)
        found = [said for word in bare.split() if (said := _unit_or_none(word, unit)) is not None]
    return found[-1] if found else (1.0, unit)


def _unit_or_none(word: str, unit: str) -> tuple[float, str] | None:
    try:
        return unit_in(word, unit)
    except ValueError:
        return None


def _choice(text: str, choices: tuple[str, ...]) -> str:
    folded = text.casefold().strip()
    for choice in choices:
        if choice.casefold() == folded:
            return choice
    return YES_NO.get(folded, text) if "yes" in choices else text


def read_price(given: Given, *, by_piece: bool = False) -> tuple[str, Note | None]:
    """Amount and currency of the price column; a price without a currency is none, and that is told. `by_piece`: what
    is said to be the price of a hundred becomes that of one."""
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
    many = _PER_MANY.search(f"{given.header('price')} {text}") if by_piece else None
    return f"{plain(round(number.value / (int(many[1]) if many else 1), 4))} {currency}", None


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
