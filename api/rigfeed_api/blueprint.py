"""The blueprint of this package: arguments are read strictly, and what is refused stands in the document."""

from __future__ import annotations

from collections.abc import Callable
from copy import deepcopy
from typing import Any, NoReturn, TypeVar, cast

import flask_smorest
from flask import Request, current_app
from marshmallow import RAISE, Schema, ValidationError
from webargs.flaskparser import FlaskParser

from rigfeed.complaints import complaints
from rigfeed.errors import DesignError, InputError, InputErrors, Place
from rigfeed.fields import Series
from rigfeed.path import Path
from rigfeed_api.problems import of_error
from rigfeed_api.wire import json_body

F = TypeVar("F", bound=Callable[..., Any])


class Parser(FlaskParser):
    """Reads the arguments of a view: an unknown one is refused, a body is strict JSON."""

    DEFAULT_UNKNOWN_BY_LOCATION: dict[str, str | None] = {  # noqa: RUF012 - that is how the base class has it
        **FlaskParser.DEFAULT_UNKNOWN_BY_LOCATION, "query": RAISE, "json": RAISE,
    }

    KNOWN_MULTI_FIELDS = [*FlaskParser.KNOWN_MULTI_FIELDS, Series]  # noqa: RUF012 - as above

    def load_json(self, req: Request, schema: Schema) -> Any:
        """The body, at most as large as a batch may be."""
        return json_body(current_app.extensions["rigfeed"].settings.limits.batch_bytes)

    def handle_error(
        self, error: ValidationError, req: Any, schema: Schema, *, error_status_code: Any, error_headers: Any
    ) -> NoReturn:
        """Tell what is wrong as every other error is told."""
        raise of_error(refused(error))


def refused(error: ValidationError) -> InputError:
    """The error of the kit that complaints of a schema are."""
    messages = error.messages
    if isinstance(messages, dict) and len(messages) == 1 and next(iter(messages)) in ("json", "query"):
        messages = next(iter(messages.values()))
    found = [
        DesignError(str(complaint), place=Place(path=path or Path()), remedy=complaint.remedy)
        for path, complaint in complaints(messages)
    ]
    return found[0] if len(found) == 1 else InputErrors(found)


class Blueprint(flask_smorest.Blueprint):  # type: ignore[misc]
    """As that of the framework, with our parser; typed where views use it."""

    ARGUMENTS_PARSER = Parser()

    def route(self, rule: str, **options: Any) -> Callable[[F], F]:
        """Serve a path."""
        return cast(Callable[[F], F], super().route(rule, **options))

    def arguments(self, schema: type[Schema], **options: Any) -> Callable[[F], F]:
        """Hand the loaded arguments to the view."""
        return cast(Callable[[F], F], super().arguments(schema, **options))

    def response(self, status_code: int, schema: object = None, **options: Any) -> Callable[[F], F]:
        """What the view answers; dumped by the schema unless the view makes a response itself."""
        return cast(Callable[[F], F], super().response(status_code, schema, **options))

    def alt_response(self, status_code: int, response: object = None, **options: Any) -> Callable[[F], F]:
        """What the view may answer instead."""
        return cast(Callable[[F], F], super().alt_response(status_code, response, **options))

    @staticmethod
    def doc(**about: Any) -> Callable[[F], F]:
        """Say more in the document."""
        return cast(Callable[[F], F], flask_smorest.Blueprint.doc(**about))


def refuses(*statuses: int) -> Callable[[F], F]:
    """Say in the document that a view answers with these problems; those of every view need not be named."""

    def decorate(view: F) -> F:
        about = deepcopy(getattr(view, "_apidoc", {}))
        responses = about.setdefault("manual_doc", {}).setdefault("responses", {})
        responses |= {str(status): {"$ref": "#/components/responses/Problem"} for status in statuses}
        view._apidoc = about  # type: ignore[attr-defined]
        return view

    return decorate


def takes_design(view: F) -> F:
    """Say in the document that the body is a design, as TOML or as JSON."""
    return _takes(view, {
        "application/json": {"schema": {"$ref": "#/components/schemas/Design"}},
        "application/toml": {"schema": {"type": "string", "description": "a design file"}},
    })


def takes_json(schema: dict[str, Any]) -> Callable[[F], F]:
    """Say in the document that the body is JSON of this schema."""
    return lambda view: _takes(view, {"application/json": {"schema": schema}})


def _takes(view: F, content: dict[str, Any]) -> F:
    about = deepcopy(getattr(view, "_apidoc", {}))
    about.setdefault("manual_doc", {})["requestBody"] = {"required": True, "content": content}
    view._apidoc = about  # type: ignore[attr-defined]
    return refuses(400, 413, 415, 422)(view)
