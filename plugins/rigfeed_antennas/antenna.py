"""Antennas as parts; the mount that one sits on is a setting of its node, and bonds the shield to the body."""

from __future__ import annotations

from collections.abc import Sequence

from rigfeed.plugin import (
    BODY,
    Condition,
    Device,
    Element,
    Number,
    OneOf,
    PartField,
    Resistor,
    RowSchema,
    TableSchema,
    Terminal,
    frozen,
)
from rigfeed_antennas.bands import Bands, BandsField
from rigfeed_antennas.mount import BASES, Mount

FORMS = ("quarter wave", "five-eighths wave", "half wave", "loaded whip")
READINGS = ("open", "short")
MATCHING_OHM = 0.05  # direct current through the matching coil of an antenna that reads short; common practice


@frozen
class AntennaSettings:
    """The mount that the antenna sits on; without one, nothing is known of a bond to the body."""

    mount: Mount | None = None


class AntennaSettingsSchema(TableSchema):
    """What an antenna may carry in a design."""

    builds = AntennaSettings
    mount = PartField("mount", load_default=None)


@frozen(kw_only=True, eq=False)
class Antenna(Device):
    """An antenna on one `base`. `reading` is what an ohmmeter finds between its feed and its shield.

    `length_m` is the height above its base, `rod_mm` the diameter of its rod. The coil of a loaded whip sits at
    `coil_height` of its length (0 at the base), with `coil_q`.
    """

    form: str | None = None
    bands: Bands = ()
    length_m: float | None = None
    rod_mm: float | None = None
    gain_dbi: float | None = None
    mass_kg: float | None = None
    base: str | None = None
    most_w: float | None = None
    reading: str | None = None
    coil_height: float | None = None
    coil_q: float | None = None

    @property
    def needs_panel(self) -> bool | None:
        """Whether it works against metal below it; a half wave does not. None where its form is not known."""
        return None if self.form is None else self.form != "half wave"

    @property
    def terminals(self) -> tuple[Terminal, ...]:
        """The two conductors of its feeder."""
        return (Terminal("feed", "inner"), Terminal("shield", "shield"))

    def elements(self, settings: AntennaSettings | None, condition: Condition) -> Sequence[Element]:
        """The bond of the mount, where it has one, and the matching coil, where it lets direct current through."""
        found: list[Element] = []
        mount = settings.mount if settings else None
        if mount is not None and mount.bond_ohm is not None:
            found.append(Resistor("bond", "shield", BODY, mount.bond_ohm))
        if self.reading == "short":
            found.append(Resistor("coil", "feed", "shield", MATCHING_OHM))
        return found


class AntennaSchema(RowSchema):
    """A row of a catalog of antennas."""

    builds = Antenna
    form = OneOf(FORMS, load_default=None)
    bands = BandsField(load_default=(), data_key="bands_mhz")
    length_m = Number(above=0, most=20, load_default=None)
    rod_mm = Number(above=0, most=100, load_default=None)
    gain_dbi = Number(least=-40, most=20, load_default=None)
    mass_kg = Number(above=0, most=100, load_default=None)
    base = OneOf(BASES, load_default=None)
    most_w = Number(above=0, most=100_000, load_default=None)
    reading = OneOf(READINGS, load_default=None)
    coil_height = Number(least=0, most=0.9, load_default=None)
    coil_q = Number(above=0, most=2000, load_default=None)
