"""The one shape of everything that goes wrong: a problem document (RFC 9457).

``errors`` lists what is wrong with what was sent: what, where (a JSON pointer, and the line of a TOML body), what to
do about it.
"""

from __future__ import annotations

import json
import logging
from collections.abc import Iterable, Mapping
from http import HTTPStatus
from typing import Any

from flask import Flask, Response, g, request
from marshmallow import Schema, fields
from werkzeug.exceptions import HTTPException, MethodNotAllowed

from rigfeed.errors import MOST_LISTED, InputError, InputErrors, OutOfRange, RigfeedError
from rigfeed.path import Path

LONGEST = 300  # characters of a path that are repeated to whoever sent it
MEDIA_TYPE = "application/problem+json"
log = logging.getLogger("rigfeed.api")


class Problem(Exception):
    """An answer that is an error: raise it anywhere while a request is served."""

    def __init__(
        self, status: int, detail: str, *, errors: Iterable[RigfeedError] = (), headers: Mapping[str, str] | None = None
    ) -> None:
        self.status, self.detail = status, detail
        self.errors, self.headers = tuple(errors), dict(headers or {})
        super().__init__(status, detail)


class ErrorSchema(Schema):
    """One thing that is wrong."""

    what = fields.String(required=True, metadata={"description": "what is wrong"})
    pointer = fields.String(metadata={"description": "where in the body, as a JSON pointer (RFC 6901)"})
    path = fields.String(metadata={"description": "the same place as the design names it, conductors.W1.length"})
    file = fields.String(metadata={"description": "the catalog or practice that is at fault, where it is one"})
    line = fields.Integer(metadata={"description": "the line of the body, where it is TOML, or of the file"})
    column = fields.Integer()
    remedy = fields.String(metadata={"description": "what to do"})


class ProblemSchema(Schema):
    """A problem document (RFC 9457)."""

    type = fields.String(required=True)
    title = fields.String(required=True)
    status = fields.Integer(required=True)
    detail = fields.String(required=True)
    instance = fields.String(required=True, metadata={"description": "the path that was asked for"})
    request_id = fields.String(metadata={"description": "names the request in the log of the server"})
    errors = fields.List(fields.Nested(ErrorSchema), metadata={"description": "each thing wrong with what was sent"})


def answer(problem: Problem) -> Response:
    """The problem document of a problem."""
    body: dict[str, Any] = {
        "type": "about:blank",
        "title": HTTPStatus(problem.status).phrase,
        "status": problem.status,
        "detail": problem.detail,
        "instance": request.path,
    }
    if request_id := g.get("request_id"):
        body["request_id"] = request_id
    if problem.errors:
        body["errors"] = [_error(error) for error in problem.errors[:MOST_LISTED]]
    text = json.dumps(body, ensure_ascii=False, allow_nan=False, indent=2)
    return Response(text, problem.status, problem.headers, content_type=MEDIA_TYPE)


def of_error(error: RigfeedError) -> Problem:
    """The problem that an error of the kit is: of what was sent (422), or of this server (500)."""
    if isinstance(error, InputErrors):
        more = len(error.errors) - MOST_LISTED
        rest = f", of which {MOST_LISTED} are listed" if more > 0 else ""
        return Problem(422, f"{len(error.errors)} things are wrong{rest}", errors=error.errors)
    if isinstance(error, InputError | OutOfRange):
        where = f"{str(error.place.path)[:LONGEST]}: " if error.place.path else ""
        return Problem(422, f"{where}{error.what}", errors=[error])
    log.error("not served: %s", type(error).__name__, exc_info=error)
    return Problem(500, "a fault of this server; its log has the details under the id of this request")


def install(app: Flask) -> None:
    """Every error of an app becomes a problem document."""
    app.register_error_handler(Problem, answer)
    app.register_error_handler(RigfeedError, lambda error: answer(of_error(error)))
    app.register_error_handler(HTTPException, of_http)
    app.register_error_handler(Exception, _of_fault)


def of_http(error: HTTPException) -> Response:
    """The problem document of an error that the framework raises; its own headers (Allow) stay."""
    status = error.code or 500
    if status < 400:  # a redirect is no problem
        found = error.get_response()
        assert isinstance(found, Response)
        return found
    detail = _DETAIL.get(status) or str(error.description or HTTPStatus(status).phrase)
    headers = {"Allow": ", ".join(sorted(error.valid_methods or ()))} if isinstance(error, MethodNotAllowed) else {}
    return answer(Problem(status, detail, headers=headers))


_DETAIL = {
    404: "there is nothing at this path",
    405: "this path has no such method; the header Allow lists those that it has",
    413: "the body is larger than what is read here",
}


def _of_fault(error: Exception) -> Response:
    log.error("not served: %s", type(error).__name__, exc_info=error)
    return answer(Problem(500, "a fault of this server; its log has the details under the id of this request"))


def _where(path: Path | None) -> dict[str, str | None]:
    """Pointer and path; one that is absurdly long is not repeated whole, and half a pointer is none."""
    if path is None:
        return {}
    text = str(path)
    return {"pointer": path.pointer, "path": text} if len(text) <= LONGEST else {"path": f"{text[:LONGEST]}..."}


def _error(error: RigfeedError) -> dict[str, Any]:
    place = error.place
    found: dict[str, Any] = {
        "what": error.what,
        **_where(place.path),
        "file": None if place.file is None else place.file.rsplit("/", 1)[-1],
        "line": place.line,
        "column": place.column,
        "remedy": error.remedy or None,
    }
    return {key: value for key, value in found.items() if value is not None}
