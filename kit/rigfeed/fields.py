"""The marshmallow fields and the schema base of everything that enters: design, node settings, catalog rows.

One schema serves file, window and HTTP. What a field complains of is a `Complaint`: a text with a remedy.
"""

from __future__ import annotations

import datetime
import math
import re
from collections.abc import Mapping, Sequence
from functools import cache
from typing import Any, ClassVar, TypeVar

from marshmallow import EXCLUDE, Schema, ValidationError, fields, post_dump, post_load, validates_schema

from rigfeed.complaints import Complaint, is_number, refuse, sort_of, told
from rigfeed.errors import BadQuantity, nearest, shown
from rigfeed.keyed import Keyed
from rigfeed.quantity import Quantity, example, from_base, kind_of, three_digits

ID = re.compile(r"[A-Za-z][A-Za-z0-9_-]{0,31}")
PART_KEY = re.compile(
    r"(?P<kind>[a-z][a-z0-9-]{0,63})"
    r"(?::(?:(?P<catalog>[A-Za-z0-9_-]{1,64})/)?(?P<row>[A-Za-z0-9][A-Za-z0-9._-]{0,63}))?"
)
TERMINAL = re.compile(rf"(?P<node>{ID.pattern})\.(?P<terminal>[a-z0-9][a-z0-9-]{{0,31}})")

# IEC 60757:2021, code for designation of colours
COLOURS = {
    "BK": "black", "BN": "brown", "RD": "red", "OG": "orange", "YE": "yellow", "GN": "green", "BU": "blue",
    "VT": "violet", "GY": "grey", "WH": "white", "PK": "pink", "GD": "gold", "TQ": "turquoise", "SR": "silver",
}


S = TypeVar("S", bound=Schema)


# Control characters (but for tab and new line) and halves of surrogate pairs: no paper and no terminal can show them.
_UNPRINTABLE = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\ud800-\udfff]")


def _printable(value: str) -> str:
    if found := _UNPRINTABLE.search(value):
        remedy = "remove it: it can be neither seen nor printed"
        raise refuse(f"holds the control character U+{ord(found[0]):04X}", remedy)
    return value


