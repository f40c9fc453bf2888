"""How the fields of the kit's schemas stand in the document: JSON Schema as strict as they are, never stricter."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from apispec.ext.marshmallow.openapi import OpenAPIConverter
from marshmallow import Schema, ValidationError, fields

from rigfeed.design.schema import DateText, DrawingField, FormatField
from rigfeed.fields import OneOf, Plain, QuantityField, Series, TableOf, Text, YesNo
from rigfeed.quantity import example, kind_of
from rigfeed_api.options import Count

KEPT = {"$ref": "#/components/schemas/Kept"}
# whatever a design may hold that no schema here knows: kept as written (see `rigfeed.fields.freeze`)
KEPT_SCHEMA: dict[str, Any] = {
    "description": "kept as it is: text, number, truth value, list or object of such",
    "anyOf": [
        {"type": ["string", "number", "boolean"]},
        {"type": "array", "items": KEPT},
        {"type": "object", "additionalProperties": KEPT},
    ],
}


def kit_field(self: OpenAPIConverter, field: fields.Field[Any], ret: dict[str, Any]) -> dict[str, Any]:
    """The schema of a field of the kit; nothing for all others."""
    for kind, shown in _SHOWN:
        if isinstance(field, kind):
            ret.clear()  # what the library guesses from the type: a default that is no JSON, a type of its own
            found = shown(self, field)
            found |= {key: field.metadata[key] for key in ("description",) if key in field.metadata}
            return _or_null(found) if field.allow_none else found
    if "default" in ret and not isinstance(ret["default"], str | int | float | bool | None):
        del ret["default"]
    return {}


def _or_null(schema: dict[str, Any]) -> dict[str, Any]:
    if isinstance(schema.get("type"), str) and "enum" not in schema:
        return {**schema, "type": [schema["type"], "null"]}
    return {"anyOf": [schema, {"type": "null"}]}


def _quantity(converter: OpenAPIConverter, field: QuantityField) -> dict[str, Any]:
    kind = kind_of(field.unit)
    bounds = (("above", field.above), ("at least", field.least), ("at most", field.most))
    told = [f"{word} {bound:g} {field.unit}".rstrip() for word, bound in bounds if bound is not None]
    return {
        "type": "string", "format": kind.replace(" ", "-"), "examples": [example(field.unit)],
        "description": "; ".join([f"{kind} with its unit", *told]),
    }


def _text(converter: OpenAPIConverter, field: Text) -> dict[str, Any]:
    shown: dict[str, Any] = {"type": "string"}
    if field.pattern:
        pattern = ecma(field.pattern)
        shown["pattern"] = f"^$|{pattern}" if _takes_nothing(field) else pattern
    if field.required:
        shown["minLength"] = 1
    if field.like:
        shown["examples"] = [field.like]
    return shown


def _takes_nothing(field: Text) -> bool:
    """Whether a field has a use for an empty text besides those of its pattern."""
    try:
        field.deserialize("")
    except ValidationError:
        return False
    return True


def _table(converter: OpenAPIConverter, field: TableOf) -> dict[str, Any]:
    return {
        "type": "object", "propertyNames": {"pattern": ecma(field.names)},
        "additionalProperties": _inner(converter, field.inner),
    }


def _series(converter: OpenAPIConverter, field: Series) -> dict[str, Any]:
    inner = _inner(converter, field.inner)
    several = {"type": "array", "items": inner, "maxItems": field.most}
    return {"anyOf": [inner, several]} if field.or_one else several


def _inner(converter: OpenAPIConverter, inner: Schema | fields.Field[Any]) -> dict[str, Any]:
    if isinstance(inner, Schema):
        found: dict[str, Any] = converter.resolve_nested_schema(inner)  # type: ignore[no-untyped-call]
        return found
    return dict(converter.field2property(inner))


def ecma(pattern: re.Pattern[str]) -> str:
    """A pattern that must match the whole text, without the names of groups, which JSON Schema does not have.

    >>> ecma(re.compile("(?P<kind>[a-z])-[0-9]"))
    '^(?:([a-z])-[0-9])$'
    """
    return f"^(?:{re.sub('[?]P<[a-z]+>', '', pattern.pattern)})$"


Shown = Callable[[OpenAPIConverter, Any], dict[str, Any]]
_SHOWN: tuple[tuple[type[Any], Shown], ...] = (
    (QuantityField, _quantity),
    (OneOf, lambda converter, field: {"type": "string", "enum": list(field.choices)}),
    (YesNo, lambda converter, field: {"type": "boolean"}),
    (DateText, lambda converter, field: {"type": "string", "format": "date"}),
    (FormatField, lambda converter, field: {"type": "integer", "enum": [1]}),
    (Count, lambda converter, field: {"type": "integer", "minimum": field.least, "maximum": field.most}),
    (Text, _text),
    (Series, _series),
    (TableOf, _table),
    (DrawingField, lambda converter, field: {"type": "object", "additionalProperties": KEPT}),
    (Plain, lambda converter, field: dict(KEPT)),
)
