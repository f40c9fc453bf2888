"""Papers, drawings and figures of a design that is sent along."""

from __future__ import annotations

from typing import Any

from flask import Response
from marshmallow import Schema, fields

from rigfeed.papers.paper import Wanted
from rigfeed_api.blueprint import Blueprint, refuses, takes_design
from rigfeed_api.engine import engine
from rigfeed_api.hand_out import (
    CSV,
    PNG,
    SVG,
    XLSX,
    ZIP,
    drawing_answer,
    figure_answer,
    known,
    paper_answer,
    papers_answer,
    subjects_of,
)
from rigfeed_api.options import (
    Asked,
    AskedDrawing,
    AskedDrawingSchema,
    AskedFigure,
    AskedFigureSchema,
    AskedPaper,
    AskedPaperSchema,
    AskedSchema,
)
from rigfeed_api.sent import assessed
from rigfeed_api.shapes import BINARY, TEXT, FigureSchema, PaperSchema, SubjectsSchema

blueprint = Blueprint(
    "papers", __name__, url_prefix="/v1",
    description="What is printed or handed over: cut list, fuse schedule, drawings, figures. Accept chooses the form.",
)


class ListedSchema(Schema):
    """Something that can be had."""

    name = fields.String(required=True)
    title = fields.String(required=True)


class PapersSchema(Schema):
    """All papers."""

    papers = fields.List(fields.Nested(ListedSchema), required=True)


class FiguresSchema(Schema):
    """All figures."""

    figures = fields.List(fields.Nested(ListedSchema), required=True)


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
@blueprint.response(200, BINARY, content_type=ZIP, description="every paper in every form, drawings and figures")
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
    known("paper", paper)
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
    known("drawing", drawing)
    wanted = Wanted(asked.state, asked.page, asked.units)
    return drawing_answer(assessed(asked.practice, only=()), drawing, wanted)


@blueprint.route("/figures", methods=["GET"])
@blueprint.response(200, FiguresSchema)
@blueprint.doc(operationId="listFigures")
def figures() -> dict[str, Any]:
    """List the figures of all plugins."""
    return {"figures": [vars(plot) for _, plot in sorted(engine().registry.figures.items())]}


@blueprint.route("/figures/<figure>", methods=["POST"])
@blueprint.arguments(AskedFigureSchema, location="query")
@blueprint.response(200, FigureSchema)
@blueprint.alt_response(200, schema=TEXT, content_type=SVG, success=True)
@blueprint.alt_response(200, schema=BINARY, content_type=PNG, success=True)
@blueprint.doc(operationId="makeFigure")
@refuses(404, 406)
@takes_design
def curves(asked: AskedFigure, figure: str) -> Response:
    """Make one figure of a design: its numbers, or a picture where this server can draw."""
    return figure_answer(assessed(asked.practice, only=()), known("figure", figure), asked.subject, asked.units)


@blueprint.route("/figures/<figure>/subjects", methods=["POST"])
@blueprint.arguments(AskedSchema, location="query")
@blueprint.response(200, SubjectsSchema)
@blueprint.doc(operationId="subjectsOfFigure")
@refuses(404)
@takes_design
def subjects(asked: Asked, figure: str) -> dict[str, Any]:
    """List what a figure of a design can be about; none where it is about the whole installation."""
    return subjects_of(assessed(asked.practice, only=()), known("figure", figure))
