"""The one way to point at something in a design: ``conductors.W1.length``."""

from __future__ import annotations

from collections.abc import Iterable


class Path(tuple[str | int, ...]):
    """Keys and list positions from the top of a design to one value.

    >>> Path.parse("conductors.W1.ends.0")
    Path('conductors.W1.ends.0')
    >>> Path("nodes", "F1") / "settings" == ("nodes", "F1", "settings")
    True
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
        return cls(*(int(key) if key.isdecimal() else key for key in text.split(".") if key))

    def __truediv__(self, key: str | int) -> Path:
        return Path(*self, key)

    def __str__(self) -> str:
        return ".".join(str(key) for key in self)

    def __repr__(self) -> str:
        return f"Path({str(self)!r})"

    @property
    def pointer(self) -> str:
        """The same place as a JSON pointer (RFC 6901)."""
        return "".join("/" + str(key).replace("~", "~0").replace("/", "~1") for key in self)
