"""Batteries as parts: an EMF that follows the charge, behind a resistance that grows with age and cold."""

from __future__ import annotations

from collections.abc import Sequence

from rigfeed.plugin import (
    Condition,
    Diode,
    Element,
    Number,
    OneOf,
    PointsField,
    Quantity,
    QuantityField,
    Source,
    SourceDevice,
    Studded,
    StudRowSchema,
    StudSettings,
    StudSettingsSchema,
    Terminal,
    frozen,
)
from rigfeed_batteries.curves import CHEMISTRIES, Points, YesNoCell, between

ONE_WAY_OHM = 1e-5  # of the ideal one-way element in front of a battery that is being charged
REFERENCE_C = 25.0  # at which the curves of rest voltage, resistance and capacity are stated


@frozen
class BatterySettings(StudSettings):
    """What is measured on the battery that is fitted wins: `rest_voltage` over the voltage of a charge, `resistance`
    (with the temperature of the battery when it was measured) over that of an aged one of its sort."""

    rest_voltage: Quantity | None = None
    charge: Quantity | None = None
    resistance: Quantity | None = None
    resistance_at: Quantity | None = None


class BatterySettingsSchema(StudSettingsSchema):
    """What a battery may carry in a design."""

    builds = BatterySettings
    rest_voltage = QuantityField("V", above=0, most=1000, load_default=None)
    charge = QuantityField("%", least=0, most=100, load_default=None)
    resistance = QuantityField("mohm", above=0, most=10_000, load_default=None)
    resistance_at = QuantityField("degC", least=-40, most=80, load_default=None)


@frozen(kw_only=True, eq=False)
class Battery(Studded, SourceDevice):
    """A battery. What its row leaves out is None: not known, which is not the same as without limit.

    Attributes
    ----------
    new_ohm, aged_ohm : float
        Resistance of a new one at its lowest, for the highest fault current; of an aged one, for sag and clearing.
    rest_v : pairs
        Charge in percent and voltage at rest at 25 degC; `emf_v_per_k` moves it with the temperature.
    ohm_by_c, capacity_by_c : pairs, optional
        Temperature in degC and resistance (capacity) as a multiple of that at 25 degC.
    capacity_ah, rated_h : float
        What it gives when discharged over `rated_h` hours; `peukert_k` says what faster discharge leaves of it.
    usable : float, optional
        The part of the capacity that may be used again and again.
    charge_a, discharge_a : float, optional
        The most it takes and gives for hours.
    bms_a : float, optional
        Where its management unit disconnects. That unit is no protection against a short circuit.
    frost_lock : bool, optional
        Whether the management unit refuses charge below `coldest_charge_c`.
    charge_v, float_v : float, optional
        The voltage to charge it with, and to keep it full with.
    coldest_charge_c, warmest_charge_c, coldest_c, warmest_c : float, optional
        Between which it may be charged, and be used at all.
    cca_a : float, optional
        Cold cranking current (SAE J537).
    """

    chemistry: str
    capacity_ah: float
    aged_ohm: float
    new_ohm: float
    rest_v: Points
    nominal_v: float = 12.0
    rated_h: float = 20.0
    emf_v_per_k: float = 0.0
    ohm_by_c: Points | None = None
    capacity_by_c: Points | None = None
    peukert_k: float | None = None
    usable: float | None = None
    charge_a: float | None = None
    discharge_a: float | None = None
    bms_a: float | None = None
    frost_lock: bool | None = None
    charge_v: float | None = None
    float_v: float | None = None
    coldest_charge_c: float | None = None
    warmest_charge_c: float | None = None
    coldest_c: float | None = None
    warmest_c: float | None = None
    cca_a: float | None = None
    mass_kg: float | None = None

    @property
    def terminals(self) -> tuple[Terminal, ...]:
        """The posts."""
        return (Terminal("pos", "positive"), Terminal("neg", "negative"))

    @property
    def needs_vented_box(self) -> bool:
        """Whether it gives off gas and acid mist whenever it is charged; a valve keeps that in unless it fails."""
        return self.chemistry == "flooded"

    @property
    def disconnects_a(self) -> float | None:
        return self.bms_a

    def emf_v(self, charge: float, temperature_c: float = REFERENCE_C) -> float:
        """Voltage at rest of a charge (0..1), straight between the points of the catalog [V]."""
        return between(self.rest_v, 100 * charge) + self.emf_v_per_k * (temperature_c - REFERENCE_C)

    def resistance_ohm(self, condition: Condition, settings: BatterySettings | None = None) -> float:
        """Its own resistance [ohm]: as measured and moved from that temperature to that of its air, else that of an
        aged one; for the highest current that of a new one, or what was measured where that is less at its warmest."""
        warmth = self._growth(condition.temperature_c)
        if settings is None or settings.resistance is None:
            return self.new_ohm if condition.case == "highest" else self.aged_ohm * warmth
        at_c = settings.resistance_at.si if settings.resistance_at else REFERENCE_C
        measured_ohm = settings.resistance.si / self._growth(at_c)
        if condition.case == "highest":
            least = min((growth for _, growth in self.ohm_by_c), default=1.0) if self.ohm_by_c else 1.0
            return min(self.new_ohm, measured_ohm * least)
        return measured_ohm * warmth

    def _growth(self, temperature_c: float) -> float:
        """Its resistance at a temperature as a multiple of that at 25 degC."""
        return between(self.ohm_by_c, temperature_c) if self.ohm_by_c else 1.0

    def capacity_at_ah(self, temperature_c: float) -> float:
        """What it gives in a cold or warm place when discharged over its rated hours [Ah]."""
        return self.capacity_ah * (between(self.capacity_by_c, temperature_c) if self.capacity_by_c else 1.0)

    def elements(self, settings: BatterySettings, condition: Condition) -> Sequence[Element]:
        """The EMF behind its resistance; nothing here limits the current, neither fuse nor management unit.

        With the engine on it gives and does not take: an operating state is one in which it has been charged already;
        what charging takes is a question of energy, not of this state.
        """
        emf_v, ohm = self._emf_v(settings, condition), self.resistance_ohm(condition, settings)
        if not condition.engine_on:
            return (Source("", "pos", "neg", emf_v, ohm),)
        return (
            Source("", "cells", "neg", emf_v, ohm),
            Diode("gives", "cells", "pos", 0.0, ONE_WAY_OHM),
        )

    def _emf_v(self, settings: BatterySettings, condition: Condition) -> float:
        """For the highest current it is full, whatever it was when somebody looked."""
        given_v = self._given_v(settings, condition)
        return max(given_v, self.emf_v(1.0, condition.temperature_c)) if condition.case == "highest" else given_v

    def _given_v(self, settings: BatterySettings, condition: Condition) -> float:
        if condition.charge is not None:
            return self.emf_v(condition.charge, condition.temperature_c)
        if settings.rest_voltage is not None:
            return settings.rest_voltage.si
        assert settings.charge is not None  # the practice fills it in
        return self.emf_v(settings.charge.si, condition.temperature_c)


