"""Designs that were sent with the request, and their assessments; errors point into what was sent."""

from __future__ import annotations

from collections.abc import Collection
from typing import Any

from flask import request

from rigfeed.assess import Assessment
from rigfeed.design.file import parse
from rigfeed.design.model import Design
from rigfeed.errors import DesignError, InputError, InputErrors, Place, known_or_raise, nearest
from rigfeed.path import Path
from rigfeed_api.edits import below
from rigfeed_api.engine import engine
from rigfeed_api.wire import JSON, TOML, at_lines, design_of_plain, design_of_text, text_body

DESIGN_SCHEMA: dict[str, Any] = {
    "anyOf": [{"$ref": "#/components/schemas/Design"}, {"type": "string", "description": "a design file, TOML"}]
}


def assessed(practice: str | None = None, *, only: Collection[str] | None = None) -> Assessment:
    """The assessment of the design in the body, by all checks or only some.

    Raises
    ------
    Problem, InputError, InputErrors
        If the body is no design, one too large, or one that cannot be assessed.
    """
    own = engine()
    text = text_body(own.settings.limits.design_bytes, JSON, TOML)
    design = design_of_text(text, request.mimetype)
    try:
        return own.assess(design, practice, only=only)
    except InputError as error:
        about_design = isinstance(error, InputErrors) or error.place.path is not None
        if request.mimetype == TOML and about_design:
            raise at_lines(error, text) from None
        raise


def design_in(data: Any, at: Path) -> Design:
    """A design that stands at a path of the body: the data of one, or its TOML as a text.

    Raises
    ------
    DesignError, UnknownName, InputErrors
        What is wrong with it, or that it is too large.
    """
    most = engine().settings.limits.design_bytes
    if isinstance(data, str) and len(data) > most:
        what = f"is {len(data)} characters long; at most {most} are read"
        raise DesignError(what, place=Place(path=at), remedy="make two designs of it")
    try:
        design = parse(data) if isinstance(data, str) else design_of_plain(data)
        known_or_raise(list(engine().too_large(design)))
    except InputError as error:
        raise below(error, at) from None
    return design


def assessed_in(data: Any, at: Path, practice: str | None, *, only: Collection[str] | None = None) -> Assessment:
    """The assessment of a design that stands at a path of the body; raises as `design_in`, and as `assessed` does."""
    design = design_in(data, at)
    try:
        return engine().assess(design, practice, only=only)
    except InputError as error:
        if isinstance(error, InputErrors) or error.place.path is not None:
            raise below(error, at) from None
        raise


def table_of(data: Any, needed: Collection[str], optional: Collection[str] = (), at: Path | None = None) -> Any:
    """The body, or what stands at a path of it, as an object that has these keys and no others."""
    place = at or Path()
    if not isinstance(data, dict):
        remedy = f"send an object with {', '.join(needed)}"
        raise DesignError("is not an object", place=Place(path=place), remedy=remedy)
    known = (*needed, *optional)
    for key in data:
        if key not in known:
            raise DesignError("unknown key", place=Place(path=Path(*place, key)), remedy=nearest(key, known))
    for key in needed:
        if key not in data:
            raise DesignError("is missing", place=Place(path=Path(*place, key)), remedy="add it")
    return data
