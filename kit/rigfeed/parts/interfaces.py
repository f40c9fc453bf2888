"""What the kit asks of a part. Plugins build parts; the kit knows these interfaces only.

::

    Part                    a row of a catalog: key, title, where it comes from
    ├── ConductorType       a cable: cores, diameter, insulation
    ├── EndFitting          what is crimped or plugged at the end of a conductor
    ├── Accessory           something that belongs to a node: a holder
    └── Device              a node: terminals, modes, elements for a condition
        ├── SourceDevice    a battery, an alternator
        ├── ProtectiveDevice  a fuse, a breaker
        ├── LoadDevice      equipment with the volts it needs
        ├── MakerPoint      a take-off from the vehicle's own wiring
        └── Joint           a stud, a busbar, a splice: one net
"""

from __future__ import annotations

import math
from abc import ABC, abstractmethod
from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from typing import Any, ClassVar, Literal

from marshmallow import ValidationError, post_load
from marshmallow import fields as marshmallow_fields

from rigfeed.errors import UnknownName
from rigfeed.fields import OneOf, TableSchema, Text, refuse
from rigfeed.network.elements import BODY, Element
from rigfeed.practice import Threshold

Pole = Literal["positive", "negative", "signal", "inner", "shield", "any"]

CONFIDENCE = ("published", "derived", "maker", "measured", "memory", "invented")


@dataclass(frozen=True)
class Provenance:
    """Where the figures of a part come from, and how far to trust them (one of `CONFIDENCE`)."""

    catalog: str = ""
    line: int = 0
    source: str = ""
    confidence: str = ""


@dataclass(frozen=True)
class Terminal:
    """A place on a device where a conductor ends."""

    name: str
    pole: Pole = "any"


@dataclass(frozen=True)
class Condition:
    """What a part needs to know to compile itself: its mode, its charge (0..1, None unknown), its air, the engine.

    `shields_carry` counts the ways back that exist but that nobody may rely on: over the shield of a feeder and the
    mount of its antenna into the body. A study of what is enough leaves them out; one of what can happen does not.
    """

    mode: str = ""
    charge: float | None = None
    temperature_c: float = 20.0
    engine_on: bool = False
    shields_carry: bool = False


@dataclass(frozen=True, kw_only=True)
class Part(ABC):
    """A row of a catalog. `key` is ``kind:catalog/row``."""

    title: str
    key: str = ""
    provenance: Provenance = Provenance()

    @property
    def kind(self) -> str:
        """The part kind: the first word of the key."""
        return self.key.split(":")[0]

    @property
    def short_key(self) -> str:
        """The key without its catalog, as people write it."""
        kind, _, row = self.key.partition(":")
        return f"{kind}:{row.split('/')[-1]}" if row else kind


@dataclass(frozen=True)
class Core:
    """One metal path of a cable: its name, area, resistance at 20 degC and temperature coefficient."""

    name: str
    area_mm2: float
    ohm_per_m_20: float
    alpha_per_k: float


@dataclass(frozen=True, kw_only=True)
class ConductorType(Part):
    """A cable. `od_mm` is the diameter over everything; `insulation_c` the class of its insulation."""

    od_mm: float
    insulation_c: float | None = None

    @property
    @abstractmethod
    def cores(self) -> tuple[Core, ...]:
        """The metal paths, in the order in which `from` and `to` name their terminals."""


@dataclass(frozen=True)
class Rigid:
    """The stiff body of an end fitting or a holder, seen along the cable: a box, or round with one diameter."""

    width_mm: float
    height_mm: float
    is_round: bool = False

    @property
    def hole_mm(self) -> float:
        """The smallest round hole that it passes."""
        return self.width_mm if self.is_round else math.hypot(self.width_mm, self.height_mm)


@dataclass(frozen=True, kw_only=True)
class EndFitting(Part):
    """What ends a conductor: a ring, a ferrule, a plug. `rigid` is what must pass a hole if it is fitted before."""

    contact_ohm: float
    rigid: Rigid | None = None
    strip_mm: float | None = None


@dataclass(frozen=True, kw_only=True)
class Accessory(Part):
    """Something that belongs to a node rather than being one."""

    rigid: Rigid | None = None


