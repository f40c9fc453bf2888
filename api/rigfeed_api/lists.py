"""A supplier's list as it stands in a body, read into what it would become; and the catalogs of this server's own."""

from __future__ import annotations

import base64
import binascii
import datetime
import hashlib
import io
import threading
import time
import zipfile
from pathlib import Path as FilePath
from typing import Any

from flask import request
from marshmallow import ValidationError, fields

from rigfeed.errors import Cancelled, DesignError, FileProblem, InputError, Place
from rigfeed.fields import OneOf, TableSchema, Text
from rigfeed.frozen import frozen
from rigfeed.intake.adding import Prepared, prepare
from rigfeed.intake.keeping import NAME, user_folder
from rigfeed.intake.mapping import Mapping
from rigfeed.intake.reading import Tell
from rigfeed.path import Path
from rigfeed_api.blueprint import refused
from rigfeed_api.document_fields import ecma
from rigfeed_api.engine import engine
from rigfeed_api.problems import Problem
from rigfeed_api.settings import Limits
from rigfeed_api.wire import json_body

LONGEST_NAME = 200  # characters of the name of a file that are kept
ONE_AT_A_TIME = threading.Lock()  # between the look at a catalog and its replacement


class MappingSchema(TableSchema):
    """How to read a list, as in the mapping file of the command line."""

    builds = Mapping
    kind = Text()
    columns = fields.Dict(keys=fields.String(), values=Text())
    treat = fields.Dict(keys=fields.String(), values=Text())
    set = fields.Dict(keys=fields.String(), values=Text())
    decimal = OneOf(("", ",", "."))
    currency = Text()
    encoding = Text()
    confidence = Text()


@frozen
class Sent:
    """A list that was sent: the name of the catalog, that of its file, its content, how to read it."""

    catalog: str
    file: str
    content: bytes
    mapping: Mapping


def sent(catalog: str = "") -> Sent:
    """The list in the body; `catalog` is its name where the path has it.

    Raises
    ------
    Problem, DesignError, InputErrors
        What is wrong with it, by path in the body.
    """
    limits = engine().settings.limits
    body = json_body(limits.batch_bytes)
    keys = ("file", "text", "base64", "mapping", *(() if catalog else ("catalog",)))
    if not isinstance(body, dict):
        raise _wrong("is not an object", remedy=f"send an object with {', '.join(keys)}")
    for key, value in body.items():
        if key not in keys:
            raise _wrong("unknown key", key, remedy=f"known: {', '.join(keys)}")
        if key != "mapping" and not isinstance(value, str):
            raise _wrong("is not a text", key, remedy="write it in quotes")
    name = catalog or body.get("catalog", "")
    if not NAME.fullmatch(name):
        at = () if catalog else ("catalog",)
        raise _wrong("is no name of a catalog", *at, remedy="letters, digits, - and _, 64 at most")
    file = str(body.get("file", name))[:LONGEST_NAME]
    return Sent(name, file, _content(body, limits.list_bytes), _mapping(body.get("mapping", {})))


def _content(body: dict[str, Any], most: int) -> bytes:
    if ("text" in body) == ("base64" in body):
        raise _wrong("has not one of text and base64", remedy="send a text as text, a workbook as base64")
    key = "text" if "text" in body else "base64"
    try:
        content = body[key].encode() if key == "text" else base64.b64decode(body[key], validate=True)
    except (binascii.Error, ValueError) as error:
        remedy = "encode it as RFC 4648 has it in section 4, without line breaks"
        raise _wrong(f"cannot be decoded: {error}"[:200], key, remedy=remedy) from None
    if len(content) > most:
        raise _wrong(f"is {len(content)} bytes; at most {most} are read", key, remedy="add it on the command line")
    return content


def _mapping(given: Any) -> Mapping:
    try:
        if not isinstance(given, dict):
            raise ValidationError("is not an object")
        mapping: Mapping = MappingSchema().load(given)
    except ValidationError as error:
        raise refused(ValidationError({"mapping": error.messages})) from None
    return mapping


def read(list_: Sent) -> Prepared:
    """What the list would become, and what it changes in the catalog that is there; nothing is kept.

    Raises
    ------
    InputError, UnknownName
        If it is no list, is too large, or cannot be told in the time that this server gives it.
    """
    limits = engine().settings.limits
    _guard(list_.content, limits)
    try:
        prepared = prepare(
            list_.content, list_.file, list_.catalog, folder=user_folder(), registry=engine().registry,
            mapping=list_.mapping, day=datetime.date.today().isoformat(), tell=_in_time(limits.seconds),
        )
    except Cancelled as error:
        raise InputError(error.what, remedy="add it on the command line") from None
    if len(prepared.taken.outcomes) > limits.list_rows:
        what = f"has {len(prepared.taken.outcomes)} rows; this server reads at most {limits.list_rows}"
        raise InputError(what, remedy="add it on the command line, or send what you use of it")
    return prepared


