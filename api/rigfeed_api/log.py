"""Ids of requests, a line of JSON for each, and the headers that every answer carries.

A line of the log holds no header, no query and no body: no secret can stand in it.
"""

from __future__ import annotations

import json
import logging
import re
import secrets
import sys
import time
from typing import Any, TextIO

from flask import Flask, Response, g, request

REQUEST_ID = re.compile(r"[A-Za-z0-9._-]{1,64}")
HEADERS = {
    "X-Content-Type-Options": "nosniff",
    "Content-Security-Policy": (
        "default-src 'none'; style-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
    ),
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cache-Control": "no-store",
    "Vary": "Accept, Authorization",
}
served = logging.getLogger("rigfeed.api.served")


def install(app: Flask) -> None:
    """Number, time and log every request of an app; add the headers."""
    app.before_request(_begin)
    app.after_request(_end)


def _begin() -> None:
    given = request.headers.get("X-Request-Id", "")
    g.request_id = given if REQUEST_ID.fullmatch(given) else secrets.token_hex(8)
    g.began_s = time.monotonic()


def _end(response: Response) -> Response:
    for name, value in HEADERS.items():
        response.headers.setdefault(name, value)
    response.headers["X-Request-Id"] = g.get("request_id", "")
    took_ms = 1000.0 * (time.monotonic() - g.get("began_s", time.monotonic()))
    served.info("served", extra={"about": {
        "request": g.get("request_id"), "caller": g.get("caller"), "method": request.method, "path": request.path[:200],
        "status": response.status_code, "bytes": response.content_length, "ms": round(took_ms, 1),
    }})
    return response


class Lines(logging.Formatter):
    """A record as one line of JSON."""

    def format(self, record: logging.LogRecord) -> str:
        """The line."""
        made = time.strftime("%Y-%m-%dT%H:%M:%SZ", time.gmtime(record.created))
        line: dict[str, Any] = {"time": made, "level": record.levelname.lower(), "what": record.getMessage()}
        line |= getattr(record, "about", {})
        if record.exc_info:
            line |= {"request": g.get("request_id") if g else None, "trace": self.formatException(record.exc_info)}
        return json.dumps(line, ensure_ascii=True)


def to_stream(stream: TextIO = sys.stderr) -> None:
    """Write the log of this package to a stream."""
    handler = logging.StreamHandler(stream)
    handler.setFormatter(Lines())
    logger = logging.getLogger("rigfeed.api")
    logger.handlers, logger.propagate = [handler], False
    logger.setLevel(logging.INFO)
