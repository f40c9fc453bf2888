"""Plain values as TOML, and whether two of them are the same to the last type."""

from __future__ import annotations

import datetime
import json
import re
from collections.abc import Mapping
from typing import Any

_BARE = re.compile(r"[A-Za-z0-9_-]+")


def toml_key(key: str) -> str:
    """A key as TOML writes it.

    >>> toml_key("F1"), toml_key("shop.crimp-pulled")
    ('F1', '"shop.crimp-pulled"')
    """
    return key if _BARE.fullmatch(key) else toml_value(key)


def toml_value(value: Any) -> str:
    """A value on one line of TOML.

    >>> toml_value({"from": ["F1.a", "F1.b"], "length": "2 m", "wet": True})
    '{ from = ["F1.a", "F1.b"], length = "2 m", wet = true }'
    """
    if isinstance(value, Mapping):
        inner = ", ".join(f"{toml_key(key)} = {toml_value(item)}" for key, item in value.items())
        return f"{{ {inner} }}" if inner else "{}"
    if isinstance(value, list | tuple):
        return f"[{', '.join(toml_value(item) for item in value)}]"
    if isinstance(value, datetime.date | datetime.time):
        return value.isoformat()
    # TOML's basic strings, numbers, true and false are those of JSON, but for DEL, which no design holds
    return json.dumps(value, ensure_ascii=False, allow_nan=False)


def toml_block(keys: tuple[str | int, ...], value: Any) -> str:
    """A value under its own header, lines ending in "\\\\n"; things of a collection get a header each."""
    header = ".".join(toml_key(key) for key in keys if isinstance(key, str))
    if _are_tables(value):
        return "\n".join(toml_block((*keys, number), item) for number, item in enumerate(value))
    if not isinstance(value, Mapping):
        return f"{header} = {toml_value(value)}\n"
    if len(keys) == 1 and keys[0] != "drawing" and value and all(isinstance(item, Mapping) for item in value.values()):
        return "\n".join(toml_block((*keys, key), item) for key, item in value.items())
    lines = "".join(f"{toml_key(key)} = {toml_value(item)}\n" for key, item in value.items())
    return f"[[{header}]]\n{lines}" if isinstance(keys[-1], int) else f"[{header}]\n{lines}"


def _are_tables(value: Any) -> bool:
    return isinstance(value, list) and bool(value) and all(isinstance(item, Mapping) for item in value)


def same(one: Any, other: Any) -> bool:
    """Whether two plain values are equal and of the same types: ``1``, ``1.0`` and ``true`` are three things here."""
    if isinstance(one, Mapping) and isinstance(other, Mapping):
        return one.keys() == other.keys() and all(same(item, other[key]) for key, item in one.items())
    if isinstance(one, list | tuple) and isinstance(other, list | tuple):
        return len(one) == len(other) and all(map(same, one, other))
    return type(one) is type(other) and bool(one == other)


def line_end(text: str) -> str:
    """How the first line of a text ends; a new text has the plain line end.

    >>> line_end("format = 1\\r\\n"), line_end("")
    ('\\r\\n', '\\n')
    """
    return "\r\n" if text[: text.find("\n") + 1].endswith("\r\n") else "\n"
