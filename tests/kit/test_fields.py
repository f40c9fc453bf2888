"""The fields: what each takes, and that its complaint says what to do in words of ours."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from typing import Any

import marshmallow
import pytest
from marshmallow import ValidationError, fields

from rigfeed.complaints import Complaint, complaints, refuse
from rigfeed.fields import (
    COLOURS,
    DEEPEST,
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
    freeze,
    thaw,
)
from rigfeed.keyed import Keyed
from rigfeed.path import Path
from rigfeed.quantity import Quantity

MAY = datetime.date(2026, 5, 31)
LENGTH = QuantityField("m", above=0, most=200)


@pytest.mark.parametrize(
    ("field", "value", "taken"),
    [
        (Text(), "two\nlines\twith a tab", "two\nlines\twith a tab"),
        (Text(ID, like="F1"), "F1", "F1"),
        (LENGTH, "14 ft", Quantity("14 ft", 4.2672)),
        (QuantityField("mm", above=0, most=10), "1 cm", Quantity("1 cm", 0.01)),  # the bound itself, in another unit
        (QuantityField("m", least=0.0254), "1 in", Quantity("1 in", 0.0254)),
        (QuantityField("%", least=0, most=100), "100 %", Quantity("100 %", 1.0)),
        (OneOf(["on", "off"]), "on", "on"),
        (YesNo(), False, False),
        (PartField(), "cable:own_shop/thin-2.5", "cable:own_shop/thin-2.5"),
        (PartField("fuse"), "fuse:blade-10", "fuse:blade-10"),
        (PartField(), "body-point", "body-point"),
        (RefField("nodes"), "F1", "F1"),
        (TerminalField(), "F1.a", "F1.a"),
        (ColourField(), "GNYE", "GNYE"),
        (Series(Text()), ["a", "b"], ("a", "b")),
        (Series(Text(), or_one=True), "a", ("a",)),
        (TableOf(YesNo()), {"b": True, "a": False}, Keyed({"a": False, "b": True})),
        (Plain(), {"a": [1, {"b": MAY}]}, Keyed({"a": (1, Keyed({"b": MAY}))})),
    ],
)
def test_a_field_takes_what_it_is_for(field, value, taken):
    assert field.deserialize(value) == taken


@pytest.mark.parametrize("code", COLOURS)
def test_every_colour_code_is_taken_alone_and_with_another(code):
    assert ColourField().deserialize(code) == code
    assert ColourField().deserialize(f"{code}BK") == f"{code}BK"


REFUSED = [
    (Text(), 5, "a number where a text is wanted", "in quotes"),
    (Text(), datetime.date(2026, 5, 31), "a date where a text is wanted", "in quotes"),
    (Text(), None, "is empty", "leave it out"),
    (Text(), "a\x07b", "U+0007", "remove it"),
    (Text(), "\udfff", "U+DFFF", "remove it"),
    (Text(required=True), " ", "is empty", "fill it in"),
    (Text(ID, like="F1"), "1F", "'1F' is not of the form", "'F1'"),
    (Text(ID, like="F1"), "F\u0661", "is not of the form", "'F1'"),
    (Text(ID, like="F1"), "F1\n", "is not of the form", "'F1'"),
    (LENGTH, 5, "a number where a length with its unit is wanted", '"5 m"'),
    (LENGTH, True, "true or false where a length", '"2.5 m"'),
    (LENGTH, 10**400, "a number where a length", '"2.5 m"'),
    (LENGTH, float("nan"), "a number where a length", '"2.5 m"'),
    (LENGTH, ["2 m"], "a list where a length", '"2.5 m"'),
    (LENGTH, "0 m", "'0 m' is not above 0 m", "above 0, at most 200 m"),
    (LENGTH, "201 m", "'201 m' is out of range", "above 0, at most 200 m"),
    (LENGTH, "1 km", "'1 km', that is 1000 m, is out of range", "at most 200 m"),
    (QuantityField("m", above=0), "-1 m", "is not above 0 m", "above 0 m"),
    (QuantityField("%", least=0, most=100), "80", "'80', that is 8000 %, is out of range", "from 0 to 100 %"),
    (QuantityField("degC", least=-60), "-100 degF", "that is -73.3 degC", "from -60 degC"),
    (LENGTH, "2,5 m", "decimal comma", "write 2.5 m"),
    (OneOf(["on", "off"]), "ON", "'ON' is not one of the choices", '"on", "off"'),
    (OneOf(["on", "off"]), True, "true or false is not one of", '"on", "off"'),
    (OneOf(["on", "off"]), ["on"], "a list is not one of", '"on", "off"'),
    (YesNo(), "true", "'true' is neither true nor false", "without quotes"),
    (YesNo(), 1, "1 is neither true nor false", "without quotes"),
    (PartField(), "Cable:x", "'Cable:x' is not the key of a part", "cable:thinwall-2.5"),
    (PartField(), "cable:" + "x" * 65, "is not the key of a part", "cable:"),
    (PartField("fuse"), "holder:x", "'holder:x' is not a fuse", '"fuse:"'),
    (RefField("nodes"), "F 1", "'F 1' is not an id", "'A1'"),
    (TerminalField(), "F1", "'F1' is not a terminal", "'F1.a'"),
    (TerminalField(), "F1.A", "'F1.A' is not a terminal", "'F1.a'"),
    (ColourField(), "red", "'red' is no colour code", "RD red"),
    (ColourField(), "RDRDRDRD", "is no colour code", "RD red"),
    (Series(Text()), "a", "a text where a list is wanted", "square brackets"),
    (Series(Text(), most=2), ["a"] * 3, "3 values; at most 2", ""),
    (Series(Text()), ["a", 1], "a number where a text", "in quotes"),
    (TableOf(YesNo()), [], "a list where a table is wanted", "W1"),
    (TableOf(YesNo()), {"a b": True}, "'a b' cannot be a name", "a letter, then letters"),
    (TableOf(YesNo()), {1: True}, "1 where a name is wanted", "W1"),
    (TableOf(YesNo()), {"a": True, "A": True}, "'A' differs from 'a' only in capitals", "another name"),
    (TableOf(YesNo()), {"a": 1}, "neither true nor false", "without quotes"),
    (Plain(), float("inf"), "inf is not a finite number", "leave it out"),
    (Plain(), 2**63, "too large", "18 digits"),
    (Plain(), {"a": object()}, "object cannot be kept", "leave it out"),
    (Plain(), {1: 2}, "1 where a name is wanted", ""),
    (Plain(), {"\x00": 2}, "U+0000", "remove"),
]


@pytest.mark.parametrize(("field", "value", "what", "remedy"), REFUSED, ids=range(len(REFUSED)))
def test_a_field_says_what_is_wrong_and_what_to_do(field, value, what, remedy):
    with pytest.raises(ValidationError) as caught:
        field.deserialize(value)
    ((_, complaint),) = complaints(caught.value.messages)
    assert what in complaint
    assert remedy in complaint.remedy


@pytest.mark.parametrize("shape", [lambda x: [x], lambda x: {"a": x}, lambda x: (x,)])
def test_plain_values_are_nested_no_deeper_than_is_said(shape):
    value: Any = 1
    for _ in range(DEEPEST):
        value = shape(value)
    freeze(value)
    with pytest.raises(ValidationError) as caught:
        freeze(shape(value))
    assert "nested too deeply" in str(caught.value)


def test_a_frozen_value_is_given_back_as_it_was():
    value = {"a": [1, 2.5, True, "x", {"b": []}], "c": datetime.time(8, 30)}
    assert thaw(freeze(value)) == value
    hash(freeze(value)["a"])


@dataclass(frozen=True)
class Thing:
    name: str
    note: str | None = None
    count: int = 0
    inner: Thing | None = None


class ThingSchema(TableSchema):
    builds = Thing
    name = Text(required=True, data_key="called")
    note = Text(load_default=None)
    count = fields.Integer(load_default=0)
    inner = fields.Nested("ThingSchema", load_default=None)


def told(data):
    with pytest.raises(ValidationError) as caught:
        ThingSchema().load(data)
    return {str(path): (str(complaint), complaint.remedy) for path, complaint in complaints(caught.value.messages)}


def test_a_schema_builds_its_thing_and_gives_back_what_was_given():
    thing = ThingSchema().load({"called": "a", "note": "", "inner": {"called": "b"}})
    assert thing == Thing("a", None, 0, Thing("b"))
    assert ThingSchema().dump(thing) == {"called": "a", "count": 0, "inner": {"called": "b", "count": 0}}


def test_all_that_is_wrong_is_told_with_its_path():
    assert told({"name": "a", "count": "x", "inner": {"nota": 1}}) == {
        "called": ("is missing", "add it"),
        "name": ("unknown key 'name'", "known: called, count, inner, note"),
        "count": ("is not a whole number", "write digits only, without quotes"),
        "inner.called": ("is missing", "add it"),
        "inner.nota": ("unknown key 'nota'", "did you mean 'note'?"),
    }


@pytest.mark.parametrize("data", [5, "x", [], None, [{"called": "a"}]])
def test_what_is_no_table_is_said_to_be_none(data):
    assert told(data) == {"": ("is not a table", "write it as { key = value }")}
    assert told({"called": "a", "inner": data if data is not None else 0})["inner"][0] == "is not a table"


# Every message that the validating library has of its own for the fields that schemas here use.
USED = (fields.Field, fields.Integer, fields.Number, fields.String, fields.Boolean, fields.List, fields.Mapping)
OWN = {
    str(message)
    for kind in USED
    for parent in kind.__mro__
    for message in getattr(parent, "default_error_messages", {}).values()
} | set(marshmallow.Schema._default_error_messages.values())


@pytest.mark.parametrize("message", sorted(OWN))
def test_the_librarys_own_words_are_put_into_ours(message):
    ((_, complaint),) = complaints({"x": [message]})
    assert complaint != message
    assert str(complaint)[:1].islower()


def test_complaints_of_ours_pass_as_they_are():
    messages = {"a": {"_schema": [Complaint("x", "y")], 0: ["our own words"]}}
    found = [(str(path), str(c), c.remedy) for path, c in complaints(messages, Path("top"))]
    assert found == [("top.a", "x", "y"), ("top.a.0", "our own words", "")]
    assert isinstance(refuse("a", "b"), ValidationError)
