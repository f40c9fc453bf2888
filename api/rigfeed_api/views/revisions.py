"""What follows from a stored revision: its assessment, its papers, its drawings."""

from __future__ import annotations

from flask import Response

from rigfeed.papers.paper import Wanted
from rigfeed_api.blueprint import refuses
from rigfeed_api.engine import engine
from rigfeed_api.hand_out import CSV, SVG, XLSX, ZIP, assessment_answer, drawing_answer, paper_answer, papers_answer
from rigfeed_api.kept import assessed
from rigfeed_api.options import Asked, AskedDrawing, AskedDrawingSchema, AskedPaper, AskedPaperSchema, AskedSchema
from rigfeed_api.problems import Problem
from rigfeed_api.shapes import BINARY, TEXT, AssessmentSchema, PaperSchema
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
@blueprint.response(200, BINARY, content_type=ZIP, description="every paper in every form, and the drawings")
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
    if paper not in engine().registry.papers:
        raise Problem(404, f"there is no paper {paper[:60]!r}; /v1/papers lists them")
    return paper_answer(assessed(found(design, revision), asked.practice), paper, asked.units, asked.page)


@blueprint.route(f"{PLACE}/drawings/<drawing>", methods=["GET"], parameters=[ID_DOC, REVISION_DOC])
@blueprint.arguments(AskedDrawingSchema, location="query")
@blueprint.response(200, TEXT, content_type=SVG)
@blueprint.doc(operationId="drawingOfRevision")
@refuses(404, 410, 422, 503)
def drawing(asked: AskedDrawing, design: str, revision: str, drawing: str) -> Response:
    """Make one drawing of a revision, as SVG."""
    if drawing not in engine().registry.drawings:
        raise Problem(404, f"there is no drawing {drawing[:60]!r}; /v1/drawings lists them")
    wanted = Wanted(asked.state, asked.page, asked.units)
    return drawing_answer(assessed(found(design, revision), asked.practice, only=()), drawing, wanted)
