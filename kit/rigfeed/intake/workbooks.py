"""Workbooks: XLSX and ODS as rows of texts, from files that may have been made to harm.

A workbook is a zip file of XML. Before anything is read, the sizes that the zip file states are added up (it yields no
more than it states), and any part with a document type is refused: without one there are no entities to expand.
"""

from __future__ import annotations

import datetime
import io
import re
import zipfile
from collections.abc import Iterator
from contextlib import closing
from typing import Any
from xml.parsers import expat

from rigfeed.errors import InputError
from rigfeed.intake.reading import MOST_CELLS, MOST_ROWS, Sheet, Tell, sheet_of

MOST_UNPACKED = 160 * 2**20
MOST_OF_TEXTS = 24 * 2**20  # the shared texts of a workbook are held in memory
MOST_MEMBERS = 2000
CHUNK = 2**16
TABLE, TEXT, OFFICE = (f"urn:oasis:names:tc:opendocument:xmlns:{name}:1.0" for name in ("table", "text", "office"))


def read_workbook(data: bytes, tell: Tell | None = None) -> Sheet:
    """The rows of the sheet with most cells.

    Raises
    ------
    InputError
        If it is no workbook, would unpack to too much, has a document type, or too many rows.
    """
    try:
        archive = zipfile.ZipFile(io.BytesIO(data))
        members = archive.infolist()
        _guard(members)
        names = {member.filename for member in members}
        if "xl/workbook.xml" in names:
            _no_document_type(archive, (name for name in names if name.endswith((".xml", ".rels"))))
            return _xlsx(data)
        if "content.xml" in names:
            return _ods(archive)
    except (zipfile.BadZipFile, NotImplementedError, RuntimeError, EOFError, expat.ExpatError) as error:
        raise InputError(f"is a broken workbook: {error}", remedy="open and save it anew, or save it as CSV") from None
    raise InputError("is a zip file, but no workbook", remedy="unpack it and name the list inside")


def _guard(members: list[zipfile.ZipInfo]) -> None:
    whole = sum(member.file_size for member in members)
    texts = sum(member.file_size for member in members if member.filename.endswith("sharedStrings.xml"))
    if whole > MOST_UNPACKED or len(members) > MOST_MEMBERS or texts > MOST_OF_TEXTS:
        raise InputError(f"unpacks to {whole / 2**20:.0f} MiB", remedy="save the sheet with the list as CSV")


def _no_document_type(archive: zipfile.ZipFile, names: Iterator[str]) -> None:
    for name in names:
        with archive.open(name) as part:
            head = part.read(4096)
        if re.search(rb"<!\s*(DOCTYPE|ENTITY)", head.replace(b"\0", b"")):
            raise InputError(f"has a document type in {name}", remedy="no workbook needs one; save the list as CSV")


def _xlsx(data: bytes) -> Sheet:
    import openpyxl

    try:
        with closing(openpyxl.load_workbook(io.BytesIO(data), read_only=True, data_only=True)) as values:
            sheets = [sheet for sheet in values.worksheets if sheet.sheet_state == "visible"] or values.worksheets
            if not sheets:
                raise InputError("has no sheet", remedy="save the list as CSV")
            best = max(sheets, key=lambda sheet: len(list(_xlsx_rows(sheet, most=60))))
            return sheet_of(_xlsx_rows(best), f"workbook, sheet {best.title!r}")
    except InputError:
        raise
    except Exception as error:  # the library lets through whatever its parts raise
        what = f"is a broken workbook: {type(error).__name__}: {error}"
        raise InputError(what, remedy="save the list as CSV") from None


def _xlsx_rows(sheet: Any, most: int = MOST_ROWS + 1) -> Iterator[tuple[int, list[str]]]:
    count = 0
    for number, row in enumerate(sheet.iter_rows(values_only=True, max_col=MOST_CELLS), start=1):
        if number > 6 * MOST_ROWS:
            raise InputError(f"goes on beyond row {number}", remedy="save the sheet anew without its empty rows")
        if any(value is not None for value in row):
            count += 1
            yield number, [shown_value(value) for value in row]
            if count > most:
                return


