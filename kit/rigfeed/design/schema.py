"""The schemas of a design: one for file, window and HTTP. What a key may hold, and nothing about other keys.

References between things are checked by `rigfeed.design.references`; parts and their settings when the shelf is known.
"""

from __future__ import annotations

import datetime
import re
from typing import Any

from marshmallow import ValidationError, fields, validates_schema

from rigfeed.complaints import Complaint, complaints, refuse
from rigfeed.design import model
from rigfeed.design.references import unknown_references
from rigfeed.errors import DesignError, InputError, Place, known_or_raise, many, shown
from rigfeed.fields import (
    ID,
    ColourField,
    OneOf,
    PartField,
    Plain,
    QuantityField,
    RefField,
    Series,
    TableOf,
    TableSchema,
    TerminalField,
    Text,
    YesNo,
)
from rigfeed.path import Path

WORD = re.compile(r"[a-z][a-z0-9-]{0,47}")
FACT = re.compile(r"(?:[a-z][a-z0-9-]*\.)?[a-z][a-z0-9-]{0,47}")
EDGES = ("grommet", "gland", "edge-strip", "bare")
BORELESS = ("edge-strip", "bare")
SYSTEMS = ("12 V", "24 V")


def _facts(**kwargs: Any) -> TableOf:
    return TableOf(YesNo(), names=FACT, like="paint-removed", **kwargs)


