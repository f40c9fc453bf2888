"""One table as one sheet of a workbook: filled, styled, set up for printing."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Literal

from rigfeed.frozen import frozen
from rigfeed.papers.layout import (
    FREE_PT,
    MARGIN_MM,
    PAPERS,
    TEXT_PT,
    TITLE_PT,
    Grid,
    Paper,
    company,
    grid,
    line_count,
    page_height_pt,
    page_width,
    row_height_pt,
    text_width,
    untorn,
)
from rigfeed.papers.letters import plain_lines, visible
from rigfeed.papers.look import look
from rigfeed.papers.table import Cell, Table, cells, headings
from rigfeed.quantity import System

if TYPE_CHECKING:
    from openpyxl.cell import Cell as SheetCell
    from openpyxl.styles import Font
    from openpyxl.worksheet.worksheet import Worksheet

HEADER_ROW = 4
LONGEST_TEXT = 32767  # UTF-16 units in one cell (limit of spreadsheet programs)
SHORTENED = " ... (shortened)"
# Shares of the width of a page that title and job have in its footer: more, and they would overlap. Both together stay
# far below the 255 characters that a footer may have.
FOOTER_TITLE, FOOTER_JOB = 0.24, 0.44

_ESCAPE = re.compile(r"_(?=x[0-9A-Fa-f]{4}_)")


@frozen
class Surround:
    """What a sheet says around its table, and on which paper."""

    job: str
    cautions: tuple[str, ...]
    system: System
    paper: Paper


def rule(table: Table, number: int) -> Literal["row", "group", "last"]:
    """Which rule stands below a row of a table."""
    if number == len(table.rows) - 1:
        return "last"
    keys = [column.key for column in table.columns]
    if not table.group:
        return "row"
    position = keys.index(table.group)
    return "row" if table.rows[number][position] == table.rows[number + 1][position] else "group"


def fill(sheet: Worksheet, table: Table, surround: Surround) -> None:
    """Write a table into an empty sheet: title, job, heading row `HEADER_ROW`, rows, notes, cautions."""
    measures = grid(table, surround.system, surround.paper)
    for number, width in enumerate(measures.widths, 1):
        sheet.column_dimensions[sheet.cell(HEADER_ROW, number).column_letter].width = round(width, 2)
    paragraph(sheet, 1, table.title, measures, font=look().title, size_pt=TITLE_PT)
    paragraph(sheet, 2, surround.job, measures)
    paragraph(
        sheet, 3, "Read the cautions below the table first." if surround.cautions else "", measures, font=look().bold
    )
    _header(sheet, headings(table, surround.system), measures)
    _rows(sheet, table, surround.system, measures)
    notes = HEADER_ROW + max(len(table.rows), 1) + 2
    cautions = block(sheet, notes, "Notes", table.notes, measures)
    end = block(sheet, cautions, "Cautions", surround.cautions, measures)
    print_setup(sheet, table.title, surround, landscape=measures.landscape)
    _break_pages(sheet, len(table.rows), ((notes, cautions), (cautions, end)), measures, surround.paper)
    sheet.freeze_panes = f"A{HEADER_ROW + 1}"
    sheet.print_title_rows = f"{HEADER_ROW}:{HEADER_ROW}"


def _header(sheet: Worksheet, titles: Sequence[str], measures: Grid) -> None:
    style = look()
    for number, (title, right) in enumerate(zip(titles, measures.right, strict=True), 1):
        place = sheet.cell(HEADER_ROW, number)
        put_text(place, title)
        place.font, place.border = style.bold, style.head_rules
        place.alignment = style.right if right else style.left
    lines = measures.lines(titles, bold=True)
    sheet.row_dimensions[HEADER_ROW].height = row_height_pt(lines, tall=tall(titles))


def _rows(sheet: Worksheet, table: Table, system: System, measures: Grid) -> None:
    style = look()
    rules = {"row": style.row_rules, "group": style.group_rules, "last": style.last_rules}
    for number, (row, formats) in enumerate(zip(cells(table, system), measures.formats, strict=True), HEADER_ROW + 1):
        for position, (value, number_format) in enumerate(zip(row, formats, strict=True)):
            place = sheet.cell(number, position + 1)
            place.border = rules[rule(table, number - HEADER_ROW - 1)]
            place.font = style.bold if table.columns[position].bold else style.plain
            place.alignment = style.number if number_format else style.right if measures.right[position] else style.left
            _put(place, value, number_format)
        texts = [value for value in row if isinstance(value, str)]
        sheet.row_dimensions[number].height = row_height_pt(measures.lines(row), tall=tall(texts))
    if not table.rows:
        paragraph(sheet, HEADER_ROW + 1, "nothing to list", measures)


def block(sheet: Worksheet, row: int, heading: str, texts: Iterable[str], measures: Grid) -> int:
    """A heading and paragraphs from `row` on; the row after it and a free one."""
    texts = [text for text in texts if text.strip()]
    if not texts:
        return row
    paragraph(sheet, row, heading, measures, font=look().bold)
    for row_of_text, text in enumerate(texts, row + 1):
        paragraph(sheet, row_of_text, text, measures)
    return row + len(texts) + 2


def paragraph(
    sheet: Worksheet, row: int, text: str, measures: Grid, *, font: Font | None = None, size_pt: int = TEXT_PT
) -> None:
    """A text across the whole width. Its height is set here: programs do not fit that of merged cells."""
    place = sheet.cell(row, 1)
    put_text(place, text)
    place.font, place.alignment = font or look().plain, look().paragraph
    if len(measures.widths) > 1:
        sheet.merge_cells(start_row=row, end_row=row, start_column=1, end_column=len(measures.widths))
    lines = line_count(text, measures.text_width * TEXT_PT / size_pt, bold=font is not None)
    sheet.row_dimensions[row].height = row_height_pt([lines], size_pt=size_pt, tall=tall([text]))


def _break_pages(
    sheet: Worksheet, rows: int, blocks: Iterable[tuple[int, int]], measures: Grid, paper: Paper
) -> None:
    """A page begins before the last rows of the table, where too few of them would stand on a page of their own, and
    before a block of text that would be torn. A block is its first row and the one after its last."""
    from openpyxl.worksheet.pagebreak import Break

    heights = [sheet.row_dimensions[number].height or FREE_PT for number in range(1, sheet.max_row + 1)]
    whole_pt, repeated_pt = page_height_pt(paper, measures), heights[HEADER_ROW - 1]
    of_table = heights[HEADER_ROW : HEADER_ROW + rows]
    last = company(of_table, whole_pt - sum(heights[:HEADER_ROW]), whole_pt - repeated_pt)
    begins = [] if last is None else [HEADER_ROW + last]
    spans = [(first - 1, end - 1) for first, end in blocks if end > first]
    begins += untorn(heights, spans, whole_pt, whole_pt - repeated_pt, begins)
    for begin in begins:
        sheet.row_breaks.append(Break(id=begin))


def _put(place: SheetCell, value: Cell, number_format: str) -> None:
    if isinstance(value, str):
        put_text(place, value)
    elif value is not None:
        # "_ " leaves a blank, so that no number touches the text beside it: programs lose an indentation now and then.
        place.value, place.number_format = value, number_format + "_ "


def put_text(place: SheetCell, text: str) -> None:
    """Text stays text: neither "=1+1" becomes a formula nor "#N/A" an error, not even when someone edits the cell."""
    if not text:
        return
    written = sheet_text(text)
    place.value = written
    place.data_type = "s"  # the library guesses from the text what it is
    place.quotePrefix = written.lstrip()[:1] in tuple("=+-@'#")


def sheet_text(text: str) -> str:
    """A text as a cell can hold and show it: controls visible, one kind of line break, no tabs, not too long.

    The format reads _x0041_ as the letter with that number (ISO/IEC 29500-1, 22.9.2.19): such a text is escaped.
    """
    safe = _ESCAPE.sub("_x005F_", plain_lines(visible(text)))
    units = safe.encode("utf-16-le")
    if len(units) <= 2 * LONGEST_TEXT:
        return safe
    kept = units[: 2 * (LONGEST_TEXT - len(SHORTENED))]
    return kept.decode("utf-16-le", errors="ignore") + SHORTENED


def tall(texts: Iterable[str]) -> bool:
    """Whether lines are higher: letters beyond the Latin, Greek and Cyrillic ones come from other fonts."""
    return any(ord(letter) > 0x052F and not 0x2010 <= ord(letter) <= 0x22FF for text in texts for letter in text)


def print_setup(sheet: Worksheet, title: str, surround: Surround, *, landscape: bool) -> None:
    """One page wide, with the margins, and with title, job and page number in the footer."""
    sheet.page_setup.paperSize = PAPERS[surround.paper].code
    sheet.page_setup.orientation = "landscape" if landscape else "portrait"
    sheet.sheet_properties.pageSetUpPr.fitToPage = True
    sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight = 1, 0
    margins, edge = sheet.page_margins, MARGIN_MM / 25.4
    margins.left = margins.right = margins.top = edge
    margins.bottom, margins.header, margins.footer = 1.5 * edge, edge / 2, edge / 2
    room = page_width(surround.paper, landscape=landscape)
    sheet.oddFooter.left.text = _footer(title, room * FOOTER_TITLE)
    sheet.oddFooter.center.text = _footer(surround.job, room * FOOTER_JOB)
    sheet.oddFooter.right.text = "Page &P of &N"


def _footer(text: str, room: float) -> str:
    """One line of a width [digits], cut after a word; "&" begins a code in a footer, and is doubled to be itself."""
    line = " ".join(visible(text).split())
    if text_width(line) > room:
        while line and text_width(line + " ...") > room:
            line = line[:-1]
        line = (line.rpartition(" ")[0] or line).rstrip(" -,;:") + " ..."
    return line.replace("&[", "& [").replace("&", "&&")
