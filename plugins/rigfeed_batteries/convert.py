"""Converters from one direct voltage to another, and what they share with chargers."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, ClassVar

from rigfeed.plugin import (
    Condition,
    Converter,
    ConverterDevice,
    Element,
    Number,
    Resistor,
    Studded,
    StudRowSchema,
    Terminal,
    frozen,
)
from rigfeed_batteries.curves import YesNoCell

BOND_OHM = 1e-4  # the track that joins the negatives of a converter that does not isolate

TERMINALS = (
    Terminal("in-pos", "positive"), Terminal("in-neg", "negative"),
    Terminal("out-pos", "positive"), Terminal("out-neg", "negative"),
)


@frozen(kw_only=True, eq=False)
class DirectConverter(Studded, ConverterDevice):
    """What converters and chargers have in common.

    `limit_a` is where it limits, `rated_a` what it gives for hours (the limit, where the row has none). Once it locks
    out or sleeps it draws `asleep_a`. `coldest_c` and `warmest_c` are its maker's limits for the air around it.
    """

    nominal_in_v: float
    rated_a: float | None = None
    out_ohm: float = 5e-3
    asleep_a: float = 0.0
    coldest_c: float | None = None
    warmest_c: float | None = None

    @property
    def terminals(self) -> tuple[Terminal, ...]:
        """Input and output, two poles each: where the negatives are one, they still may have a screw each."""
        return TERMINALS

    def bond(self) -> tuple[Element, ...]:
        """What joins its negatives, if it does not isolate them."""
        return () if self.isolated else (Resistor("bond", "in-neg", "out-neg", BOND_OHM),)

    def asleep(self) -> tuple[Element, ...]:
        """What it draws while it gives nothing."""
        if not self.asleep_a:
            return ()
        return (Resistor("asleep", "in-pos", "in-neg", self.nominal_in_v / self.asleep_a),)

    def awake(self, out_v: float, limit_a: float, lockout_v: float, restart_v: float | None) -> Element:
        """The conversion itself, which stops by itself while its input is too low."""
        return Converter(
            "", "in-pos", "in-neg", "out-pos", "out-neg", out_v, self.out_ohm, limit_a, self.efficiency,
            self.standby_w, lockout_v, None if restart_v is None else max(restart_v, lockout_v),
        )


class DirectConverterSchema(StudRowSchema):
    """The columns that converters and chargers share."""

    out_v = Number(above=0, most=1000, required=True)
    limit_a = Number(above=0, most=1000, required=True)
    rated_a = Number(above=0, most=1000, load_default=None)
    efficiency = Number(above=0, most=100, scale=1e-2, required=True, data_key="efficiency_percent")
    nominal_in_v = Number(above=0, most=1000, required=True)
    lockout_v = Number(above=0, most=1000, load_default=None)
    restart_v = Number(above=0, most=1000, load_default=None)
    most_in_v = Number(above=0, most=1000, load_default=None)
    standby_w = Number(least=0, most=1000, load_default=0.0)
    asleep_a = Number(least=0, most=10_000, scale=1e-3, load_default=0.0, data_key="asleep_ma")
    out_ohm = Number(above=0, most=10_000, scale=1e-3, load_default=5e-3, data_key="out_mohm")
    isolated = YesNoCell(load_default=False)
    coldest_c = Number(least=-60, most=60, load_default=None)
    warmest_c = Number(least=0, most=150, load_default=None)


@frozen(kw_only=True, eq=False)
class VoltageConverter(DirectConverter):
    """A converter with a steady output, 24 V to 13.8 V for instance.

    Modes: `on`; `standby`, which is the same, since a converter left alone goes on converting; `off`, switched off by
    whatever switch it has itself.
    """

    modes: ClassVar[tuple[str, ...]] = ("on", "standby", "off")
    default_mode: ClassVar[str] = "on"

    def elements(self, settings: Any, condition: Condition) -> Sequence[Element]:
        """For the lowest current it gives no more than what it is rated for."""
        if condition.mode == "off":
            return (*self.bond(), *self.asleep())
        limit_a = self.limit_a
        if condition.case == "lowest" and self.rated_a is not None:
            limit_a = self.rated_a
        return (*self.bond(), self.awake(self.out_v, limit_a, self.lockout_v or 0.0, self.restart_v))


class ConverterSchema(DirectConverterSchema):
    """A row of a converter catalog."""

    builds = VoltageConverter
