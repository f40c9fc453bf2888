"""Batteries as parts: an EMF that follows the charge, behind a resistance that grows with age."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from rigfeed.plugin import (
    Condition,
    Diode,
    Element,
    Number,
    OneOf,
    PointsField,
    Quantity,
    QuantityField,
    RowSchema,
    Source,
    SourceDevice,
    TableSchema,
    Terminal,
)  # fmt: skip

CHEMISTRIES = ("flooded", "AGM", "gel", "LiFePO4")
ONE_WAY_OHM = 1e-5  # of the ideal one-way element in front of a battery that is being charged


@dataclass(frozen=True)
class BatterySettings:
    """`rest_voltage` as measured at rest wins over the voltage of a charge."""

    rest_voltage: Quantity | None = None
    charge: Quantity | None = None


class BatterySettingsSchema(TableSchema):
    """What a battery may carry in a design."""

    builds = BatterySettings
    rest_voltage = QuantityField("V", above=0, most=1000, load_default=None)
    charge = QuantityField("%", least=0, most=100, load_default=None)


@dataclass(frozen=True, kw_only=True)
class Battery(SourceDevice):
    """A battery. `new_ohm` is cold and new, for the highest fault current; `aged_ohm` for sag and clearing.

    `rest_v` gives pairs of charge in percent and voltage at rest, by rising charge.
    """

    chemistry: str
    capacity_ah: float
    aged_ohm: float
    new_ohm: float
    rest_v: tuple[tuple[float, float], ...]

    @property
    def terminals(self) -> tuple[Terminal, ...]:
        """The posts."""
        return (Terminal("pos", "positive"), Terminal("neg", "negative"))

    def emf_v(self, charge: float) -> float:
        """Voltage at rest of a charge, straight between the points of the catalog [V]."""
        points = self.rest_v
        percent = 100 * charge
        for (low, low_v), (high, high_v) in pairwise(points):
            if percent <= high:
                return low_v + (high_v - low_v) * (percent - low) / (high - low)
        return points[-1][1]

    def elements(self, settings: BatterySettings, condition: Condition) -> Sequence[Element]:
        """The EMF behind the aged resistance. With the engine on it gives and does not take: an operating state is
        one in which it has been charged already; what charging takes is a question of energy, not of this state."""
        emf_v = self._emf_v(settings, condition)
        if not condition.engine_on:
            return (Source("", "pos", "neg", emf_v, self.aged_ohm),)
        return (
            Source("", "cells", "neg", emf_v, self.aged_ohm),
            Diode("gives", "cells", "pos", 0.0, ONE_WAY_OHM),
        )

    def _emf_v(self, settings: BatterySettings, condition: Condition) -> float:
        if condition.charge is not None:
            return self.emf_v(condition.charge)
        if settings.rest_voltage is not None:
            return settings.rest_voltage.si
        assert settings.charge is not None  # the practice fills it in
        return self.emf_v(settings.charge.si)


class BatterySchema(RowSchema):
    """A row of a battery catalog."""

    builds = Battery
    chemistry = OneOf(CHEMISTRIES, required=True)
    capacity_ah = Number(above=0, most=10_000, required=True)
    aged_ohm = Number(above=0, most=10_000, scale=1e-3, required=True, data_key="aged_mohm")
    new_ohm = Number(above=0, most=10_000, scale=1e-3, required=True, data_key="new_mohm")
    rest_v = PointsField(2, like="0 11.8; 50 12.25; 100 12.7", required=True)
