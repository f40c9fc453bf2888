"""Stored designs as a caller sees them: the text to keep of what was sent, and the tag that says which revision it is.

A revision has one tag for each form: that of its TOML, and the same with an ending for its JSON. Either will do to say
which revision one has read.
"""

from __future__ import annotations

from collections.abc import Callable

from flask import Response, current_app, g, request

from rigfeed.assess import Assessment
from rigfeed.design.edit import Edit, apply
from rigfeed.design.file import MOST_BYTES, parse
from rigfeed.design.model import Design
from rigfeed.design.patch import patched
from rigfeed.design.schema import to_plain
from rigfeed.design.values import same
from rigfeed.errors import DesignError, InputError, InputErrors, known_or_raise
from rigfeed.path import Path
from rigfeed_api.edits import at_edits
from rigfeed_api.engine import engine
from rigfeed_api.hand_out import JSON, wanted_type
from rigfeed_api.problems import Problem
from rigfeed_api.store.designs import Designs, Kept, Revision, Written
from rigfeed_api.wire import TOML, at_lines, design_of_text, text_body

Make = Callable[[Kept], Written | None]
OF_JSON = "-json"


def designs() -> Designs:
    """The stored designs of the app that serves this request."""
    return Designs(current_app.extensions["rigfeed-database"], room=engine().settings.room)


def caller() -> str | None:
    """The name of the token of this request, None where the server asks for none."""
    name: str | None = g.get("caller")
    return name


def sent() -> tuple[Design, str, bool]:
    """The design in the body, its text, and whether that is TOML to be kept as it is.

    Raises
    ------
    Problem, InputError, InputErrors
        If it is no design, or larger than what is taken here.
    """
    text = text_body(engine().settings.limits.design_bytes, JSON, TOML)
    design = design_of_text(text, request.mimetype)
    known_or_raise(list(engine().too_large(design)))
    return design, text, request.mimetype == TOML


def first_of_sent() -> Written:
    """The design in the body as a first revision; raises as `sent` does."""
    design, text, is_toml = sent()
    return Written(design, text if is_toml else _within(patched("", to_plain(design))))


def next_of_sent() -> Make:
    """The design in the body as the revision after any other; raises as `sent` does.

    TOML is kept to the letter. JSON is worked into the text that is there, so that remarks in it stay.
    """
    design, text, is_toml = sent()

    def make(before: Kept) -> Written | None:
        if is_toml:
            return Written(design, text)
        plain = to_plain(design)
        if same(to_plain(parse(before.text)), plain):
            return None
        return Written(design, _within(patched(before.text, plain)))

    return make


def next_of_edits(edits: tuple[Edit, ...], at: Path) -> Make:
    """The latest design after some edits, which stand at a path of the body; remarks in its text stay.

    What it makes raises InputErrors with paths in the body if the edits cannot be done.
    """

    def make(before: Kept) -> Written | None:
        design = parse(before.text)
        try:
            new = apply(design, edits)
            known_or_raise(list(engine().too_large(new)))
        except InputError as error:
            raise at_edits(error, edits, at) from None
        plain = to_plain(new)
        if same(to_plain(design), plain):
            return None
        return Written(new, _within(patched(before.text, plain)))

    return make


def _within(text: str) -> str:
    """A text that can be read again."""
    if len(text.encode()) > MOST_BYTES:
        raise DesignError(f"would be larger than {MOST_BYTES / 2**20:g} MiB as a file", remedy="make two designs of it")
    return text


def meant() -> Callable[[Kept], bool]:
    """Whether a revision is one that the header If-Match names.

    Raises
    ------
    Problem
        428 if there is no such header.
    """
    if "If-Match" not in request.headers:
        what = "say which revision you change: send its ETag in the header If-Match"
        raise Problem(428, what)
    named = request.if_match

    def may(kept: Kept) -> bool:
        return named.star_tag or any(named.contains(tag) for tag in (kept.tag, kept.tag + OF_JSON))

    return may


def meant_or_done(id_: str, make: Make) -> Callable[[Kept], bool]:
    """As `meant`, and true as well where the latest revision is what this very request would have made of the one that
    it names: the first answer was lost, and the caller asks again."""
    may = meant()

    def meant_then(kept: Kept) -> bool:
        if may(kept):
            return True
        if kept.number < 2:
            return False
        before = designs().revision(id_, kept.number - 1)
        if not may(before):
            return False
        made = make(before)
        return made is not None and made.text == kept.text

    return meant_then


def tagged(response: Response, revision: Revision, ending: str = "") -> Response:
    """An answer with the tag of a revision."""
    response.set_etag(revision.tag + ending)
    return response


def design_answer(kept: Kept) -> Response:
    """The design of a revision as TOML, to the letter, or as JSON; 304 where the caller has it."""
    if wanted_type([JSON, TOML]) == TOML:
        response = tagged(Response(kept.text, content_type=f"{TOML}; charset=utf-8"), kept)
    else:
        from rigfeed_api.hand_out import json_answer

        response = tagged(json_answer(to_plain(parse(kept.text))), kept, OF_JSON)
    response.make_conditional(request)
    return response


def assessed(kept: Kept, practice: str | None, only: tuple[str, ...] | None = None) -> Assessment:
    """The assessment of a stored revision; errors have the lines of its text."""
    try:
        return engine().assess(parse(kept.text), practice, only=only)
    except InputError as error:
        if isinstance(error, InputErrors) or error.place.path is not None:
            raise at_lines(error, kept.text) from None
        raise
