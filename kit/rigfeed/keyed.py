"""A frozen mapping: what every table of a design and every list of results by id is."""

from __future__ import annotations

from collections.abc import ItemsView, Iterator, KeysView, Mapping, ValuesView
from typing import Any, Generic, TypeVar, overload

V_co = TypeVar("V_co", covariant=True)
D = TypeVar("D")


class Keyed(Mapping[str, V_co], Generic[V_co]):
    """An immutable mapping from ids. It keeps the order it was given, and two are equal whatever their order.

    >>> Keyed({"b": 1, "a": 2})
    Keyed({'b': 1, 'a': 2})
    >>> Keyed({"b": 1, "a": 2}) == Keyed({"a": 2, "b": 1})
    True
    """

    __slots__ = ("_items",)

    def __init__(self, items: Mapping[str, V_co] | None = None) -> None:
        self._items: dict[str, V_co] = dict(items._items if isinstance(items, Keyed) else items or {})

    def __getitem__(self, key: str) -> V_co:
        return self._items[key]

    def __iter__(self) -> Iterator[str]:
        return iter(self._items)

    def __len__(self) -> int:
        return len(self._items)

    # The base class has all that follows, over the three above: a call of Python's for each item. An assessment looks
    # into its tables some hundred thousand times.

    def __contains__(self, key: object) -> bool:
        return key in self._items

    @overload
    def get(self, key: str, /) -> V_co | None: ...

    @overload
    def get(self, key: str, /, default: V_co | D) -> V_co | D: ...

    def get(self, key: str, /, default: Any = None) -> Any:
        """The value of a key, or the default where there is none."""
        return self._items.get(key, default)

    def keys(self) -> KeysView[str]:
        """The ids, in their order."""
        return self._items.keys()

    def values(self) -> ValuesView[V_co]:
        """The values, in the order of their ids."""
        return self._items.values()

    def items(self) -> ItemsView[str, V_co]:
        """Ids and values, in the order of the ids."""
        return self._items.items()

    def __eq__(self, other: object) -> bool:
        if isinstance(other, Keyed):
            return self._items == other._items
        return self._items == dict(other) if isinstance(other, Mapping) else NotImplemented

    def __hash__(self) -> int:
        return hash(frozenset(self._items))

    def __repr__(self) -> str:
        return f"Keyed({self._items!r})"
