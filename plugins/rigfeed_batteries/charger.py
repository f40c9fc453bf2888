"""Chargers from one battery to another: a converter with a current to set, that knows when the engine runs."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from rigfeed.plugin import (
    Condition,
    Diode,
    Element,
    Number,
    OneOf,
    OutOfRange,
    Quantity,
    QuantityField,
    Resistor,
    Sink,
    Source,
    StudSettings,
    StudSettingsSchema,
    Terminal,
    UnknownName,
    frozen,
)
from rigfeed_batteries.convert import TERMINALS, DirectConverter, DirectConverterSchema
from rigfeed_batteries.curves import CHEMISTRIES

SIGNAL_OHM = 10e3  # of an input that only wants to know whether there is a voltage
ONE_WAY_OHM = 1e-5
STARTS = ("volts", "engine")


@frozen
class ChargerSettings(StudSettings):
    """`current` to which it is set, `profile` (a chemistry) or `voltage` that it charges with; what starts it
    (`enable`: the volts at its input, or the signal that the engine runs), and when it stops by itself."""

    current: Quantity | None = None
    voltage: Quantity | None = None
    profile: str | None = None
    enable: str | None = None
    lockout: Quantity | None = None
    restart: Quantity | None = None


class ChargerSettingsSchema(StudSettingsSchema):
    """What a charger may carry in a design."""

    builds = ChargerSettings
    current = QuantityField("A", above=0, most=1000, load_default=None)
    voltage = QuantityField("V", above=0, most=1000, load_default=None)
    profile = OneOf(CHEMISTRIES, load_default=None)
    enable = OneOf(STARTS, load_default=None)
    lockout = QuantityField("V", least=0, most=1000, load_default=None)
    restart = QuantityField("V", least=0, most=1000, load_default=None)


@frozen(kw_only=True, eq=False)
class Charger(DirectConverter):
    """A charger between a start battery and an auxiliary. It senses its lock-out at its own input.

    `enable` is what starts it: the volts at its input, the engine signal, or either, as it is set. With the engine
    signal it may hold on down to `engine_lockout_v`. `flooded_v` and the like are the voltages of its profiles.

    Modes: `on`, which feeds what hangs on its output; `full`, in which it takes all it can because the battery behind
    it is empty: what its input leads must stand; `standby`, in a vehicle left alone, where it decides as when `on`;
    `off`, switched off by its own switch.
    """

    modes: ClassVar[tuple[str, ...]] = ("on", "full", "standby", "off")
    default_mode: ClassVar[str] = "on"

    enable: str = "volts"
    least_a: float | None = None
    engine_lockout_v: float | None = None
    flooded_v: float | None = None
    agm_v: float | None = None
    gel_v: float | None = None
    lifepo4_v: float | None = None
    float_v: float | None = None

    @property
    def terminals(self) -> tuple[Terminal, ...]:
        """With the signal input where it has one."""
        return TERMINALS if self.enable == "volts" else (*TERMINALS, Terminal("engine", "signal"))

    @property
    def profiles(self) -> dict[str, float]:
        """The voltage of each chemistry that it has a profile for [V]."""
        volts = (self.flooded_v, self.agm_v, self.gel_v, self.lifepo4_v)
        return {name: v for name, v in zip(CHEMISTRIES, volts, strict=True) if v is not None}

    def charge_v(self, settings: ChargerSettings) -> float:
        """The voltage that it charges with [V].

        Raises
        ------
        UnknownName
            If it is set to a profile that it does not have.
        """
        if settings.voltage is not None:
            return settings.voltage.si
        if settings.profile is None:
            return self.out_v
        if settings.profile not in self.profiles:
            raise UnknownName(f"profile of {self.short_key}", settings.profile, self.profiles)
        return self.profiles[settings.profile]

    def charge_a(self, settings: ChargerSettings) -> float:
        """The current that it is set to [A].

        Raises
        ------
        OutOfRange
            If it cannot be set to that.
        """
        if settings.current is None:
            return self.limit_a
        least_a = self.least_a or 0.0
        if not least_a <= settings.current.si <= self.limit_a:
            allowed = f"{least_a:g} to {self.limit_a:g} A, what {self.short_key} can be set to"
            raise OutOfRange("current", settings.current.si, allowed)
        return settings.current.si

    def starts_on(self, settings: ChargerSettings) -> str:
        """What starts it: "volts" or "engine".

        Raises
        ------
        UnknownName
            If it is set to a start that it does not have.
        """
        can = STARTS if self.enable == "either" else (self.enable,)
        if settings.enable is None:
            return can[0]
        if settings.enable not in can:
            raise UnknownName(f"start of {self.short_key}", settings.enable, can)
        return settings.enable

    def stops_below_v(self, settings: ChargerSettings) -> float:
        """The voltage at its input below which it stops; 0 where nothing is known of one [V]."""
        if settings.lockout is not None:
            return settings.lockout.si
        if self.starts_on(settings) == "engine" and self.engine_lockout_v is not None:
            return self.engine_lockout_v
        return self.lockout_v or 0.0

    def restarts_at_v(self, settings: ChargerSettings) -> float:
        """The voltage at its input from which it starts again; never below that at which it stops [V]."""
        restart_v = settings.restart.si if settings.restart is not None else self.restart_v
        return max(restart_v or 0.0, self.stops_below_v(settings))

    def input_w(self, settings: ChargerSettings) -> float:
        """What it takes at full output [W]."""
        return self.charge_v(settings) * self.charge_a(settings) / self.efficiency + self.standby_w

    def elements(self, settings: ChargerSettings, condition: Condition) -> Sequence[Element]:
        """The conversion; at full output what it takes and what it can give, each side for itself."""
        rest = (*self.bond(), *self._signal())
        waits = self.starts_on(settings) == "engine" and not condition.engine_on
        if condition.mode == "off" or waits:
            return (*rest, *self.asleep())
        out_v, limit_a = self.charge_v(settings), self.charge_a(settings)
        stop_v, restart_v = self.stops_below_v(settings), self.restarts_at_v(settings)
        if condition.mode != "full" or condition.case != "operating":
            return (*rest, self.awake(out_v, limit_a, stop_v, restart_v))
        return (
            *rest,
            Sink("", "in-pos", "in-neg", "power", self.input_w(settings), stop_v, restart_v),
            Source("output", "output", "out-neg", out_v, self.out_ohm, limit_a),
            Diode("gives", "output", "out-pos", 0.0, ONE_WAY_OHM),
        )

    def _signal(self) -> tuple[Element, ...]:
        return () if self.enable == "volts" else (Resistor("signal", "engine", "in-neg", SIGNAL_OHM),)


class ChargerSchema(DirectConverterSchema):
    """A row of a charger catalog."""

    builds = Charger
    enable = OneOf((*STARTS, "either"), load_default="volts")
    least_a = Number(above=0, most=1000, load_default=None)
    engine_lockout_v = Number(above=0, most=1000, load_default=None)
    flooded_v = Number(above=0, most=1000, load_default=None)
    agm_v = Number(above=0, most=1000, load_default=None)
    gel_v = Number(above=0, most=1000, load_default=None)
    lifepo4_v = Number(above=0, most=1000, load_default=None)
    float_v = Number(above=0, most=1000, load_default=None)
