"""From the bytes of a file, or a pasted text, to rows of cells: encodings, separators, quotes."""

from __future__ import annotations

import codecs
import csv
import re
from collections import Counter
from collections.abc import Callable, Iterable, Iterator

from rigfeed.errors import InputError
from rigfeed.files import BOM
from rigfeed.frozen import frozen

Tell = Callable[[float, str], None]

MOST_BYTES = 24 * 2**20
MOST_ROWS = 200_000
MOST_LINES = 6 * MOST_ROWS  # with the empty ones
MOST_CELLS = 200  # in a row
MOST_FILLED = 3_000_000  # cells of a whole list: they are held in memory
LONGEST_CELL = 2000  # characters
SEPARATORS = (";", "\t", ",", "|")
STRANGE = {b"%PDF": "a PDF", b"\xd0\xcf\x11\xe0": "a workbook of the old binary sort", b"{\\rtf": "RTF"}
MARKS = ((codecs.BOM_UTF8, "utf-8-sig"), (codecs.BOM_UTF16_LE, "utf-16"), (codecs.BOM_UTF16_BE, "utf-16"))
_GAP = re.compile(r"\t|\s{2,}")
_RULE = re.compile(r"[-=+:_|\s]+")


@frozen
class Sheet:
    """The rows of a list with the line (or row) of each, and how it was read."""

    rows: list[tuple[str, ...]]
    lines: list[int]
    how: str


def read_sheet(data: bytes, *, encoding: str = "", tell: Tell | None = None) -> Sheet:
    """The rows of a list: a text in any dialect and encoding, or a workbook (XLSX, ODS), by its content.

    Raises
    ------
    InputError
        If it is none of these, is too large, or is made to harm.
    """
    if len(data) > MOST_BYTES:
        raise InputError(f"is larger than {MOST_BYTES / 2**20:g} MiB", remedy="split the list")
    if data.startswith(b"PK\x03\x04"):
        from rigfeed.intake.workbooks import read_workbook

        return read_workbook(data, tell)
    for start, what in STRANGE.items():
        if data.startswith(start):
            raise InputError(f"is {what}", remedy="save it as XLSX, ODS or CSV, or paste its table into a text file")
    text, name = decoded(data, encoding)
    return read_text(text, name)


def decoded(data: bytes, encoding: str = "") -> tuple[str, str]:
    """The text of bytes and the name of the encoding they seem to have.

    Raises
    ------
    InputError
        If the text holds NUL characters, or is not in the encoding that was named.
    """
    name = encoding or _encoding(data)
    try:
        text = data.decode(name)
    except (UnicodeDecodeError, LookupError) as error:
        raise InputError(f"is not text in {name}: {error}", remedy="name its encoding, or save it as UTF-8") from None
    text = text.removeprefix(BOM)
    if "\0" in text:
        line = text.count("\n", 0, text.index("\0")) + 1
        raise InputError(f"holds a NUL character on line {line}", remedy="it is no text; save the list as CSV in UTF-8")
    return text, name


def _encoding(data: bytes) -> str:
    for mark, name in MARKS:
        if data.startswith(mark):
            return name
    head = data[:4000]
    if len(head) > 3 and head[1::2].count(0) > 0.4 * len(head[1::2]):
        return "utf-16-le"
    if len(head) > 3 and head[0::2].count(0) > 0.4 * len(head[0::2]):
        return "utf-16-be"
    try:
        data.decode("utf-8")
    except UnicodeDecodeError:
        # five bytes mean nothing in the usual Windows page; a text that has them is older than that
        return "latin-1" if re.search(rb"[\x81\x8d\x8f\x90\x9d]", data) else "cp1252"
    return "utf-8"


def read_text(text: str, encoding: str = "a text") -> Sheet:
    """The rows of a text with cells parted by ; , | tabs, or gaps of two blanks and more."""
    sample = _logical(text[:200_000])[:300]
    separator = _separator(sample)
    if not separator:
        pairs: Iterable[tuple[int, list[str]]] = (
            (number, _GAP.split(line.strip())) for number, line in enumerate(_lines(text), start=1)
        )
        return _sheet(pairs, f"{encoding}, cells parted by gaps")
    has_quotes = '"' in text  # in all of it: the first may stand far below
    is_quoted = has_quotes and not _runs_away(text, separator)
    name = {"\t": "tabs"}.get(separator, f"'{separator}'")
    how = f"{encoding}, cells parted by {name}{', quotes as they stand' if has_quotes and not is_quoted else ''}"
    return _sheet(_records(_lines(text), separator, is_quoted), how)


