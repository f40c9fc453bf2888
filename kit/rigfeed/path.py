"""The one way to point at something in a design: ``conductors.W1.length``."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator

_BARE = re.compile(r"[A-Za-z0-9_-]+")
_PIECE = re.compile(r'"(?:[^"\\]|\\.)*"|[^."]+|"')


class Path(tuple[str | int, ...]):
    """Keys and list positions from the top of a design to one value.

    A key that is no plain word stands in quotes in the text form, as in the file.

    >>> Path.parse("conductors.W1.ends.0")
    Path('conductors.W1.ends.0')
    >>> Path("nodes", "F1") / "settings" == ("nodes", "F1", "settings")
    True
    >>> print(Path("nodes", "F1", "facts", "shop.crimp-pulled"))
    nodes.F1.facts."shop.crimp-pulled"
    """

    __slots__ = ()

    def __new__(cls, *keys: str | int) -> Path:
        return super().__new__(cls, keys)

    @classmethod
    def of(cls, keys: Iterable[str | int]) -> Path:
        """The path of these keys."""
        return cls(*keys)

    @classmethod
    def parse(cls, text: str) -> Path:
        """The path that `str` wrote. Ids never start with a digit, so an all-digit key is a list position."""
        return cls(*_keys(text))

    def __truediv__(self, key: str | int) -> Path:
        return Path(*self, key)

    def __str__(self) -> str:
        return ".".join(str(key) if isinstance(key, int) else _written(key) for key in self)

    def __repr__(self) -> str:
        return f"Path({str(self)!r})"

    def __getnewargs__(self) -> tuple[str | int, ...]:
        return tuple(self)

    @property
    def pointer(self) -> str:
        """The same place as a JSON pointer (RFC 6901)."""
        return "".join("/" + str(key).replace("~", "~0").replace("/", "~1") for key in self)


TOP = Path()  # the whole


def _written(key: str) -> str:
    if _BARE.fullmatch(key) and not _is_position(key):
        return key
    return json.dumps(key, ensure_ascii=not key.isprintable())  # escapes whatever a terminal would obey


def _is_position(key: str) -> bool:
    return key.isascii() and key.isdecimal() and len(key) < 10


def _keys(text: str) -> Iterator[str | int]:
    for piece in _PIECE.findall(text):
        if len(piece) > 1 and piece[0] == piece[-1] == '"':
            yield _unquoted(piece)
        else:
            yield int(piece) if _is_position(piece) else piece


def _unquoted(piece: str) -> str:
    try:
        return str(json.loads(piece, strict=False))
    except ValueError:
        return piece