class BatterySchema(StudRowSchema):
    """A row of a battery catalog."""

    builds = Battery
    chemistry = OneOf(CHEMISTRIES, required=True)
    capacity_ah = Number(above=0, most=10_000, required=True)
    rated_h = Number(above=0, most=100, load_default=20.0)
    nominal_v = Number(above=0, most=1000, load_default=12.0)
    aged_ohm = Number(above=0, most=10_000, scale=1e-3, required=True, data_key="aged_mohm")
    new_ohm = Number(above=0, most=10_000, scale=1e-3, required=True, data_key="new_mohm")
    rest_v = PointsField(2, like="0 11.8; 50 12.25; 100 12.7", required=True)
    emf_v_per_k = Number(least=-100, most=100, scale=1e-3, load_default=0.0, data_key="emf_mv_per_k")
    ohm_by_c = PointsField(2, like="-20 1.8; 0 1.3; 25 1", load_default=None)
    capacity_by_c = PointsField(2, like="-18 0.4; 0 0.75; 25 1", load_default=None)
    peukert_k = Number(least=1, most=2, load_default=None)
    usable = Number(above=0, most=100, scale=1e-2, load_default=None, data_key="usable_percent")
    charge_a = Number(above=0, most=10_000, load_default=None)
    discharge_a = Number(above=0, most=10_000, load_default=None)
    bms_a = Number(above=0, most=10_000, load_default=None)
    frost_lock = YesNoCell(load_default=None)
    charge_v = Number(above=0, most=1000, load_default=None)
    float_v = Number(above=0, most=1000, load_default=None)
    coldest_charge_c = Number(least=-60, most=60, load_default=None)
    warmest_charge_c = Number(least=0, most=100, load_default=None)
    coldest_c = Number(least=-60, most=60, load_default=None)
    warmest_c = Number(least=0, most=100, load_default=None)
    cca_a = Number(above=0, most=10_000, load_default=None)
    mass_kg = Number(above=0, most=1000, load_default=None)