def shown_value(value: Any) -> str:
    """A value of a cell as text. A date is told as one: it is a strand count or a gauge that a program took for a day.

    >>> shown_value(2.5), shown_value(16.0), shown_value(None)
    ('2.5', '16', '')
    """
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, datetime.datetime | datetime.date | datetime.time):
        return f"date {value.isoformat()[:10]}"
    if isinstance(value, float):
        return f"{value:.12g}"
    return str(value)


class _Ods:
    """The cells of an ODS content as its XML goes by; memory stays with one row."""

    def __init__(self) -> None:
        self.done: list[tuple[int, list[str]]] = []
        self.number = 0
        self._row: list[str] = []
        self._cell: list[str] = []
        self._repeat_cell = self._repeat_row = 1
        self._value = ""
        self._depth = 0

    def start(self, name: str, attributes: dict[str, str]) -> None:
        match name.rpartition(" ")[2]:
            case "table":
                self.number = 0
            case "table-row":
                self._row, self._repeat_row = [], _count(attributes.get(f"{TABLE} number-rows-repeated"))
            case "table-cell" | "covered-table-cell":
                self._cell = []
                self._repeat_cell = _count(attributes.get(f"{TABLE} number-columns-repeated"))
                sort = attributes.get(f"{OFFICE} value-type", "")
                self._value = _ods_value(sort, attributes)
            case "annotation":
                self._depth += 1
            case "p" if self._cell:
                self._cell.append(" ")
            case "s" if self._depth == 0:
                self._cell.append(" ")

    def end(self, name: str) -> None:
        match name.rpartition(" ")[2]:
            case "annotation":
                self._depth -= 1
            case "table-cell" | "covered-table-cell":
                text = self._value or "".join(self._cell)
                room = MOST_CELLS - len(self._row)
                self._row += [text] * min(self._repeat_cell, room if text else min(room, 60))
            case "table-row":
                self._end_row()

    def text(self, text: str) -> None:
        if self._depth == 0 and sum(map(len, self._cell)) < 4000:
            self._cell.append(text)

    def _end_row(self) -> None:
        row = [cell.strip() for cell in self._row]
        while row and not row[-1]:
            row.pop()
        for _ in range(self._repeat_row if row else 0):
            self.number += 1
            self.done.append((self.number, row))
            if len(self.done) > MOST_ROWS:
                raise InputError(f"has more than {MOST_ROWS} rows", remedy="split the list")
        self.number += 0 if row else self._repeat_row


def _count(text: str | None) -> int:
    return min(int(text), 10_000_000) if text and text.isdecimal() else 1


def _ods_value(sort: str, attributes: dict[str, str]) -> str:
    """The number behind a cell, which may be shown with fewer digits; a date as such."""
    if sort == "float":
        try:
            return shown_value(float(attributes.get(f"{OFFICE} value", "")))
        except ValueError:
            return ""
    return f"date {attributes.get(f'{OFFICE} date-value', '')[:10]}" if sort == "date" else ""


def _ods(archive: zipfile.ZipFile) -> Sheet:
    found: dict[str, list[tuple[int, list[str]]]] = {}
    state = _Ods()
    parser = expat.ParserCreate(namespace_separator=" ")
    parser.buffer_text = True

    def start(name: str, attributes: dict[str, str]) -> None:
        if name == f"{TABLE} table":
            state.done = found.setdefault(f"{len(found)}{attributes.get(f'{TABLE} name', '')}", [])
        state.start(name, attributes)

    def refuse(*_: object) -> None:
        raise InputError("has a document type in content.xml", remedy="no workbook needs one; save the list as CSV")

    parser.StartElementHandler, parser.EndElementHandler = start, state.end
    parser.CharacterDataHandler = state.text
    parser.StartDoctypeDeclHandler = refuse
    with archive.open("content.xml") as content:
        while chunk := content.read(CHUNK):
            parser.Parse(chunk)
        parser.Parse(b"", True)
    if not found:
        raise InputError("has no sheet", remedy="save the list as CSV")
    name = max(found, key=lambda name: sum(1 for _, row in found[name] for cell in row if cell))
    return sheet_of(found[name], f"workbook, sheet {name[1:]!r}")
