"""The file of the store: opened with what makes a write that was answered stay, whenever the machine stops.

A write-ahead log with ``synchronous = FULL``: a commit returns when its pages are on the disk. Writers take the lock of
the file when they begin, so that none finds out at its end that another was faster.
"""

from __future__ import annotations

import os
import sqlite3
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from datetime import UTC, datetime
from errno import ENOSPC
from pathlib import Path
from typing import Any

from sqlalchemy import URL, Connection, create_engine, event
from sqlalchemy.exc import DBAPIError
from sqlalchemy.orm import Session

from rigfeed.errors import Place
from rigfeed_api.store.errors import StoreFull, StoreProblem
from rigfeed_api.store.models import VERSION, Base

FILE = "designs.sqlite"
PATIENCE_S = 10.0  # that a writer waits for the others


class Database:
    """One file; threads share it, and so may other processes."""

    def __init__(self, folder: Path) -> None:
        """Open the file in a folder; both are made where they are missing, for their owner only.

        Raises
        ------
        StoreProblem
            If that cannot be done, or a later version made the file.
        """
        self.path = folder / FILE
        self._turn = threading.Lock()  # SQLite lets waiting writers in by chance; a lock lets them in one by one
        with self._told("cannot be opened"):
            _prepare(self.path)
            self._engine = create_engine(
                URL.create("sqlite", database=str(self.path)), pool_size=8, max_overflow=-1,
                connect_args={"timeout": PATIENCE_S},
            )
            event.listen(self._engine, "connect", _set_up)
            event.listen(self._engine, "begin", _begin)
        self._writer = self._engine.execution_options(rigfeed_begin="BEGIN IMMEDIATE")
        try:
            self._make_tables()
        except BaseException:
            self.close()
            raise

    def _make_tables(self) -> None:
        with self._told("cannot be opened"), self._writer.begin() as connection:
            version = int(connection.exec_driver_sql("PRAGMA user_version").scalar_one())
            if version > VERSION:
                remedy = "update, or name another folder"
                raise StoreProblem("a later version made this store", place=Place(file=str(self.path)), remedy=remedy)
            if version < VERSION:
                Base.metadata.create_all(connection)
                connection.exec_driver_sql(f"PRAGMA user_version = {VERSION}")

    @contextmanager
    def reading(self) -> Iterator[Session]:
        """A session that sees the file as it is now, throughout; raises StoreProblem."""
        with self._told("cannot be read"), Session(self._engine) as session, session.begin():
            yield session

    @contextmanager
    def writing(self) -> Iterator[Session]:
        """A session that no other writer comes between; what it did is on the disk when this ends without an error.

        Raises
        ------
        StoreProblem
            If the file cannot be written, or others have kept it for too long.
        """
        if not self._turn.acquire(timeout=PATIENCE_S):
            raise StoreProblem("too many write at once", place=Place(file=str(self.path)), remedy="try again later")
        try:
            with self._told("cannot be written"), Session(self._writer) as session, session.begin():
                yield session
        finally:
            self._turn.release()

    @contextmanager
    def _told(self, what: str) -> Iterator[None]:
        try:
            yield
        except StoreProblem:
            raise
        except (DBAPIError, OSError) as error:
            reason = error.orig if isinstance(error, DBAPIError) else error
            if _is_full(reason):
                place, remedy = Place(file=str(self.path)), "make room on the disk, or move the folder to a larger one"
                raise StoreFull("the disk is full", place=place, remedy=remedy) from error
            remedy = "see whether the folder exists, is yours, and has room"
            raise StoreProblem(f"{what}: {reason}", place=Place(file=str(self.path)), remedy=remedy) from error

    def close(self) -> None:
        """Close all connections that no thread uses now."""
        self._engine.dispose()


def now() -> str:
    """The time as the store keeps it: UTC, ISO 8601, to the microsecond."""
    return datetime.now(UTC).isoformat(timespec="microseconds").replace("+00:00", "Z")


def _is_full(error: BaseException | None) -> bool:
    return getattr(error, "sqlite_errorcode", None) == sqlite3.SQLITE_FULL or getattr(error, "errno", None) == ENOSPC


def _prepare(path: Path) -> None:
    """The folder and an empty file, readable by their owner only: designs name customers."""
    path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    with suppress(FileExistsError):
        os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_RDWR, 0o600))


def _set_up(connection: sqlite3.Connection, record: Any) -> None:
    connection.isolation_level = None  # transactions begin where `_begin` says, not where the driver thinks fit
    mode = connection.execute("PRAGMA journal_mode = WAL").fetchone()[0]
    if mode != "wal":
        raise sqlite3.OperationalError("this file system has no write-ahead log; name a folder on a local disk")
    connection.execute("PRAGMA synchronous = FULL")
    connection.execute("PRAGMA foreign_keys = ON")


def _begin(connection: Connection) -> None:
    connection.exec_driver_sql(connection.get_execution_options().get("rigfeed_begin", "BEGIN"))
