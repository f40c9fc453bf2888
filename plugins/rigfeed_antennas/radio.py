"""Radio sets as parts: what each mode draws, and the volts and the fuse that the maker states."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from rigfeed.plugin import Condition, Element, LoadDevice, Number, OneOf, Resistor, RowSchema, Sink, Terminal, frozen
from rigfeed_antennas.bands import Bands, BandsField
from rigfeed_antennas.connector import SERIES

CASE_OHM = (
    1e-3  # from the shield of the antenna socket through the case to the negative lead; common practice, no source
)


@frozen(kw_only=True, eq=False)
class Radio(LoadDevice):
    """A set with a current for each mode, and an ignition-sense input that takes `sense_a`.

    `transmit_a` is the peak, at `power_w` of output; `keyed_a` is what it takes keyed but not modulated, for sets whose
    output follows the voice. `socket` is the series of its antenna socket; `most_drop_v` what its maker lets both
    leads together lose.
    """

    modes: ClassVar[tuple[str, ...]] = ("transmit", "receive", "standby", "off")
    default_mode: ClassVar[str] = "receive"

    transmit_a: float
    receive_a: float
    standby_a: float
    sense_a: float | None = None
    power_w: float | None = None
    keyed_a: float | None = None
    bands: Bands = ()
    socket: str | None = None
    most_drop_v: float | None = None

    @property
    def terminals(self) -> tuple[Terminal, ...]:
        """Supply, sense, and the two conductors of the antenna socket."""
        return (
            Terminal("pos", "positive"), Terminal("neg", "negative"), Terminal("sense", "signal"),
            Terminal("ant", "inner"), Terminal("shield", "shield"),
        )

    def elements(self, settings: None, condition: Condition) -> Sequence[Element]:
        """A constant current for the mode; where shields count, the case joins shield and negative."""
        amps = {"transmit": self.transmit_a, "receive": self.receive_a, "standby": self.standby_a}
        found: list[Element] = [Resistor("case", "shield", "neg", CASE_OHM)] if condition.shields_carry else []
        if condition.mode in amps:
            found.append(Sink("", "pos", "neg", "current", amps[condition.mode], self.least_v or 0.0))
        if self.sense_a is not None:
            found.append(Resistor("input", "sense", "neg", self.nominal_v / self.sense_a))
        return found


class RadioSchema(RowSchema):
    """A row of a catalog of radio sets."""

    builds = Radio
    nominal_v = Number(above=0, most=1000, load_default=12.0)
    least_v = Number(above=0, most=1000, load_default=None)
    most_v = Number(above=0, most=1000, load_default=None)
    stated_fuse_a = Number(above=0, most=1000, load_default=None)
    most_drop_v = Number(above=0, most=100, load_default=None)
    transmit_a = Number(least=0, most=1000, required=True)
    receive_a = Number(least=0, most=1000, required=True)
    standby_a = Number(least=0, most=1000, required=True)
    sense_a = Number(above=0, most=10_000, scale=1e-3, load_default=None, data_key="sense_ma")
    power_w = Number(above=0, most=100_000, load_default=None)
    keyed_a = Number(least=0, most=1000, load_default=None)
    bands = BandsField(load_default=(), data_key="bands_mhz")
    socket = OneOf(SERIES, load_default=None)
