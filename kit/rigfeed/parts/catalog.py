"""A catalog: a CSV file of parts, one per row, each with its source.

The column ``part`` holds the key (``cable:thinwall-2.5``); the other columns are those of the part kind's row schema.
Lines that begin with ``#`` are remarks; a row is one line. A catalog is read when a part of it is first asked for.
"""

from __future__ import annotations

import csv
import importlib.resources
import re
from collections.abc import Iterator
from pathlib import Path as FilePath

from rigfeed.errors import CatalogError, FileProblem, Place
from rigfeed.fields import PART_KEY
from rigfeed.files import read_bytes
from rigfeed.frozen import frozen

MOST_BYTES = 64 * 2**20
NAME = re.compile(r"[A-Za-z0-9_-]+")
LIKE = "write kind:row, for instance cable:thinwall-2.5"


@frozen
class Resource:
    """A data file inside an installed package, by name; nothing is imported until it is read."""

    package: str
    path: str

    @property
    def name(self) -> str:
        """The name of the file without its folder and ending."""
        return self.path.rsplit("/", 1)[-1].rsplit(".", 1)[0]

    @property
    def where(self) -> str:
        """For the errors."""
        return f"{self.package}/{self.path}"

    def text(self) -> str:
        """The content.

        Raises
        ------
        FileProblem, CatalogError
            If the package or the file is not there, or is not UTF-8.
        """
        try:
            data = importlib.resources.files(self.package).joinpath(self.path).read_bytes()
        except (OSError, ImportError) as error:
            raise FileProblem(f"cannot be read: {error}", place=Place(file=self.where)) from error
        return _decoded(data, self.where)


@frozen
class LocalFile:
    """A data file on the disk: beside a design, or a user's own."""

    path: FilePath

    @property
    def name(self) -> str:
        """The name of the file without its folder and ending."""
        return self.path.stem

    @property
    def where(self) -> str:
        """For the errors."""
        return str(self.path)

    def text(self) -> str:
        """The content; raises FileProblem or CatalogError if it cannot be read or is not UTF-8."""
        return _decoded(read_bytes(self.path, most=MOST_BYTES), self.where)


def _decoded(data: bytes, where: str) -> str:
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise CatalogError("is not UTF-8 text", place=Place(where, line), remedy="save it as UTF-8") from None


CatalogFile = Resource | LocalFile


@frozen
class Row:
    """One row as it stands in the file: the columns that are not empty."""

    kind: str
    id: str
    cells: dict[str, str]
    catalog: str
    where: str
    line: int


def read_rows(file: CatalogFile) -> list[Row]:
    """All rows of a catalog, not yet held against the schema of their kind; raises what `each_row` raises."""
    return list(each_row(file))


def each_row(file: CatalogFile) -> Iterator[Row]:
    """The same, one row at a time.

    Raises
    ------
    FileProblem, CatalogError
        If it cannot be read, has no header, a row of another length, quotes that do not close, or a key twice.
    """
    if not NAME.fullmatch(file.name):
        remedy = "rename it: letters, digits, - and _ only, since its name stands in the keys of its parts"
        raise CatalogError(f"has a name, {file.name!r}, that no key can hold", place=Place(file.where), remedy=remedy)
    records = _records(file)
    number, header = next(records, (0, []))
    if not header:
        raise CatalogError("is empty", place=Place(file.where), remedy="the first line names the columns")
    _check_header(header, Place(file.where, number))
    lines: dict[tuple[str, str], int] = {}
    for number, record in records:
        row = _row(file, number, header, record)
        first = lines.setdefault((row.kind, row.id.lower()), number)
        if first != number:
            what = f"{row.kind}:{row.id} stands twice, first on line {first}"
            remedy = "give one of them another name; capitals make no difference"
            raise CatalogError(what, place=Place(file.where, number), remedy=remedy)
        yield row


def _records(file: CatalogFile) -> Iterator[tuple[int, list[str]]]:
    """The cells of each line that is no remark, with its number; the first is the header."""
    for number, line in enumerate(_lines(file.text()), start=1):
        if not line.strip() or line.startswith("#"):
            continue
        try:
            (record,) = csv.reader([line], strict=True)
        except csv.Error as error:
            remedy = 'close the double quotes on the same line, and write a double quote inside of them as ""'
            raise CatalogError(f"is not CSV: {error}", place=Place(file.where, number), remedy=remedy) from None
        yield number, [cell.strip() for cell in record]


def _lines(text: str) -> list[str]:
    """The lines as an editor counts them; `str.splitlines` breaks at form feeds and other rare characters too."""
    return text.replace("\r\n", "\n").replace("\r", "\n").split("\n")


def _check_header(header: list[str], place: Place) -> None:
    if "part" not in header:
        with_commas = "the first line names the columns; 'part' holds keys such as cable:thinwall-2.5"
        remedy = "separate the cells by commas" if len(header) == 1 and re.search("[;\t]", header[0]) else with_commas
        raise CatalogError("has no column 'part'", place=place, remedy=remedy)
    twice = next((name for number, name in enumerate(header) if name and name in header[:number]), None)
    if twice:
        raise CatalogError(f"has two columns {twice!r}", place=place, remedy="rename or remove one of them")


def _row(file: CatalogFile, number: int, header: list[str], record: list[str]) -> Row:
    place = Place(file.where, number)
    if len(record) != len(header):
        remedy = "put cells with commas in double quotes"
        raise CatalogError(f"has {len(record)} cells, the header {len(header)}", place=place, remedy=remedy)
    cells = {name: cell for name, cell in zip(header, record, strict=True) if cell}
    if "" in cells:
        what = f"has a cell {cells['']!r} in a column without a name"
        raise CatalogError(what, place=place, remedy="name the column in the first line, or empty the cell")
    key = cells.pop("part", "")
    match = PART_KEY.fullmatch(key)
    if not match or match["row"] is None or match["catalog"]:
        raise CatalogError(f"has no part key, but {key!r}" if key else "has no part key", place=place, remedy=LIKE)
    return Row(match["kind"], match["row"], cells, file.name, file.where, number)
