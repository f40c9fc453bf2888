"""Fuses and holders as parts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from rigfeed.plugin import (
    LEAST_OHM,
    Accessory,
    Condition,
    Element,
    Number,
    OneOf,
    PartField,
    ProtectiveDevice,
    Resistor,
    RigidField,
    RowSchema,
    TableSchema,
    Terminal,
)  # fmt: skip

FAMILIES = ("C", "E", "F", "SF30", "SF51", "glass 6.3x32", "high-interrupt")


@dataclass(frozen=True)
class FuseSettings:
    """The holder that the fuse sits in."""

    holder: Holder | None = None


class FuseSettingsSchema(TableSchema):
    """What a fuse may carry in a design."""

    builds = FuseSettings
    holder = PartField("holder", load_default=None)


@dataclass(frozen=True, kw_only=True)
class Fuse(ProtectiveDevice):
    """A fuse in its holder: `drop_v` across both at the rated current, `breaking_a` the most it can interrupt."""

    family: str
    drop_v: float
    gates: tuple[tuple[float, float, float], ...] = ()

    @property
    def terminals(self) -> tuple[Terminal, ...]:
        """Either end may face the source."""
        return (Terminal("a"), Terminal("b"))

    @property
    def through(self) -> tuple[tuple[str, str], ...]:
        """From one end to the other."""
        return (("a", "b"),)

    @property
    def resistance_ohm(self) -> float:
        """Fuse and holder, warm: the drop at the rated current over that current."""
        return self.drop_v / self.rated_a

    def opening_s(self, current_a: float, air_c: float = 25.0) -> tuple[float, float]:
        """Not known without gates: any time from none to for ever."""
        return (0.0, float("inf"))

    def elements(self, settings: FuseSettings, condition: Condition) -> Sequence[Element]:
        """One resistance."""
        return (Resistor("", "a", "b", max(self.resistance_ohm, LEAST_OHM)),)


class FuseSchema(RowSchema):
    """A row of a fuse catalog."""

    builds = Fuse
    family = OneOf(FAMILIES, required=True)
    rated_a = Number(above=0, most=1000, required=True)
    rated_v = Number(above=0, most=1500, load_default=None)
    drop_v = Number(least=0, most=1000, scale=1e-3, required=True, data_key="drop_mv")
    breaking_a = Number(above=0, most=200_000, load_default=None)


@dataclass(frozen=True, kw_only=True)
class Holder(Accessory):
    """A fuse holder for one family, up to `most_a`."""

    family: str
    most_a: float | None = None


class HolderSchema(RowSchema):
    """A row of a holder catalog."""

    builds = Holder
    family = OneOf(FAMILIES, required=True)
    most_a = Number(above=0, most=1000, load_default=None)
    rigid = RigidField(load_default=None, data_key="rigid_mm")
