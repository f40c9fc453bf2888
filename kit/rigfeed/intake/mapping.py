"""What a person settled about the lists of one supplier, kept so that the next list needs no asking."""

from __future__ import annotations

import json
import tomllib
from collections.abc import Mapping as Table
from dataclasses import asdict, field
from pathlib import Path

from rigfeed.errors import InputError, Place
from rigfeed.files import read_bytes, replace_file
from rigfeed.frozen import frozen

MOST_BYTES = 2**18


@frozen
class Mapping:
    """`columns` gives headers their meaning ("" for none); `treat` says what to take a column as where neither cell nor
    header does: ``size = "awg"``, ``ohm = "ohm/km"``, ``price = "per m"``; `set` is what goes into every row.
    """

    kind: str = ""
    columns: Table[str, str] = field(default_factory=dict)
    treat: Table[str, str] = field(default_factory=dict)
    set: Table[str, str] = field(default_factory=dict)
    decimal: str = ""  # "," or "."; empty: as the list seems to have it
    currency: str = ""
    encoding: str = ""
    confidence: str = "maker"


def read_mapping(path: Path) -> Mapping:
    """A mapping from its file.

    Raises
    ------
    InputError
        If it is no TOML, or has other keys or sorts of values than a mapping has.
    """
    place = Place(str(path))
    try:
        data = tomllib.loads(read_bytes(path, most=MOST_BYTES).decode("utf-8"))
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise InputError(f"is no mapping: {error}", place=place, remedy="it is TOML in UTF-8") from None
    known = asdict(Mapping())
    for key, value in data.items():
        sort = type(known.get(key))
        if key not in known or not isinstance(value, sort):
            what = f"has {key!r}, which is no part of a mapping"
            raise InputError(what, place=place, remedy=f"known: {', '.join(known)}")
        if isinstance(value, dict) and not all(isinstance(item, str) for item in value.values()):
            raise InputError(f"has something other than texts in {key!r}", place=place, remedy="write them in quotes")
    if data.get("decimal", "") not in ("", ",", "."):
        raise InputError(f"has decimal = {data['decimal']!r}", place=place, remedy='write "," or "."')
    return Mapping(**data)


def save_mapping(path: Path, mapping: Mapping) -> None:
    """Write a mapping to a file, whole or not at all."""
    path.parent.mkdir(parents=True, exist_ok=True)
    replace_file(path, mapping_text(mapping).encode())


def mapping_text(mapping: Mapping) -> str:
    """A mapping as TOML."""
    data = asdict(mapping)
    lines = [f"{key} = {_quoted(value)}" for key, value in data.items() if isinstance(value, str) and value]
    for key, table in data.items():
        if isinstance(table, dict) and table:
            lines += ["", f"[{key}]", *(f"{_quoted(name)} = {_quoted(item)}" for name, item in table.items())]
    return "\n".join(lines) + "\n"


def _quoted(text: str) -> str:
    return json.dumps(text).replace("\x7f", "\\u007f")


def mapping_file(supplier: str) -> Path:
    """Where the mapping of a supplier is kept."""
    import platformdirs

    return platformdirs.user_data_path("rigfeed") / "suppliers" / f"{supplier}.toml"
