"""Tables as comma-separated values: RFC 4180, UTF-8, a heading line and the rows.

Decided here:

* No byte order mark. Programs that read the file would find it glued to the first heading, and UTF-8 needs none. The
  workbook is the form for people.
* Numbers have nine significant digits and a point, in the unit that the heading names. What is missing is empty.
* Title and notes stay out: a line that is no row breaks whoever reads the rows.
* A text never becomes a formula. Spreadsheet programs run a cell that begins with = + - @, also after blanks, and split
  the line at ; or tab where that is the custom of the country, even within quotes. So an apostrophe, the trade's mark
  for "this is text", goes before each such beginning: at the start of the cell, and after ; tab or line break. A text
  that has an apostrophe there gets another one, so `unguarded` gives back every text exactly. Numbers are never
  guarded; let the first column be a name.
"""

from __future__ import annotations

import csv
import io
import re
from pathlib import Path

from rigfeed.files import replace_file
from rigfeed.papers.letters import visible
from rigfeed.papers.table import Cell, Table, cells, headings, nine_digits
from rigfeed.quantity import System

_START = r"(?:\A|(?<=[;\t\r\n]))"
_BLANKS = r"[^\S\t\r\n]"
_RISKY = re.compile(rf"{_START}(?=(?:{_BLANKS}|\")*[=+\-@'＝＋－＠])|\A(?=[\t\r\n])")
_GUARD = re.compile(rf"{_START}'")


def guarded(text: str) -> str:
    """A text that no spreadsheet program takes for a formula.

    >>> guarded("=1+1"), guarded("+12 V; -3 dB"), guarded("F1 to hf.pos")
    ("'=1+1", "'+12 V;' -3 dB", 'F1 to hf.pos')
    """
    return _RISKY.sub("'", text)


def unguarded(text: str) -> str:
    """The text that `guarded` was given.

    >>> unguarded("'=1+1")
    '=1+1'
    """
    return _GUARD.sub("", text)


def csv_text(table: Table, *, system: System = "metric") -> str:
    r"""A table as RFC 4180 text: headings with units, then the rows, each line ended by CR LF.

    >>> from rigfeed.papers.table import Column
    >>> csv_text(Table("cuts", "Cuts", (Column("id", "id"), Column("l", "length", "m")), (("W1", 2.5),)), system="us")
    'id,length [ft]\r\nW1,8.20209974\r\n'
    """
    lines = io.StringIO(newline="")
    writer = csv.writer(lines, lineterminator="\r\n")
    writer.writerow([_field(text) for text in headings(table, system)])
    for row in cells(table, system):
        writer.writerow([_field(value) for value in row])
    return lines.getvalue()


def write_csv(path: str | Path, table: Table, *, system: System = "metric") -> None:
    """Write a table as a file of comma-separated values, whole or not at all; FileProblem if that fails."""
    replace_file(path, csv_text(table, system=system).encode("utf-8"))


def _field(value: Cell) -> str:
    if value is None:
        return ""
    if isinstance(value, str):
        return guarded(visible(value))
    if isinstance(value, int):
        return str(value)
    return repr(nine_digits(value)).removesuffix(".0")
