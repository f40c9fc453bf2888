"""Write changed values into a TOML text and leave every other byte alone.

The text is never taken apart and put together again: each change becomes a cut at the characters where it stands
(`rigfeed.design.places`), and the rest is not touched. What comes out is read once more before anyone saves it. Where a
text is so unusual that the cuts do not give what was wanted, what changed is written anew, first collection by
collection, then the whole; then remarks in it are lost, but never a value.
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Mapping
from typing import Any

from rigfeed.design.schema import from_plain, to_plain
from rigfeed.design.splice import Splice
from rigfeed.design.values import line_end, same, toml_block
from rigfeed.errors import RigfeedError
from rigfeed.files import BOM


def patched(text: str, plain: Mapping[str, Any]) -> str:
    """The text with the keys that differ from `plain` replaced, added, renamed or removed.

    Line ends stay as they are; new lines have those of the first line. A `plain` that is no design raises as
    `rigfeed.design.schema.from_plain` does.
    """
    wanted = to_plain(from_plain(dict(plain)))
    bare, mark = text.removeprefix(BOM), BOM if text.startswith(BOM) else ""
    ways: tuple[Callable[[str, dict[str, Any]], str], ...] = (_spliced, _by_collection)
    for way in ways if bare.strip() else ():
        new = way(bare, wanted)
        if _holds(new, wanted):
            return mark + new
    return mark + _anew(bare, wanted)


def _holds(text: str, wanted: Mapping[str, Any]) -> bool:
    try:
        return same(_plain(text), wanted)
    except (RigfeedError, ValueError, RecursionError):
        return False


def _plain(text: str) -> dict[str, Any]:
    return to_plain(from_plain(tomllib.loads(text)))


def _spliced(text: str, wanted: dict[str, Any]) -> str:
    splice = Splice(text, tomllib.loads(text))
    splice.table((), _plain(text), wanted)
    return splice.done()


def _by_collection(text: str, wanted: dict[str, Any]) -> str:
    """Every top-level key that differs, taken out and written anew."""
    splice, before = Splice(text, tomllib.loads(text)), _plain(text)
    for key in {**before, **wanted}:
        if not same(before.get(key), wanted.get(key)):
            splice.remove((key,))
            if key in wanted:
                splice.append(key, wanted[key])
    return splice.done()


def _anew(text: str, wanted: Mapping[str, Any]) -> str:
    blocks = [toml_block((key,), value) for key, value in wanted.items()]
    single = [block for block, value in zip(blocks, wanted.values(), strict=True) if not isinstance(value, dict | list)]
    tables = [block for block, value in zip(blocks, wanted.values(), strict=True) if isinstance(value, dict | list)]
    return "\n".join(["".join(single), *tables]).replace("\n", line_end(text))
