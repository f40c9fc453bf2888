"""The tables. A revision is written once and never touched again; a deleted design keeps its row and its revisions."""

from __future__ import annotations

from sqlalchemy import ForeignKey, Index, LargeBinary, String, Text
from sqlalchemy.orm import DeclarativeBase, Mapped, mapped_column

VERSION = 1  # of these tables, as the file says it in `user_version`


class Base(DeclarativeBase):
    """All tables."""


class DesignRow(Base):
    """A design: which revision is the latest, and what lists and filters need of that one."""

    __tablename__ = "designs"

    serial: Mapped[int] = mapped_column(primary_key=True)
    id: Mapped[str] = mapped_column(String(32), unique=True)
    latest: Mapped[int]
    title: Mapped[str] = mapped_column(Text)
    practice: Mapped[str | None] = mapped_column(Text)
    vehicle: Mapped[str | None] = mapped_column(Text)
    customer: Mapped[str | None] = mapped_column(Text)
    words: Mapped[str] = mapped_column(Text)  # title, vehicle and customer, case folded, to be searched
    created: Mapped[str] = mapped_column(String(32))
    changed: Mapped[str] = mapped_column(String(32))
    deleted: Mapped[str | None] = mapped_column(String(32))
    deleted_by: Mapped[str | None] = mapped_column(Text)


class RevisionRow(Base):
    """The text of a design as it once was, who made it, when, and how."""

    __tablename__ = "revisions"

    design: Mapped[int] = mapped_column(ForeignKey("designs.serial"), primary_key=True)
    number: Mapped[int] = mapped_column(primary_key=True)
    text: Mapped[str] = mapped_column(Text)
    digest: Mapped[str] = mapped_column(String(64))
    size: Mapped[int]
    made: Mapped[str] = mapped_column(String(32))
    by: Mapped[str | None] = mapped_column(Text)
    how: Mapped[str] = mapped_column(String(16))


class TokenRow(Base):
    """A token: the hash of its secret, what it may do, and since when it may no more."""

    __tablename__ = "tokens"

    name: Mapped[str] = mapped_column(String(64), primary_key=True)
    digest: Mapped[bytes] = mapped_column(LargeBinary(32))
    right: Mapped[str] = mapped_column(String(8))
    made: Mapped[str] = mapped_column(String(32))
    revoked: Mapped[str | None] = mapped_column(String(32))


Index("designs_by_practice", DesignRow.practice)
