"""A design that was sent with the request, and its assessment; errors point into what was sent."""

from __future__ import annotations

from collections.abc import Collection

from flask import request

from rigfeed.assess import Assessment
from rigfeed.errors import InputError, InputErrors
from rigfeed_api.engine import engine
from rigfeed_api.wire import JSON, TOML, at_lines, design_of_text, text_body


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
