"""The stock file: a CSV file that a person keeps, ``stock.csv`` beside a design or in the user's data folder.

::

    part,length,pieces,label,colour,note
    cable:thinwall-6,41 m,,spool 3,RD,
    cable:thinwall-6,2.35 m,,,BK,in the drawer
    ring:m8-6,,37,,,

A row has a length or a number of pieces. Lines that begin with ``#`` are remarks.
"""

from __future__ import annotations

import csv
import io
import math
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from marshmallow import ValidationError, fields

from rigfeed.complaints import complaints, refuse
from rigfeed.errors import CatalogError, InputError, Place, known_or_raise, nearest
from rigfeed.fields import PartField, QuantityField, TableSchema, Text, one_of
from rigfeed.files import BOM, read_bytes
from rigfeed.stock.model import Item

MOST_BYTES = 4 * 2**20
MOST_PIECES = 1_000_000
LIKE = "part,length,pieces,label,colour,note"


class CountField(fields.Field[int]):
    """A whole number of pieces, as digits."""

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> int:
        digits = value if isinstance(value, str) and value.isascii() and value.isdecimal() and len(value) < 12 else ""
        if not digits or int(digits) > MOST_PIECES:
            raise refuse(f"{value!r} is not a number of pieces", f"write a whole number, {MOST_PIECES} at most")
        return int(digits)


class ItemSchema(TableSchema):
    """The columns of a stock file."""

    builds = Item
    part = PartField(required=True)
    length = QuantityField("m", above=0, most=100_000, load_default=None)
    pieces = CountField(load_default=None)
    label = Text(load_default="")
    colour = Text(load_default="")
    note = Text(load_default="")


def read_stock(path: Path) -> tuple[Item, ...]:
    """The rows of a stock file; whether there are such parts is not looked at.

    Raises
    ------
    FileProblem
        If it cannot be read.
    CatalogError, InputErrors
        Everything that is wrong in it, with line and column.
    """
    records = _records(path)
    number, header = next(records, (0, []))
    _check_header(header, Place(str(path), number or None))
    items: list[Item] = []
    errors: list[InputError] = []
    labels: dict[str, int] = {}
    for number, record in records:
        try:
            item = _item(header, record, Place(str(path), number))
            first = labels.setdefault(item.label.lower(), number) if item.label else number
            if first != number:
                raise CatalogError(f"the label {item.label!r} stands on line {first} already", place=item.place,
                                   remedy="give one of the two another label")
            items.append(item)
        except InputError as error:
            errors.append(error)
    known_or_raise(errors)
    return tuple(items)


def text_after(path: Path, lengths_m: Mapping[int, float], pieces: Mapping[int, int]) -> str:
    """The text of a stock file after something was taken: by line what is left of a length [m], and how many pieces.

    Lengths are rounded down to the centimetre; a row of which nothing is left goes. All else stays as it is, the ends
    of the lines and what an editor put in front of the text among it.
    """
    text = read_bytes(path, most=MOST_BYTES).decode()
    header: list[str] = []
    kept = [BOM] if text.startswith(BOM) else []
    for number, (line, end) in enumerate(_lines(text), start=1):
        if not header and not _is_remark(line):
            header = [cell.strip() for cell in next(csv.reader([line]))]
        is_taken = number in lengths_m or number in pieces
        left = _left(line, header, lengths_m.get(number, 0.0), pieces.get(number, 0)) if is_taken else line
        if left or not is_taken:
            kept += [left, end]
    return "".join(kept)


def _left(line: str, header: Sequence[str], length_m: float, pieces: int) -> str:
    """A row with what is left in it; empty where nothing is."""
    left_cm = math.floor(length_m * 100 + 1e-6)
    if not left_cm and not pieces:
        return ""
    record = next(csv.reader([line]))
    column, left = ("length", f"{left_cm / 100:.2f} m") if left_cm else ("pieces", str(pieces))
    record[header.index(column)] = left
    out = io.StringIO()
    csv.writer(out, lineterminator="").writerow(record)
    return out.getvalue()


def _lines(text: str) -> Iterator[tuple[str, str]]:
    """Each line with its end; what an editor put in front of the text is none of the first."""
    parts = [*re.split("(\r\n|\r|\n)", text.removeprefix(BOM)), ""]
    return zip(parts[::2], parts[1::2], strict=True)


def _is_remark(line: str) -> bool:
    return not line.strip(" ,") or line.startswith("#")


def _records(path: Path) -> Iterator[tuple[int, list[str]]]:
    try:
        text = read_bytes(path, most=MOST_BYTES).decode()
    except UnicodeDecodeError as error:
        raise CatalogError("is not UTF-8 text", place=Place(str(path)), remedy="save it as UTF-8") from error
    for number, (line, _) in enumerate(_lines(text), start=1):
        if _is_remark(line):
            continue
        try:
            (record,) = csv.reader([line], strict=True)
        except csv.Error as error:
            remedy = "close the double quotes on the same line"
            raise CatalogError(f"is not CSV: {error}", place=Place(str(path), number), remedy=remedy) from None
        yield number, [cell.strip() for cell in record]


def _check_header(header: list[str], place: Place) -> None:
    known = one_of(ItemSchema).keys_of()
    if "part" not in header:
        raise CatalogError("has no column 'part'", place=place, remedy=f"the first line names the columns: {LIKE}")
    for number, name in enumerate(header):
        if name and name not in known:
            raise CatalogError(f"unknown column {name!r}", place=place, remedy=nearest(name, known))
        if name and name in header[:number]:
            raise CatalogError(f"has two columns {name!r}", place=place, remedy="remove one of them")


def _item(header: list[str], record: list[str], place: Place) -> Item:
    cells = {name: cell for name, cell in zip(header, record, strict=False) if cell}
    if "" in cells or any(record[len(header) :]):
        raise CatalogError("has a cell in a column without a name", place=place, remedy="name the column, or empty it")
    try:
        item: Item = one_of(ItemSchema).load(cells)
    except ValidationError as error:
        path, complaint = next(complaints(error.messages))
        column = header.index(str(path)) + 1 if str(path) in header else None
        what = f"{path}: {complaint}"
        raise CatalogError(what, place=replace(place, column=column), remedy=complaint.remedy) from None
    if (item.length is None) == (item.pieces is None):
        what = "has neither a length nor pieces" if item.length is None else "has a length and pieces"
        raise CatalogError(what, place=place, remedy="cables and conduits have a length, all else a number of pieces")
    return replace(item, place=place)
