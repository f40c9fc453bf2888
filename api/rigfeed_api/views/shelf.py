"""What can be bought: kinds of parts, catalogs, parts."""

from __future__ import annotations

import re
from dataclasses import fields
from typing import Any

from flask import Response
from marshmallow import Schema
from marshmallow import fields as wire

from rigfeed.complaints import refuse
from rigfeed.errors import RigfeedError, UnknownName, shown
from rigfeed.fields import PART_KEY, Series, Text, one_of
from rigfeed.forms import form
from rigfeed.frozen import frozen
from rigfeed.parts.catalog import LocalFile
from rigfeed.parts.part import Part, PartKind
from rigfeed.parts.tables import Want, number_in
from rigfeed_api.blueprint import Blueprint, refuses
from rigfeed_api.document_fields import ecma
from rigfeed_api.engine import engine
from rigfeed_api.hand_out import json_answer
from rigfeed_api.lists import tag_of
from rigfeed_api.options import Count, Options, Paged, PagedSchema
from rigfeed_api.plain import plain
from rigfeed_api.problems import Problem
from rigfeed_api.shapes import FormFieldSchema, form_fields, texts

blueprint = Blueprint(
    "parts", __name__, url_prefix="/v1", description="What can be bought: kinds of parts, catalogs, parts.",
)
WANT = re.compile(r"(?P<column>[a-z][a-z0-9_]{0,63})(?P<sort>>=|<=|=)(?P<value>[^\x00-\x1f]{1,100})")


KEY_DOC = {
    "in": "path", "name": "key", "required": True, "description": "kind:row, or kind:catalog/row",
    "schema": {"type": "string", "pattern": ecma(PART_KEY)}, "example": "cable:thinwall-2.5",
}


class WantField(Text):
    """What a column must hold: ``area_mm2>=6``, ``insulation_c<=105``, ``plating=tin``."""

    sort = "a column, one of >= <= =, and a value"

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(WANT, like="area_mm2>=6", **kwargs)

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> Any:
        match = WANT.fullmatch(super()._deserialize(value, attr, data, **kwargs))
        assert match is not None  # the field above has seen to it
        if match["sort"] == "=":
            return Want(match["column"], equal=match["value"])
        if (number := number_in(match["value"])) is None:
            raise refuse(f"{shown(match['value'])} is not a number", "write it like area_mm2>=6")
        return Want(match["column"], least=number) if match["sort"] == ">=" else Want(match["column"], most=number)


class KindSchema(Schema):
    """A kind of parts, with what a node of it may be told in a design."""

    name = wire.String(required=True)
    title = wire.String(required=True)
    bought = wire.Boolean(required=True, metadata={"description": "whether catalogs have rows of it"})
    columns = texts("the columns of its catalog rows")
    settings = wire.List(wire.Nested(FormFieldSchema), required=True)


class KindsSchema(Schema):
    """All kinds of parts."""

    kinds = wire.List(wire.Nested(KindSchema), required=True)


class CatalogSchema(Schema):
    """A catalog."""

    name = wire.String(required=True)
    origin = wire.String(required=True, metadata={"enum": ["shipped", "own"]})
    rows = wire.Dict(keys=wire.String(), values=wire.Integer(), required=True, metadata={"description": "rows by kind"})
    tag = wire.String(required=True, allow_none=True, metadata={"description": "of an own one, to change it by"})


class CatalogsSchema(Schema):
    """All catalogs."""

    catalogs = wire.List(wire.Nested(CatalogSchema), required=True)
    left_out = texts("those that are broken, and why")


class PartItemSchema(Schema):
    """A part in a list."""

    key = wire.String(required=True)
    title = wire.String(required=True)


class PartListSchema(Schema):
    """A piece of a list of parts."""

    total = wire.Integer(required=True)
    offset = wire.Integer(required=True)
    parts = wire.List(wire.Nested(PartItemSchema), required=True)


class PartSchema(PartItemSchema):
    """A part with every figure and where it comes from."""

    kind = wire.String(required=True)
    figures = wire.Dict(keys=wire.String(), values=wire.Raw(), required=True)
    source = wire.String(required=True)
    confidence = wire.String(required=True)
    catalog = wire.String(required=True)
    line = wire.Integer(required=True)


class FoundSchema(Schema):
    """The parts that have all that was wanted, the smallest first."""

    parts = wire.List(wire.Nested(PartSchema), required=True)


@frozen
class Search:
    """The kind that is looked for, the column that orders, and what its columns must hold."""

    kind: str
    by: str
    where: tuple[Want, ...] = ()
    limit: int = 20


