"""Papers and drawings of a design that is sent along."""

from __future__ import annotations

from typing import Any

from flask import Response
from marshmallow import Schema, fields

from rigfeed.papers.paper import Wanted
from rigfeed_api.blueprint import Blueprint, refuses, takes_design
from rigfeed_api.engine import engine
from rigfeed_api.hand_out import (
    CSV,
    SVG,
    XLSX,
    ZIP,
    drawing_answer,
    paper_answer,
    papers_answer,
)
from rigfeed_api.options import AskedDrawing, AskedDrawingSchema, AskedPaper, AskedPaperSchema
from rigfeed_api.problems import Problem
from rigfeed_api.sent import assessed
from rigfeed_api.shapes import BINARY, TEXT, PaperSchema

blueprint = Blueprint(
    "papers", __name__, url_prefix="/v1",
    description="What is printed or handed over: cut list, fuse schedule, drawings. Accept chooses the form.",
)


class ListedSchema(Schema):
    """Something that can be had."""

    name = fields.String(required=True)
    title = fields.String(required=True)


class PapersSchema(Schema):
    """All papers."""

    papers = fields.List(fields.Nested(ListedSchema), required=True)


class DrawingsSchema(Schema):
    """All drawings."""

    drawings = fields.List(fields.Nested(ListedSchema), required=True)


@blueprint.route("/papers", methods=["GET"])
@blueprint.response(200, PapersSchema)
@blueprint.doc(operationId="listPapers")
def listed() -> dict[str, Any]:
    """List the papers of all plugins."""
    return {"papers": [vars(paper) for _, paper in sorted(engine().registry.papers.items())]}


@blueprint.route("/papers", methods=["POST"])
@blueprint.arguments(AskedPaperSchema, location="query")
@blueprint.response(200, BINARY, content_type=ZIP, description="every paper in every form, and the drawings")
@blueprint.alt_response(200, schema=BINARY, content_type=XLSX, success=True)
@blueprint.doc(operationId="allPapers")
@refuses(406)
@takes_design
def every(asked: AskedPaper) -> Response:
    """Make all papers of a design: an archive, or one workbook."""
    return papers_answer(assessed(asked.practice), asked.units, asked.page)


@blueprint.route("/papers/<paper>", methods=["POST"])
@blueprint.arguments(AskedPaperSchema, location="query")
@blueprint.response(200, PaperSchema)
@blueprint.alt_response(200, schema=TEXT, content_type=CSV, success=True)
@blueprint.alt_response(200, schema=BINARY, content_type=XLSX, success=True)
@blueprint.doc(operationId="makePaper")
@refuses(404, 406)
@takes_design
def one(asked: AskedPaper, paper: str) -> Response:
    """Make one paper of a design: JSON, CSV or a workbook."""
    if paper not in engine().registry.papers:
        raise Problem(404, f"there is no paper {paper[:60]!r}; /v1/papers lists them")
    return paper_answer(assessed(asked.practice), paper, asked.units, asked.page)


@blueprint.route("/drawings", methods=["GET"])
@blueprint.response(200, DrawingsSchema)
@blueprint.doc(operationId="listDrawings")
def drawings() -> dict[str, Any]:
    """List the drawings of all plugins."""
    return {"drawings": [vars(drawing) for _, drawing in sorted(engine().registry.drawings.items())]}


@blueprint.route("/drawings/<drawing>", methods=["POST"])
@blueprint.arguments(AskedDrawingSchema, location="query")
@blueprint.response(200, TEXT, content_type=SVG)
@blueprint.doc(operationId="makeDrawing")
@refuses(404, 406)
@takes_design
def picture(asked: AskedDrawing, drawing: str) -> Response:
    """Make one drawing of a design, as SVG."""
    if drawing not in engine().registry.drawings:
        raise Problem(404, f"there is no drawing {drawing[:60]!r}; /v1/drawings lists them")
    wanted = Wanted(asked.state, asked.page, asked.units)
    return drawing_answer(assessed(asked.practice, only=()), drawing, wanted)
