"""What joins and parts batteries: charging relays, diode splitters, master switches."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, ClassVar

from marshmallow import ValidationError, validates_schema

from rigfeed.plugin import (
    Condition,
    Device,
    Diode,
    Element,
    Number,
    OneOf,
    Resistor,
    Studded,
    StudRowSchema,
    Switch,
    Terminal,
    frozen,
)
from rigfeed_batteries.curves import CountCell, YesNoCell


@frozen(kw_only=True, eq=False)
class Relay(Studded, Device):
    """A charging relay between a start battery at `a` and an auxiliary at `b`.

    One that senses volts closes at `close_v` and opens below `open_v`, measured from `a` (and from `b` too, if
    `both_sides`) to its own `neg`: without that wire it never closes. One for the engine signal follows the engine and
    draws `coil_a` from its terminal `engine`. It carries `rated_a` for hours and `peak_a` for a moment.
    """

    rated_a: float
    contact_ohm: float
    sense: str
    close_v: float | None = None
    open_v: float | None = None
    both_sides: bool = False
    peak_a: float | None = None
    nominal_v: float = 12.0
    coil_a: float | None = None

    @property
    def terminals(self) -> tuple[Terminal, ...]:
        """Its contacts, the negative of its coil, and the signal where it wants one."""
        contacts = (Terminal("a", "positive"), Terminal("b", "positive"), Terminal("neg", "negative"))
        return contacts if self.sense == "volts" else (*contacts, Terminal("engine", "signal"))

    @property
    def through(self) -> tuple[tuple[str, str], ...]:
        return (("a", "b"),)

    def elements(self, settings: Any, condition: Condition) -> Sequence[Element]:
        """Its contact; for the highest current it is closed, since it may be. Between its two voltages it stays as it
        was, and it was closed if the engine runs."""
        if condition.case == "highest":
            return (Switch("", "a", "b", self.contact_ohm, True), *self._coil())
        if self.sense == "engine":
            return (Switch("", "a", "b", self.contact_ohm, condition.engine_on), *self._coil())
        contact = self._sensing("", "a", condition)
        return (contact, self._sensing("by-b", "b", condition)) if self.both_sides else (contact,)

    def _sensing(self, name: str, side: str, condition: Condition) -> Element:
        close_v, open_v = self.close_v, self.open_v
        assert close_v is not None  # the schema sees to it
        assert open_v is not None
        return Switch(name, "a", "b", self.contact_ohm, condition.engine_on, side, "neg", close_v, open_v)

    def _coil(self) -> tuple[Element, ...]:
        if self.sense != "engine" or not self.coil_a:
            return ()
        return (Resistor("coil", "engine", "neg", self.nominal_v / self.coil_a),)


class RelaySchema(StudRowSchema):
    """A row of a relay catalog."""

    builds = Relay
    sense = OneOf(("volts", "engine"), required=True)
    rated_a = Number(above=0, most=10_000, required=True)
    peak_a = Number(above=0, most=10_000, load_default=None)
    contact_ohm = Number(least=1e-3, most=10_000, scale=1e-3, required=True, data_key="contact_mohm")
    close_v = Number(above=0, most=1000, load_default=None)
    open_v = Number(above=0, most=1000, load_default=None)
    both_sides = YesNoCell(load_default=False)
    nominal_v = Number(above=0, most=1000, load_default=12.0)
    coil_a = Number(above=0, most=100_000, scale=1e-3, load_default=None, data_key="coil_ma")

    @validates_schema
    def _volts_in_order(self, data: Any, **kwargs: Any) -> None:
        if data["sense"] == "volts" and not (data["open_v"] or 1e9) < (data["close_v"] or 0.0):
            raise ValidationError({"close_v": ["a relay that senses volts needs close_v, and open_v below it"]})


@frozen(kw_only=True, eq=False)
class Splitter(Studded, Device):
    """A diode splitter: current goes from `in` to each output and never back, and loses `drop_v` at `rated_a` (each
    output), `knee_v` of it even when hardly any flows."""

    rated_a: float
    drop_v: float
    knee_v: float
    outputs: int = 2

    @property
    def terminals(self) -> tuple[Terminal, ...]:
        """The input and its outputs."""
        return (Terminal("in", "positive"), *(Terminal(name, "positive") for name in self._outputs))

    @property
    def through(self) -> tuple[tuple[str, str], ...]:
        return tuple(("in", name) for name in self._outputs)

    @property
    def _outputs(self) -> tuple[str, ...]:
        return tuple(f"out{number}" for number in range(1, self.outputs + 1))

    def elements(self, settings: Any, condition: Condition) -> Sequence[Element]:
        """One diode for each output."""
        ohm = (self.drop_v - self.knee_v) / self.rated_a
        return tuple(Diode(name, "in", name, self.knee_v, ohm) for name in self._outputs)


@frozen(kw_only=True, eq=False)
class Isolator(Studded, Device):
    """A master switch that somebody turns: `on` or `off`. In whichever pole it stands, its terminals are a and b."""

    modes: ClassVar[tuple[str, ...]] = ("on", "off")
    default_mode: ClassVar[str] = "on"

    rated_a: float
    contact_ohm: float
    peak_a: float | None = None
    rated_v: float | None = None

    @property
    def terminals(self) -> tuple[Terminal, ...]:
        return (Terminal("a"), Terminal("b"))

    @property
    def through(self) -> tuple[tuple[str, str], ...]:
        return (("a", "b"),)

    def elements(self, settings: Any, condition: Condition) -> Sequence[Element]:
        """Its contact, open or closed."""
        return (Switch("", "a", "b", self.contact_ohm, condition.mode != "off"),)


class IsolatorSchema(StudRowSchema):
    """A row of a catalog of master switches."""

    builds = Isolator
    rated_a = Number(above=0, most=10_000, required=True)
    peak_a = Number(above=0, most=10_000, load_default=None)
    rated_v = Number(above=0, most=1000, load_default=None)
    contact_ohm = Number(least=1e-3, most=10_000, scale=1e-3, required=True, data_key="contact_mohm")


class SplitterSchema(StudRowSchema):
    """A row of a splitter catalog."""

    builds = Splitter
    rated_a = Number(above=0, most=10_000, required=True)
    drop_v = Number(above=0, most=2, required=True)
    knee_v = Number(least=0, most=2, required=True)
    outputs = CountCell(("2", "3", "4"), load_default=2)

    @validates_schema
    def _knee_below_drop(self, data: Any, **kwargs: Any) -> None:
        if not data["knee_v"] < data["drop_v"]:
            raise ValidationError({"knee_v": ["the knee is where a diode begins to conduct: below drop_v"]})
