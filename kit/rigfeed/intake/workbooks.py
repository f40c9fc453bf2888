"""Workbooks: XLSX and ODS as rows of texts, from files that may have been made to harm.

A workbook is a zip file of XML. Before anything is read, the sizes that the zip file states are added up (it yields no
more than it states). Its XML goes by piece by piece and is never held; one with a document type is refused: without
one there are no entities to expand.
"""

from __future__ import annotations

import io
import posixpath
import zipfile
from collections.abc import Callable
from typing import Protocol
from xml.parsers import expat

from rigfeed.errors import InputError
from rigfeed.intake.reading import Sheet, Tell, sheet_of

Row = tuple[int, list[str]]  # its number and its texts

MOST_UNPACKED = 160 * 2**20
MOST_MEMBERS = 2000
MOST_ELEMENTS = 12_000_000  # 200000 rows of twenty cells
MOST_DEEP = 100
LONGEST_TAG = 2**18
CHUNK = 2**16
REMEDY = "save the sheet with the list as CSV"


class Handler(Protocol):
    """What wants to know of the elements of an XML text; names are those without their namespace."""

    def start(self, name: str, attributes: dict[str, str]) -> None:
        """An element begins."""

    def end(self, name: str) -> None:
        """An element ends."""

    def text(self, text: str) -> None:
        """A piece of text."""


def read_workbook(data: bytes, tell: Tell | None = None) -> Sheet:
    """The rows of the sheet with most cells.

    Raises
    ------
    InputError
        If it is no workbook, would unpack to too much, has a document type, or too many rows.
    Cancelled
        If `tell` raises it.
    """
    from rigfeed.intake.ods import ods_rows
    from rigfeed.intake.xlsx import xlsx_rows

    try:
        archive = zipfile.ZipFile(io.BytesIO(data))
        names = _guarded(archive)
        if "xl/workbook.xml" not in names and "content.xml" not in names:
            raise InputError("is a zip file, but no workbook", remedy="unpack it and name the list inside")
        is_xlsx = "xl/workbook.xml" in names
        rows, title = xlsx_rows(archive, names, tell) if is_xlsx else ods_rows(archive, tell)
    except (zipfile.BadZipFile, NotImplementedError, RuntimeError, EOFError, KeyError, OSError) as error:
        raise InputError(f"is a broken workbook: {error}", remedy="open and save it anew, or save it as CSV") from None
    return sheet_of(rows, f"workbook, sheet {title!r}")


def _guarded(archive: zipfile.ZipFile) -> frozenset[str]:
    """The names of the parts of a workbook of a bearable size."""
    members = archive.infolist()
    whole = sum(member.file_size for member in members)
    if whole > MOST_UNPACKED or len(members) > MOST_MEMBERS:
        raise InputError(f"unpacks to {whole / 2**20:.0f} MiB in {len(members)} parts", remedy=REMEDY)
    return frozenset(member.filename for member in members)


class Enough(Exception):
    """A handler has all that it wants."""


def parse(archive: zipfile.ZipFile, name: str, handler: Handler, tell: Tell | None = None) -> None:
    """Let the XML of a part go by; `tell` is told how far it is, and may raise `Cancelled`.

    Raises
    ------
    InputError
        If it is broken, has a document type, or more elements, depth or length of a tag than a workbook has.
    """
    parser = expat.ParserCreate(namespace_separator=" ")
    parser.buffer_text = True
    parser.StartDoctypeDeclHandler = _refuse_document_type(name)
    parser.StartElementHandler, parser.EndElementHandler = _counted(name, handler)
    parser.CharacterDataHandler = handler.text
    given, whole = 0, max(1, archive.getinfo(name).file_size)
    try:
        with archive.open(name) as part:
            while chunk := part.read(CHUNK):
                parser.Parse(chunk)
                given += len(chunk)
                if tell:
                    tell(min(1.0, given / whole), f"the workbook, {posixpath.basename(name)}")
                if given - max(parser.CurrentByteIndex, 0) > LONGEST_TAG:
                    raise InputError(f"has an element without end in {name}", remedy=REMEDY)
            parser.Parse(b"", True)
    except expat.ExpatError as error:
        what = f"is a broken workbook: {name}: {error}"
        raise InputError(what, remedy="open and save it anew, or save it as CSV") from None
    except Enough:
        return


def _refuse_document_type(name: str) -> Callable[..., None]:
    def refuse(*_: object) -> None:
        raise InputError(f"has a document type in {name}", remedy="no workbook needs one; save the list as CSV")

    return refuse


def _counted(name: str, handler: Handler) -> tuple[Callable[[str, dict[str, str]], None], Callable[[str], None]]:
    count = depth = 0

    def start(element: str, attributes: dict[str, str]) -> None:
        nonlocal count, depth
        count += 1
        depth += 1
        if count > MOST_ELEMENTS or depth > MOST_DEEP:
            what = f"more than {MOST_ELEMENTS} elements" if depth <= MOST_DEEP else "elements too deep in each other"
            raise InputError(f"has {what} in {name}", remedy=REMEDY)
        handler.start(element.rpartition(" ")[2], attributes)

    def end(element: str) -> None:
        nonlocal depth
        depth -= 1
        handler.end(element.rpartition(" ")[2])

    return start, end
