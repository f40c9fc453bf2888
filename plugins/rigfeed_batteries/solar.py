"""Solar panels with their regulator as one part: a current that the sun limits, at the voltage of the battery."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from rigfeed.plugin import (
    Condition,
    Diode,
    Element,
    Number,
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

REGULATED_OHM = 1e-3  # while the regulator holds the voltage; common practice, no source


@frozen
class SolarSettings(StudSettings):
    """`voltage` that the regulator is set to; it stands in for that of the catalog."""

    voltage: Quantity | None = None


class SolarSettingsSchema(StudSettingsSchema):
    """What a regulator may carry in a design."""

    builds = SolarSettings
    voltage = QuantityField("V", above=0, most=100, load_default=None)


@frozen(kw_only=True, eq=False)
class Solar(Studded, SourceDevice):
    """Panels and regulator: `charge_v` up to `rated_a` by day, nothing by night.

    Panels give little more in a short circuit than at work, so the current is limited whatever happens behind the
    regulator. That no fault may count on the sun is why nothing comes from here where the lowest current is sought.
    """

    stores: ClassVar[bool] = False
    modes: ClassVar[tuple[str, ...]] = ("day", "night")
    default_mode: ClassVar[str] = "night"

    rated_a: float
    charge_v: float

    @property
    def terminals(self) -> tuple[Terminal, ...]:
        """The side of the battery; the panels stay on the other one."""
        return (Terminal("pos", "positive"), Terminal("neg", "negative"))

    def elements(self, settings: SolarSettings, condition: Condition) -> Sequence[Element]:
        """A limited source that takes nothing back."""
        shines = {"operating": condition.mode == "day", "highest": True, "lowest": False}[condition.case]
        if not shines:
            return ()
        held_v = settings.voltage.si if settings.voltage else self.charge_v
        return (
            Source("", "panels", "neg", held_v, REGULATED_OHM, self.rated_a),
            Diode("regulator", "panels", "pos", 0.0, REGULATED_OHM),
        )


class SolarSchema(StudRowSchema):
    """A row of a catalog of regulators with their panels."""

    builds = Solar
    rated_a = Number(above=0, most=1000, required=True)
    charge_v = Number(above=0, most=100, required=True)
