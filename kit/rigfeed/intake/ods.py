"""The rows of an ODS workbook."""

from __future__ import annotations

import zipfile
from dataclasses import dataclass, field

from rigfeed.errors import InputError
from rigfeed.intake.looks import HUNDREDTHS, look_in, shown_number
from rigfeed.intake.reading import LONGEST_CELL, MOST_CELLS, MOST_FILLED, MOST_ROWS, Tell
from rigfeed.intake.workbooks import Row, parse

TABLE, TEXT, OFFICE = (f"urn:oasis:names:tc:opendocument:xmlns:{name}:1.0" for name in ("table", "text", "office"))
MOST_TABLES = 200
NUMBERS = ("float", "currency", "percentage")
# Texts of a cell that belong to something else: remarks, drawings, the readings of signs.
ASIDE = frozenset({"annotation", "frame", "shapes", "ruby-text", "note"})


@dataclass
class _Table:
    """The rows of a table so far; `filled` counts its cells that say something."""

    name: str
    rows: list[Row] = field(default_factory=list)
    filled: int = 0


class _Ods:
    """The cells of an ODS content as its XML goes by; a table inside of a table does not count."""

    def __init__(self) -> None:
        self.tables: list[_Table] = []
        self._held = 0  # cells of all rows, with the empty ones before a filled one
        self._inside = 0
        self._number = 0
        self._row: list[str] = []
        self._cell: list[str] = []
        self._length = 0
        self._is_in_cell = False
        self._repeat_cell = self._repeat_row = 1
        self._attributes: dict[str, str] = {}
        self._aside = 0

    def start(self, name: str, attributes: dict[str, str]) -> None:
        """An element begins."""
        match name:
            case "table":
                self._inside += 1
                if self._inside == 1:
                    self._start_table(attributes.get(f"{TABLE} name", ""))
            case "table-row":
                self._row, self._repeat_row = [], _count(attributes.get(f"{TABLE} number-rows-repeated"))
            case "table-cell" | "covered-table-cell":
                self._cell, self._length, self._is_in_cell = [], 0, True
                self._repeat_cell = _count(attributes.get(f"{TABLE} number-columns-repeated"))
                self._attributes = attributes
            case "p" | "s" | "tab" | "line-break":
                self.text(" ")
            case _ if name in ASIDE:
                self._aside += 1

    def _start_table(self, name: str) -> None:
        if len(self.tables) == MOST_TABLES:
            raise InputError(f"has more than {MOST_TABLES} sheets", remedy="save the sheet with the list as CSV")
        self.tables.append(_Table(name))
        self._number = 0

    def end(self, name: str) -> None:
        """An element ends."""
        match name:
            case "table":
                self._inside -= 1
            case "table-cell" | "covered-table-cell":
                self._is_in_cell = False
                text = _said(self._attributes, "".join(self._cell).strip())
                room = MOST_CELLS + 1 - len(self._row)
                self._row += [text] * min(self._repeat_cell, room)
            case "table-row" if self._inside == 1:
                self._end_row()
            case _ if name in ASIDE:
                self._aside -= 1

    def text(self, text: str) -> None:
        """A piece of text."""
        if self._is_in_cell and not self._aside and self._length <= LONGEST_CELL:
            self._cell.append(text)
            self._length += len(text)

    def _end_row(self) -> None:
        row = self._row
        while row and not row[-1]:
            row.pop()
        if row:
            self._keep(row)
        self._number += self._repeat_row

    def _keep(self, row: list[str]) -> None:
        table = self.tables[-1]
        table.filled += self._repeat_row * sum(1 for cell in row if cell)
        if len(table.rows) + self._repeat_row > MOST_ROWS + 1:
            raise InputError(f"has more than {MOST_ROWS} rows", remedy="split the list")
        self._held += len(row)
        if max(self._held, sum(other.filled for other in self.tables)) > MOST_FILLED:
            raise InputError(f"has more than {MOST_FILLED} cells", remedy="save the sheet with the list as CSV")
        table.rows += ((self._number + n, row) for n in range(1, self._repeat_row + 1))


def _count(text: str | None) -> int:
    return min(int(text[:9]), 10_000_000) if text and text.isascii() and text.isdigit() else 1


def _said(attributes: dict[str, str], shown: str) -> str:
    """What a cell says: a date as such, the number that it holds with what is shown around it, else what is shown."""
    sort = attributes.get(f"{OFFICE} value-type", "")
    if sort in ("date", "time"):
        return f"date {attributes.get(f'{OFFICE} {sort}-value', '')[:10]}"
    number = shown_number(attributes.get(f"{OFFICE} value", "")) if sort in NUMBERS else ""
    if not number:
        return shown
    if sort == "currency":
        return f"{number} {attributes.get(f'{OFFICE} currency', '')}".strip()
    return (HUNDREDTHS if sort == "percentage" else look_in(shown, float(number))).text(number)


def ods_rows(archive: zipfile.ZipFile, tell: Tell | None = None) -> tuple[list[Row], str]:
    """The rows of the sheet with most cells, and its name."""
    handler = _Ods()
    parse(archive, "content.xml", handler, tell)
    if not handler.tables:
        raise InputError("has no sheet", remedy="save the list as CSV")
    best = max(handler.tables, key=lambda table: table.filled)
    return best.rows, best.name