def _logical(text: str) -> list[str]:
    return [line for line in re.split(r"\r\n|\r|\n", text) if line.strip()]


def _separator(sample: list[str]) -> str:
    """The separator that parts most rows into the same number of cells; empty where gaps do."""
    if not sample:
        raise InputError("is empty", remedy="name the file with the list")
    best, found = 0.0, ""
    for separator in SEPARATORS:
        try:
            counts = Counter(len(record) for record in csv.reader(sample, delimiter=separator))
        except csv.Error:
            counts = Counter(line.count(separator) + 1 for line in sample)
        width, often = max(counts.items(), key=lambda item: (item[1] * (item[0] > 1), item[0]))
        score = often / max(1, sum(counts.values())) * min(width, 12) if width > 1 else 0.0
        if separator == "," and any(";" in line or "\t" in line for line in sample):
            score *= 0.6  # a comma beside of these is a decimal comma more often
        if score > best:
            best, found = score, separator
    gaps = Counter(len(_GAP.split(line.strip())) for line in sample)
    width, often = max(gaps.items(), key=lambda item: (item[1] * (item[0] > 1), item[0]), default=(1, 0))
    if width > 2 and found != "\t" and often / max(1, len(sample)) * min(width, 12) > best:
        return ""
    return found or ","


def _runs_away(text: str, separator: str) -> bool:
    """Whether a quote that never closes swallows lines: inch marks do that."""
    try:
        records = _records(_lines(text), separator, True)
        return any(sum(cell.count("\n") for cell in record) > 8 for _, record in records)
    except InputError:
        return True


_LINE = re.compile(r"[^\r\n]*(?:\r\n|\r|\n)|[^\r\n]+")


def _lines(text: str) -> Iterator[str]:
    """The lines of a text with their ends, one at a time: a file object would hold each character in four bytes."""
    return (match[0] for match in _LINE.finditer(text))


def _records(lines: Iterable[str], separator: str, is_quoted: bool) -> Iterator[tuple[int, list[str]]]:
    reader = csv.reader(lines, delimiter=separator, quoting=csv.QUOTE_MINIMAL if is_quoted else csv.QUOTE_NONE)
    line = 1
    try:
        for record in reader:
            yield line, record
            line = reader.line_num + 1
    except csv.Error as error:
        raise InputError(f"cannot be read from line {line} on: {error}", remedy="save the list as CSV anew") from None


def _sheet(records: Iterable[tuple[int, list[str]]], how: str) -> Sheet:
    rows, lines, filled = [], [], 0
    known: dict[str, str] = {}  # lists say the same again and again; each text is held once
    for line, record in records:
        if line > MOST_LINES:
            raise InputError(f"goes on beyond line {MOST_LINES}", remedy="save it anew without its empty rows")
        if len(record) > MOST_CELLS and any(cell.strip() for cell in record[MOST_CELLS:]):
            what = f"has {len(record)} cells on line {line}"
            raise InputError(what, remedy=f"at most {MOST_CELLS} are read: split the list")
        cells = tuple(_cell(cell, line, known) for cell in record[:MOST_CELLS])
        if any(cells) and not all(_RULE.fullmatch(cell) for cell in cells if cell):
            rows.append(cells)
            lines.append(line)
            filled += len(cells)
            if len(rows) > MOST_ROWS:
                raise InputError(f"has more than {MOST_ROWS} rows", remedy="split the list, or take what you use of it")
            if filled > MOST_FILLED:
                remedy = "leave out the columns that nothing is read from, or split the list"
                raise InputError(f"has more than {MOST_FILLED} cells", remedy=remedy)
    return Sheet(rows, lines, how)


_BLANK = re.compile(r"[\s\u200b\ufeff]+")


def _cell(text: str, line: int, known: dict[str, str]) -> str:
    if cell := known.get(text):
        return cell
    if len(text) > LONGEST_CELL:
        what = f"has a cell of {len(text)} characters on line {line}"
        raise InputError(what, remedy=f"at most {LONGEST_CELL} are read")
    cell = _BLANK.sub(" ", text).strip()
    return known.setdefault(text, cell) if len(known) < 20_000 else cell


def sheet_of(records: Iterable[tuple[int, list[str]]], how: str) -> Sheet:
    """The same bounds and cleaning for rows of a workbook."""
    return _sheet(records, how)
