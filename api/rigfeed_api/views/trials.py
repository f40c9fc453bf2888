"""What is tried or entered with designs that are sent along: one beside another, a reading in place of an assumption.

What-ifs and the return question are papers, and are made where papers are.
"""

from __future__ import annotations

from typing import Any

from flask import Response
from marshmallow import Schema, ValidationError, fields

from rigfeed.errors import InputError
from rigfeed.fields import ID, QuantityField, TableSchema, Text
from rigfeed.path import Path
from rigfeed.trials.compare import compare_assessments
from rigfeed.trials.compare_json import comparison_json
from rigfeed.trials.measured import Reading, entered, measured_json
from rigfeed_api.blueprint import Blueprint, refused, refuses, takes_json
from rigfeed_api.edits import EDIT_SCHEMA, below
from rigfeed_api.engine import engine
from rigfeed_api.hand_out import JSON, json_answer, wanted_type
from rigfeed_api.options import Asked, AskedSchema
from rigfeed_api.sent import DESIGN_SCHEMA, assessed_in, table_of
from rigfeed_api.shapes import CountsSchema, FindingSchema, texts
from rigfeed_api.wire import json_body

blueprint = Blueprint(
    "trials", __name__, url_prefix="/v1",
    description="One design beside another; two voltages and a current in the place of an assumed resistance.",
)

COMPARED: dict[str, Any] = {
    "type": "object", "properties": {"first": DESIGN_SCHEMA, "second": DESIGN_SCHEMA}, "required": ["first", "second"],
    "additionalProperties": False,
}


class SideSchema(Schema):
    """How one of the two designs stands."""

    title = fields.String(required=True)
    practice = fields.String(required=True)
    counts = fields.Nested(CountsSchema, required=True)
    not_checked = fields.Integer(required=True)
    assumptions = fields.Integer(required=True)


class DifferenceSchema(Schema):
    """One thing that is written differently; null where it is not there."""

    path = fields.String(required=True)
    first = fields.String(required=True, allow_none=True)
    second = fields.String(required=True, allow_none=True)


class BothSchema(Schema):
    """A finding of both designs that says something else in each."""

    first = fields.Nested(FindingSchema, required=True)
    second = fields.Nested(FindingSchema, required=True)


class LoadVoltsSchema(Schema):
    """The volts at a load in its worst state that both designs have; null where it is not fed."""

    node = fields.String(required=True, data_key="load")
    state = fields.String(required=True)
    first_v = fields.Float(required=True, allow_none=True)
    second_v = fields.Float(required=True, allow_none=True)


class AmountSchema(Schema):
    """Something that is added up in each design."""

    what = fields.String(required=True)
    unit = fields.String(required=True, metadata={"description": "a unit or a currency; empty for a count"})
    first = fields.Float(required=True, allow_none=True)
    second = fields.Float(required=True, allow_none=True)


class ComparisonSchema(Schema):
    """Two designs side by side. Fewer findings are not a safer vehicle: see what was not checked in each."""

    schema = fields.Integer(required=True)
    same = fields.Boolean(required=True)
    first = fields.Nested(SideSchema, required=True)
    second = fields.Nested(SideSchema, required=True)
    differences = fields.List(fields.Nested(DifferenceSchema), required=True)
    gained = fields.List(fields.Nested(FindingSchema), required=True, metadata={"description": "in the second alone"})
    lost = fields.List(fields.Nested(FindingSchema), required=True, metadata={"description": "in the first alone"})
    changed = fields.List(fields.Nested(BothSchema), required=True)
    volts = fields.List(fields.Nested(LoadVoltsSchema), required=True)
    amounts = fields.List(fields.Nested(AmountSchema), required=True)
    cautions = texts()


@blueprint.route("/compare", methods=["POST"])
@blueprint.arguments(AskedSchema, location="query")
@blueprint.response(200, ComparisonSchema)
@blueprint.doc(operationId="compareDesigns")
@refuses(406)
@takes_json(COMPARED)
def compare(asked: Asked) -> Response:
    """Say what differs between two designs, and what comes of it: findings gained and lost, volts, copper, cost."""
    wanted_type([JSON])
    body = table_of(json_body(engine().settings.limits.batch_bytes), ("first", "second"))
    one, two = (assessed_in(body[key], Path(key), asked.practice) for key in ("first", "second"))
    return json_answer(comparison_json(compare_assessments(one, two), asked.units))


