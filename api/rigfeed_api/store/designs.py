"""Stored designs: each change makes a revision, none is ever lost or overwritten.

Whoever changes a design says which revision it was that they read; where another came in between, nothing is done.
"""

from __future__ import annotations

import hashlib
import secrets
from collections.abc import Callable, Mapping
from typing import Literal

from sqlalchemy import ColumnElement, func, select, update
from sqlalchemy.orm import Session

from rigfeed.design.model import Design
from rigfeed.frozen import frozen
from rigfeed_api.settings import Room
from rigfeed_api.store.database import Database, now
from rigfeed_api.store.errors import Changed, Deleted, NotKept, StoreFull, StoreProblem
from rigfeed_api.store.models import DesignRow, RevisionRow

How = Literal["created", "replaced", "edited"]
_LETTERS = "abcdefghijkmnpqrstuvwxyz23456789"
ID_LENGTH = 16  # letters of 5 bits: nobody guesses one, and no two meet
ROOM = Room()
MOST_TRIES = 20  # to change a design that others change too


@frozen
class Written:
    """A design and the TOML text that it stands in."""

    design: Design
    text: str


@frozen
class Record:
    """What there is to know of a stored design without reading it; times are UTC, as ISO 8601 writes them."""

    id: str
    revision: int
    title: str
    practice: str | None
    vehicle: str | None
    customer: str | None
    created: str
    changed: str
    deleted: str | None


@frozen
class Revision:
    """What there is to know of one revision. `by` is the name of the token that made it, None where none was asked."""

    id: str
    number: int
    digest: str
    size: int
    made: str
    by: str | None
    how: str

    @property
    def tag(self) -> str:
        """Tells this revision from every other one."""
        return f"{self.number}.{self.digest[:20]}"


@frozen
class Kept(Revision):
    """A revision with its text."""

    text: str


@frozen
class Wish:
    """Which of the stored designs to list: those after one, of this practice, with this text in title, vehicle or
    customer."""

    after: str | None = None
    most: int = 50
    contains: str = ""
    practice: str | None = None
    deleted: Literal["yes", "no"] = "no"


class Designs:
    """The designs of a store."""

    def __init__(self, database: Database, now: Callable[[], str] = now, room: Room = ROOM) -> None:
        self._database, self._now, self._room = database, now, room

    def create(self, new: Written, by: str | None = None) -> Kept:
        """Keep a new design as its first revision.

        Raises
        ------
        StoreFull
            If there is no room for it.
        StoreProblem
            If it cannot be written.
        """
        id_ = "".join(secrets.choice(_LETTERS) for _ in range(ID_LENGTH))
        made = self._now()
        with self._database.writing() as session:
            kept = session.scalar(select(func.max(DesignRow.serial))) or 0  # no row is ever removed
            self._must_have_room(session, new, "designs", kept, self._room.designs)
            row = DesignRow(id=id_, latest=1, created=made, changed=made, deleted=None, **_listed(new.design))
            session.add(row)
            session.flush()
            return _append(session, row, new, by=by, how="created", made=made)

    def latest(self, id_: str) -> Kept:
        """The latest revision of a design.

        Raises
        ------
        NotKept, Deleted
            If there is none.
        """
        with self._database.reading() as session:
            row = _row(session, id_)
            if row.deleted is not None:
                raise _gone(id_, row.deleted)
            return _kept(row, _revision(session, row, row.latest))

    def revision(self, id_: str, number: int) -> Kept:
        """Any revision, of a deleted design too.

        Raises
        ------
        NotKept
            If there is none.
        """
        with self._database.reading() as session:
            row = _row(session, id_)
            return _kept(row, _revision(session, row, number))

    def revisions(self, id_: str, after: int = 0, most: int = 50) -> tuple[Record, tuple[Revision, ...]]:
        """What is known of a design, and of its revisions after one, deleted or not; raises NotKept."""
        columns = [column for column in RevisionRow.__table__.columns if column.key not in ("text", "design")]
        with self._database.reading() as session:
            row = _row(session, id_)
            wanted = (
                select(*columns).where(RevisionRow.design == row.serial, RevisionRow.number > after)
                .order_by(RevisionRow.number).limit(most)
            )
            found = tuple(Revision(id=row.id, **values) for values in session.execute(wanted).mappings())
            return _record(row), found

    def list(self, wish: Wish) -> tuple[Record, ...]:
        """The designs in the order in which they were created.

        Raises
        ------
        NotKept
            If the one to begin after does not exist.
        """
        with self._database.reading() as session:
            wanted = select(DesignRow).where(*_conditions(session, wish)).order_by(DesignRow.serial).limit(wish.most)
            return tuple(_record(row) for row in session.scalars(wanted))

    def change(
        self, id_: str, may: Callable[[Kept], bool], make: Callable[[Kept], Written | None], *, how: How,
        by: str | None = None,
    ) -> tuple[Kept, bool]:
        """Keep what `make` makes of the latest revision as the next one; whether it did.

        `may` says whether that is the revision which the caller means. None, or the same text, makes no revision.

        Raises
        ------
        NotKept, Deleted
            If there is no such design.
        Changed
            If `may` says no.
        StoreFull
            If there is no room for one more revision.
        StoreProblem
            If it cannot be written, or others change it all the time.
        """
        for _ in range(MOST_TRIES):
            before = self._meant(id_, may)
            new = make(before)
            if new is None or new.text == before.text:
                return before, False
            kept = self._next(before, new, how, by)
            if kept is not None:
                return kept, True
        raise StoreProblem("others change this design all the time", remedy="try again later")

    def delete(self, id_: str, may: Callable[[Kept], bool], by: str | None = None) -> None:
        """Delete a design; its revisions stay. Raises as `change` does."""
        for _ in range(MOST_TRIES):
            before = self._meant(id_, may)
            with self._database.writing() as session:
                if _moved(session, before, {"deleted": self._now(), "deleted_by": by}):
                    return
        raise StoreProblem("others change this design all the time", remedy="try again later")

    def _meant(self, id_: str, may: Callable[[Kept], bool]) -> Kept:
        before = self.latest(id_)
        if not may(before):
            raise Changed(f"the design is at revision {before.number}, and that is not the one you read", before.tag)
        return before

    def _next(self, before: Kept, new: Written, how: How, by: str | None) -> Kept | None:
        """The revision after one; None if another came in between."""
        made = self._now()
        with self._database.writing() as session:
            values = {"latest": before.number + 1, "changed": made, **_listed(new.design)}
            if not _moved(session, before, values):
                return None
            self._must_have_room(session, new, "revisions of a design", before.number, self._room.revisions)
            return _append(session, _row(session, before.id), new, by=by, how=how, made=made)

    def _must_have_room(self, session: Session, new: Written, what: str, kept: int, most: int) -> None:
        """Raise StoreFull if as many as may be are kept, or the file would outgrow its bound."""
        if kept >= most:
            raise StoreFull(f"{kept} {what} are kept; there is room for {most}", remedy="start a new store")
        ask = session.connection().exec_driver_sql
        size = ask("PRAGMA page_count").scalar_one() * ask("PRAGMA page_size").scalar_one()
        if size + len(new.text.encode()) > self._room.bytes:
            what = f"there is room for {self._room.bytes / 2**20:g} MiB of designs, and no more than that"
            raise StoreFull(what, remedy="serve with more --room, or start a new store")


