"""A design in, everything that the checks say out; or one study of it alone."""

from __future__ import annotations

from typing import Any

from flask import Response
from marshmallow import Schema, fields

from rigfeed_api.blueprint import Blueprint, refuses, takes_design
from rigfeed_api.engine import engine
from rigfeed_api.hand_out import assessment_answer, json_answer
from rigfeed_api.options import Asked, AskedSchema
from rigfeed_api.plain import plain
from rigfeed_api.problems import Problem
from rigfeed_api.sent import assessed
from rigfeed_api.shapes import AssessmentSchema

blueprint = Blueprint(
    "assess", __name__, url_prefix="/v1",
    description="Assess a design without storing it. It is sent as TOML, as in a file, or as the same data in JSON.",
)

NO_FIGURES = "this study prepares what others ask it for, and has no figures of its own"


@blueprint.route("/assess", methods=["POST"])
@blueprint.arguments(AskedSchema, location="query")
@blueprint.response(200, AssessmentSchema, description="what the checks say")
@blueprint.doc(operationId="assess")
@refuses(406)
@takes_design
def assess(asked: Asked) -> Response:
    """Assess a design.

    Findings come in the order severity, group, check, subject. A finding is no error of the request: a design that
    breaks every rule is answered with 200.
    """
    return assessment_answer(assessed(asked.practice), asked.units)


class StudyItemSchema(Schema):
    """A study that can be run."""

    name = fields.String(required=True)
    needs = fields.List(fields.String(), required=True, metadata={"description": "the studies whose results it uses"})


class StudiesSchema(Schema):
    """All studies."""

    studies = fields.List(fields.Nested(StudyItemSchema), required=True)


class StudySchema(Schema):
    """The result of one study."""

    schema = fields.Integer(required=True)
    study = fields.String(required=True)
    title = fields.String(required=True, metadata={"description": "of the design"})
    result = fields.Raw(required=True, allow_none=True, metadata={
        "description": "as the study has it, a unit in each name; null where it has no figures of its own",
    })
    why = fields.String(required=True, allow_none=True, metadata={"description": "why there is no result, if so"})


@blueprint.route("/studies", methods=["GET"])
@blueprint.response(200, StudiesSchema)
@blueprint.doc(operationId="listStudies")
def studies() -> dict[str, Any]:
    """List the studies of all plugins."""
    found = sorted(engine().registry.studies.items())
    return {"studies": [{"name": name, "needs": [need.name for need in study.needs]} for name, study in found]}


@blueprint.route("/studies/<study>", methods=["POST"])
@blueprint.arguments(AskedSchema, location="query")
@blueprint.response(200, StudySchema)
@blueprint.doc(operationId="runStudy")
@refuses(404, 406)
@takes_design
def study(asked: Asked, study: str) -> Response:
    """Run one study of a design."""
    known = engine().registry.studies
    if study not in known:
        raise Problem(404, f"there is no study {study[:60]!r}; /v1/studies lists them")
    assessment = assessed(asked.practice, only=())
    result = plain(assessment[known[study]])
    why = NO_FIGURES if result is None else None
    title = assessment.installation.title
    return json_answer({"schema": 1, "study": study, "title": title, "result": result, "why": why})
