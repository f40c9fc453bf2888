"""Suppliers' lists: what they would become, and keeping them as catalogs of this server's own."""

from __future__ import annotations

from typing import Any

from flask import Response
from marshmallow import Schema, fields

from rigfeed.intake.adding import Prepared, catalog_there
from rigfeed.intake.intake_json import intake_json
from rigfeed.intake.keeping import NAME, user_folder
from rigfeed.intake.taking import STATES
from rigfeed_api.blueprint import Blueprint, refuses, takes_json
from rigfeed_api.document_fields import ecma
from rigfeed_api.hand_out import JSON, json_answer, wanted_type
from rigfeed_api.lists import ONE_AT_A_TIME, keep, list_schema, must_be_meant, must_be_open, read, sent, tag_of
from rigfeed_api.problems import Problem
from rigfeed_api.settings import Limits
from rigfeed_api.shapes import texts

blueprint = Blueprint(
    "intake", __name__, url_prefix="/v1", description="Suppliers' lists: every row as read, and what it would change.",
)
own = Blueprint(
    "own-catalogs", __name__, url_prefix="/v1/catalogs", description="The catalogs of this server's own, changed.",
)
NAME_DOC = {
    "in": "path", "name": "catalog", "required": True, "schema": {"type": "string", "pattern": ecma(NAME)},
    "example": "depot",
}
IF_MATCH_DOC = {
    "in": "header", "name": "If-Match", "schema": {"type": "string"},
    "description": "the tag of the catalog that is there, from its list or from a reading; none for a new one",
}
TAGGED = {"ETag": {"schema": {"type": "string"}, "description": "the tag of the catalog"}}
MADE = {**TAGGED, "Location": {"schema": {"type": "string"}}}


class HeadSchema(Schema):
    """A column of the list, and what it was taken for; empty where it is not read."""

    header = fields.String(required=True)
    meaning = fields.String(required=True)


class NoteSchema(Schema):
    """What there is to say about one cell."""

    level = fields.String(required=True, metadata={"enum": ["refused", "mark", "left out"]})
    column = fields.String(required=True)
    says = fields.String(required=True)
    readings = texts("what it could be, where that is more than one thing")
    likely = fields.String(required=True, allow_none=True)


class RowSchema(Schema):
    """A row: as given, what became of it, the cells of the catalog, and why."""

    row = fields.Integer(required=True)
    id = fields.String(required=True)
    state = fields.String(required=True, metadata={"enum": list(STATES)})
    given = texts()
    cells = fields.Dict(keys=fields.String(), values=fields.String(), required=True)
    notes = fields.List(fields.Nested(NoteSchema), required=True)


class PassedOverSchema(Schema):
    """A line that is no part: a title, a remark."""

    row = fields.Integer(required=True)
    text = fields.String(required=True)


class ChangeSchema(Schema):
    """What becomes of a part of the catalog that is there: each cell that changes, old and new."""

    id = fields.String(required=True)
    what = fields.String(required=True, metadata={"enum": ["added", "removed", "changed"]})
    cells = fields.Dict(keys=fields.String(), values=fields.List(fields.String()), required=True)


class ReadingSchema(Schema):
    """A list as it was read. Nothing in it was guessed in silence: read the notes of every row that has some."""

    schema = fields.Integer(required=True)
    catalog = fields.String(required=True)
    is_new = fields.Boolean(required=True)
    tag = fields.String(required=True, allow_none=True, metadata={"description": "of the catalog that is there"})
    file = fields.String(required=True)
    sha256 = fields.String(required=True)
    kind = fields.String(required=True)
    how = fields.String(required=True)
    decimal = fields.String(required=True)
    counts = fields.Dict(keys=fields.String(), values=fields.Integer(), required=True)
    columns = fields.List(fields.Nested(HeadSchema), required=True)
    rows = fields.List(fields.Nested(RowSchema), required=True)
    passed_over = fields.List(fields.Nested(PassedOverSchema), required=True)
    changes = fields.List(fields.Nested(ChangeSchema), required=True)


@blueprint.route("/intake", methods=["POST"])
@blueprint.response(200, ReadingSchema)
@blueprint.doc(operationId="readList")
@takes_json(list_schema(Limits(), named=True))
def read_list() -> Response:
    """Read a supplier's list as a dry run: every row taken, taken with a mark, or refused, and why. Nothing is kept."""
    wanted_type([JSON])
    return json_answer(_reading(read(sent())))


@own.route("/<catalog>", methods=["PUT"], parameters=[NAME_DOC])
@own.response(201, ReadingSchema, headers=MADE)
@own.alt_response(200, schema=ReadingSchema, headers=TAGGED, success=True)
@own.doc(operationId="keepList", parameters=[IF_MATCH_DOC])
@takes_json(list_schema(Limits(), named=False))
@refuses(403, 412, 428, 507)
def keep_list(catalog: str) -> Response:
    """Keep a supplier's list as a catalog of this server's own, of all rows that are not refused.

    It holds for every design from then on, so the server must have been started to take it. One that is there already
    is replaced only by a caller who names its tag.
    """
    must_be_open()
    wanted_type([JSON])
    prepared = read(sent(catalog))
    with ONE_AT_A_TIME:
        must_be_meant(prepared.path)
        keep(prepared)
        data = _reading(prepared)
    response = json_answer(data, 201 if prepared.is_new else 200)
    response.set_etag(data["tag"])
    if prepared.is_new:
        response.headers["Location"] = f"{own.url_prefix}/{prepared.name}"
    return response


@own.route("/<catalog>", methods=["DELETE"], parameters=[NAME_DOC])
@own.response(204)
@own.doc(operationId="removeCatalog", parameters=[IF_MATCH_DOC])
@refuses(403, 404, 412, 428)
def remove(catalog: str) -> Response:
    """Remove a catalog of this server's own; those of the plugins stay."""
    must_be_open()
    if not NAME.fullmatch(catalog):
        raise Problem(404, "there is no catalog of that name")
    with ONE_AT_A_TIME:
        try:
            path = catalog_there(user_folder(), catalog)
        except LookupError:
            raise Problem(404, f"there is no catalog {catalog!r} of this server's own") from None
        must_be_meant(path)
        path.unlink()
    return Response(status=204)


def _reading(prepared: Prepared) -> dict[str, Any]:
    return {**intake_json(prepared), "tag": tag_of(prepared.path)}
