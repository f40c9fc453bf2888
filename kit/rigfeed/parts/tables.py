"""The rows of one catalog, to be looked up by key or by properties: read whole, or by way of an index on the disk.

A large catalog (a supplier's, with tens of thousands of rows) is indexed once in the cache folder of the user; after
that, opening it and looking up a row costs milliseconds. The index is made anew when the file has changed.
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator
from contextlib import suppress
from functools import cached_property
from pathlib import Path as FilePath
from typing import TYPE_CHECKING, Protocol

from rigfeed.frozen import frozen
from rigfeed.parts.catalog import CatalogFile, LocalFile, Row, read_rows

if TYPE_CHECKING:
    import sqlite3

INDEX_FROM_BYTES = 2**20
INDEX_FORMAT = "1"


@frozen
class Want:
    """What a column must hold: a number from `least` to `most`, or the very text `equal`."""

    column: str
    least: float | None = None
    most: float | None = None
    equal: str | None = None

    def holds(self, row: Row) -> bool:
        """Whether a row has it; one without the column has not."""
        cell = row.cells.get(self.column)
        if cell is None:
            return False
        if self.equal is not None:
            return cell == self.equal
        value = number_in(cell)
        if value is None:
            return False
        return (self.least is None or value >= self.least) and (self.most is None or value <= self.most)


def number_in(cell: str | None) -> float | None:
    """The number of a cell; None for a text."""
    with suppress(ValueError, TypeError):
        return float(cell)  # type: ignore[arg-type]
    return None


class Rows(Protocol):
    """The rows of one catalog."""

    def get(self, kind: str, row: str) -> Row | None:
        """The row of a key, whatever its capitals."""
        ...

    def ids(self, kind: str) -> Iterable[str]:
        """The ids of all rows of a kind."""
        ...

    def kinds(self) -> Iterable[str]:
        """The kinds of which it has rows."""
        ...

    def search(self, kind: str, wants: tuple[Want, ...], by: str) -> Iterator[Row]:
        """The rows of a kind that have all that is wanted, by the number in a column, the smallest first."""
        ...


class ReadRows:
    """A catalog read whole."""

    def __init__(self, file: CatalogFile) -> None:
        self._rows = {(row.kind, row.id.lower()): row for row in read_rows(file)}

    def get(self, kind: str, row: str) -> Row | None:
        return self._rows.get((kind, row.lower()))

    def ids(self, kind: str) -> Iterable[str]:
        return [row.id for row in self._rows.values() if row.kind == kind]

    def kinds(self) -> Iterable[str]:
        return dict.fromkeys(kind for kind, _ in self._rows)

    def search(self, kind: str, wants: tuple[Want, ...], by: str) -> Iterator[Row]:
        found = []
        for row in self._rows.values():
            value = number_in(row.cells.get(by))
            if row.kind == kind and value is not None and all(want.holds(row) for want in wants):
                found.append((value, row.id, row))
        yield from (row for _, _, row in sorted(found, key=lambda item: item[:2]))


class LateRows:
    """A catalog of a plugin: its text is at hand, its rows are read when one of them is wanted.

    A design names a few parts out of dozens of catalogs; most of these need no more than a glance whether the key is in
    the text. What is wrong in the text raises when it is read.
    """

    def __init__(self, file: CatalogFile) -> None:
        self._file, self._text = file, file.text().lower()

    @cached_property
    def _rows(self) -> ReadRows:
        return ReadRows(self._file)

    def get(self, kind: str, row: str) -> Row | None:
        return self._rows.get(kind, row) if f"{kind}:{row.lower()}" in self._text else None

    def ids(self, kind: str) -> Iterable[str]:
        return self._rows.ids(kind) if f"{kind}:" in self._text else ()

    def kinds(self) -> Iterable[str]:
        return self._rows.kinds()

    def search(self, kind: str, wants: tuple[Want, ...], by: str) -> Iterator[Row]:
        return self._rows.search(kind, wants, by) if f"{kind}:" in self._text else iter(())


class IndexedRows:
    """A catalog on the disk with its index."""

    def __init__(self, file: LocalFile, database: FilePath) -> None:
        self._file = file
        import sqlite3

        # no lock and no journal: an index is never changed, only replaced
        self._open = sqlite3.connect(f"file:{database}?mode=ro&immutable=1", uri=True, check_same_thread=False)

    def get(self, kind: str, row: str) -> Row | None:
        query = "SELECT kind, id, line, cells FROM part WHERE kind = ? AND lower = ?"
        found = self._open.execute(query, (kind, row.lower())).fetchone()
        return self._row(found) if found else None

    def ids(self, kind: str) -> Iterable[str]:
        return [id_ for (id_,) in self._open.execute("SELECT id FROM part WHERE kind = ?", (kind,))]

    def kinds(self) -> Iterable[str]:
        return [kind for (kind,) in self._open.execute("SELECT DISTINCT kind FROM part ORDER BY kind")]

    def search(self, kind: str, wants: tuple[Want, ...], by: str) -> Iterator[Row]:
        low = max((want.least for want in wants if want.column == by and want.least is not None), default=-1e300)
        high = min((want.most for want in wants if want.column == by and want.most is not None), default=1e300)
        query = (
            "SELECT part.kind, part.id, part.line, part.cells FROM figure JOIN part ON part.number = figure.part "
            "WHERE figure.kind = ? AND figure.name = ? AND figure.value BETWEEN ? AND ? ORDER BY figure.value, part.id"
        )
        for found in self._open.execute(query, (kind, by, low, high)):
            row = self._row(found)
            if all(want.holds(row) for want in wants):
                yield row

    def _row(self, found: tuple[str, str, int, str]) -> Row:
        import json

        kind, id_, line, cells = found
        return Row(kind, id_, json.loads(cells), self._file.name, self._file.where, line)


def open_rows(file: CatalogFile) -> Rows:
    """The rows of a person's catalog, by way of an index where it is large.

    Raises
    ------
    FileProblem, CatalogError
        As `read_rows`.
    """
    if not isinstance(file, LocalFile):
        return ReadRows(file)
    try:
        about = file.path.stat()
    except OSError:
        return ReadRows(file)  # which says what is wrong
    if about.st_size < INDEX_FROM_BYTES:
        return ReadRows(file)
    database = _index_of(file.path, about)
    if not database.exists():
        import sqlite3

        rows = read_rows(file)
        try:
            _build(database, rows)
        except (OSError, sqlite3.Error):
            return ReadRows(file)  # nowhere to keep an index: slower, not wrong
    return IndexedRows(file, database)


def _index_of(path: FilePath, about: os.stat_result) -> FilePath:
    """Where the index of a file in its present state is: its name changes when the file does."""
    import platformdirs

    whole = f"{INDEX_FORMAT}\0{path.resolve()}"
    state = f"{about.st_mtime_ns}\0{about.st_size}"
    folder = platformdirs.user_cache_path("rigfeed") / "catalogs"
    return folder / f"{_digest(whole)}-{_digest(state)}.sqlite"


def _digest(text: str) -> str:
    import hashlib

    return hashlib.sha256(text.encode()).hexdigest()[:24]


def _build(database: FilePath, rows: list[Row]) -> None:
    import secrets
    import sqlite3

    database.parent.mkdir(parents=True, exist_ok=True)
    beside = database.with_name(f"{database.name}.{secrets.token_hex(8)}.new")
    try:
        connection = sqlite3.connect(beside)
        try:
            with connection:
                connection.execute("PRAGMA journal_mode = OFF")
                _fill(connection, rows)
        finally:
            connection.close()
        os.replace(beside, database)
    finally:
        with suppress(OSError):
            beside.unlink()
    for old in database.parent.glob(f"{database.name.split('-')[0]}-*.sqlite"):
        if old != database:
            with suppress(OSError):
                old.unlink()


def _fill(connection: sqlite3.Connection, rows: list[Row]) -> None:
    import json

    connection.execute("CREATE TABLE part (number INTEGER PRIMARY KEY, kind, lower, id, line INTEGER, cells)")
    connection.execute("CREATE TABLE figure (kind, name, value REAL, part INTEGER)")
    connection.executemany(
        "INSERT INTO part VALUES (?, ?, ?, ?, ?, ?)",
        ((n, r.kind, r.id.lower(), r.id, r.line, json.dumps(r.cells)) for n, r in enumerate(rows)),
    )
    connection.executemany(
        "INSERT INTO figure VALUES (?, ?, ?, ?)",
        (
            (row.kind, name, value, number)
            for number, row in enumerate(rows)
            for name, cell in row.cells.items()
            if (value := number_in(cell)) is not None
        ),
    )
    connection.execute("CREATE UNIQUE INDEX part_key ON part (kind, lower)")
    connection.execute("CREATE INDEX figure_value ON figure (kind, name, value, part)")
