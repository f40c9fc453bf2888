"""A catalog: a CSV file of parts, one per row, each with its source.

The column ``part`` holds the key (``cable:thinwall-2.5``); the other columns are those of the part kind's row schema.
Lines that begin with ``#`` are remarks. A catalog is read when a part of it is first asked for.
"""

from __future__ import annotations

import csv
import importlib.resources
import io
from dataclasses import dataclass
from pathlib import Path as FilePath

from rigfeed.errors import CatalogError, FileProblem, Place
from rigfeed.files import read_bytes

MOST_BYTES = 64 * 2**20


@dataclass(frozen=True)
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
        FileProblem
            If the package or the file is not there.
        """
        try:
            return importlib.resources.files(self.package).joinpath(self.path).read_text(encoding="utf-8")
        except (OSError, ImportError, UnicodeDecodeError) as error:
            raise FileProblem(f"cannot be read: {error}", place=Place(file=self.where)) from error


@dataclass(frozen=True)
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
        try:
            return read_bytes(self.path, most=MOST_BYTES).decode("utf-8-sig")
        except UnicodeDecodeError:
            raise CatalogError("is not UTF-8 text", place=Place(file=self.where), remedy="save it as UTF-8") from None


CatalogFile = Resource | LocalFile


@dataclass(frozen=True)
class Row:
    """One row as it stands in the file: the columns that are not empty."""

    kind: str
    id: str
    cells: dict[str, str]
    catalog: str
    where: str
    line: int


def read_rows(file: CatalogFile) -> list[Row]:
    """All rows of a catalog, not yet held against the schema of their kind.

    Raises
    ------
    FileProblem, CatalogError
        If it cannot be read, has no header, a row of another length, or a key twice.
    """
    lines = [(number, line) for number, line in enumerate(file.text().splitlines(), start=1)]
    kept = [(number, line) for number, line in lines if line.strip() and not line.startswith("#")]
    if not kept:
        raise CatalogError("is empty", place=Place(file=file.where), remedy="the first line names the columns")
    reader = csv.reader(io.StringIO("\n".join(line for _, line in kept)), strict=True)
    try:
        header, *records = list(reader)
    except csv.Error as error:
        raise CatalogError(f"is not CSV: {error}", place=Place(file=file.where)) from None
    header = [name.strip() for name in header]
    if "part" not in header:
        raise CatalogError(
            "has no column 'part'", place=Place(file=file.where, line=kept[0][0]),
            remedy="the first line names the columns; 'part' holds keys such as cable:thinwall-2.5",
        )  # fmt: skip
    rows: dict[tuple[str, str], Row] = {}
    for (number, _), record in zip(kept[1:], records, strict=False):
        row = _row(file, number, header, record)
        if (row.kind, row.id.lower()) in rows:
            raise CatalogError(
                f"{row.kind}:{row.id} stands twice, first on line {rows[row.kind, row.id.lower()].line}",
                place=Place(file=file.where, line=number),
            )
        rows[row.kind, row.id.lower()] = row
    return list(rows.values())


def _row(file: CatalogFile, number: int, header: list[str], record: list[str]) -> Row:
    place = Place(file=file.where, line=number)
    if len(record) != len(header):
        remedy = "put cells with commas in double quotes"
        raise CatalogError(f"has {len(record)} cells, the header {len(header)}", place=place, remedy=remedy)
    cells = {name: cell.strip() for name, cell in zip(header, record, strict=True) if cell.strip()}
    kind, colon, id_ = cells.pop("part", "").partition(":")
    if not colon or not kind or not id_:
        raise CatalogError("has no part key", place=place, remedy="write kind:row, for instance cable:thinwall-2.5")
    return Row(kind, id_, cells, file.name, file.where, number)
