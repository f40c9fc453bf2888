"""Equipment other than radio sets as parts: a constant current or a constant power for each mode."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, ClassVar

from marshmallow import ValidationError, validates_schema

from rigfeed.plugin import Condition, Element, LoadDevice, Number, RowSchema, Sink, Terminal, frozen


@frozen(kw_only=True, eq=False)
class Equipment(LoadDevice):
    """A load that takes a current (a lamp behind a regulator of that sort) or a power (whatever has a converter in it).

    It has either `on_a` and `standby_a` or `on_w` and `standby_w`. `inrush_a` is the peak while its capacitors fill,
    for `inrush_s`; `holdup_s` is how long it goes on without supply; `most_drop_v` what its
    maker lets both leads together lose. `mains_w` is what an inverter gives at its mains output.
    """

    modes: ClassVar[tuple[str, ...]] = ("on", "standby", "off")
    default_mode: ClassVar[str] = "on"

    on_a: float | None = None
    standby_a: float | None = None
    on_w: float | None = None
    standby_w: float | None = None
    inrush_a: float | None = None
    inrush_s: float | None = None
    holdup_s: float | None = None
    most_drop_v: float | None = None
    mains_w: float | None = None

    @property
    def terminals(self) -> tuple[Terminal, ...]:
        """The supply."""
        return (Terminal("pos", "positive"), Terminal("neg", "negative"))

    def elements(self, settings: None, condition: Condition) -> Sequence[Element]:
        """A sink of the sort that the catalog gives, nothing while off or where a mode draws nothing."""
        least_v = self.least_v or 0.0
        amps = {"on": self.on_a, "standby": self.standby_a}.get(condition.mode)
        watts = {"on": self.on_w, "standby": self.standby_w}.get(condition.mode)
        if amps:
            return (Sink("", "pos", "neg", "current", amps, least_v),)
        if watts:
            return (Sink("", "pos", "neg", "power", watts, least_v),)
        return ()


class EquipmentSchema(RowSchema):
    """A row of a catalog of equipment."""

    builds = Equipment
    nominal_v = Number(above=0, most=1000, load_default=12.0)
    least_v = Number(above=0, most=1000, load_default=None)
    most_v = Number(above=0, most=1000, load_default=None)
    stated_fuse_a = Number(above=0, most=1000, load_default=None)
    most_drop_v = Number(above=0, most=100, load_default=None)
    mains_w = Number(above=0, most=100_000, load_default=None)
    on_a = Number(above=0, most=1000, load_default=None)
    standby_a = Number(least=0, most=1000, load_default=None)
    on_w = Number(above=0, most=100_000, load_default=None)
    standby_w = Number(least=0, most=100_000, load_default=None)
    inrush_a = Number(above=0, most=10_000, load_default=None)
    inrush_s = Number(above=0, most=10, scale=1e-3, load_default=None, data_key="inrush_ms")
    holdup_s = Number(least=0, most=1000, scale=1e-3, load_default=None, data_key="holdup_ms")

    @validates_schema
    def _current_or_power(self, data: dict[str, Any], **kwargs: Any) -> None:
        """One sort of load, in every mode."""
        amps = [data.get("on_a"), data.get("standby_a")]
        watts = [data.get("on_w"), data.get("standby_w")]
        given = [group for group in (amps, watts) if any(value is not None for value in group)]
        if len(given) != 1 or given[0][0] is None:
            raise ValidationError("is a current in on_a (and standby_a) or a power in on_w (and standby_w)", "on_a")