class Text(fields.Field[str]):
    """A text; with `pattern`, one that matches it whole."""

    sort: ClassVar[str] = "of the form wanted here"  # ends the sentence "... is not"

    def __init__(self, pattern: re.Pattern[str] | None = None, *, like: str = "", **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.pattern, self.like = pattern, like

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> str:
        if not isinstance(value, str):
            raise refuse(f"{sort_of(value)} where a text is wanted", f'write it in quotes: "{self.like or "..."}"')
        if self.required and not value.strip():
            raise refuse("is empty", "fill it in")
        if self.pattern and not self.pattern.fullmatch(value):
            raise refuse(f"{shown(value)} is not {self.sort}", f"write it like {self.like!r}")
        return _printable(value)


class QuantityField(fields.Field[Quantity]):
    """A number with a unit, as text. Bounds are in `unit`; `above` excludes its own value."""

    def __init__(
        self, unit: str, *, least: float | None = None, most: float | None = None, above: float | None = None,
        **kwargs: Any,
    ) -> None:
        super().__init__(**kwargs)
        self.unit, self.least, self.most, self.above = unit, least, most, above

    def _serialize(self, value: Any, attr: Any, obj: Any, **kwargs: Any) -> str | None:
        return None if value is None else str(value)

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> Quantity:
        kind = kind_of(self.unit)
        if isinstance(value, bool) or not isinstance(value, str):
            number = f"{value:g} {self.unit}".strip() if is_number(value) else example(self.unit)
            what = f"{sort_of(value)} where a {kind} with its unit is wanted"
            raise refuse(what, f'write it in quotes: "{number}"')
        try:
            quantity = Quantity.parse(value, self.unit)
        except BadQuantity as error:
            raise refuse(error.what, error.remedy) from error
        self._within(quantity.text, from_base(quantity.si, self.unit))
        return quantity

    def _within(self, text: str, number: float) -> None:
        if self.above is not None and number <= self.above:
            raise refuse(f"{text!r} is not above {self.above:g} {self.unit}".rstrip(), self._allowed())
        # a bound met exactly in another unit may miss it by the last digit of the conversion
        room = 1e-12 * max(abs(number), 1.0)
        below = self.least is not None and number < self.least - room
        if below or (self.most is not None and number > self.most + room):
            said = three_digits(number)
            meant = "" if said in text else f", that is {said} {self.unit},"
            raise refuse(f"{text!r}{meant} is out of range", self._allowed())

    def _allowed(self) -> str:
        if self.above is not None:
            most = "" if self.most is None else f", at most {self.most:g} {self.unit}"
            return f"allowed: above {self.above:g}{most or ' ' + self.unit}".rstrip()
        least = "" if self.least is None else f"from {self.least:g} "
        most = "" if self.most is None else f"to {self.most:g} "
        return f"allowed: {least}{most}{self.unit}".rstrip() if least or most else ""


class OneOf(fields.Field[str]):
    """One of a few words."""

    def __init__(self, choices: Sequence[str], **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.choices = tuple(choices)

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> str:
        if not isinstance(value, str) or value not in self.choices:
            allowed = ", ".join(f'"{choice}"' for choice in self.choices)
            raise refuse(f"{told(value)} is not one of the choices", f"use one of: {allowed}")
        return value


class YesNo(fields.Field[bool]):
    """true or false; unknown is said by leaving it out."""

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> bool:
        if not isinstance(value, bool):
            remedy = "write true or false without quotes, or leave it out"
            raise refuse(f"{told(value)} is neither true nor false", remedy)
        return value


class PartField(Text):
    """The key of a part, ``kind:row`` or ``kind:catalog/row``; with `kind`, of that kind only."""

    sort = "the key of a part"

    def __init__(self, kind: str | None = None, **kwargs: Any) -> None:
        super().__init__(PART_KEY, like=f"{kind}:row" if kind else "cable:thinwall-2.5", **kwargs)
        self.kind = kind

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> str:
        key = super()._deserialize(value, attr, data, **kwargs)
        if self.kind and key.split(":")[0] != self.kind:
            raise refuse(f"{key!r} is not a {self.kind}", f'write "{self.kind}:" and the name of a row of a catalog')
        return key


class RefField(Text):
    """The id of something in a collection of the same design."""

    sort = "an id"

    def __init__(self, collection: str, **kwargs: Any) -> None:
        super().__init__(ID, like="A1", **kwargs)
        self.collection = collection


class TerminalField(Text):
    """A terminal of a node, ``F1.a``."""

    sort = "a terminal: the id of a node, a point, and the name of one of its terminals"

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(TERMINAL, like="F1.a", **kwargs)


class ColourField(Text):
    """A colour code of IEC 60757, or several of them for a marked insulation: ``RD``, ``GNYE``."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(re.compile(f"(?:{'|'.join(COLOURS)}){{1,3}}"), like="RD", **kwargs)

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> str:
        try:
            return super()._deserialize(value, attr, data, **kwargs)
        except ValidationError:
            known = ", ".join(f"{code} {name}" for code, name in COLOURS.items())
            raise refuse(f"{told(value)} is no colour code of IEC 60757", f"known: {known}") from None


class Series(fields.Field[tuple[Any, ...]]):
    """A list of values of one field, kept as a tuple; `or_one` also takes the single value alone."""

    def __init__(self, inner: fields.Field[Any], *, or_one: bool = False, most: int = 1000, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.inner, self.or_one, self.most = inner, or_one, most

    def _serialize(self, value: Any, attr: Any, obj: Any, **kwargs: Any) -> Any:
        items = [self.inner._serialize(item, attr, obj, **kwargs) for item in value or ()]
        return items[0] if self.or_one and len(items) == 1 else items

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> tuple[Any, ...]:
        if self.or_one and not isinstance(value, list):
            return (self.inner.deserialize(value),)
        if not isinstance(value, list):
            raise refuse(f"{sort_of(value)} where a list is wanted", "write it in square brackets: [ ... ]")
        if len(value) > self.most:
            raise refuse(f"{len(value)} values; at most {self.most} are taken")
        items, errors = [], {}
        for number, item in enumerate(value):
            try:
                items.append(self.inner.deserialize(item))
            except ValidationError as error:
                errors[number] = error.messages
        if errors:
            raise ValidationError(errors)
        return tuple(items)


class TableOf(fields.Field[Keyed[Any]]):
    """A table of named things: `inner` is a schema or a field; names follow `names`, unique ignoring case."""

    def __init__(
        self, inner: Schema | fields.Field[Any], *, names: re.Pattern[str] = ID, like: str = "W1", **kwargs: Any
    ) -> None:
        kwargs.setdefault("load_default", Keyed)
        super().__init__(**kwargs)
        self.inner, self.names, self.like = inner, names, like

    def _serialize(self, value: Any, attr: Any, obj: Any, **kwargs: Any) -> dict[str, Any]:
        if isinstance(self.inner, Schema):
            return {key: self.inner.dump(item) for key, item in value.items()}
        return {key: self.inner._serialize(item, key, value, **kwargs) for key, item in value.items()}

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> Keyed[Any]:
        if not isinstance(value, dict):
            remedy = f"write it as a table with names such as {self.like}"
            raise refuse(f"{sort_of(value)} where a table is wanted", remedy)
        items, errors, seen = {}, {}, dict[str, str]()
        for key, item in value.items():
            try:
                self._name(key, seen)
                items[key] = self.inner.load(item) if isinstance(self.inner, Schema) else self.inner.deserialize(item)
            except ValidationError as error:
                errors[key] = error.messages
        if errors:
            raise ValidationError(errors)
        return Keyed(items)

    def _name(self, key: object, seen: dict[str, str]) -> None:
        if not isinstance(key, str):
            raise refuse(f"{told(key)} where a name is wanted", f"names look like {self.like!r}")
        if not self.names.fullmatch(key):
            raise refuse(f"{shown(key)} cannot be a name here", f"names look like {self.like!r}{self._rule()}")
        other = seen.setdefault(key.lower(), key)
        if other != key:
            raise refuse(f"{key!r} differs from {other!r} only in capitals", "give one of them another name")


    def _rule(self) -> str:
        return ": a letter, then letters, digits, - and _, 32 characters at most" if self.names is ID else ""


class Plain(fields.Field[Any]):
    """Anything that a file may hold, kept as written until a schema that knows it is at hand."""

    def _serialize(self, value: Any, attr: Any, obj: Any, **kwargs: Any) -> Any:
        return thaw(value)

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> Any:
        return freeze(value)


DEEPEST = 8  # tables or lists inside of one another in a value that no schema knows
MOST_ADVISED = 100  # unknown keys of one table for which near names are looked for; more are never listed


def freeze(value: Any, depth: int = 0) -> Any:
    """Plain data as an immutable value: what TOML can hold, with finite numbers, at most `DEEPEST` levels deep."""
    if depth > DEEPEST:
        raise refuse("is nested too deeply", f"at most {DEEPEST} tables or lists inside of one another are read")
    if isinstance(value, Mapping):
        return Keyed({_plain_key(key): freeze(item, depth + 1) for key, item in value.items()})
    if isinstance(value, list | tuple):
        return tuple(freeze(item, depth + 1) for item in value)
    if isinstance(value, float) and not math.isfinite(value):
        raise refuse(f"{value} is not a finite number", "give a number, or leave it out")
    if isinstance(value, int) and not -(2**63) <= value < 2**63:
        raise refuse("is too large a number", "a whole number has at most 18 digits")
    if isinstance(value, str):
        return _printable(value)
    if not isinstance(value, bool | int | float | datetime.date | datetime.time):
        raise refuse(f"{sort_of(value)} cannot be kept in a design", "give a value, or leave it out")
    return value


def _plain_key(key: object) -> str:
    if not isinstance(key, str):
        raise refuse(f"{told(key)} where a name is wanted")
    return _printable(key)


def thaw(value: Any) -> Any:
    """The plain data of a frozen value."""
    if isinstance(value, Mapping):
        return {key: thaw(item) for key, item in value.items()}
    return [thaw(item) for item in value] if isinstance(value, tuple) else value


@cache
def one_of(schema: type[S]) -> S:
    """The one instance of a schema without options: making one costs more than using it."""
    return schema()


class TableSchema(Schema):
    """A schema that makes the frozen thing it `builds`, names unknown keys with the nearest known ones.

    It dumps what was given and nothing else.
    """

    builds: ClassVar[type[Any]]

    class Meta:
        unknown = EXCLUDE  # `_unknown_keys` refuses them, with a suggestion

    def keys_of(self) -> dict[str, str]:
        """key in the file -> name of the attribute."""
        return {field.data_key or name: name for name, field in self.fields.items()}

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def _unknown_keys(self, data: Any, original: Any, **kwargs: Any) -> None:
        if not isinstance(original, Mapping):
            return  # the complaint about that is made already
        known = self.keys_of()
        unknown = [key for key in original if key not in known]
        if unknown:
            raise ValidationError({
                key: [Complaint(f"unknown key {told(key)}", nearest(str(key), known) if n < MOST_ADVISED else "")]
                for n, key in enumerate(unknown)
            })

    @post_load
    def _build(self, data: dict[str, Any], **kwargs: Any) -> Any:
        # an empty text counts as not given, as it does on the way out
        return self.builds(**{key: self.fields[key].load_default if item == "" else item for key, item in data.items()})

    @post_dump
    def _only_given(self, data: dict[str, Any], **kwargs: Any) -> dict[str, Any]:
        return {key: value for key, value in data.items() if value is not None and value not in ([], {}, "")}
