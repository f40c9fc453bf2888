"""The calculators: one formula each, with named inputs and outputs."""

from __future__ import annotations

from typing import Any

from flask import Response
from marshmallow import Schema, fields

from rigfeed.calculators import Calculator
from rigfeed.errors import InputError, Place
from rigfeed.path import Path
from rigfeed_api.blueprint import Blueprint, refuses, takes_json
from rigfeed_api.engine import engine
from rigfeed_api.hand_out import json_answer
from rigfeed_api.plain import plain
from rigfeed_api.problems import Problem
from rigfeed_api.shapes import FormFieldSchema, MeasureSchema, form_fields
from rigfeed_api.wire import json_body

blueprint = Blueprint(
    "calculators", __name__, url_prefix="/v1/calculators",
    description="One formula each. An input is a text with its unit, or a number in the unit that the input names.",
)
MOST_BYTES = 16 * 1024


class CalculatorItemSchema(Schema):
    """A calculator in the list."""

    name = fields.String(required=True)
    group = fields.String(required=True)
    title = fields.String(required=True)


class CalculatorsSchema(Schema):
    """All calculators."""

    calculators = fields.List(fields.Nested(CalculatorItemSchema), required=True)


class OutputSchema(Schema):
    """What a calculator gives."""

    name = fields.String(required=True)
    what = fields.String(required=True)
    unit = fields.String(required=True)


class CalculatorSchema(CalculatorItemSchema):
    """A calculator in full."""

    text = fields.String(required=True)
    formula = fields.String(required=True)
    validity = fields.String(required=True)
    source = fields.String(required=True)
    inputs = fields.List(fields.Nested(FormFieldSchema), required=True)
    outputs = fields.List(fields.Nested(OutputSchema), required=True)


class ResultSchema(MeasureSchema):
    """An output with its value."""

    what = fields.String(required=True)


class CalculationSchema(Schema):
    """What was put in and what came out."""

    schema = fields.Integer(required=True)
    calculator = fields.String(required=True)
    inputs = fields.Dict(keys=fields.String(), values=fields.Raw(), required=True)
    outputs = fields.Dict(keys=fields.String(), values=fields.Nested(ResultSchema), required=True)
    formula = fields.String(required=True)
    validity = fields.String(required=True)
    source = fields.String(required=True)


INPUTS = {
    "type": "object",
    "additionalProperties": {"type": ["string", "number"]},
    "example": {"current": "20 A", "resistance": "5 mohm"},
}


@blueprint.route("", methods=["GET"])
@blueprint.response(200, CalculatorsSchema)
@blueprint.doc(operationId="listCalculators")
def listed() -> dict[str, Any]:
    """List the calculators of all plugins."""
    return {"calculators": [calculator for _, calculator in sorted(engine().registry.calculators.items())]}


@blueprint.route("/<calculator>", methods=["GET"])
@blueprint.response(200, CalculatorSchema)
@blueprint.doc(operationId="describeCalculator")
@refuses(404)
def described(calculator: str) -> dict[str, Any]:
    """Describe one calculator: inputs with their units and ranges, outputs, formula, validity, source."""
    found = _known(calculator)
    words = ("name", "group", "title", "text", "formula", "validity", "source")
    return {
        **{word: getattr(found, word) for word in words},
        "inputs": form_fields(found.inputs),
        "outputs": [{"name": name, "what": out.what, "unit": out.unit} for name, out in found.outputs],
    }


@blueprint.route("/<calculator>", methods=["POST"])
@blueprint.response(200, CalculationSchema)
@blueprint.doc(operationId="calculate")
@refuses(404, 406)
@takes_json(INPUTS)
def run(calculator: str) -> Response:
    """Run one calculator."""
    found = _known(calculator)
    given = json_body(MOST_BYTES)
    if not isinstance(given, dict):
        raise InputError("is not an object", remedy="send { input: value }", place=Place(path=Path()))
    for name, value in given.items():
        if isinstance(value, bool) or not isinstance(value, str | int | float):
            place = Place(path=Path(name))
            raise InputError("is neither a text with its unit nor a number", place=place, remedy='write "2.5 m" or 2.5')
    calculation = found.run(given)
    return json_answer({
        "schema": 1,
        "calculator": found.name,
        "inputs": {name: plain(value) for name, value in calculation.inputs},
        "outputs": {name: {**plain(measure), "what": what} for name, what, measure in calculation.outputs},
        "formula": found.formula,
        "validity": found.validity,
        "source": found.source,
    })


def _known(name: str) -> Calculator:
    known = engine().registry.calculators
    if name not in known:
        raise Problem(404, f"there is no calculator {name[:60]!r}; /v1/calculators lists them")
    return known[name]
