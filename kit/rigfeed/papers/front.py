"""The first sheet of a workbook: title block, cautions, and which sheets follow."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from rigfeed.frozen import frozen
from rigfeed.papers.layout import TITLE_PT, Grid, line_count, row_height_pt
from rigfeed.papers.look import look
from rigfeed.papers.sheet import Surround, block, paragraph, print_setup, put_text, tall
from rigfeed.papers.table import Table

if TYPE_CHECKING:
    from openpyxl.styles import Border
    from openpyxl.worksheet.worksheet import Worksheet

WIDTHS = (20.0, 42.0, 18.0, 40.0)
HEADINGS = ("sheet", "what for", "rows")
SPANS = ((0, 0), (1, 2), (3, 3))  # first and last column of each


@frozen
class Front:
    """What stands on the first sheet: a title, and facts of a name and a text; an empty text is a line to write on.

    `facts` stand two in a line, `long_facts` one.
    """

    title: str
    facts: tuple[tuple[str, str], ...]
    long_facts: tuple[tuple[str, str], ...] = ()
    name: str = "Title block"


@frozen
class _Place:
    """A text in some columns next to each other, `first` to `last` from 0."""

    value: str | int
    first: int
    last: int
    bold: bool = False

    def lines(self) -> int:
        return 1 if isinstance(self.value, int) else line_count(self.value, self.room, bold=self.bold)

    @property
    def room(self) -> float:
        return sum(WIDTHS[self.first : self.last + 1])


def fill_front(
    sheet: Worksheet, front: Front, tables: Sequence[Table], names: Sequence[str], surround: Surround
) -> None:
    """Write the first sheet into an empty one; `names` are those of the sheets of the tables."""
    measures = Grid(WIDTHS, (False,) * len(WIDTHS), (), landscape=True)
    for letter, width in zip("ABCD", WIDTHS, strict=True):
        sheet.column_dimensions[letter].width = width
    paragraph(sheet, 1, front.title, measures, font=look().title, size_pt=TITLE_PT)
    row = _facts(sheet, 2, front)
    row = block(sheet, row, "Cautions", surround.cautions, measures)
    _contents(sheet, row, tables, names)
    print_setup(sheet, front.name, surround, landscape=True)
    sheet.page_setup.fitToHeight = 1  # a line more or less makes it a little smaller, not a second page


def _facts(sheet: Worksheet, row: int, front: Front) -> int:
    """The title block; the row after it and a free one."""
    facts = [*front.facts, *([("", "")] if len(front.facts) % 2 else [])]
    lines = [
        (_Place(a[0], 0, 0, bold=True), _Place(a[1], 1, 1), _Place(b[0], 2, 2, bold=True), _Place(b[1], 3, 3))
        for a, b in zip(facts[::2], facts[1::2], strict=True)
    ]
    longer = [(_Place(name, 0, 0, bold=True), _Place(text, 1, 3)) for name, text in front.long_facts]
    every = [*lines, *longer]
    for number, places in enumerate(every):
        first, last = number == 0, number == len(every) - 1
        _line(sheet, row + number, places, look().first_rules if first else look().row_rules, closes=last)
    return row + len(every) + 1


def _contents(sheet: Worksheet, row: int, tables: Sequence[Table], names: Sequence[str]) -> None:
    head = tuple(_Place(text, first, last, bold=True) for text, (first, last) in zip(HEADINGS, SPANS, strict=True))
    _line(sheet, row, head, look().head_rules)
    for number, (table, name) in enumerate(zip(tables, names, strict=True), 1):
        values: tuple[str | int, ...] = (name, table.use or table.title, len(table.rows))
        places = tuple(
            _Place(value, first, last, bold=first == 0)
            for value, (first, last) in zip(values, SPANS, strict=True)
        )
        _line(sheet, row + number, places, look().row_rules, closes=number == len(tables))


def _line(sheet: Worksheet, row: int, places: Sequence[_Place], rules: Border, *, closes: bool = False) -> None:
    """One line of places from left to right; the one that closes a block has the heavy rule below."""
    for number in range(len(WIDTHS)):
        sheet.cell(row, number + 1).border = look().last_rules if closes else rules
    for place in places:
        cell = sheet.cell(row, place.first + 1)
        cell.font, cell.alignment = look().bold if place.bold else look().plain, look().left
        if isinstance(place.value, str):
            put_text(cell, place.value)
        else:
            cell.value, cell.number_format = place.value, "0"
        if place.last > place.first:
            sheet.merge_cells(start_row=row, end_row=row, start_column=place.first + 1, end_column=place.last + 1)
    texts = [place.value for place in places if isinstance(place.value, str)]
    sheet.row_dimensions[row].height = row_height_pt([place.lines() for place in places], tall=tall(texts))