def keep(prepared: Prepared) -> None:
    """Write the catalog.

    Raises
    ------
    Problem
        507 if there are as many as this server keeps, or the disk is full; nothing is lost.
    InputError
        If no row can be taken.
    """
    most = engine().settings.limits.catalogs
    if prepared.is_new and prepared.folder.exists() and len(list(prepared.folder.glob("*.csv"))) >= most:
        raise Problem(507, f"there are {most} catalogs, as many as this server keeps: remove one")
    try:
        prepared.keep(how=False)
    except FileProblem as error:
        raise Problem(507, f"the catalog {error.what}") from None


def _guard(content: bytes, limits: Limits) -> None:
    """Refuse a workbook that would unpack to more than is read here: a small one can hold hours of work."""
    if content.startswith(b"PK"):
        try:
            with zipfile.ZipFile(io.BytesIO(content)) as archive:
                unpacked = sum(member.file_size for member in archive.infolist())
        except (zipfile.BadZipFile, NotImplementedError, ValueError) as error:
            raise InputError(f"is a broken workbook: {error}", remedy="save it as CSV") from None
        if unpacked > limits.list_unpacked:
            what = f"unpacks to {unpacked} bytes; at most {limits.list_unpacked} are read"
            raise InputError(what, remedy="save the sheet with the list as CSV")


def _in_time(seconds: float) -> Tell:
    until = time.monotonic() + seconds

    def tell(done: float, text: str, /) -> None:
        if time.monotonic() > until:
            raise Cancelled(f"the list takes longer than the {seconds:g} s that this server gives it")

    return tell


def tag_of(path: FilePath) -> str | None:
    """What tells one state of a catalog from another, None where there is none."""
    try:
        return hashlib.sha256(path.read_bytes()).hexdigest()[:32]
    except FileNotFoundError:
        return None


def must_be_open() -> None:
    """Refuse a change of the catalogs where this server was not started to take any: they hold for every design."""
    if not engine().settings.change_catalogs:
        raise Problem(403, "the catalogs of this server are not changed over HTTP; it was started without that")


def must_be_meant(path: FilePath) -> None:
    """Refuse to touch a catalog that is there if the caller has not seen it as it is now.

    Raises
    ------
    Problem
        428 if the header If-Match is missing, 412 if it names another state.
    """
    tag = tag_of(path)
    if "If-Match" not in request.headers:
        if tag is None:
            return
        raise Problem(428, "say which catalog you replace: send its tag in the header If-Match; /v1/catalogs lists it")
    named = request.if_match
    if tag is None or not (named.star_tag or named.contains(tag)):
        raise Problem(412, "the catalog has changed since you read its tag: look at it again")


def _wrong(what: str, *keys: str, remedy: str) -> DesignError:
    return DesignError(what, place=Place(path=Path(*keys)), remedy=remedy)


def list_schema(limits: Limits, *, named: bool) -> dict[str, Any]:
    """The JSON Schema of the body; `named` where the catalog is not in the path."""
    text = {"type": "string"}
    texts = {"type": "object", "additionalProperties": text}
    mapping = {
        "type": "object", "additionalProperties": False, "description": "how to read it, where it does not say itself",
        "properties": {
            "kind": {**text, "examples": ["cable"]}, "columns": {**texts, "description": "header: what it means"},
            "treat": {**texts, "description": "what to take a column as", "examples": [{"size": "awg"}]},
            "set": {**texts, "description": "what goes into every row"},
            "decimal": {**text, "enum": ["", ",", "."]}, "currency": {**text, "examples": ["EUR"]},
            "encoding": text, "confidence": text,
        },
    }
    whole = {
        "catalog": {**text, "pattern": ecma(NAME), "examples": ["depot"]}, "file": text, "mapping": mapping,
        "text": {**text, "maxLength": limits.list_bytes, "examples": ["Code;Text;Size;OD\nA1;red;2,5 mm2;2,9\n"]},
        "base64": {**text, "contentEncoding": "base64"},
    }
    common = ["catalog"] if named else []

    def one(content: str) -> dict[str, Any]:
        keys = [*common, content, "file", "mapping"]
        return {
            "type": "object", "properties": {key: whole[key] for key in keys}, "required": [*common, content],
            "additionalProperties": False,
        }

    return {"oneOf": [one("text"), one("base64")]}