class SleeveField(PartField):
    """The key of a sleeve, or an empty text at an end that gets none."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__("sleeve", **kwargs)

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> str:
        return "" if value == "" else super()._deserialize(value, attr, data, **kwargs)


class DateText(fields.Field[str]):
    """A date, as TOML writes one or as text of the same form."""

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> str:
        try:
            return datetime.date.fromisoformat(str(value)).isoformat()
        except ValueError:
            raise refuse(f"{shown(str(value))} is not a date", "write it like 2026-05-31") from None


class JobSchema(TableSchema):
    builds = model.Job
    title = Text(load_default="")
    practice = Text(WORD, like="road", load_default=None)
    customer = Text(load_default=None)
    vehicle = Text(load_default=None)
    by = Text(load_default=None)
    revision = Text(load_default=None)
    date = DateText(load_default=None)
    note = Text(load_default=None)


class VehicleSchema(TableSchema):
    builds = model.Vehicle
    system_voltage = OneOf(SYSTEMS, load_default=None)
    battery_sensor = YesNo(load_default=None)
    isolated_return = YesNo(load_default=None)
    note = Text(load_default=None)
    facts = _facts()


class ZoneSchema(TableSchema):
    builds = model.Zone
    title = Text(load_default=None)
    warmest = QuantityField("degC", least=-60, most=400, load_default=None)
    coldest = QuantityField("degC", least=-60, most=400, load_default=None)
    wet = YesNo(load_default=None)

    @validates_schema
    def _in_order(self, data: dict[str, Any], **kwargs: Any) -> None:
        warmest, coldest = data.get("warmest"), data.get("coldest")
        if warmest and coldest and coldest.si > warmest.si:
            raise ValidationError({"coldest": [Complaint("the coldest air is above the warmest", "exchange the two")]})


class PointSchema(TableSchema):
    builds = model.Point
    title = Text(load_default=None)
    zone = RefField("zones", load_default=None)


class RunSchema(TableSchema):
    builds = model.Run
    start = RefField("points", data_key="from", required=True)
    end = RefField("points", data_key="to", required=True)
    length = QuantityField("m", above=0, most=200, load_default=None)
    zone = RefField("zones", load_default=None)
    closed = YesNo(load_default=None)
    loom = PartField("loom", load_default=None)
    beside = TableOf(QuantityField("m", least=0, most=200), names=WORD, like="exhaust")
    facts = _facts()

    @validates_schema
    def _two_points(self, data: dict[str, Any], **kwargs: Any) -> None:
        if data.get("start") is not None and data.get("start") == data.get("end"):
            complaint = Complaint("the run ends at the point where it starts", "name another point")
            raise ValidationError({"to": [complaint]})


class PassageSchema(TableSchema):
    builds = model.Passage
    run = RefField("runs", required=True)
    diameter = QuantityField("mm", above=0, most=1000, load_default=None)
    bore = QuantityField("mm", above=0, most=1000, load_default=None)
    existing = Series(QuantityField("mm", above=0, most=1000), load_default=())
    edge = OneOf(EDGES, load_default=None)
    title = Text(load_default=None)
    facts = _facts()

    @validates_schema
    def _bore_in_hole(self, data: dict[str, Any], **kwargs: Any) -> None:
        bore, diameter, edge = data.get("bore"), data.get("diameter"), data.get("edge")
        if bore and diameter and bore.si > diameter.si:
            what = f"a bore of {bore.text} in a hole of {diameter.text}"
            raise ValidationError({"bore": [Complaint(what, "exchange the two, or measure again")]})
        if bore and edge in BORELESS:
            what = f"only a grommet or a gland has a bore, and the edge is {edge!r}"
            raise ValidationError({"bore": [Complaint(what, 'write edge = "grommet", or leave the bore out')]})


class NodeSchema(TableSchema):
    builds = model.Node
    part = PartField(load_default=None)
    at = RefField("points", load_default=None)
    title = Text(load_default=None)
    settings = TableOf(Plain(), names=re.compile(r"[a-z][a-z0-9_]*"), like="rest_voltage")
    facts = _facts()


class ConductorSchema(TableSchema):
    builds = model.Conductor
    start = Series(TerminalField(), or_one=True, most=64, data_key="from", load_default=())
    end = Series(TerminalField(), or_one=True, most=64, data_key="to", load_default=())
    cable = PartField(load_default=None)
    ends = Series(Series(PartField(), or_one=True, most=64), most=2, load_default=())
    sleeves = Series(Series(SleeveField(), or_one=True, most=64), most=2, load_default=())
    route = Series(RefField("runs"), most=200, load_default=())
    length = QuantityField("m", above=0, most=1000, load_default=None)
    slack = QuantityField("m", least=0, most=100, load_default=None)
    colour = Series(ColourField(), or_one=True, most=64, load_default=())
    origin = OneOf(("cut", "supplied", "vehicle"), load_default=None)
    label = Text(load_default=None)
    note = Text(load_default=None)
    facts = _facts()
    from_facts = _facts()
    to_facts = _facts()

    @validates_schema
    def _ends_agree(self, data: dict[str, Any], **kwargs: Any) -> None:
        start, end, ends = data.get("start", ()), data.get("end", ()), data.get("ends", ())
        if start and end and len(start) != len(end):
            what = f"{many(len(end), 'terminal')}, but {len(start)} in from"
            raise ValidationError({"to": [Complaint(what, "name one terminal per core at both ends")]})
        if start and start == end:
            raise ValidationError({"to": [Complaint("it ends where it starts", "name another terminal")]})
        if len(ends) == 1:
            raise ValidationError({"ends": [Complaint("only one end fitting", "name two: at from, at to")]})
        if len(data.get("sleeves", ())) == 1:
            remedy = 'name two: at from, at to; "" at an end that gets none'
            raise ValidationError({"sleeves": [Complaint("only one sleeve", remedy)]})


class StateSchema(TableSchema):
    builds = model.State
    title = Text(load_default=None)
    engine = OneOf(("on", "off"), load_default=None)
    air = OneOf(("warmest", "coldest"), load_default=None)
    modes = TableOf(Text(WORD, like="transmit"))
    start = TableOf(QuantityField("%", least=0, most=100))


class StepSchema(TableSchema):
    builds = model.Step
    state = RefField("states", required=True)
    time = QuantityField("s", above=0, required=True)


class DutySchema(TableSchema):
    builds = model.Duty
    title = Text(load_default=None)
    steps = Series(fields.Nested(StepSchema), load_default=())


class DeviationSchema(TableSchema):
    builds = model.Deviation
    check = Text(re.compile(r"[a-z][a-z0-9.-]*"), like="return-far", required=True)
    subject = Text(required=True)
    reason = Text(required=True)
    by = Text(required=True)
    on = DateText(load_default=None)


class FormatField(fields.Field[int]):
    """The number of the format, 1 today."""

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> int:
        remedy = f"write format = {model.FORMAT}"
        if isinstance(value, bool) or not isinstance(value, int):
            raise refuse("is not the number of a format", remedy)
        if value > model.FORMAT:
            what = "is newer than what this version reads: a later version wrote the file"
            raise refuse(what, f"update; this version reads up to format {model.FORMAT}")
        if value < 1:
            raise refuse("does not exist: the first format is 1", remedy)
        return value


class DrawingField(Plain):
    """Positions of a window, a table of tables, kept as they are."""

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> Any:
        if not isinstance(value, dict):
            raise refuse("is not a table", "write it as [drawing]")
        return super()._deserialize(value, attr, data, **kwargs)


class DesignSchema(TableSchema):
    builds = model.Design
    format = FormatField(required=True)
    job = fields.Nested(JobSchema, load_default=model.Job())
    vehicle = fields.Nested(VehicleSchema, load_default=model.Vehicle())
    zones = TableOf(ZoneSchema(), like="bay")
    points = TableOf(PointSchema(), like="battery")
    runs = TableOf(RunSchema(), like="bay")
    passages = TableOf(PassageSchema(), like="H1")
    nodes = TableOf(NodeSchema(), like="F1")
    conductors = TableOf(ConductorSchema(), like="W1")
    states = TableOf(StateSchema(), like="tx")
    duty = TableOf(DutySchema(), like="callout")
    deviations = Series(fields.Nested(DeviationSchema), load_default=())
    drawing = DrawingField(load_default=model.NONE)

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def _labels_once(self, data: Any, original: Any, **kwargs: Any) -> None:
        nodes = {name.lower(): name for name in _names(original, "nodes")}
        twice = {
            name: [Complaint(f"{name!r} is also the name of the node {nodes[name.lower()]!r}", LABELS)]
            for name in _names(original, "conductors")
            if name.lower() in nodes
        }
        if twice:
            raise ValidationError({"conductors": twice})


LABELS = "both are labels on the real thing: give one of them another name"


def _names(original: Any, collection: str) -> list[str]:
    """The usable names in a collection of data that may be wrong in any other way."""
    table = original.get(collection) if isinstance(original, dict) else None
    return [name for name in table if isinstance(name, str) and ID.fullmatch(name)] if isinstance(table, dict) else []


_SCHEMA = DesignSchema()


def from_plain(data: dict[str, Any]) -> model.Design:
    """The design of plain data, as a file or a request holds it.

    Raises
    ------
    DesignError, UnknownName, InputErrors
        One or all of what is wrong, each with its path.
    """
    found: list[InputError] = []
    try:
        design: model.Design = _SCHEMA.load(data)
    except ValidationError as error:
        found = [_error(path, complaint) for path, complaint in complaints(error.messages)]
    wrong = {error.place.path for error in found}
    found += [error for error in unknown_references(data) if error.place.path not in wrong]
    known_or_raise(found)
    return design


def _error(path: Path, complaint: Complaint) -> DesignError:
    remedy = complaint.remedy
    if path == ("format",) and complaint == "is missing":
        remedy = f"write format = {model.FORMAT} at the top"
    return DesignError(str(complaint), place=Place(path=path), remedy=remedy)


def to_plain(design: model.Design) -> dict[str, Any]:
    """The plain data of a design: what was given, as it was written."""
    plain: dict[str, Any] = _SCHEMA.dump(design)
    return plain
