"""Alternators as parts: a regulated voltage up to a current, one way, its case on the body."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
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
    RowSchema,
    Source,
    SourceDevice,
    TableSchema,
    Terminal,
)  # fmt: skip

REGULATED_OHM = 1e-4  # what is left of its resistance while the regulator holds the voltage
CASE_OHM = 1e-4  # through the engine block into the body


@dataclass(frozen=True)
class AlternatorSettings:
    """`voltage` as measured at the post while it charges."""

    voltage: Quantity | None = None


class AlternatorSettingsSchema(TableSchema):
    """What an alternator may carry in a design."""

    builds = AlternatorSettings
    voltage = QuantityField("V", above=0, most=100, load_default=None)


@dataclass(frozen=True, kw_only=True)
class Alternator(SourceDevice):
    """An alternator that holds `set_v` up to `rated_a` while the engine runs."""

    stores: ClassVar[bool] = False

    rated_a: float
    set_v: float

    @property
    def terminals(self) -> tuple[Terminal, ...]:
        """The output stud and the case."""
        return (Terminal("pos", "positive"), Terminal("neg", "negative"))

    def elements(self, settings: AlternatorSettings, condition: Condition) -> Sequence[Element]:
        """Nothing but its case while the engine stands."""
        case = Resistor("case", "neg", BODY, CASE_OHM)
        if not condition.engine_on:
            return (case,)
        volts = settings.voltage.si if settings.voltage else self.set_v
        return (
            case,
            Source("", "windings", "neg", volts, REGULATED_OHM, self.rated_a),
            Diode("rectifier", "windings", "pos", 0.0, REGULATED_OHM),
        )


class AlternatorSchema(RowSchema):
    """A row of an alternator catalog."""

    builds = Alternator
    rated_a = Number(above=0, most=1000, required=True)
    set_v = Number(above=0, most=100, required=True)
