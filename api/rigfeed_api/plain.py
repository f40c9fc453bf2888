"""The result of any study as plain data for JSON, without knowing the study.

Dataclasses become objects of their public fields, arrays lists, numbers nine digits. A thing of the installation (a
node, a conductor, a zone, a part) that stands inside of a result becomes its id: the design has the rest.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from collections.abc import Set as AbstractSet
from dataclasses import fields, is_dataclass
from typing import Any

from rigfeed.installation import Installation
from rigfeed.measure import Measure, json_number
from rigfeed.network.network import Network
from rigfeed.parts.part import Part
from rigfeed.path import Path
from rigfeed.quantity import Quantity

DEEPEST = 24
_LEFT_OUT = (Installation, Network)  # what a result was computed from is no part of it


def plain(value: Any, depth: int = 0) -> Any:
    """The plain data of a value; None for what is not finite, and for what no rule here knows.

    >>> plain({("a", "b"): (1 / 3, float("inf")), "unit": Measure(2.0, "V")})
    {'a b': [0.333333333, None], 'unit': {'value': 2.0, 'unit': 'V'}}
    """
    if depth > DEEPEST:
        return None
    for kind, rule in _RULES:
        if isinstance(value, kind):
            return rule(value, depth + 1)
    if hasattr(value, "tolist"):  # an array or a number of NumPy
        return plain(value.tolist(), depth)
    if isinstance(named := getattr(value, "id", None), str):
        return named
    return _object(value, depth + 1) if is_dataclass(value) else None


def _table(value: Mapping[Any, Any], depth: int) -> dict[str, Any]:
    return {_key(key): plain(item, depth) for key, item in value.items() if not isinstance(item, _LEFT_OUT)}


def _object(value: Any, depth: int) -> dict[str, Any]:
    return _table({f.name: getattr(value, f.name) for f in fields(value) if not f.name.startswith("_")}, depth)


def _list(value: Iterable[Any], depth: int) -> list[Any]:
    return [plain(item, depth) for item in value]


def _key(key: Any) -> str:
    return " ".join(map(_key, key)) if isinstance(key, tuple) and not isinstance(key, Path) else str(key)


_RULES: tuple[tuple[Any, Callable[[Any, int], Any]], ...] = (
    (bool | str | None, lambda value, depth: value),
    (int | float, lambda value, depth: json_number(value)),
    (Path | Quantity, lambda value, depth: str(value)),
    (Measure, lambda value, depth: {"value": json_number(value.value), "unit": value.unit}),
    (Part, lambda value, depth: value.key),
    (Mapping, _table),
    (AbstractSet, lambda value, depth: sorted(_list(value, depth), key=str)),
    (list | tuple, _list),
)
