"""A frozen mapping: what every table of a design and every list of results by id is."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Generic, TypeVar

V_co = TypeVar("V_co", covariant=True)


class Keyed(Mapping[str, V_co], Generic[V_co]):
    """An immutable mapping from ids. It keeps the order it was given, and two are equal whatever their order.

    >>> Keyed({"b": 1, "a": 2})
    Keyed({'b': 1, 'a': 2})
    >>> Keyed({"b": 1, "a": 2}) == Keyed({"a": 2, "b": 1})
    True
    """

    __slots__ = ("_items",)

    def __init__(self, items: Mapping[str, V_co] | None = None) -> None:
        self._items = dict(items or {})

    def __getitem__(self, key: str) -> V_co:
        return self._items[key]

    def __iter__(self) -> Iterator[str]:
        return iter(self._items)

    def __len__(self) -> int:
        return len(self._items)

    def __eq__(self, other: object) -> bool:
        return self._items == dict(other) if isinstance(other, Mapping) else NotImplemented

    def __hash__(self) -> int:
        return hash(frozenset(self._items))

    def __repr__(self) -> str:
        return f"Keyed({self._items!r})"
