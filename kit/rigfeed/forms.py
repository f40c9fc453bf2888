"""What a form needs to know of a field: the same for a schema of the design file and for a calculator.

A window draws it, the command line asks for it, and the description of the HTTP interface lists it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any, Literal

from marshmallow import Schema, fields

from rigfeed.fields import OneOf, PartField, QuantityField, RefField, Series, TableOf, YesNo
from rigfeed.frozen import frozen
from rigfeed.path import Path

Sort = Literal["text", "quantity", "number", "choice", "yes-no", "part", "reference", "list", "table"]


@frozen
class FormField:
    """One thing to fill in. `unit`, `least` and `most` are those of a quantity; `choices` the words of a choice, the
    kind of a part, or the collection of a reference."""

    path: Path
    label: str
    sort: Sort
    unit: str = ""
    least: float | None = None
    most: float | None = None
    choices: tuple[str, ...] = ()
    required: bool = False
    default: Any = None
    help: str = ""


def form(schema: Schema, path: Path | None = None) -> tuple[FormField, ...]:
    """The fields of a schema, nested ones after one another with their whole path."""
    return tuple(_fields(schema, path or Path()))


def _fields(schema: Schema, path: Path) -> Iterator[FormField]:
    for name, field in schema.fields.items():
        key = field.data_key or name
        if isinstance(field, fields.Nested):
            yield from _fields(field.schema, path / key)
        else:
            yield _form_field(field, path / key)


def _form_field(field: fields.Field[Any], path: Path) -> FormField:
    sort, choices = _sort_of(field)
    given = field.load_default
    return FormField(
        path=path,
        label=str(path[-1]).replace("_", " "),
        sort=sort,
        unit=getattr(field, "unit", ""),
        least=getattr(field, "least", None),
        most=getattr(field, "most", None),
        choices=choices,
        required=field.required,
        default=given if isinstance(given, str | float | int | bool) else None,
        help=str(field.metadata.get("help", "")),
    )


SORTS: tuple[tuple[type[Any], Sort, Callable[[Any], tuple[str, ...]]], ...] = (
    (QuantityField, "quantity", lambda field: ()),
    (OneOf, "choice", lambda field: field.choices),
    (YesNo, "yes-no", lambda field: ()),
    (PartField, "part", lambda field: (field.kind,) if field.kind else ()),
    (RefField, "reference", lambda field: (field.collection,)),
    (Series, "list", lambda field: ()),
    (TableOf, "table", lambda field: ()),
    (fields.Number, "number", lambda field: ()),
    (fields.Field, "text", lambda field: ()),
)


def _sort_of(field: fields.Field[Any]) -> tuple[Sort, tuple[str, ...]]:
    return next((sort, choices(field)) for kind, sort, choices in SORTS if isinstance(field, kind))
