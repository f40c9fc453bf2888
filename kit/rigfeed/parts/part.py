"""What every part of a catalog has, what a kind of parts is, and the fields of catalog rows."""

from __future__ import annotations

import math
import re
from abc import ABC
from collections.abc import Callable
from decimal import Decimal
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from marshmallow import ValidationError, post_load, validates_schema
from marshmallow import fields as marshmallow_fields

from rigfeed.complaints import refuse
from rigfeed.fields import OneOf, TableSchema, Text
from rigfeed.frozen import frozen
from rigfeed.practice import Threshold

if TYPE_CHECKING:
    from rigfeed.intake.declare import Intake

CONFIDENCE = ("published", "derived", "maker", "measured", "memory", "invented")


@frozen
class Provenance:
    """Where the figures of a part come from, and how far to trust them (one of `CONFIDENCE`)."""

    catalog: str = ""
    line: int = 0
    source: str = ""
    confidence: str = ""


@frozen
class Money:
    """An amount in one currency (ISO 4217); two currencies are never mixed or converted."""

    amount: Decimal
    currency: str

    def __str__(self) -> str:
        return f"{self.amount} {self.currency}"


@frozen(kw_only=True, eq=False)
class Part(ABC):
    """A row of a catalog. `key` is ``kind:catalog/row``; `price` is that of a metre of cable or conduit, a piece of
    all else."""

    title: str
    key: str = ""
    provenance: Provenance = Provenance()
    price: Money | None = None

    @property
    def kind(self) -> str:
        """The part kind: the first word of the key."""
        return self.key.split(":")[0]

    @property
    def short_key(self) -> str:
        """The key without its catalog, as people write it."""
        kind, _, row = self.key.partition(":")
        return f"{kind}:{row.split('/')[-1]}" if row else kind


@frozen
class Rigid:
    """The stiff body of an end fitting or a holder, seen along the cable: a box, or round with one diameter."""

    width_mm: float
    height_mm: float
    is_round: bool = False

    def __str__(self) -> str:
        return f"{self.width_mm:g} mm round" if self.is_round else f"{self.width_mm:g} x {self.height_mm:g} mm"

    @property
    def hole_mm(self) -> float:
        """The smallest round hole that it passes."""
        return self.width_mm if self.is_round else math.hypot(self.width_mm, self.height_mm)


@frozen
class PartKind:
    """A kind of part: the schema of its catalog rows, and of the settings that a node of this kind may carry.

    A kind whose parts are not bought has no rows but one `standard` part; its key is the bare name of the kind.
    `defaults` names the settings for which a practice has a value when the design has none, `stand_ins` those for which
    the row of the part has one. `intake` gives what the kind knows of suppliers' lists; it is asked when one is read.
    """

    name: str
    title: str
    row: type[RowSchema] | None = None
    settings: type[TableSchema] | None = None
    standard: Part | None = None
    defaults: tuple[Default, ...] = ()
    stand_ins: tuple[StandIn, ...] = ()
    intake: Callable[[], Intake] | None = None


@frozen
class Default:
    """A setting that a practice fills in (and that is then counted as an assumption), unless one of others is given,
    and only where those of `beside` are."""

    setting: str
    threshold: Threshold
    unless: tuple[str, ...] = ()
    beside: tuple[str, ...] = ()


@frozen
class StandIn:
    """A setting for what can be measured on the thing that is fitted; until then the row of its part stands in, which
    is counted as an assumption. `of` reads the figure from the part, in `unit`; None where the row has none."""

    setting: str
    what: str
    unit: str
    of: Callable[[Any], float | None]


class MoneyField(Text):
    """An amount and its currency, ``4.95 EUR``; without a currency it is no price."""

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> Any:
        match = re.fullmatch(r"(\d{1,9}(?:\.\d{1,4})?) ([A-Z]{3})", str(value))
        if not match:
            raise refuse(f"{value!r} is not a price", "write amount and currency code: 4.95 EUR")
        return Money(Decimal(match[1]), match[2])


class PointsField(Text):
    """Points of a curve, rising in their first number: ``0 11.8; 50 12.25; 100 12.7``, each of `width` numbers."""

    def __init__(self, width: int, *, least: int = 2, like: str, **kwargs: Any) -> None:
        super().__init__(like=like, **kwargs)
        self.width, self.least = width, least

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> Any:
        try:
            points = tuple(tuple(float(number) for number in point.split()) for point in str(value).split(";"))
        except ValueError:
            points = ()
        whole = all(len(point) == self.width and all(map(math.isfinite, point)) for point in points)
        if len(points) < self.least or not whole or any(b[0] <= a[0] for a, b in pairwise(points)):
            what = f"{value!r} is no curve of at least {self.least} points with {self.width} numbers, the first rising"
            raise refuse(what, f"write it like: {self.like}")
        return points


UPPER_ENDS = {"least": "most", "coldest": "warmest"}  # by how the names of two columns begin


class RowSchema(TableSchema):
    """The columns that every catalog row has; a kind adds its own. Numbers have no units: the column names them."""

    title = Text(required=True)
    source = Text(required=True)
    confidence = OneOf(CONFIDENCE, required=True)
    price = MoneyField(load_default=None)

    @validates_schema(skip_on_field_errors=True)
    def _ends_in_order(self, data: dict[str, Any], **kwargs: Any) -> None:
        """The lower end of what a part is made for must not lie above the upper one."""
        for name, field in self.fields.items():
            first = name.partition("_")[0]
            other = name.replace(first, UPPER_ENDS.get(first, ""), 1)
            low, high = data.get(name), data.get(other) if first in UPPER_ENDS else None
            if low is not None and high is not None and low > high:
                columns = [self.fields[key].data_key or key for key in (name, other)]
                complaint = refuse(f"is above {columns[1]}", f"put the smaller of the two into {columns[0]}")
                raise ValidationError({field.data_key or name: complaint.messages})

    @post_load
    def _build(self, data: dict[str, Any], **kwargs: Any) -> Any:
        provenance = Provenance(source=data.pop("source"), confidence=data.pop("confidence"))
        return self.builds(**data, provenance=provenance)


class Number(marshmallow_fields.Float):
    """A finite number of a catalog cell within bounds; `least` and `most` belong to it, `above` does not.

    The part gets it times `scale`: a column ``contact_mohm`` with 1e-3 fills `contact_ohm`. Bounds are of the cell.
    """

    def __init__(
        self, *, least: float = -math.inf, most: float = math.inf, above: float = -math.inf, scale: float = 1.0,
        **kwargs: Any,
    ) -> None:
        super().__init__(allow_nan=False, **kwargs)
        self.least, self.most, self.above, self.scale = least, most, above, scale

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> float:
        try:
            number = super()._deserialize(value, attr, data, **kwargs)
        except ValidationError:
            number = None
        if number is None:
            raise refuse(f"{value!r} is not a number", "write digits with a point, no unit: 2.5")
        if number <= self.above:
            raise refuse(f"{number:g} is not above {self.above:g}")
        if not self.least <= number <= self.most:
            raise refuse(f"{number:g} is out of range", f"allowed: {self.least:g} to {self.most:g}")
        return number * self.scale


class RigidField(Text):
    """Width and height in millimetres, ``15x11``; one number is a diameter."""

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> Any:
        try:
            sides = [float(side) for side in str(value).split("x")]
        except ValueError:
            sides = []
        if len(sides) not in (1, 2) or not all(0 < side < 1000 for side in sides):
            raise refuse(f"{value!r} is not a size", "write width x height in millimetres: 15x11")
        return Rigid(sides[0], sides[-1], is_round=len(sides) == 1)
