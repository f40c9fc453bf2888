"""Tokens: 256 random bits each, of which only the SHA-256 is kept. One may read, or read and write.

A fast hash is enough for a secret that nobody chose: there is nothing to guess in it.
"""

from __future__ import annotations

import hashlib
import hmac
import re
import secrets
from collections.abc import Callable
from typing import Literal

from sqlalchemy import select

from rigfeed.errors import InputError, shown
from rigfeed.frozen import frozen
from rigfeed_api.store.database import Database, now
from rigfeed_api.store.errors import NameTaken, NotKept
from rigfeed_api.store.models import TokenRow

Right = Literal["read", "write"]
RIGHTS: tuple[Right, ...] = ("read", "write")
NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,63}")
BEGINNING = "rft_"  # so that a person, and whatever looks for secrets in texts, knows one


@frozen
class Token:
    """What is known of a token: never the secret."""

    name: str
    right: Right
    made: str
    revoked: str | None


class Tokens:
    """The tokens of a store."""

    def __init__(self, database: Database, now: Callable[[], str] = now) -> None:
        self._database, self._now = database, now

    def any(self) -> bool:
        """Whether there is, or ever was, a token: a server whose last one was revoked stays shut."""
        with self._database.reading() as session:
            return session.scalar(select(TokenRow.name).limit(1)) is not None

    def find(self, secret: str) -> Token | None:
        """The token of a secret, unless it is revoked; how long that takes tells nothing of the kept hashes."""
        wanted = _digest(secret)
        found: Token | None = None
        with self._database.reading() as session:
            for row in session.scalars(select(TokenRow).order_by(TokenRow.name)):
                if hmac.compare_digest(row.digest, wanted) and row.revoked is None:
                    found = _token(row)
        return found

    def add(self, name: str, right: Right) -> str:
        """Make a token; its secret, which nobody can be told again.

        Raises
        ------
        InputError
            If the name is none.
        NameTaken
            If there is or was one of that name: the log and the revisions must not mix up two.
        """
        if not NAME.fullmatch(name):
            remedy = "a letter or digit, then letters, digits, - . and _, 64 characters at most"
            raise InputError(f"{shown(name)} cannot be the name of a token", remedy=remedy)
        secret = BEGINNING + secrets.token_urlsafe(32)
        with self._database.writing() as session:
            if session.get(TokenRow, name) is not None:
                raise NameTaken(f"there is or was a token {name!r}", remedy="choose another name")
            session.add(TokenRow(name=name, digest=_digest(secret), right=right, made=self._now(), revoked=None))
        return secret

    def list(self) -> tuple[Token, ...]:
        """All tokens by name, revoked ones too."""
        with self._database.reading() as session:
            return tuple(_token(row) for row in session.scalars(select(TokenRow).order_by(TokenRow.name)))

    def revoke(self, name: str) -> Token:
        """Make a token worthless, from the next request on; once more does no harm.

        Raises
        ------
        NotKept
            If there is none of that name.
        """
        with self._database.writing() as session:
            row = session.get(TokenRow, name)
            if row is None:
                raise NotKept(f"there is no token {shown(name)}")
            row.revoked = row.revoked or self._now()
            return _token(row)


def _digest(secret: str) -> bytes:
    return hashlib.sha256(secret.encode(errors="replace")).digest()


def _token(row: TokenRow) -> Token:
    return Token(row.name, "write" if row.right == "write" else "read", row.made, row.revoked)
