"""The frozen dataclass of the house, quick to make.

It is a dataclass of the standard library and used like one: `dataclasses.replace` and `fields` know it, and either sort
may inherit from the other. But the library writes comparison, hash and repr of every class as text and compiles that,
which for a few hundred classes took an eighth of a whole `rigfeed check`; here all classes share them.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, fields
from functools import partial
from operator import attrgetter
from typing import Any, TypeVar, dataclass_transform, overload

T = TypeVar("T")


@overload
def frozen(cls: type[T], /) -> type[T]: ...
@overload
def frozen(*, eq: bool = True, kw_only: bool = False) -> Callable[[type[T]], type[T]]: ...
@dataclass_transform(frozen_default=True, field_specifiers=(field,))
def frozen(cls: type[T] | None = None, /, *, eq: bool = True, kw_only: bool = False) -> Any:
    """Make a frozen dataclass, as ``@dataclass(frozen=True)`` does; what the class defines itself stands.

    >>> @frozen
    ... class Hole:
    ...     id: str
    ...     diameter_mm: float = 25.0
    >>> Hole("H1")
    Hole(id='H1', diameter_mm=25.0)
    >>> Hole("H1") == Hole("H1", 25.0), Hole("H1") == Hole("H2")
    (True, False)
    """

    def made(cls: type[T]) -> type[T]:
        record: Any = dataclass(frozen=True, eq=False, repr=False, kw_only=kw_only)(cls)
        shared: dict[str, Callable[..., Any]] = {"__repr__": _repr}
        if eq:
            shared |= _comparison(tuple(field.name for field in fields(record) if field.compare))
        for name, method in shared.items():
            if vars(cls).get(name) is None:  # a class that says when it is equal has None for its hash
                setattr(cls, name, method)
        return cls

    return made if cls is None else made(cls)


def _repr(self: Any) -> str:
    shown = ", ".join(f"{field.name}={getattr(self, field.name)!r}" for field in fields(self) if field.repr)
    return f"{type(self).__qualname__}({shown})"


def _comparison(names: tuple[str, ...]) -> dict[str, Callable[..., Any]]:
    """Equality within one class, and the hash, by the values of these fields."""
    values: Callable[[Any], Any] = attrgetter(*names) if len(names) > 1 else partial(_few, names)

    def equal(self: Any, other: Any) -> bool:
        return bool(values(self) == values(other)) if other.__class__ is self.__class__ else NotImplemented

    def hashed(self: Any) -> int:
        return hash(values(self))

    return {"__eq__": equal, "__hash__": hashed}


def _few(names: tuple[str, ...], self: Any) -> tuple[Any, ...]:
    """What `attrgetter` gives for two names or more, for none or one."""
    return tuple(getattr(self, name) for name in names)
