"""The same kit in many vehicles, in one call."""

from __future__ import annotations

import io
import json
import zipfile
from typing import Any

from flask import Response
from marshmallow import Schema, fields

from rigfeed.quantity import System
from rigfeed.trials.batch import Batch
from rigfeed.trials.batch_json import batch_json
from rigfeed_api.blueprint import Blueprint, refuses, takes_json
from rigfeed_api.engine import engine
from rigfeed_api.fleet import assessed, batch_schema, designs_of, title_of
from rigfeed_api.hand_out import JSON, XLSX, ZIP, json_answer, wanted_type
from rigfeed_api.options import AskedPaper, AskedPaperSchema
from rigfeed_api.settings import Limits
from rigfeed_api.shapes import BINARY, ColumnSchema, CountsSchema, MeasureSchema, texts
from rigfeed_api.wire import json_body

_EARLIEST = (1980, 1, 1, 0, 0, 0)  # the first date that a zip file can hold: no clock in what is handed out

blueprint = Blueprint(
    "batch", __name__, url_prefix="/v1/batch", description="The same kit in many vehicles: assessed in one call.",
)


class VehicleSchema(Schema):
    """How one vehicle stands."""

    title = fields.String(required=True)
    practice = fields.String(required=True)
    counts = fields.Nested(CountsSchema, required=True)
    not_checked = fields.Integer(required=True)
    assumptions = fields.Integer(required=True)


class InVehicleSchema(Schema):
    """A finding as it is in one vehicle."""

    severity = fields.String(required=True, metadata={"enum": ["error", "warning", "advice"]})
    state = fields.String(required=True, allow_none=True)
    value = fields.Nested(MeasureSchema, required=True, allow_none=True)
    limit = fields.Nested(MeasureSchema, required=True, allow_none=True)
    message = fields.String(required=True)
    remedy = fields.String(required=True)
    authority = fields.String(required=True)
    accepted_by = fields.String(required=True, allow_none=True)


class LineSchema(Schema):
    """One line of the matrix of findings: a check and a subject, and the vehicles in which that is found."""

    check = fields.String(required=True)
    group = fields.String(required=True)
    subject = fields.String(required=True)
    severity = fields.String(required=True, metadata={"description": "the worst of all vehicles"})
    found = fields.Dict(
        keys=fields.String(), values=fields.Nested(InVehicleSchema), required=True, data_key="in",
        metadata={"description": "by the name of the vehicle; one that is not here has nothing of it"},
    )


class NotCheckedInSchema(Schema):
    """Something that a check could not look at, and in which vehicles."""

    check = fields.String(required=True)
    subject = fields.String(required=True)
    why = fields.String(required=True)
    vehicles = texts()


class AssumedInSchema(Schema):
    """A default that stands in for a fact, and in which vehicles."""

    subject = fields.String(required=True)
    what = fields.String(required=True)
    value = fields.Nested(MeasureSchema, required=True, allow_none=True)
    authority = fields.String(required=True)
    vehicles = texts()


class TableSchema(Schema):
    """A table, numbers in the unit of their column."""

    name = fields.String(required=True)
    title = fields.String(required=True)
    columns = fields.List(fields.Nested(ColumnSchema), required=True)
    rows = fields.List(fields.Dict(keys=fields.String(), values=fields.Raw(allow_none=True)), required=True)
    notes = texts()


class BatchSchema(Schema):
    """All vehicles side by side. It never says that one is fit for use: read what was not checked."""

    schema = fields.Integer(required=True)
    counts = fields.Nested(CountsSchema, required=True)
    vehicles = fields.Dict(keys=fields.String(), values=fields.Nested(VehicleSchema), required=True)
    findings = fields.List(fields.Nested(LineSchema), required=True)
    not_checked = fields.List(fields.Nested(NotCheckedInSchema), required=True)
    assumptions = fields.List(fields.Nested(AssumedInSchema), required=True)
    cut_list = fields.Nested(TableSchema, required=True)
    bill_of_materials = fields.Nested(TableSchema, required=True)
    cutting_plan = fields.Nested(TableSchema, metadata={"description": "where there is a stock: what to cut of it"})
    buying_list = fields.Nested(TableSchema, metadata={"description": "the bill less what is in stock"})
    left_out = texts("plugins, catalogs and practices that are broken")
    cautions = texts()


@blueprint.route("", methods=["POST"])
@blueprint.arguments(AskedPaperSchema, location="query")
@blueprint.response(200, BatchSchema)
@blueprint.alt_response(200, schema=BINARY, content_type=XLSX, success=True)
@blueprint.alt_response(200, schema=BINARY, content_type=ZIP, success=True)
@blueprint.doc(operationId="assessBatch")
@takes_json(batch_schema(Limits()))
@refuses(406)
def batch(asked: AskedPaper) -> Response:
    """Assess a design for each vehicle, or one design with a list of edits for each.

    JSON has the matrix of findings, one cut list and one bill of materials for all; the workbook has them to print;
    the archive has both. Nothing is stored. If one vehicle cannot be assessed, all errors of all are told.
    """
    media_type = wanted_type([JSON, XLSX, ZIP])
    body = json_body(engine().settings.limits.batch_bytes)
    title, designs = title_of(body), designs_of(body)
    found = assessed(designs, asked.practice, "designs" if "designs" in body else "vehicles")
    if media_type == JSON:
        return json_answer(batch_json(found, asked.units))
    book = _workbook(found, title, asked)
    if media_type == XLSX:
        return _file(book, XLSX, "batch.xlsx")
    return _file(_archive(batch_json(found, asked.units), book), ZIP, "batch.zip")


def _workbook(found: Batch, title: str, asked: AskedPaper) -> bytes:
    from rigfeed.trials.batch_papers import batch_workbook

    units: System = asked.units
    return batch_workbook(found, title, system=units, paper="Letter" if asked.page == "Letter" else "A4")


def _archive(data: dict[str, Any], book: bytes) -> bytes:
    packed = io.BytesIO()
    text = json.dumps(data, ensure_ascii=False, allow_nan=False, indent=2)
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in (("batch.json", text.encode()), ("batch.xlsx", book)):
            entry = zipfile.ZipInfo(name, _EARLIEST)
            entry.compress_type, entry.external_attr = zipfile.ZIP_DEFLATED, 0o644 << 16
            archive.writestr(entry, content)
    return packed.getvalue()


def _file(content: bytes, content_type: str, name: str) -> Response:
    headers = {"Content-Disposition": f'attachment; filename="{name}"'}
    return Response(content, headers=headers, content_type=content_type)