def _moved(session: Session, before: Kept, values: Mapping[str, object]) -> bool:
    """Change the row of a design if it still is at this revision."""
    still = (DesignRow.id == before.id, DesignRow.latest == before.number, DesignRow.deleted.is_(None))
    return bool(session.execute(update(DesignRow).where(*still).values(**values)).rowcount)  # type: ignore[attr-defined]


def _append(session: Session, row: DesignRow, new: Written, *, by: str | None, how: How, made: str) -> Kept:
    content = new.text.encode()
    revision = RevisionRow(
        design=row.serial, number=row.latest, text=new.text, digest=hashlib.sha256(content).hexdigest(),
        size=len(content), made=made, by=by, how=how,
    )
    session.add(revision)
    session.flush()
    return _kept(row, revision)


def _listed(design: Design) -> dict[str, str | None]:
    job = design.job
    words = "\n".join(text for text in (job.title, job.vehicle, job.customer) if text).casefold()
    return {
        "title": job.title, "practice": job.practice, "vehicle": job.vehicle, "customer": job.customer, "words": words
    }


def _conditions(session: Session, wish: Wish) -> list[ColumnElement[bool]]:
    found: list[ColumnElement[bool]] = []
    if wish.after is not None:
        found.append(DesignRow.serial > _row(session, wish.after).serial)
    if wish.contains:
        found.append(func.instr(DesignRow.words, wish.contains.casefold()) > 0)
    if wish.practice is not None:
        found.append(DesignRow.practice == wish.practice)
    if wish.deleted == "no":
        found.append(DesignRow.deleted.is_(None))
    return found


def _row(session: Session, id_: str) -> DesignRow:
    row = session.scalar(select(DesignRow).where(DesignRow.id == id_))
    if row is None:
        raise NotKept(f"there is no design {id_[:40]!r}")
    return row


def _revision(session: Session, row: DesignRow, number: int) -> RevisionRow:
    found = session.get(RevisionRow, (row.serial, number)) if number <= row.latest else None
    if found is None:
        raise NotKept(f"the design {row.id!r} has no revision {number}; the latest is {row.latest}")
    return found


def _gone(id_: str, when: str) -> Deleted:
    return Deleted(f"the design {id_!r} was deleted on {when[:10]}", remedy="its revisions can still be read")


def _record(row: DesignRow) -> Record:
    return Record(
        row.id, row.latest, row.title, row.practice, row.vehicle, row.customer, row.created, row.changed, row.deleted
    )


def _kept(row: DesignRow, found: RevisionRow) -> Kept:
    return Kept(
        row.id, found.number, found.digest, found.size, found.made, found.by, found.how, found.text
    )
