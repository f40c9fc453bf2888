"""What follows from a stored revision: its assessment, its papers, its drawings and figures."""

from __future__ import annotations

from typing import Any

from flask import Response

from rigfeed.papers.paper import Wanted
from rigfeed_api.blueprint import refuses
from rigfeed_api.hand_out import (
    CSV,
    PNG,
    SVG,
    XLSX,
    ZIP,
    assessment_answer,
    drawing_answer,
    figure_answer,
    known,
    paper_answer,
    papers_answer,
    subjects_of,
)
from rigfeed_api.kept import assessed
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
from rigfeed_api.shapes import BINARY, TEXT, AssessmentSchema, FigureSchema, PaperSchema, SubjectsSchema
from rigfeed_api.views.designs import ID_DOC, REVISION_DOC, blueprint, found

PLACE = "/<design>/revisions/<revision>"


@blueprint.route(f"{PLACE}/assessment", methods=["GET"], parameters=[ID_DOC, REVISION_DOC])
@blueprint.arguments(AskedSchema, location="query")
@blueprint.response(200, AssessmentSchema)
@blueprint.doc(operationId="assessRevision")
@refuses(404, 410, 422, 503)
def assessment(asked: Asked, design: str, revision: str) -> Response:
    """Assess a revision with the catalogs and practices of today."""
    return assessment_answer(assessed(found(design, revision), asked.practice), asked.units)


@blueprint.route(f"{PLACE}/papers", methods=["GET"], parameters=[ID_DOC, REVISION_DOC])
@blueprint.arguments(AskedPaperSchema, location="query")
@blueprint.response(200, BINARY, content_type=ZIP, description="every paper in every form, drawings and figures")
@blueprint.alt_response(200, schema=BINARY, content_type=XLSX, success=True)
@blueprint.doc(operationId="papersOfRevision")
@refuses(404, 410, 422, 503)
def papers(asked: AskedPaper, design: str, revision: str) -> Response:
    """Make all papers of a revision: an archive, or one workbook."""
    return papers_answer(assessed(found(design, revision), asked.practice), asked.units, asked.page)


@blueprint.route(f"{PLACE}/papers/<paper>", methods=["GET"], parameters=[ID_DOC, REVISION_DOC])
@blueprint.arguments(AskedPaperSchema, location="query")
@blueprint.response(200, PaperSchema)
@blueprint.alt_response(200, schema=TEXT, content_type=CSV, success=True)
@blueprint.alt_response(200, schema=BINARY, content_type=XLSX, success=True)
@blueprint.doc(operationId="paperOfRevision")
@refuses(404, 410, 422, 503)
def paper(asked: AskedPaper, design: str, revision: str, paper: str) -> Response:
    """Make one paper of a revision: JSON, CSV or a workbook."""
    known("paper", paper)
    return paper_answer(assessed(found(design, revision), asked.practice), paper, asked.units, asked.page)


@blueprint.route(f"{PLACE}/drawings/<drawing>", methods=["GET"], parameters=[ID_DOC, REVISION_DOC])
@blueprint.arguments(AskedDrawingSchema, location="query")
@blueprint.response(200, TEXT, content_type=SVG)
@blueprint.doc(operationId="drawingOfRevision")
@refuses(404, 410, 422, 503)
def drawing(asked: AskedDrawing, design: str, revision: str, drawing: str) -> Response:
    """Make one drawing of a revision, as SVG."""
    known("drawing", drawing)
    wanted = Wanted(asked.state, asked.page, asked.units)
    return drawing_answer(assessed(found(design, revision), asked.practice, only=()), drawing, wanted)


@blueprint.route(f"{PLACE}/figures/<figure>", methods=["GET"], parameters=[ID_DOC, REVISION_DOC])
@blueprint.arguments(AskedFigureSchema, location="query")
@blueprint.response(200, FigureSchema)
@blueprint.alt_response(200, schema=TEXT, content_type=SVG, success=True)
@blueprint.alt_response(200, schema=BINARY, content_type=PNG, success=True)
@blueprint.doc(operationId="figureOfRevision")
@refuses(404, 410, 422, 503)
def figure(asked: AskedFigure, design: str, revision: str, figure: str) -> Response:
    """Make one figure of a revision: its numbers, or a picture where this server can draw."""
    assessment = assessed(found(design, revision), asked.practice, only=())
    return figure_answer(assessment, known("figure", figure), asked.subject, asked.units)


@blueprint.route(f"{PLACE}/figures/<figure>/subjects", methods=["GET"], parameters=[ID_DOC, REVISION_DOC])
@blueprint.arguments(AskedSchema, location="query")
@blueprint.response(200, SubjectsSchema)
@blueprint.doc(operationId="subjectsOfRevision")
@refuses(404, 410, 422, 503)
def subjects(asked: Asked, design: str, revision: str, figure: str) -> dict[str, Any]:
    """List what a figure of a revision can be about; none where it is about the whole installation."""
    return subjects_of(assessed(found(design, revision), asked.practice, only=()), known("figure", figure))