class SearchSchema(Options):
    builds = Search
    kind = Text(re.compile(r"[a-z][a-z0-9-]{0,63}"), like="cable", required=True)
    by = Text(re.compile(r"[a-z][a-z0-9_]{0,63}"), like="area_mm2", required=True, metadata={
        "description": "the column of numbers that orders the parts, the smallest first",
    })
    where = Series(WantField(), most=16, metadata={
        "description": "what a column must hold: area_mm2>=6, insulation_c<=105, plating=tin; may be given repeatedly",
    })
    limit = Count(1, 100)


@blueprint.route("/kinds", methods=["GET"])
@blueprint.response(200, KindsSchema)
@blueprint.doc(operationId="listKinds")
def kinds() -> dict[str, Any]:
    """List the kinds of parts of all plugins."""
    return {"kinds": [_kind(kind) for _, kind in sorted(engine().registry.kinds.items())]}


def _kind(kind: PartKind) -> dict[str, Any]:
    return {
        "name": kind.name, "title": kind.title, "bought": kind.row is not None,
        "columns": sorted(one_of(kind.row).keys_of()) if kind.row else [],
        "settings": form_fields(form(one_of(kind.settings)) if kind.settings else ()),
    }


@blueprint.route("/catalogs", methods=["GET"])
@blueprint.response(200, CatalogsSchema)
@blueprint.doc(operationId="listCatalogs")
def catalogs() -> dict[str, Any]:
    """List the catalogs: those of the plugins, and this server's own."""
    shelf = engine().shelf()
    found = [
        {
            "name": file.name, "origin": "own" if isinstance(file, LocalFile) else "shipped",
            "rows": {kind: len(list(rows.ids(kind))) for kind in sorted(rows.kinds())},
            "tag": tag_of(file.path) if isinstance(file, LocalFile) else None,
        }
        for file, rows in shelf.catalogs()
    ]
    return {"catalogs": found, "left_out": [_without_folder(error) for error in shelf.troubles]}


@blueprint.route("/catalogs/<catalog>", methods=["GET"])
@blueprint.arguments(PagedSchema, location="query")
@blueprint.response(200, PartListSchema)
@blueprint.doc(operationId="readCatalog")
@refuses(404)
def catalog(paged: Paged, catalog: str) -> dict[str, Any]:
    """List the parts of one catalog."""
    tables = {file.name: rows for file, rows in engine().shelf().catalogs()}
    if catalog not in tables:
        raise Problem(404, f"there is no catalog {catalog[:60]!r}; /v1/catalogs lists them")
    rows = tables[catalog]
    keys = [(kind, id_) for kind in sorted(rows.kinds()) for id_ in rows.ids(kind)]
    shown = ((kind, id_, rows.get(kind, id_)) for kind, id_ in keys[paged.offset : paged.offset + paged.limit])
    parts = [
        {"key": f"{kind}:{catalog}/{id_}", "title": row.cells.get("title", "") if row else ""}
        for kind, id_, row in shown
    ]
    return {"total": len(keys), "offset": paged.offset, "parts": parts}


@blueprint.route("/parts", methods=["GET"])
@blueprint.arguments(SearchSchema, location="query")
@blueprint.response(200, FoundSchema)
@blueprint.doc(operationId="findParts")
def search(search: Search) -> dict[str, Any]:
    """Find parts of a kind by their figures, the smallest first."""
    found = engine().shelf().find(search.kind, *search.where, by=search.by, most=search.limit)
    return {"parts": [_part(part) for part in found]}


@blueprint.route("/parts/<path:key>", methods=["GET"], parameters=[KEY_DOC])
@blueprint.response(200, PartSchema)
@blueprint.doc(operationId="readPart")
@refuses(404, 422)
def part(key: str) -> Response:
    """Read one part with every figure and its source. The key is kind:row, or kind:catalog/row."""
    try:
        return json_answer(_part(engine().shelf().part(key)))
    except UnknownName as error:
        raise Problem(404, error.what, errors=[error]) from None


def _part(part: Part) -> dict[str, Any]:
    hidden = ("key", "title", "provenance")
    figures = {field.name: plain(getattr(part, field.name)) for field in fields(part) if field.name not in hidden}
    return {
        "key": part.key, "title": part.title, "kind": part.kind,
        "figures": {name: value for name, value in figures.items() if value not in (None, [])},
        "source": part.provenance.source, "confidence": part.provenance.confidence,
        "catalog": part.provenance.catalog, "line": part.provenance.line,
    }


def _without_folder(error: RigfeedError) -> str:
    """What is wrong with a catalog, without telling a stranger the folders of this machine."""
    return str(error).replace(error.place.file or "\0", (error.place.file or "").rsplit("/", 1)[-1])
