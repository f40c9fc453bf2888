"""Who may do what. Where the server has tokens, every request brings one; without any, whoever reaches it may."""

from __future__ import annotations

from typing import Literal, Protocol

from flask import Flask, g, request

from rigfeed_api.problems import Problem

Right = Literal["read", "write"]
OPEN = frozenset({"health", "pages"})  # blueprints that anybody may read
LOOPBACK = frozenset({"localhost", "127.0.0.1", "::1"})
WRITING = frozenset({"designs", "own-catalogs"})  # blueprints whose changes need the right to write


class Token(Protocol):
    """What is known of a token: never the secret."""

    @property
    def name(self) -> str: ...
    @property
    def right(self) -> Right: ...


class Tokens(Protocol):
    """Where tokens are looked up."""

    def any(self) -> bool:
        """Whether there is one."""
        ...

    def find(self, secret: str) -> Token | None:
        """The token of a secret, in a time that does not depend on it."""
        ...


def _must_be_meant() -> None:
    """Refuse what a page of somebody else's makes a browser on this machine send: it bears another name of a host."""
    name = request.host.rpartition(":")[0] if request.host[-1:].isdecimal() and ":" in request.host else request.host
    if name.strip("[]").lower() not in LOOPBACK:
        raise Problem(403, f"without tokens this server answers to {', '.join(sorted(LOOPBACK))} only")


def install(app: Flask, tokens: Tokens) -> None:
    """Hold every request of an app against the tokens."""

    def check() -> None:
        if not tokens.any():
            _must_be_meant()
            return
        if request.blueprint in OPEN:
            return
        scheme, _, secret = request.headers.get("Authorization", "").partition(" ")
        token = tokens.find(secret.strip()) if scheme.lower() == "bearer" else None
        if token is None:
            detail = "this server wants a token: send the header Authorization: Bearer <token>"
            raise Problem(401, detail, headers={"WWW-Authenticate": 'Bearer realm="rigfeed"'})
        g.caller = token.name
        changes = request.blueprint in WRITING and request.method not in ("GET", "HEAD", "OPTIONS")
        if changes and token.right != "write":
            raise Problem(403, f"the token {token.name!r} may read only")

    app.before_request(check)