@dataclass(frozen=True, kw_only=True)
class Device(Part):
    """A part that is a node of the graph."""

    modes: ClassVar[tuple[str, ...]] = ()
    default_mode: ClassVar[str] = ""

    @property
    @abstractmethod
    def terminals(self) -> tuple[Terminal, ...]:
        """Its terminals, in the order people read them."""

    @abstractmethod
    def elements(self, settings: Any, condition: Condition) -> Sequence[Element]:
        """Its elements for a condition. Nets are names of its own terminals, inner names of its own, or `BODY`."""

    @property
    def through(self) -> tuple[tuple[str, str], ...]:
        """Pairs of terminals that the feed passes through when someone follows it from the source."""
        return ()

    def terminal(self, name: str) -> Terminal:
        """The terminal of a name.

        Raises
        ------
        UnknownName
            If it has none of that name.
        """
        for terminal in self.terminals:
            if terminal.name == name:
                return terminal
        raise UnknownName(f"terminal of {self.short_key}", name, [terminal.name for terminal in self.terminals])


@dataclass(frozen=True, kw_only=True)
class SourceDevice(Device):
    """Something that feeds. `stores` tells a battery from a generator."""

    stores: ClassVar[bool] = True

    @property
    def poles(self) -> tuple[str, str]:
        """The names of its positive and negative terminal."""
        return ("pos", "neg")


@dataclass(frozen=True, kw_only=True)
class ProtectiveDevice(Device):
    """A fuse or a breaker, rated `rated_a` at up to `rated_v` direct voltage."""

    rated_a: float
    rated_v: float | None = None


@dataclass(frozen=True, kw_only=True)
class LoadDevice(Device):
    """Equipment: its nominal voltage, the volts between which it works, and the fuse its maker states.

    Where the maker states no limits, the practice's share of the nominal voltage stands in, as an assumption.
    """

    nominal_v: float = 12.0
    least_v: float | None = None
    most_v: float | None = None
    stated_fuse_a: float | None = None

    @property
    def poles(self) -> tuple[str, str]:
        """The names of its positive and negative supply terminal."""
        return ("pos", "neg")


@dataclass(frozen=True, kw_only=True)
class MakerPoint(Device):
    """A place to take power off the vehicle's own wiring; what protects that wiring is its maker's affair."""


@dataclass(frozen=True, kw_only=True)
class Joint(Device):
    """A stud, a busbar or a splice: whatever ends on it is one net, under any terminal name."""

    @property
    def terminals(self) -> tuple[Terminal, ...]:
        return ()

    def terminal(self, name: str) -> Terminal:
        return Terminal(name)

    def elements(self, settings: Any, condition: Condition) -> Sequence[Element]:
        return ()


@dataclass(frozen=True)
class PartKind:
    """A kind of part: the schema of its catalog rows, and of the settings that a node of this kind may carry.

    A kind whose parts are not bought has no rows but one `standard` part; its key is the bare name of the kind.
    `defaults` names the settings for which a practice has a value when the design has none.
    """

    name: str
    title: str
    row: type[RowSchema] | None = None
    settings: type[TableSchema] | None = None
    standard: Part | None = None
    defaults: tuple[Default, ...] = ()


@dataclass(frozen=True)
class Default:
    """A setting that a practice fills in (and that is then counted as an assumption), unless one of others is given."""

    setting: str
    threshold: Threshold
    unless: tuple[str, ...] = ()


class RowSchema(TableSchema):
    """The columns that every catalog row has; a kind adds its own. Numbers have no units: the column names them."""

    title = Text(required=True)
    source = Text(required=True)
    confidence = OneOf(CONFIDENCE, required=True)

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
    ) -> None:  # fmt: skip
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


NETS = ("a", "b", "pos", "neg", "in_pos", "in_neg", "out_pos", "out_neg", "sense_pos", "sense_neg")


def placed(element: Element, node: str) -> Element:
    """An element of a part as one of the network: its name and its nets get the id of the node in front."""
    names = {field.name for field in fields(element)}
    changes: dict[str, Any] = {"name": f"{node}.{element.name}" if element.name else node}
    for net in NETS:
        value = getattr(element, net, None) if net in names else None
        if value is not None and value != BODY:
            changes[net] = f"{node}.{value}"
    return replace(element, **changes)
