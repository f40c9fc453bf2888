"""Fuses, breakers and fuse holders as parts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np
from marshmallow import ValidationError, post_load

from rigfeed.plugin import (
    LEAST_OHM,
    Accessory,
    Condition,
    Element,
    FloatArray,
    Number,
    OneOf,
    OutOfRange,
    PartField,
    ProtectiveDevice,
    Resistor,
    RigidField,
    RowSchema,
    Studded,
    StudRowSchema,
    StudSettings,
    StudSettingsSchema,
    Terminal,
    frozen,
)
from rigfeed_fuses.families import BREAKERS, FUSES, Family, family
from rigfeed_fuses.gates import Curve, GatesField
from rigfeed_fuses.opening import rerated_a
from rigfeed_fuses.resistance import cold_resistance_ohm, hot_resistance_ohm

BODIES = tuple(name for name in FUSES if name != "glass 6.3x32 delay")  # what holders are made for
ACROSS = ("fuse", "fuse and holder")
RESETS = ("manual", "self-resetting", "power-off")


@frozen(kw_only=True, eq=False)
class Timed(Studded, ProtectiveDevice):
    """What opens by its own current: its gates and what its air does to them, its resistance warm and cold."""

    family: str
    hot_ohm: float
    cold_ohm: float
    curve: Curve

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
        """Warm from its rated current [ohm]."""
        return self.hot_ohm

    def opening_s(self, current_a: float, air_c: float = 25.0) -> tuple[float, float]:
        """The shortest and the longest time in which it may open at a current, of either sign; see `Curve.window_s`."""
        return self.curve.window_s(abs(current_a) / self.rated_a, air_c)

    def openings_s(self, current_a: FloatArray, air_c: float = 25.0) -> tuple[FloatArray, FloatArray]:
        """The same for many currents; air outside of its curve counts as the nearest that the curve knows."""
        return self.curve.windows_s(np.abs(current_a) / self.rated_a, self._known_c(air_c))

    def bends_a(self, air_c: float = 25.0) -> tuple[float, ...]:
        """Where its gates stand in that air [A]."""
        factor = self.curve.factor(self._known_c(air_c))
        moved = {gate.multiple * self.rated_a * by for gate in self.curve.gates
                 for by in (min(factor, 1.0), max(factor, 1.0))}
        return tuple(sorted(moved))

    def _known_c(self, air_c: float) -> float:
        """The nearest air that its curve knows [degC]."""
        coldest_c, hottest_c = self.curve.air_range_c
        return min(max(air_c, coldest_c), hottest_c)

    def carries_a(self, air_c: float) -> float:
        """What it carries for good in that air, without any margin [A]."""
        return rerated_a(self.rated_a, self.curve.factor(air_c))

    def own_ohm(self, condition: Condition) -> float:
        """Warm, but cold where the highest fault current is asked for: a short finds it as it lies [ohm]."""
        return self.cold_ohm if condition.case == "highest" else self.hot_ohm

    def elements(self, settings: Any, condition: Condition) -> Sequence[Element]:
        """One resistance."""
        return (Resistor("", "a", "b", max(self.own_ohm(condition), LEAST_OHM)),)


@frozen
class FuseSettings(StudSettings):
    """The holder that the fuse sits in; the studs of one that is bolted in."""

    holder: Holder | None = None


class FuseSettingsSchema(StudSettingsSchema):
    """What a fuse may carry in a design."""

    builds = FuseSettings
    holder = PartField("holder", load_default=None)


@frozen(kw_only=True, eq=False)
class Fuse(Timed):
    """A fuse. `holder_counted` tells that its resistance is that of fuse and holder together.

    `body` is what its holder must be made for, `colour` the one that tells its rating.
    """

    holder_counted: bool = False
    body: str = ""
    colour: str | None = None

    def in_holder_ohm(self, settings: FuseSettings | None, condition: Condition) -> float:
        """With the contacts of its holder, as far as they are known and not counted already [ohm]."""
        holder = settings.holder if settings else None
        contacts = 0.0 if holder is None or self.holder_counted or holder.contact_ohm is None else holder.contact_ohm
        return self.own_ohm(condition) + contacts

    def elements(self, settings: FuseSettings | None, condition: Condition) -> Sequence[Element]:
        """One resistance, the holder's contacts in it."""
        return (Resistor("", "a", "b", max(self.in_holder_ohm(settings, condition), LEAST_OHM)),)


@frozen(kw_only=True, eq=False)
class Breaker(Timed):
    """A breaker. `reset` is manual, self-resetting (it closes again into the fault), or power-off: it stays open as
    long as it is fed. `hottest_c` is the hottest air it may be used in."""

    reset: str
    sealed: bool | None = None
    hottest_c: float | None = None

    @property
    def closes_by_itself(self) -> bool:
        """Whether it feeds the fault again and again."""
        return self.reset == "self-resetting"

    @property
    def closes_again(self) -> bool:
        return self.closes_by_itself


