"""Tables as a workbook (ISO/IEC 29500, "xlsx") to print, pin up and calculate with; same tables, same bytes.

The spreadsheet library is loaded when a workbook is written, not before.
"""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Iterable, Sequence
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from rigfeed.files import replace_file
from rigfeed.papers.front import Front, fill_front
from rigfeed.papers.layout import Paper
from rigfeed.papers.letters import visible
from rigfeed.papers.look import look
from rigfeed.papers.sheet import Surround, fill
from rigfeed.papers.table import Table
from rigfeed.quantity import System

if TYPE_CHECKING:
    from openpyxl import Workbook

LONGEST_SHEET_NAME = 31
_NOT_IN_NAMES = re.compile(r"[\[\]:*?/\\\s]+")
_DATE = datetime(1980, 1, 1)  # of the document and of every part of it: the first that a zip file can hold
_APPLICATION = (
    b'<Properties xmlns="http://schemas.openxmlformats.org/officeDocument/2006/extended-properties">'
    b"<Application>rigfeed</Application></Properties>"
)


def write_workbook(
    path: str | Path,
    tables: Sequence[Table],
    *,
    job: str,
    cautions: tuple[str, ...] = (),
    system: System = "metric",
    paper: Paper = "A4",
    front: Front | None = None,
) -> None:
    """Write `workbook_bytes` as a file, whole or not at all; FileProblem if that fails."""
    replace_file(path, workbook_bytes(tables, job=job, cautions=cautions, system=system, paper=paper, front=front))


def workbook_bytes(
    tables: Sequence[Table],
    *,
    job: str,
    cautions: tuple[str, ...] = (),
    system: System = "metric",
    paper: Paper = "A4",
    front: Front | None = None,
) -> bytes:
    """Tables as a workbook of one sheet each, behind a first sheet that says what it is all about, if `front` is given.

    Numbers are written in full, in the units of `system` that the headings name, and shown with three significant
    digits at least; texts are typed as texts. `job` stands under each title and in the footer, `cautions` below each
    table with a line above it that points there. Wide tables lie on their side; all are one page wide.

    Raises
    ------
    ValueError
        If there is no table, or a number of rows that no sheet can hold.
    """
    from openpyxl import Workbook

    if not tables:
        raise ValueError("a workbook needs a table")
    book = Workbook()
    book.remove(book.active)
    # Column widths count in digits of this style's font; the library has no public way to it.
    book._named_styles["Normal"].font = look().plain
    book.calculation.fullCalcOnLoad = False  # there are no formulas, and closing should not ask to save
    names = sheet_names([*([front.name] if front else []), *(table.title for table in tables)])
    surround = Surround(job, cautions, system, paper)
    if front:
        fill_front(book.create_sheet(names.pop(0)), front, tables, names, surround)
    for table, name in zip(tables, names, strict=True):
        fill(book.create_sheet(name), table, surround)
    book.properties.creator, book.properties.title = "rigfeed", visible(job)
    return _packed(book)


def sheet_names(titles: Iterable[str]) -> list[str]:
    """Names that a spreadsheet program accepts: short, without reserved characters, different even ignoring case.

    >>> sheet_names(["Cut list", "cut list", "W1/W2: ends?", ""])
    ['Cut list', 'cut list (2)', 'W1 W2 ends', 'Sheet']
    """
    names: list[str] = []
    taken = {"history"}  # reserved by a spreadsheet program
    for title in titles:
        base = _NOT_IN_NAMES.sub(" ", visible(title)).strip(" '") or "Sheet"
        name, number = _short(base), 1
        while name.casefold() in taken:
            number += 1
            name = _short(base, f" ({number})")
        taken.add(name.casefold())
        names.append(name)
    return names


def _short(base: str, ending: str = "") -> str:
    units = base.encode("utf-16-le")[: 2 * (LONGEST_SHEET_NAME - len(ending))]
    return units.decode("utf-16-le", errors="ignore").rstrip(" '") + ending


def _packed(book: Workbook) -> bytes:
    """The saved workbook with nothing in it that depends on the clock or the machine."""
    from openpyxl.xml.functions import tostring

    saved = io.BytesIO()
    book.save(saved)
    book.properties.created = book.properties.modified = _DATE
    replaced = {"docProps/core.xml": tostring(book.properties.to_tree()), "docProps/app.xml": _APPLICATION}
    packed = io.BytesIO()
    with zipfile.ZipFile(saved) as old, zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED, compresslevel=9) as new:
        for name in sorted(old.namelist(), key=lambda name: (name != "[Content_Types].xml", name)):
            part = zipfile.ZipInfo(name, _DATE.timetuple()[:6])
            part.compress_type, part.create_system, part.external_attr = zipfile.ZIP_DEFLATED, 3, 0o644 << 16
            new.writestr(part, replaced.get(name) or old.read(name))
    return packed.getvalue()