# a reading


class ReadingSchema(TableSchema):
    """What the meter said."""

    builds = Reading
    node = Text(ID, like="start", required=True)
    idle = QuantityField("V", least=-1000, most=1000, required=True)
    loaded = QuantityField("V", least=-1000, most=1000, required=True)
    current = QuantityField("A", above=0, most=10_000, required=True)
    temperature = QuantityField("degC", least=-40, most=80, load_default=None, allow_none=False)
    to = Text(ID, like="strap", load_default=None, allow_none=False)


def _id(description: str, example: str) -> dict[str, Any]:
    return {"type": "string", "pattern": f"^(?:{ID.pattern})$", "description": description, "examples": [example]}


def _quantity(kind: str, description: str, example: str) -> dict[str, Any]:
    return {"type": "string", "format": kind, "description": description, "examples": [example]}


READING: dict[str, Any] = {
    "type": "object",
    "description": "two voltages and the current between them, engine off and nothing charging",
    "properties": {
        "node": _id("a battery, a bolt on the body, or a take-off from the vehicle's own wiring", "start"),
        "idle": _quantity("voltage", "between the probes without the load", "12.62 V"),
        "loaded": _quantity("voltage", "between the same points with the load", "12.49 V"),
        "current": _quantity("current", "what the load takes, by a clamp", "11.2 A"),
        "temperature": _quantity("temperature", "of a battery when it was measured", "15 C"),
        "to": _id("of a bolt: where the other probe was, the bolt of the strap or the battery", "strap"),
    },
    "required": ["node", "idle", "loaded", "current"],
    "additionalProperties": False,
}
ENTERED: dict[str, Any] = {
    "type": "object", "properties": {"design": DESIGN_SCHEMA, "reading": READING}, "required": ["design", "reading"],
    "additionalProperties": False,
}


class MeasuredSchema(Schema):
    """A resistance, how sure it is, what it replaces, and the edits that enter it: those that a stored design takes."""

    schema = fields.Integer(required=True)
    node = fields.String(required=True)
    what = fields.String(required=True)
    resistance_mohm = fields.Float(required=True)
    least_mohm = fields.Float(required=True, metadata={"description": "by the last digit of the meter"})
    most_mohm = fields.Float(required=True)
    strap_mohm = fields.Float(required=True, metadata={"description": "what of it is the strap, as drawn"})
    rough = fields.Boolean(required=True, metadata={"description": "few digits apart: take a greater load"})
    assumed_mohm = fields.Float(required=True, allow_none=True, metadata={"description": "null: none was assumed"})
    edits = fields.List(fields.Raw(metadata=EDIT_SCHEMA), required=True)
    cautions = texts()


@blueprint.route("/measured", methods=["POST"])
@blueprint.arguments(AskedSchema, location="query")
@blueprint.response(200, MeasuredSchema)
@blueprint.doc(operationId="enterReading")
@refuses(406)
@takes_json(ENTERED)
def measured(asked: Asked) -> Response:
    """Work out the resistance of a battery, of the body, or of the vehicle's own wiring, and how to enter it.

    Nothing is stored: send the edits to the design.
    """
    wanted_type([JSON])
    body = table_of(json_body(engine().settings.limits.batch_bytes), ("design", "reading"))
    at = Path("reading")
    try:
        reading = ReadingSchema().load(table_of(body["reading"], ("node", "idle", "loaded", "current"),
                                                ("temperature", "to"), at))
    except ValidationError as error:
        raise below(refused(error), at) from None
    assessment = assessed_in(body["design"], Path("design"), asked.practice, only=())
    try:
        found = entered(assessment, reading)
    except InputError as error:
        raise below(error, Path("design") if error.place.path else at) from None
    return json_answer(measured_json(found))
