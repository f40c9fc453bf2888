"""Antennas on their mounts as parts: for direct current, a way from the shield into the body."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from rigfeed.plugin import BODY, Condition, Device, Element, Number, Resistor, RowSchema, Terminal


@dataclass(frozen=True, kw_only=True)
class Antenna(Device):
    """An antenna with its mount; `bond_ohm` from the mount into the panel, none where the mount is insulated."""

    bond_ohm: float | None = None
    hole_mm: float | None = None

    @property
    def terminals(self) -> tuple[Terminal, ...]:
        """The two conductors of its feeder."""
        return (Terminal("feed", "inner"), Terminal("shield", "shield"))

    def elements(self, settings: None, condition: Condition) -> Sequence[Element]:
        """The bond of the mount."""
        return () if self.bond_ohm is None else (Resistor("bond", "shield", BODY, self.bond_ohm),)


class AntennaSchema(RowSchema):
    """A row of a catalog of antennas."""

    builds = Antenna
    bond_ohm = Number(above=0, most=1e6, scale=1e-3, load_default=None, data_key="bond_mohm")
    hole_mm = Number(least=0, most=200, load_default=None)
