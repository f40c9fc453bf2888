"""Stored designs: every change a revision, each of which can be read for ever."""

from __future__ import annotations

import re
from dataclasses import asdict
from typing import Any
from urllib.parse import urlencode

from flask import Response, request
from marshmallow import Schema, fields

from rigfeed.fields import OneOf, Text
from rigfeed.frozen import frozen
from rigfeed.path import Path
from rigfeed.practice import NAME
from rigfeed_api import kept as own
from rigfeed_api.blueprint import Blueprint, refuses, takes_design, takes_json
from rigfeed_api.edits import edits_of, edits_schema
from rigfeed_api.engine import engine
from rigfeed_api.hand_out import json_answer, wanted_type
from rigfeed_api.options import Count, Options
from rigfeed_api.problems import Problem, answer, log
from rigfeed_api.sent import table_of
from rigfeed_api.settings import Limits
from rigfeed_api.shapes import TEXT
from rigfeed_api.store.designs import Kept, Revision, Wish
from rigfeed_api.store.errors import Changed, Deleted, NotKept, StoreError, StoreFull
from rigfeed_api.wire import JSON, TOML, json_body

LATEST = "latest"
NUMBER = re.compile(r"[1-9][0-9]{0,8}")
RETRY_S = 2
ID_DOC = {"in": "path", "name": "design", "description": "the id of a stored design", "schema": TEXT}
REVISION_DOC = {
    "in": "path", "name": "revision", "description": "the number of a revision, or the word latest",
    "schema": {"type": "string", "pattern": f"^(?:{LATEST}|{NUMBER.pattern})$", "examples": [LATEST, "1"]},
}
IF_MATCH_DOC = {
    "in": "header", "name": "If-Match", "required": False, "schema": {"type": "string", "examples": ["*"]},
    "description": "the ETag of the revision that is changed, or * for whichever is the latest; without it: 428",
}
TAGGED = {"ETag": {"description": "tells this revision from all others", "schema": TEXT}}
MADE = {**TAGGED, "Location": {"description": "where the design is from now on", "schema": TEXT}}

blueprint = Blueprint(
    "designs", __name__, url_prefix="/v1/designs",
    description="Stored designs. A change says with If-Match which revision it is made from, and makes the next one.",
)


def _refusal(error: StoreError) -> Response:
    if isinstance(error, NotKept):
        return answer(Problem(404, error.what))
    if isinstance(error, Deleted):
        return answer(Problem(410, f"{error.what}; {error.remedy}"))
    if isinstance(error, Changed):
        return answer(Problem(412, f"{error.what}: {error.remedy}", headers={"ETag": f'"{error.tag}"'}))
    if isinstance(error, StoreFull):  # no fault, and a caller may ask often: a line of the log, not a trace
        log.error("no room: %s", error)
        return answer(Problem(507, f"{error.what}; nothing was changed"))
    log.error("the store cannot be used", exc_info=error)
    detail = "the store cannot be used now; nothing was changed"
    return answer(Problem(503, detail, headers={"Retry-After": str(RETRY_S)}))


blueprint.register_error_handler(StoreError, _refusal)


class RecordSchema(Schema):
    """What there is to know of a stored design without reading it; times are UTC."""

    id = fields.String(required=True)
    revision = fields.Integer(required=True, metadata={"description": "the latest"})
    title = fields.String(required=True)
    practice = fields.String(required=True, allow_none=True)
    vehicle = fields.String(required=True, allow_none=True)
    customer = fields.String(required=True, allow_none=True)
    created = fields.String(required=True)
    changed = fields.String(required=True)
    deleted = fields.String(required=True, allow_none=True)


class RecordsSchema(Schema):
    """A page of a list."""

    designs = fields.List(fields.Nested(RecordSchema), required=True)
    next = fields.String(required=True, allow_none=True, metadata={"description": "where the next page is, null: none"})


class RevisionSchema(Schema):
    """What there is to know of a revision without reading it."""

    id = fields.String(required=True)
    revision = fields.Integer(required=True)
    digest = fields.String(required=True, metadata={"description": "SHA-256 of its TOML text"})
    bytes = fields.Integer(required=True, metadata={"description": "of its TOML text"})
    made = fields.String(required=True)
    by = fields.String(required=True, allow_none=True, metadata={"description": "the name of the token that made it"})
    how = fields.String(required=True, metadata={"enum": ["created", "replaced", "edited"]})


class RevisionsSchema(RecordSchema):
    """A design with a page of its revisions."""

    revisions = fields.List(fields.Nested(RevisionSchema), required=True)
    next = fields.String(required=True, allow_none=True, metadata={"description": "where the next page is, null: none"})


class WishSchema(Options):
    builds = Wish
    after = Text(re.compile("[a-z0-9]{1,32}"), metadata={"description": "begin after the design of this id"})
    most = Count(1, 500, data_key="limit", metadata={"description": "how many at most"})
    contains = Text(metadata={"description": "a text in title, vehicle or customer, whatever its capitals"})
    practice = Text(NAME, like="road")
    deleted = OneOf(("yes", "no"), metadata={"description": "whether to list deleted ones too"})


@frozen
class Page:
    """A page of revisions."""

    after: int = 0
    limit: int = 50


class PageSchema(Options):
    builds = Page
    after = Count(0, 10**9, metadata={"description": "begin after the revision of this number"})
    limit = Count(1, 500, metadata={"description": "how many at most"})


@blueprint.route("", methods=["GET"])
@blueprint.arguments(WishSchema, location="query")
@blueprint.response(200, RecordsSchema)
@blueprint.doc(operationId="listDesigns")
@refuses(404, 503)
def listed(wish: Wish) -> Response:
    """List the stored designs, in the order in which they were created."""
    found = own.designs().list(wish)
    after = found[-1].id if len(found) == wish.most else None
    return json_answer({"designs": [asdict(record) for record in found], "next": _next(after)})


