"""A bench to try the engine on: one plugin with a plain part of every sort, and designs of a few lines.

Its numbers are round, so that what a test expects can be worked out beside it: a wire has 10 ohm per kilometre and core
and does not change with temperature, unless its name says so.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache
from typing import ClassVar

from marshmallow import fields

from rigfeed.assess import Assessment, assess
from rigfeed.design.file import parse
from rigfeed.installation import Installation
from rigfeed.parts.shelf import Shelf
from rigfeed.plugin import (
    Accessory,
    Condition,
    ConductorType,
    Core,
    Default,
    Device,
    Element,
    EndFitting,
    LoadDevice,
    Number,
    OneOf,
    PartField,
    PartKind,
    ProtectiveDevice,
    Quantity,
    QuantityField,
    Resistor,
    RowSchema,
    Sink,
    Source,
    SourceDevice,
    TableSchema,
    Terminal,
    Threshold,
    hookimpl,
)
from rigfeed.registry import Registry, make_registry
from rigfeed.resolve import resolve

CHARGE = Threshold("battery.charge", "%", "charge of a battery at the start of a state")


@dataclass(frozen=True)
class TextFile:
    """A data file that is only a text."""

    name: str
    content: str

    @property
    def where(self) -> str:
        return f"{self.name}.csv"

    def text(self) -> str:
        return self.content


@dataclass(frozen=True, kw_only=True)
class Wire(ConductorType):
    ohm_per_km: float
    core_count: int = 1
    alpha_per_k: float = 0.0

    @property
    def cores(self) -> tuple[Core, ...]:
        numbers = range(1, self.core_count + 1)
        return tuple(Core(str(number), 2.0, self.ohm_per_km / 1000, self.alpha_per_k) for number in numbers)


class WireSchema(RowSchema):
    builds = Wire
    od_mm = Number(above=0, most=100, load_default=3.0)
    ohm_per_km = Number(above=0, most=10_000, required=True)
    core_count = fields.Integer(load_default=1)
    alpha_per_k = Number(least=0, most=0.01, load_default=0.0)


@dataclass(frozen=True, kw_only=True)
class Tag(EndFitting):
    pass


class TagSchema(RowSchema):
    builds = Tag
    contact_ohm = Number(least=0, most=1000, scale=1e-3, required=True, data_key="contact_mohm")


@dataclass(frozen=True)
class CellSettings:
    volts: Quantity | None = None
    charge: Quantity | None = None


class CellSettingsSchema(TableSchema):
    builds = CellSettings
    volts = QuantityField("V", above=0, most=100, load_default=None)
    charge = QuantityField("%", least=0, most=100, load_default=None)


@dataclass(frozen=True, kw_only=True)
class Cell(SourceDevice):
    """12 V when full, 11 V when empty, behind its resistance."""

    ohm: float

    @property
    def terminals(self) -> tuple[Terminal, ...]:
        return (Terminal("pos", "positive"), Terminal("neg", "negative"))

    def elements(self, settings: CellSettings, condition: Condition) -> Sequence[Element]:
        charge = condition.charge
        if charge is None and settings.charge is not None:
            charge = settings.charge.si
        emf_v = 11.0 + charge if charge is not None else settings.volts.si
        return (Source("", "pos", "neg", emf_v, self.ohm),)


class CellSchema(RowSchema):
    builds = Cell
    ohm = Number(above=0, most=10, required=True)


@dataclass(frozen=True)
class LinkSettings:
    clip: Clip | None = None


class LinkSettingsSchema(TableSchema):
    builds = LinkSettings
    clip = PartField("clip", load_default=None)


@dataclass(frozen=True, kw_only=True)
class Link(ProtectiveDevice):
    """A fuse of 10 milliohm."""

    @property
    def terminals(self) -> tuple[Terminal, ...]:
        return (Terminal("a"), Terminal("b"))

    @property
    def through(self) -> tuple[tuple[str, str], ...]:
        return (("a", "b"),)

    @property
    def resistance_ohm(self) -> float:
        return 0.01

    def opening_s(self, current_a: float, air_c: float = 25.0) -> tuple[float, float]:
        return (1.0, 2.0) if current_a > self.rated_a else (math.inf, math.inf)

    def elements(self, settings: LinkSettings, condition: Condition) -> Sequence[Element]:
        return (Resistor("", "a", "b", self.resistance_ohm),)


class LinkSchema(RowSchema):
    builds = Link
    rated_a = Number(above=0, most=1000, required=True)


@dataclass(frozen=True, kw_only=True)
class Clip(Accessory):
    pass


class ClipSchema(RowSchema):
    builds = Clip


@dataclass(frozen=True, kw_only=True)
class Box(LoadDevice):
    modes: ClassVar[tuple[str, ...]] = ("on", "off")
    default_mode: ClassVar[str] = "on"

    sort: str
    value: float

    @property
    def terminals(self) -> tuple[Terminal, ...]:
        return (Terminal("pos", "positive"), Terminal("neg", "negative"), Terminal("spare"))

    def elements(self, settings: None, condition: Condition) -> Sequence[Element]:
        if condition.mode == "off":
            return ()
        return (Sink("", "pos", "neg", self.sort, self.value, self.least_v or 0.0),)


class BoxSchema(RowSchema):
    builds = Box
    sort = OneOf(("current", "power", "resistance"), required=True)
    value = Number(above=0, most=10_000, required=True)
    least_v = Number(above=0, most=1000, load_default=None)
    most_v = Number(above=0, most=1000, load_default=None)


@dataclass(frozen=True, kw_only=True)
class Ornament(Device):
    """A device without electricity."""

    @property
    def terminals(self) -> tuple[Terminal, ...]:
        return (Terminal("hook"),)

    def elements(self, settings: None, condition: Condition) -> Sequence[Element]:
        return ()


class Bench:
    """The plugin."""

    @hookimpl
    def register_part_kinds(self) -> Iterable[PartKind]:
        yield PartKind("wire", "wire", row=WireSchema)
        yield PartKind("tag", "tag", row=TagSchema)
        yield PartKind(
            "cell", "cell", row=CellSchema, settings=CellSettingsSchema,
            defaults=(Default("charge", CHARGE, unless=("volts",)),),
        )
        yield PartKind("link", "fuse link", row=LinkSchema, settings=LinkSettingsSchema)
        yield PartKind("clip", "clip of a link", row=ClipSchema)
        yield PartKind("box", "equipment", row=BoxSchema)
        yield PartKind("ornament", "ornament", standard=Ornament(title="ornament"))


PARTS = (
    TextFile("wires", """part,title,ohm_per_km,core_count,alpha_per_k,source,confidence
