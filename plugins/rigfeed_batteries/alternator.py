"""Alternators as parts: a regulated voltage up to a current, one way, its case on the body."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from rigfeed.plugin import (
    BODY,
    Condition,
    Diode,
    Element,
    Number,
    Quantity,
    QuantityField,
    Resistor,
    Source,
    SourceDevice,
    Studded,
    StudRowSchema,
    StudSettings,
    StudSettingsSchema,
    Terminal,
    frozen,
)
from rigfeed_batteries.curves import YesNoCell

REGULATED_OHM = 1e-4  # what is left of its resistance while the regulator holds the voltage
CASE_OHM = 1e-4  # through the engine block into the body


@frozen
class AlternatorSettings(StudSettings):
    """`voltage` as measured at the post while it charges; it stands in for the regulated voltage of the catalog."""

    voltage: Quantity | None = None


class AlternatorSettingsSchema(StudSettingsSchema):
    """What an alternator may carry in a design."""

    builds = AlternatorSettings
    voltage = QuantityField("V", above=0, most=100, load_default=None)


@frozen(kw_only=True, eq=False)
class Alternator(Studded, SourceDevice):
    """An alternator that holds `set_v` up to `rated_a` while the engine runs.

    A variable one is told by the vehicle what to hold, between `least_v` (to save fuel) and `most_v` (when the vehicle
    is slowing down). Its modes: `on`; `low` and `high`, at either end of that range; `idle`, when the engine turns so
    slowly that it gives `idle_a` only. One of `isolated` return has its negative on a stud of its own and not on its
    case, as boats with two wires ask for. `accessory_a` is what the vehicle's maker allows to be added to it.
    """

    stores: ClassVar[bool] = False
    modes: ClassVar[tuple[str, ...]] = ("on", "low", "high", "idle")
    default_mode: ClassVar[str] = "on"

    rated_a: float
    set_v: float
    least_v: float | None = None
    most_v: float | None = None
    idle_a: float | None = None
    isolated: bool = False
    accessory_a: float | None = None

    @property
    def variable(self) -> bool:
        """Whether the vehicle moves its voltage about."""
        return self.least_v is not None or self.most_v is not None

    @property
    def terminals(self) -> tuple[Terminal, ...]:
        """The output stud and the case."""
        return (Terminal("pos", "positive"), Terminal("neg", "negative"))

    def held_v(self, settings: AlternatorSettings, condition: Condition) -> float:
        """The voltage that it holds; for the highest and the lowest current that at the end of its range [V]."""
        held_v = settings.voltage.si if settings.voltage else self.set_v
        if condition.case == "highest":
            return max(held_v, self.most_v or held_v)
        if condition.case == "lowest":
            return min(held_v, self.least_v or held_v)
        ends = {"low": self.least_v, "high": self.most_v}
        return ends.get(condition.mode) or held_v

    def most_a(self, condition: Condition) -> float:
        """What it can give; what it gives at idle where that is known, and its rated current else [A]."""
        slow = condition.case == "lowest" or (condition.mode == "idle" and condition.case == "operating")
        return self.idle_a if slow and self.idle_a is not None else self.rated_a

    def elements(self, settings: AlternatorSettings, condition: Condition) -> Sequence[Element]:
        """Nothing but its case while the engine stands."""
        case = () if self.isolated else (Resistor("case", "neg", BODY, CASE_OHM),)
        if not condition.engine_on:
            return case
        held_v, most_a = self.held_v(settings, condition), self.most_a(condition)
        return (
            *case,
            Source("", "windings", "neg", held_v, REGULATED_OHM, most_a),
            Diode("rectifier", "windings", "pos", 0.0, REGULATED_OHM),
        )


class AlternatorSchema(StudRowSchema):
    """A row of an alternator catalog."""

    builds = Alternator
    rated_a = Number(above=0, most=1000, required=True)
    set_v = Number(above=0, most=100, required=True)
    least_v = Number(above=0, most=100, load_default=None)
    most_v = Number(above=0, most=100, load_default=None)
    idle_a = Number(above=0, most=1000, load_default=None)
    isolated = YesNoCell(load_default=False)
    accessory_a = Number(above=0, most=1000, load_default=None)