@blueprint.route("", methods=["POST"])
@blueprint.response(201, RevisionSchema, headers=MADE)
@blueprint.doc(operationId="createDesign")
@refuses(503, 507)
@takes_design
def create() -> Response:
    """Store a design, as its first revision. It must be a design, not a good one."""
    wanted_type([JSON])  # refused before anything is kept
    kept = own.designs().create(own.first_of_sent(), own.caller())
    response = own.tagged(json_answer(_revision(kept), 201), kept)
    response.headers["Location"] = f"{blueprint.url_prefix}/{kept.id}"
    return response


@blueprint.route("/<design>", methods=["GET"], parameters=[ID_DOC])
@blueprint.response(200, {"$ref": "#/components/schemas/Design"}, headers=TAGGED)
@blueprint.alt_response(200, schema=TEXT, content_type=TOML, success=True)
@blueprint.alt_response(304, description="the caller has it already")
@blueprint.doc(operationId="readDesign")
@refuses(404, 410, 422, 503)
def read(design: str) -> Response:
    """Read the latest revision of a design: TOML as it was written, or the same data as JSON."""
    return own.design_answer(own.designs().latest(design))


@blueprint.route("/<design>", methods=["PUT"], parameters=[ID_DOC])
@blueprint.response(200, RevisionSchema, headers=TAGGED)
@blueprint.doc(operationId="replaceDesign", parameters=[IF_MATCH_DOC])
@refuses(404, 410, 412, 428, 503, 507)
@takes_design
def replace(design: str) -> Response:
    """Replace a design, which makes the next revision; what is the same already makes none.

    Sent once more because its answer was lost, it does nothing and is answered as before.
    """
    wanted_type([JSON])
    make = own.next_of_sent()
    kept, _ = own.designs().change(design, own.meant_or_done(design, make), make, how="replaced", by=own.caller())
    return own.tagged(json_answer(_revision(kept)), kept)


@blueprint.route("/<design>", methods=["DELETE"], parameters=[ID_DOC])
@blueprint.response(204)
@blueprint.doc(operationId="deleteDesign", parameters=[IF_MATCH_DOC])
@refuses(404, 410, 412, 428, 503, 507)
def delete(design: str) -> Response:
    """Delete a design. From then on it is answered with 410; its revisions can be read all the same."""
    own.designs().delete(design, own.meant(), own.caller())
    return Response(status=204)


@blueprint.route("/<design>/edits", methods=["POST"], parameters=[ID_DOC])
@blueprint.response(200, RevisionSchema, headers=TAGGED)
@blueprint.doc(operationId="editDesign", parameters=[IF_MATCH_DOC])
@refuses(404, 410, 412, 428, 503, 507)
@takes_json({
    "type": "object", "properties": {"edits": edits_schema(Limits().edits)}, "required": ["edits"],
    "additionalProperties": False,
})
def edit(design: str) -> Response:
    """Change a design by a list of edits, all of them or none. They make one revision; without effect, none."""
    wanted_type([JSON])
    limits = engine().settings.limits
    body = table_of(json_body(limits.design_bytes), ("edits",))
    at = Path("edits")
    make = own.next_of_edits(edits_of(body["edits"], at, limits.edits), at)
    kept, _ = own.designs().change(design, own.meant(), make, how="edited", by=own.caller())
    return own.tagged(json_answer(_revision(kept)), kept)


@blueprint.route("/<design>/revisions", methods=["GET"], parameters=[ID_DOC])
@blueprint.arguments(PageSchema, location="query")
@blueprint.response(200, RevisionsSchema)
@blueprint.doc(operationId="listRevisions")
@refuses(404, 503)
def revisions(page: Page, design: str) -> Response:
    """List the revisions of a design, deleted or not, the oldest first."""
    record, found = own.designs().revisions(design, page.after, page.limit)
    after = found[-1].number if len(found) == page.limit else None
    listed = [_revision(revision) for revision in found]
    return json_answer({**asdict(record), "revisions": listed, "next": _next(after)})


@blueprint.route("/<design>/revisions/<revision>", methods=["GET"], parameters=[ID_DOC, REVISION_DOC])
@blueprint.response(200, {"$ref": "#/components/schemas/Design"}, headers=TAGGED)
@blueprint.alt_response(200, schema=TEXT, content_type=TOML, success=True)
@blueprint.alt_response(304, description="the caller has it already")
@blueprint.doc(operationId="readRevision")
@refuses(404, 410, 422, 503)
def revision(design: str, revision: str) -> Response:
    """Read any revision of a design."""
    return own.design_answer(found(design, revision))


def found(design: str, revision: str) -> Kept:
    """The revision that a path names.

    Raises
    ------
    NotKept, Deleted
        If there is none; a deleted design has no latest one.
    """
    if revision == LATEST:
        return own.designs().latest(design)
    if not NUMBER.fullmatch(revision):
        raise NotKept(f"{revision[:40]!r} is neither the number of a revision nor the word {LATEST}")
    return own.designs().revision(design, int(revision))


def _revision(revision: Revision) -> dict[str, Any]:
    return {
        "id": revision.id, "revision": revision.number, "digest": revision.digest, "bytes": revision.size,
        "made": revision.made, "by": revision.by, "how": revision.how,
    }


def _next(after: str | int | None) -> str | None:
    """The same list from there on."""
    return None if after is None else f"{request.path}?{urlencode({**request.args.to_dict(), 'after': after})}"
