"""Write changed values into a TOML text and leave every other byte alone."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import tomlkit
from tomlkit.items import InlineTable, Item, Table

from rigfeed.design.schema import from_plain, to_plain
from rigfeed.fields import thaw


def patched(text: str, plain: Mapping[str, Any]) -> str:
    """The text with the keys that differ from `plain` replaced, added or removed."""
    document = tomlkit.parse(text)
    before = to_plain(from_plain(document.unwrap())) if text.strip() else {}
    _patch(document, before, plain, depth=0)
    return tomlkit.dumps(document)


def _patch(holder: Any, before: Mapping[str, Any], after: Mapping[str, Any], *, depth: int) -> None:
    for key in [key for key in before if key not in after]:
        if key in holder:
            del holder[key]
    for key, value in after.items():
        if key in before and before[key] == value and key in holder:
            continue
        if _defaulted(holder, key, before, value):
            continue
        if isinstance(value, dict) and key in holder and isinstance(holder[key], Mapping):
            _patch(holder[key], before.get(key, {}), value, depth=depth + 1)
        elif key in holder:
            holder[key] = _keeping_remark(holder[key], value)
        else:
            holder[key] = _new(value, depth, inline=isinstance(holder, InlineTable))


def _defaulted(holder: Any, key: str, before: Mapping[str, Any], value: Any) -> bool:
    """A value that the schema filled in and nobody changed is not written into the file."""
    return key not in holder and key in before and bool(before[key] == value)


def _keeping_remark(old: Any, value: Any) -> Item:
    new = _new(value, 9, inline=True)
    if isinstance(old, Item):
        new.trivia.comment, new.trivia.comment_ws = old.trivia.comment, old.trivia.comment_ws
        new.trivia.trail = old.trivia.trail
    return new


def _new(value: Any, depth: int, *, inline: bool) -> Item:
    """A collection or a thing in it becomes a table with a header of its own; anything deeper stands on one line."""
    if isinstance(value, dict) and depth < 2 and not inline:
        table: Table = tomlkit.table(is_super_table=depth == 0 and all(isinstance(v, dict) for v in value.values()))
        for key, item in value.items():
            table[key] = _new(item, depth + 1, inline=False)
        return table
    if isinstance(value, dict):
        line = tomlkit.inline_table()
        for key, item in value.items():
            line[key] = _new(item, depth + 1, inline=True)
        return line
    if isinstance(value, list) and value and all(isinstance(item, dict) for item in value) and depth == 0:
        tables = tomlkit.aot()
        for item in value:
            tables.append(_new(item, 1, inline=False))
        return tables
    return tomlkit.item(thaw(value))
