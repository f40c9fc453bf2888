"""The rows of an XLSX workbook (ISO/IEC 29500-1, part SpreadsheetML)."""

from __future__ import annotations

import posixpath
import zipfile
from collections.abc import Iterator

from rigfeed.errors import InputError
from rigfeed.intake.looks import DAYS, HUNDREDTHS, PERCENT, PLAIN, Look, look_of
from rigfeed.intake.reading import LONGEST_CELL, MOST_CELLS, MOST_FILLED, MOST_LINES, MOST_ROWS, Tell
from rigfeed.intake.workbooks import REMEDY, Enough, Row, parse

MOST_TEXTS = 1_000_000  # the shared texts of a workbook are held in memory
MOST_OF_TEXTS = 24 * 2**20  # characters of them
MOST_STYLES = 65_536
MOST_SHEETS = 200
LOOKED_AT = 60  # rows of a sheet, to find the one with the list
RELATION = "http://schemas.openxmlformats.org/officeDocument/2006/relationships id"
STRICT_RELATION = "http://purl.oclc.org/ooxml/officeDocument/relationships id"


class _Book:
    """The sheets of a workbook: name, relation, and whether they are shown."""

    def __init__(self) -> None:
        self.sheets: list[tuple[str, str, bool]] = []

    def start(self, name: str, attributes: dict[str, str]) -> None:
        """An element begins."""
        if name == "sheet" and len(self.sheets) < MOST_SHEETS:
            relation = attributes.get(RELATION) or attributes.get(STRICT_RELATION, "")
            self.sheets.append((attributes.get("name", ""), relation, attributes.get("state", "visible") == "visible"))

    def end(self, name: str) -> None:
        """An element ends."""

    def text(self, text: str) -> None:
        """A piece of text."""


class _Relations(_Book):
    """Which file is meant by each relation."""

    def __init__(self) -> None:
        super().__init__()
        self.targets: dict[str, str] = {}

    def start(self, name: str, attributes: dict[str, str]) -> None:
        """An element begins."""
        if name == "Relationship" and attributes.get("TargetMode") != "External":
            target = posixpath.normpath(posixpath.join("/xl", attributes.get("Target", ""))).lstrip("/")
            self.targets[attributes.get("Id", "")] = target


class _Styles(_Book):
    """How each format of cells shows a number."""

    def __init__(self) -> None:
        super().__init__()
        self._known = dict.fromkeys(DAYS, Look(is_day=True)) | dict.fromkeys(PERCENT, HUNDREDTHS)
        self._is_in_cells = False
        self.looks: list[Look] = []

    def start(self, name: str, attributes: dict[str, str]) -> None:
        """An element begins."""
        if name == "numFmt" and len(self._known) < MOST_STYLES:
            self._known[_whole(attributes.get("numFmtId"))] = look_of(attributes.get("formatCode", ""))
        elif name == "cellXfs":
            self._is_in_cells = True
        elif name == "xf" and self._is_in_cells:
            self.looks.append(self._known.get(_whole(attributes.get("numFmtId")), PLAIN))
            if len(self.looks) > MOST_STYLES:
                raise InputError(f"has more than {MOST_STYLES} formats of cells", remedy=REMEDY)

    def end(self, name: str) -> None:
        """An element ends."""
        if name == "cellXfs":
            raise Enough


class _Texts:
    """The shared texts; of each only what a cell may hold."""

    def __init__(self) -> None:
        self.texts: list[str] = []
        self._parts: list[str] = []
        self._length = self._all = 0
        self._is_in_text = False
        self._aside = 0

    def start(self, name: str, attributes: dict[str, str]) -> None:
        """An element begins."""
        if name == "si":
            self._parts, self._length = [], 0
        self._aside += name == "rPh"  # how an East Asian text is spoken
        self._is_in_text = name == "t"

    def end(self, name: str) -> None:
        """An element ends."""
        self._is_in_text = False
        self._aside -= name == "rPh"
        if name == "si":
            self.texts.append("".join(self._parts))
            self._all += self._length
            if len(self.texts) > MOST_TEXTS or self._all > MOST_OF_TEXTS:
                raise InputError("has more texts than a list of cables", remedy=REMEDY)

    def text(self, text: str) -> None:
        """A piece of text."""
        if self._is_in_text and not self._aside and self._length <= LONGEST_CELL:
            self._parts.append(text)
            self._length += len(text)


