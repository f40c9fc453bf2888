"""Edits as they stand in a body, and errors about them that point there.

    {"edit": "set", "path": "runs.cabin.length", "value": "4.6 m"}
    {"edit": "add", "path": "nodes.aux2", "value": {"part": "battery:lifepo4-50"}}
    {"edit": "remove", "path": "conductors.W9"}
    {"edit": "rename", "path": "nodes.F1", "new": "F11"}
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from marshmallow import ValidationError, post_load

from rigfeed.complaints import refuse
from rigfeed.design.edit import Add, Edit, Remove, Rename, Set
from rigfeed.errors import DesignError, InputError, InputErrors, Place, nearest
from rigfeed.fields import ID, OneOf, Plain, TableSchema, Text
from rigfeed.path import Path
from rigfeed_api.blueprint import refused

LONGEST_PATH = 300
KEPT = {"$ref": "#/components/schemas/Kept"}


class PathField(Text):
    """A path into a design, conductors.W1.length."""

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> Any:
        text = super()._deserialize(value, attr, data, **kwargs)
        if len(text) > LONGEST_PATH:
            what = f"is {len(text)} characters long; at most {LONGEST_PATH} are read"
            raise refuse(what, "name a place in the design")
        path = Path.parse(text)
        if not path:
            raise refuse("names no place", "write it like conductors.W1.length")
        return path


class _EditSchema(TableSchema):
    edit = OneOf(("set", "add", "remove", "rename"), required=True)
    path = PathField(required=True)

    @post_load
    def _build(self, data: dict[str, Any], **kwargs: Any) -> Edit:
        edit: Edit = self.builds(**{key: value for key, value in data.items() if key != "edit"})
        return edit


class SetSchema(_EditSchema):
    builds = Set
    value = Plain(required=True)


class AddSchema(_EditSchema):
    builds = Add
    value = Plain(required=True)


class RemoveSchema(_EditSchema):
    builds = Remove


class RenameSchema(_EditSchema):
    builds = Rename
    new = Text(ID, like="F11", required=True)


_SCHEMAS: dict[str, _EditSchema] = {
    "set": SetSchema(), "add": AddSchema(), "remove": RemoveSchema(), "rename": RenameSchema()
}


def edits_of(data: Any, at: Path, most: int) -> tuple[Edit, ...]:
    """The edits of plain data, a list that stands at a path of the body.

    Raises
    ------
    DesignError, InputErrors
        What is wrong with them; the path is that in the body.
    """
    if not isinstance(data, list):
        raise DesignError("is not a list of edits", place=Place(path=at), remedy="write it in square brackets: [ ... ]")
    if len(data) > most:
        remedy = "change the design itself, and send that"
        raise DesignError(f"{len(data)} edits; at most {most} are taken", place=Place(path=at), remedy=remedy)
    found: list[Edit] = []
    wrong: dict[int, Any] = {}
    for number, item in enumerate(data):
        try:
            found.append(_edit(item))
        except ValidationError as error:
            wrong[number] = error.messages
    if wrong:
        raise below(refused(ValidationError(wrong)), at)
    return tuple(found)


def _edit(item: Any) -> Edit:
    if not isinstance(item, dict):
        raise refuse("is not an edit", 'write it like {"edit": "remove", "path": "conductors.W9"}')
    kind = item.get("edit")
    if not isinstance(kind, str) or kind not in _SCHEMAS:
        remedy = nearest(str(kind), _SCHEMAS) if "edit" in item else f"one of {', '.join(_SCHEMAS)}"
        what = "is no edit that there is" if "edit" in item else "is missing"
        raise ValidationError({"edit": refuse(what, remedy).messages})
    edit: Edit = _SCHEMAS[kind].load(item)
    return edit


def below(error: InputError, at: Path) -> InputError:
    """The same error, or errors, about something that stands at a path of the body."""
    for one in error.errors if isinstance(error, InputErrors) else (error,):
        if one.place.file is None:
            one.at(path=Path(*at, *(one.place.path or ())))
    return error


def at_edits(error: InputError, edits: Sequence[Edit], at: Path) -> InputError:
    """An error of the edited design as one of the edits: it names the place in the design, and points to the last edit
    that touched it; to the list of edits where none did."""
    for one in error.errors if isinstance(error, InputErrors) else (error,):
        if one.place.file is None:
            path = one.place.path or Path()
            one.what = f"{path}: {one.what}" if path else one.what
            one.at(path=Path(*at, *_touching(path, edits)), line=None)
    return error


def _touching(path: Path, edits: Sequence[Edit]) -> Iterable[str | int]:
    for number, edit in reversed([*enumerate(edits)]):
        if isinstance(edit, Set | Add) and path[: len(edit.path)] == edit.path:
            return (number, "value", *path[len(edit.path) :])
        if path and edit.path[: len(path)] == path:
            return (number, "path")
    return ()


def _shape(edit: str, **more: Any) -> dict[str, Any]:
    path = {
        "type": "string", "minLength": 1, "maxLength": LONGEST_PATH, "examples": ["conductors.W1.length"],
        "description": "a path into the design",
    }
    properties = {"edit": {"type": "string", "enum": [edit]}, "path": path, **more}
    return {
        "type": "object", "properties": properties, "required": list(properties), "additionalProperties": False
    }


EDIT_SCHEMA: dict[str, Any] = {
    "description": "one change of a design",
    "oneOf": [
        _shape("set", value=KEPT),
        _shape("add", value=KEPT),
        _shape("remove"),
        _shape("rename", new={"type": "string", "pattern": f"^(?:{ID.pattern})$", "examples": ["F11"]}),
    ],
}


def edits_schema(most: int) -> dict[str, Any]:
    """The JSON Schema of a list of edits."""
    return {"type": "array", "items": EDIT_SCHEMA, "maxItems": most}
