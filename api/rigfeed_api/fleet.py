"""The body of a batch: a design for each vehicle, or one design and what is different in each.

    {"designs": {"van 1": {...}, "van 2": {...}}}
    {"design": {...}, "vehicles": {"van 1": [], "van 2": [{"edit": "set", "path": "runs.a.length", "value": "4 m"}]}}

A design is the data of one, or its TOML as a text.
"""

from __future__ import annotations

import re
import time
from collections.abc import Callable, Mapping
from typing import Any, TypeVar

from rigfeed.design.edit import apply
from rigfeed.design.model import Design
from rigfeed.errors import Cancelled, DesignError, InputError, InputErrors, Place, known_or_raise, nearest, shown
from rigfeed.path import Path
from rigfeed.trials.batch import Batch, assess_batch
from rigfeed.view import Tell
from rigfeed_api.edits import at_edits, below, edits_of, edits_schema
from rigfeed_api.engine import engine
from rigfeed_api.sent import DESIGN_SCHEMA, design_in
from rigfeed_api.settings import Limits

T = TypeVar("T")
NAME = re.compile("[^\x00-\x1f\x7f-\x9f\ud800-\udfff]{1,60}")
MOST_ERRORS = 1000  # beyond them no further vehicle is read: each costs time and room, and few are listed
KEYS = ("title", "designs", "design", "vehicles")


def title_of(body: Any) -> str:
    """The title that a batch is given, empty where it is given none; DesignError if it is no text to print."""
    title = body.get("title", "") if isinstance(body, dict) else ""
    if not isinstance(title, str) or (title and not NAME.fullmatch(title)):
        raise _wrong("is no title", "title", remedy="a text of 60 characters at most")
    return title


def designs_of(body: Any) -> dict[str, Design]:
    """The designs of a batch by vehicle.

    Raises
    ------
    DesignError, UnknownName, InputErrors
        What is wrong with it, by path in the body.
    """
    if not isinstance(body, dict):
        raise _wrong("is not an object", remedy="send designs, or a design and vehicles")
    for key in body:
        if key not in KEYS:
            raise _wrong("unknown key", key, remedy=nearest(key, KEYS))
    found = _each(body) if "designs" in body else _variants(body)
    things = sum(len(design.nodes) + len(design.conductors) for design in found.values())
    if things > engine().settings.limits.batch_things:
        most = engine().settings.limits.batch_things
        what = f"{things} nodes and conductors in all vehicles together; this server takes at most {most}"
        raise _wrong(what, remedy="send them in several batches")
    return found


def _each(body: dict[str, Any]) -> dict[str, Design]:
    for key in ("design", "vehicles"):
        if key in body:
            raise _wrong("cannot stand beside designs", key, remedy="send designs, or a design and vehicles")
    return _by_vehicle(body, "designs", design_in)


def _variants(body: dict[str, Any]) -> dict[str, Design]:
    for key in ("design", "vehicles"):
        if key not in body:
            raise _wrong("is missing", key, remedy="send designs, or a design and vehicles")
    base = design_in(body["design"], Path("design"))
    most = engine().settings.limits.edits

    def variant(data: Any, at: Path) -> Design:
        edits = edits_of(data, at, most)
        try:
            new = apply(base, edits) if edits else base
            known_or_raise(list(engine().too_large(new)))
        except InputError as error:
            raise at_edits(error, edits, at) from None
        return new

    return _by_vehicle(body, "vehicles", variant)


def _by_vehicle(body: dict[str, Any], key: str, make: Callable[[Any, Path], Design]) -> dict[str, Design]:
    """What is made for each vehicle; the errors of all of them together, up to `MOST_ERRORS` and those of one more."""
    table, most = body[key], engine().settings.limits.batch
    if not isinstance(table, dict) or not table:
        raise _wrong("is no object of vehicles by name", key, remedy='write it like {"van 1": ...}')
    if len(table) > most:
        raise _wrong(f"{len(table)} vehicles; at most {most} are taken", key, remedy="send them in several batches")
    found: dict[str, Design] = {}
    errors: list[InputError] = []
    for name, data in table.items():
        at = Path(key, name)
        try:
            if not NAME.fullmatch(name):
                raise _wrong(f"{shown(name)} cannot be the name of a vehicle", *at, remedy="1 to 60 letters")
            found[name] = make(data, at)
        except InputErrors as error:
            errors += error.errors
        except InputError as error:
            errors.append(error)
        if len(errors) > MOST_ERRORS:
            break
    known_or_raise(errors)
    return found


def assessed(designs: Mapping[str, Design], practice: str | None, key: str) -> Batch:
    """The batch of these designs, which stand in the body under a key.

    Raises
    ------
    DesignError, UnknownName, CatalogError, PracticeError, InputErrors
        If one of them cannot be assessed, or all of them take too long.
    """
    try:
        return assess_batch(designs, shelf=engine().shelf(), practice=practice, tell=_in_time(engine().settings.limits))
    except Cancelled as error:
        raise DesignError(error.what, remedy="send them in several batches") from None
    except InputError as error:
        if isinstance(error, InputErrors) or error.place.path is not None:
            raise below(error, Path(key)) from None
        raise


def _in_time(limits: Limits) -> Tell:
    until = time.monotonic() + limits.batch_seconds

    def tell(done: float, text: str, /) -> None:
        if time.monotonic() > until:
            raise Cancelled(f"the batch takes longer than the {limits.batch_seconds:g} s that this server gives it")

    return tell


def _wrong(what: str, *keys: str | int, remedy: str) -> DesignError:
    return DesignError(what, place=Place(path=Path(*keys)), remedy=remedy)


def batch_schema(limits: Limits) -> dict[str, Any]:
    """The JSON Schema of the body of a batch."""
    design = DESIGN_SCHEMA
    title = {"type": "string", "maxLength": 60, "description": "stands on the workbook"}

    def by_vehicle(inner: dict[str, Any]) -> dict[str, Any]:
        return {
            "type": "object", "minProperties": 1, "maxProperties": limits.batch, "additionalProperties": inner,
            "propertyNames": {"minLength": 1, "maxLength": 60}, "description": "by the name of the vehicle",
        }

    def one(**properties: dict[str, Any]) -> dict[str, Any]:
        return {
            "type": "object", "properties": {"title": title, **properties}, "required": list(properties),
            "additionalProperties": False,
        }

    return {"oneOf": [
        one(design=design, vehicles=by_vehicle(edits_schema(limits.edits))), one(designs=by_vehicle(design)),
    ]}
