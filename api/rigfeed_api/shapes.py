"""The schemas of answers that several views share. They are for the document; hot answers are not dumped by them."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from marshmallow import Schema, fields

from rigfeed.forms import FormField
from rigfeed_api.plain import plain

BINARY = {"type": "string", "format": "binary"}
TEXT = {"type": "string"}


def texts(what: str = "") -> fields.List[Any]:
    """A required list of texts."""
    return fields.List(fields.String(), required=True, metadata={"description": what} if what else {})


class MeasureSchema(Schema):
    """A number with its unit; null where it is not finite."""

    value = fields.Float(required=True, allow_none=True)
    unit = fields.String(required=True)


class FindingSchema(Schema):
    """One thing that is not as the practice wants it."""

    check = fields.String(required=True)
    group = fields.String(required=True)
    severity = fields.String(required=True, metadata={"enum": ["error", "warning", "advice"]})
    subject = fields.String(required=True, metadata={"description": "a path into the design, conductors.W1"})
    pointer = fields.String(required=True, metadata={"description": "the same as a JSON pointer"})
    also = texts("other places that it is about")
    state = fields.String(required=True, allow_none=True)
    also_states = texts("states in which it holds too, less badly")
    value = fields.Nested(MeasureSchema, required=True, allow_none=True)
    limit = fields.Nested(MeasureSchema, required=True, allow_none=True)
    message = fields.String(required=True)
    remedy = fields.String(required=True)
    authority = fields.String(required=True)
    accepted_by = fields.String(required=True, allow_none=True)


class NotCheckedSchema(Schema):
    """Something that a check could not look at."""

    check = fields.String(required=True)
    subject = fields.String(required=True)
    why = fields.String(required=True)


class AssumptionSchema(Schema):
    """A default that was used because the design gives nothing."""

    subject = fields.String(required=True)
    what = fields.String(required=True)
    value = fields.Nested(MeasureSchema, required=True, allow_none=True)
    authority = fields.String(required=True)


class StateSchema(Schema):
    """Volts and amps in one state."""

    title = fields.String(required=True)
    engine_on = fields.Boolean(required=True)
    modes = fields.Dict(keys=fields.String(), values=fields.String(), required=True)
    volts_across = fields.Dict(keys=fields.String(), values=fields.Float(allow_none=True), required=True)
    current_a = fields.Dict(keys=fields.String(), values=fields.Float(allow_none=True), required=True)


class LaidConductorSchema(Schema):
    """A conductor with its lengths."""

    cable = fields.String(required=True)
    start = fields.List(fields.String(), required=True, data_key="from")
    end = fields.List(fields.String(), required=True, data_key="to")
    origin = fields.String(required=True)
    length_m = fields.Float(required=True, allow_none=True)
    slack_m = fields.Float(required=True, allow_none=True)
    cut_length_m = fields.Float(required=True, allow_none=True)


class LaidPassageSchema(Schema):
    """A hole and what is in it."""

    run = fields.String(required=True)
    diameter_mm = fields.Float(required=True, allow_none=True)
    fill = fields.Float(required=True, allow_none=True)
    conductors = texts()


class PracticeNameSchema(Schema):
    """A practice by name."""

    name = fields.String(required=True)
    title = fields.String(required=True)


class CountsSchema(Schema):
    """How many findings nobody has accepted."""

    error = fields.Integer(required=True)
    warning = fields.Integer(required=True)
    advice = fields.Integer(required=True)


class AssessmentSchema(Schema):
    """Everything computed for one design. It never says that a design is fit for use: read what was not checked."""

    schema = fields.Integer(required=True)
    title = fields.String(required=True)
    practice = fields.Nested(PracticeNameSchema, required=True)
    counts = fields.Nested(CountsSchema, required=True)
    findings = fields.List(fields.Nested(FindingSchema), required=True)
    not_checked = fields.List(fields.Nested(NotCheckedSchema), required=True)
    assumptions = fields.List(fields.Nested(AssumptionSchema), required=True)
    checks = texts("all checks that were asked")
    checks_made = texts("those that could look at everything")
    left_out = texts("plugins, catalogs and practices that are broken")
    states = fields.Dict(keys=fields.String(), values=fields.Nested(StateSchema), required=True)
    conductors = fields.Dict(keys=fields.String(), values=fields.Nested(LaidConductorSchema), required=True)
    passages = fields.Dict(keys=fields.String(), values=fields.Nested(LaidPassageSchema), required=True)
    cautions = texts()


class ColumnSchema(Schema):
    """A column of a paper."""

    key = fields.String(required=True)
    heading = fields.String(required=True)
    unit = fields.String(required=True)


class PaperSchema(Schema):
    """A paper as data, numbers in the unit of their column."""

    schema = fields.Integer(required=True)
    job = fields.String(required=True)
    cautions = texts()
    name = fields.String(required=True)
    title = fields.String(required=True)
    columns = fields.List(fields.Nested(ColumnSchema), required=True)
    rows = fields.List(fields.Dict(keys=fields.String(), values=fields.Raw(allow_none=True)), required=True)
    notes = texts()


class AxisSchema(Schema):
    """One side of a figure: a quantity from its least to its most value, or a list of names with remarks."""

    label = fields.String(required=True)
    unit = fields.String(required=True)
    scale = fields.String(required=True)
    least = fields.Float(required=True, allow_none=True)
    most = fields.Float(required=True, allow_none=True)
    names = texts()
    beside = texts()


def places(about: str = "") -> fields.List[Any]:
    """Places in a figure: pairs of numbers in the units of its axes."""
    return fields.List(fields.List(fields.Float()), required=True, metadata={"description": about or "x and y"})


class BandSchema(Schema):
    """What lies between two curves; where the upper one has no place it has no limit."""

    tag = fields.String(required=True)
    name = fields.String(required=True)
    subject = fields.String(required=True, allow_none=True)
    low = places()
    high = places()


class CurveSchema(Schema):
    """A curve; a limit is what must not be passed."""

    tag = fields.String(required=True)
    name = fields.String(required=True)
    role = fields.String(required=True)
    subject = fields.String(required=True, allow_none=True)
    places = places()


class MarkSchema(Schema):
    """A value on an axis, or a range."""

    name = fields.String(required=True)
    axis = fields.String(required=True)
    role = fields.String(required=True)
    at = fields.Float(required=True)
    to = fields.Float(required=True, allow_none=True)


class DotsSchema(Schema):
    """Places that mean the same."""

    name = fields.String(required=True)
    shape = fields.String(required=True)
    places = places("of a list of names, y is the number of the name, from 0")


class FigureSchema(Schema):
    """A figure as data, numbers in the base units of its axes."""

    schema = fields.Integer(required=True)
    job = fields.String(required=True)
    cautions = texts()
    name = fields.String(required=True)
    title = fields.String(required=True)
    subject = fields.String(required=True, allow_none=True)
    x = fields.Nested(AxisSchema, required=True)
    y = fields.Nested(AxisSchema, required=True)
    bands = fields.List(fields.Nested(BandSchema), required=True)
    curves = fields.List(fields.Nested(CurveSchema), required=True)
    marks = fields.List(fields.Nested(MarkSchema), required=True)
    dots = fields.List(fields.Nested(DotsSchema), required=True)
    notes = texts()


class SubjectSchema(Schema):
    """Something that a figure can be about; a usual one is among the papers."""

    id = fields.String(required=True)
    title = fields.String(required=True)
    usual = fields.Boolean(required=True)


class SubjectsSchema(Schema):
    """What a figure can be about."""

    subjects = fields.List(fields.Nested(SubjectSchema), required=True)


class FormFieldSchema(Schema):
    """Something to fill in: of what sort, with which unit, bounds and choices."""

    name = fields.String(required=True)
    sort = fields.String(required=True)
    unit = fields.String(required=True)
    least = fields.Float(required=True, allow_none=True)
    most = fields.Float(required=True, allow_none=True)
    choices = texts("the words of a choice, the kind of a part, or the collection of a reference")
    required = fields.Boolean(required=True)
    default = fields.Raw(required=True, allow_none=True)
    help = fields.String(required=True)


def form_fields(found: Iterable[FormField]) -> list[dict[str, Any]]:
    """The plain data of form fields."""
    return [
        {
            "name": str(field.path), "sort": field.sort, "unit": field.unit, "least": plain(field.least),
            "most": plain(field.most), "choices": list(field.choices), "required": field.required,
            "default": plain(field.default), "help": field.help,
        }
        for field in found
    ]