wire:one,one core,10,1,0,bench,invented
wire:two,two cores,10,2,0,bench,invented
wire:warm,copper,10,1,0.00393,bench,invented
"""),
    TextFile("tags", """part,title,contact_mohm,source,confidence
tag:none,no resistance,0,bench,invented
tag:five,five milliohm,5,bench,invented
"""),
    TextFile("cells", """part,title,ohm,source,confidence
cell:stiff,stiff,0.01,bench,invented
cell:soft,soft,0.1,bench,invented
"""),
    TextFile("links", """part,title,rated_a,source,confidence
link:ten,ten amps,10,bench,invented
link:twenty,twenty amps,20,bench,invented
"""),
    TextFile("clips", """part,title,source,confidence
clip:plain,plain,bench,invented
"""),
    TextFile("boxes", """part,title,sort,value,least_v,most_v,source,confidence
box:amps,five amps,current,5,10,16,bench,invented
box:watts,sixty watts,power,60,10,16,bench,invented
box:ohms,two ohms,resistance,2,10,16,bench,invented
box:greedy,a kilowatt,power,1000,10,16,bench,invented
box:bare,no limits stated,current,1,,,bench,invented
"""),
)


def bench_registry(**plugins: object) -> Registry:
    """The built-in declarations, the bench, and the plugins given."""
    return make_registry({"bench": Bench(), **plugins}, installed=False)


@cache
def plain_registry() -> Registry:
    """The one without more plugins, made once; not to be changed."""
    return bench_registry()


def bench_shelf(*files: TextFile, registry: Registry | None = None) -> Shelf:
    """The parts of the bench, and those of the files given."""
    return Shelf(registry or plain_registry(), (*PARTS, *files))  # type: ignore[arg-type]


def installed(text: str, practice: str = "road", shelf: Shelf | None = None) -> Installation:
    """The resolved design of a text (`format = 1` is added)."""
    shelf = shelf or bench_shelf()
    return resolve(parse(f"format = 1\n{text}"), shelf, shelf.registry.practices.get(practice))


def assessed(text: str, shelf: Shelf | None = None, **options: object) -> Assessment:
    """The assessment of a text (`format = 1` is added)."""
    return assess(parse(f"format = 1\n{text}"), shelf=shelf or bench_shelf(), **options)  # type: ignore[arg-type]
