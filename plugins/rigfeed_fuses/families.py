"""What the standards say of a family of fuses or breakers, read from the catalog of families."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Mapping
from functools import cache
from itertools import pairwise
from types import MappingProxyType
from typing import Any, Literal, get_args

from marshmallow import ValidationError, fields

from rigfeed.plugin import Number, OneOf, Resource, TableSchema, Text, UnknownName, above_zero, frozen
from rigfeed_fuses.gates import TRUST, Curve, Gate

FuseFamily = Literal["C", "E", "F", "SF30", "SF51", "glass 6.3x32", "glass 6.3x32 delay", "high-interrupt"]
BreakerFamily = Literal["thermal breaker", "magnetic breaker"]
FUSES: tuple[str, ...] = get_args(FuseFamily)
BREAKERS: tuple[str, ...] = get_args(BreakerFamily)
FILE = Resource("rigfeed_catalogs", "fuses/families.toml")
MOST_A = 1e6


@frozen
class Sourced:
    """A figure, where it comes from, how far to trust it."""

    value: float
    source: str
    confidence: str


@frozen
class Drop:
    """The most that a fuse drops at its rated current, for the ratings above `above_a` up to `up_to_a`."""

    most_mv: float
    source: str
    confidence: str
    up_to_a: float
    above_a: float = 0.0


@frozen
class Rerating:
    """Pairs of air temperature [degC] and factor on the rated current."""

    points: tuple[tuple[float, float], ...]
    source: str
    confidence: str


@frozen
class Colours:
    """Pairs of rated current [A] and the colour that tells it."""

    by_rating: tuple[tuple[float, str], ...]
    source: str
    confidence: str


@frozen(kw_only=True, eq=False)
class Family:
    """What all ratings of one standard form have in common. `body` is what its holder is made for."""

    title: str
    standard: str
    sort: str
    gates: tuple[Gate, ...]
    rerating: Rerating
    hot_over_cold: Sourced
    drops: tuple[Drop, ...]
    body: str | None = None
    colours: Colours | None = None

    def curve(self, rated_a: float) -> Curve:
        """The gates that stand for a rating, and what the air does to it."""
        return Curve(tuple(gate for gate in self.gates if gate.stands_for(rated_a)), self.rerating.points)

    def most_drop_v(self, rated_a: float) -> float | None:
        """The most that it drops at its rated current [V]; None beyond the ratings for which there is a figure."""
        found = (drop.most_mv for drop in self.drops if drop.above_a < rated_a <= drop.up_to_a)
        return next((millivolts / 1000 for millivolts in found), None)

    def colour(self, rated_a: float) -> str | None:
        """The colour of a rating; None where the standard gives none, or none is known."""
        return dict(self.colours.by_rating).get(rated_a) if self.colours else None


def family(name: str) -> Family:
    """The family of a name, read when first asked for.

    Raises
    ------
    UnknownName
        If there is none.
    ValueError
        If it breaks the schema; the file of families comes with this package, so that is nobody's input.
    """
    if name not in _tables():
        raise UnknownName("family of fuses", name, _tables())
    return _family(name)


def opening_s(name: str, current_a: float, rated_a: float, air_c: float = 25.0) -> tuple[float, float]:
    """The shortest and the longest time in which a rating of a family may open at a current [s]; see `Curve.window_s`.

    >>> [round(time_s, 3) for time_s in opening_s("E", 100.0, rated_a=40.0)]
    [0.799, 25.474]
    """
    above_zero("rated_a", rated_a)
    return family(name).curve(rated_a).window_s(current_a / rated_a, air_c)


def families() -> Mapping[str, Family]:
    """All families by name; raises as `family`."""
    return MappingProxyType({name: family(name) for name in _tables()})


@cache
def _tables() -> Mapping[str, Any]:
    return MappingProxyType(_parsed(FILE.text()))


@cache
def _family(name: str) -> Family:
    return _built(name, _tables()[name])


def read(text: str) -> dict[str, Family]:
    """The families of a file; raises ValueError with its place in the file if it is not as it should be."""
    return {name: _built(name, table) for name, table in _parsed(text).items()}


def _parsed(text: str) -> dict[str, Any]:
    return dict(tomllib.loads(text).get("families", {}))


def _built(name: str, table: Any) -> Family:
    try:
        built: Family = FamilySchema().load(table)
    except ValidationError as error:
        raise ValueError(f"{FILE.where}: families.{name}: {error.messages}") from None
    return built


class Pairs(fields.Field[tuple[tuple[Any, ...], ...]]):
    """Pairs whose first number rises; the second is above zero, or a text."""

    def __init__(self, second: type[float] | type[str], **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.second = second

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> tuple[tuple[Any, ...], ...]:
        pairs: tuple[tuple[float, Any], ...]
        try:
            pairs = tuple((float(first), self.second(second)) for first, second in value)
        except (TypeError, ValueError):
            raise ValidationError("is not a list of pairs") from None
        if not pairs or not _rises(first for first, _ in pairs):
            raise ValidationError("is empty, or its first numbers do not rise")
        if self.second is float and min(second for _, second in pairs) <= 0:
            raise ValidationError("has a value that is not above zero")
        return pairs


def _rises(numbers: Iterable[float]) -> bool:
    return all(a < b for a, b in pairwise(numbers))


class SourcedSchema(TableSchema):
    builds = Sourced
    value = Number(least=1, most=3, required=True)
    source = Text(required=True)
    confidence = OneOf(TRUST, required=True)


class GateSchema(TableSchema):
    builds = Gate
    multiple = Number(least=1, most=100, required=True)
    least_s = Number(above=0, most=1e9, load_default=None)
    most_s = Number(above=0, most=1e9, load_default=None)
    above_a = Number(least=0, most=MOST_A, load_default=0.0)
    up_to_a = Number(above=0, most=MOST_A, load_default=MOST_A)
    source = Text(required=True)
    confidence = OneOf(TRUST, required=True)


class DropSchema(TableSchema):
    builds = Drop
    most_mv = Number(above=0, most=1000, required=True)
    above_a = Number(least=0, most=MOST_A, load_default=0.0)
    up_to_a = Number(above=0, most=MOST_A, required=True)
    source = Text(required=True)
    confidence = OneOf(TRUST, required=True)


class ReratingSchema(TableSchema):
    builds = Rerating
    points = Pairs(float, required=True)
    source = Text(required=True)
    confidence = OneOf(TRUST, required=True)


class ColoursSchema(TableSchema):
    builds = Colours
    by_rating = Pairs(str, required=True)
    source = Text(required=True)
    confidence = OneOf(TRUST, required=True)


class FamilySchema(TableSchema):
    """One table of the file of families."""

    builds = Family
    title = Text(required=True)
    standard = Text(required=True)
    sort = OneOf(("fuse", "breaker"), required=True)
    body = Text(load_default=None)
    gates = fields.List(fields.Nested(GateSchema), required=True)
    rerating = fields.Nested(ReratingSchema, required=True)
    hot_over_cold = fields.Nested(SourcedSchema, required=True)
    drops = fields.List(fields.Nested(DropSchema), required=True)
    colours = fields.Nested(ColoursSchema, load_default=None)