class _Cells:
    """The rows of a sheet, `most` at most."""

    def __init__(self, texts: list[str], looks: list[Look], most: int) -> None:
        self.rows: list[Row] = []
        self.filled = 0
        self._texts, self._looks, self._most = texts, looks, most
        self._number = self._column = 0
        self._row: list[str] = []
        self._sort, self._look = "n", PLAIN
        self._parts: list[str] = []
        self._length = 0
        self._inside = ""
        self._has_formula = False

    def start(self, name: str, attributes: dict[str, str]) -> None:
        """An element begins."""
        match name:
            case "row":
                self._number = _whole(attributes.get("r")) or self._number + 1
                self._row, self._column = [], 0
                if self._number > MOST_LINES:
                    raise InputError(f"goes on beyond row {MOST_LINES}", remedy="save the sheet without its empty rows")
            case "c":
                self._column = _column(attributes.get("r", "")) or self._column + 1
                self._sort = attributes.get("t", "n")
                style = _whole(attributes.get("s"))
                self._look = self._looks[style] if style < len(self._looks) else PLAIN
                self._parts, self._length, self._has_formula = [], 0, False
            case "v" | "t":
                self._inside = name
            case "f":
                self._has_formula = True
            case "rPh":
                self._inside = name

    def end(self, name: str) -> None:
        """An element ends."""
        if name == "c":
            self._end_cell()
        elif name == "row":
            self._end_row()
        self._inside = ""

    def text(self, text: str) -> None:
        """A piece of text."""
        if self._inside in ("v", "t") and self._length <= LONGEST_CELL:
            self._parts.append(text)
            self._length += len(text)

    def _end_cell(self) -> None:
        text = self._shown("".join(self._parts))
        if text and self._column <= MOST_CELLS + 1:
            self._row += [""] * (self._column - 1 - len(self._row))
            self._row[self._column - 1 :] = [text]

    def _shown(self, value: str) -> str:
        """What a cell says. A formula without its value is told as one, and so is a day: it is a strand count or a
        gauge that a program took for one."""
        if not value:
            return "=" if self._has_formula else ""
        match self._sort:
            case "s":
                at = _whole(value)
                return self._texts[at] if at < len(self._texts) else ""
            case "b":
                return "yes" if value == "1" else "no"
            case "d":
                return f"date {value[:10]}"
            case "n":
                return f"date {_day(value)}" if self._look.is_day else self._look.text(value) or value
        return value

    def _end_row(self) -> None:
        if not self._row:
            return
        self.rows.append((self._number, self._row))
        self.filled += len(self._row)
        if len(self.rows) > self._most:
            raise Enough
        if self.filled > MOST_FILLED:
            raise InputError(f"has more than {MOST_FILLED} cells", remedy=REMEDY)


def _day(value: str) -> str:
    """The day of a number, counted as most workbooks count: who sees it knows what was meant."""
    import datetime

    try:
        return (datetime.date(1899, 12, 30) + datetime.timedelta(days=int(float(value)))).isoformat()
    except (ValueError, OverflowError):
        return value[:20]


def _whole(text: str | None) -> int:
    return int(text[:9]) if text and text.isascii() and text.isdigit() else 0


def _column(reference: str) -> int:
    """The number of the column of a reference, 28 for AB7."""
    number = 0
    for letter in reference[:4]:
        if not "A" <= letter <= "Z":
            break
        number = 26 * number + ord(letter) - 64
    return number


def xlsx_rows(
    archive: zipfile.ZipFile, names: frozenset[str], tell: Tell | None = None
) -> tuple[list[Row], str]:
    """The rows of the shown sheet with most rows at its start, and its name."""
    book, relations, texts, styles = _Book(), _Relations(), _Texts(), _Styles()
    parse(archive, "xl/workbook.xml", book)
    for part, handler in (
        ("xl/_rels/workbook.xml.rels", relations), ("xl/sharedStrings.xml", texts), ("xl/styles.xml", styles),
    ):
        if part in names:
            parse(archive, part, handler, tell)
    best: tuple[int, str, str] = (0, "", "")
    for title, part in _sheets(book, relations.targets, names):
        cells = _Cells(texts.texts, styles.looks, LOOKED_AT)
        parse(archive, part, cells, tell)
        best = max(best, (len(cells.rows), title, part), key=lambda item: item[0])
    if not best[2]:
        raise InputError("has no sheet with anything on it", remedy="save the list as CSV")
    cells = _Cells(texts.texts, styles.looks, MOST_ROWS + 1)
    parse(archive, best[2], cells, tell)
    return cells.rows, best[1]


def _sheets(book: _Book, targets: dict[str, str], names: frozenset[str]) -> Iterator[tuple[str, str]]:
    """The sheets to look at; those that share one part once, or its text would go by for each of them."""
    shown = [sheet for sheet in book.sheets if sheet[2]] or book.sheets
    known: set[str] = set()
    for title, relation, _ in shown:
        part = targets.get(relation, "")
        if part in names and part not in known:
            known.add(part)
            yield title, part