@frozen(kw_only=True, eq=False)
class Holder(Accessory):
    """A holder for the fuses of one body, up to `most_a`, with leads of `lead_mm2` where it has its own.

    `contact_ohm` is both of its contacts together; `hottest_c` the hottest that its terminals may become.
    """

    family: str
    most_a: float | None = None
    contact_ohm: float | None = None
    lead_mm2: float | None = None
    hottest_c: float | None = None
    sealed: bool | None = None

    def takes(self, fuse: Fuse) -> bool:
        """Whether a fuse fits into it; how large a rating it may hold is another question."""
        return fuse.body == self.family

    @property
    def lead_a(self) -> float | None:
        """The fuse that its leads are good for [A]; None where it has none, or the chart does not go so far."""
        if self.lead_mm2 is None:
            return None
        from rigfeed_fuses.charts import protection_for_wire_a

        try:
            return protection_for_wire_a(self.lead_mm2)
        except OutOfRange:
            return None


class YesNoWord(OneOf):
    """``yes`` or ``no`` in a cell; an empty one is unknown."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(("yes", "no"), **kwargs)

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> Any:
        return super()._deserialize(value, attr, data, **kwargs) == "yes"


class TimedSchema(StudRowSchema):
    """The columns that fuses and breakers share. Without `cold_mohm` and `drop_mv`, the limit of the family is taken;
    without `gates`, those of the family."""

    rated_a = Number(above=0, most=1000, required=True)
    rated_v = Number(above=0, most=1500, load_default=None)
    cold_ohm = Number(above=0, most=10_000, scale=1e-3, load_default=None, data_key="cold_mohm")
    drop_v = Number(above=0, most=1000, scale=1e-3, load_default=None, data_key="drop_mv")
    breaking_a = Number(above=0, most=200_000, load_default=None)
    gates = GatesField(load_default=None)

    @post_load
    def _build(self, data: dict[str, Any], **kwargs: Any) -> Any:
        facts = family(data["family"])
        data = self._of_family(data, facts)
        data["curve"] = _curve(data.pop("gates"), data, facts)
        data["hot_ohm"], data["cold_ohm"] = _ohms(data.pop("drop_v"), data["cold_ohm"], data["rated_a"], facts)
        return super()._build(data, **kwargs)

    def _of_family(self, data: dict[str, Any], facts: Family) -> dict[str, Any]:
        return data


def _curve(gates: Any, data: dict[str, Any], facts: Family) -> Curve:
    """The gates of the row, as trustworthy as the row; else those of the family."""
    curve = facts.curve(data["rated_a"])
    if gates is None:
        return curve
    own = tuple(replace(gate, source=data["source"], confidence=data["confidence"]) for gate in gates)
    return replace(curve, gates=own)


def _ohms(drop_v: float | None, cold_ohm: float | None, rated_a: float, facts: Family) -> tuple[float, float]:
    """Warm and cold resistance: from what the row gives, else from the limit of the family."""
    ratio = facts.hot_over_cold.value
    if drop_v is None and cold_ohm is not None:
        return cold_ohm * ratio, cold_ohm
    if drop_v is None:
        drop_v = facts.most_drop_v(rated_a)
    if drop_v is None:
        what = f"neither cold_mohm nor drop_mv, and no limit of the family for {rated_a:g} A"
        raise ValidationError({"drop_mv": [what]})
    hot_ohm = hot_resistance_ohm(drop_v, rated_a)
    if cold_ohm is not None and cold_ohm > hot_ohm:
        what = f"{1e3 * cold_ohm:g} is more than the {1e3 * hot_ohm:g} of the warm fuse that drop_mv gives"
        raise ValidationError({"cold_mohm": [what]})
    return hot_ohm, cold_resistance_ohm(hot_ohm, ratio) if cold_ohm is None else cold_ohm


class FuseSchema(TimedSchema):
    """A row of a fuse catalog. `across` says over what the drop is; a list that does not say it means both."""

    builds = Fuse
    family = OneOf(FUSES, required=True)
    across = OneOf(ACROSS, load_default=None)

    def _of_family(self, data: dict[str, Any], facts: Family) -> dict[str, Any]:
        across = data.pop("across") or ("fuse" if data["drop_v"] is None else "fuse and holder")
        colour, body = facts.colour(data["rated_a"]), facts.body or data["family"]
        return {**data, "holder_counted": across == "fuse and holder", "colour": colour, "body": body}


class BreakerSchema(TimedSchema):
    """A row of a breaker catalog."""

    builds = Breaker
    family = OneOf(BREAKERS, required=True)
    reset = OneOf(RESETS, required=True)
    sealed = YesNoWord(load_default=None)
    hottest_c = Number(least=20, most=300, load_default=None)


class HolderSchema(RowSchema):
    """A row of a holder catalog."""

    builds = Holder
    family = OneOf(BODIES, required=True)
    most_a = Number(above=0, most=1000, load_default=None)
    contact_ohm = Number(above=0, most=100, scale=1e-3, load_default=None, data_key="contact_mohm")
    lead_mm2 = Number(above=0, most=500, load_default=None)
    hottest_c = Number(least=20, most=300, load_default=None)
    sealed = YesNoWord(load_default=None)
    rigid = RigidField(load_default=None, data_key="rigid_mm")
