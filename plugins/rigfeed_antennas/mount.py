"""Antenna mounts as parts: how they hold, what they ask of the panel, and whether they bond to it."""

from __future__ import annotations

from typing import Any

from marshmallow import ValidationError, validates_schema

from rigfeed.plugin import Accessory, Number, OneOf, RigidField, RowSchema, frozen
from rigfeed_antennas.answer import Answer

FORMS = ("hole", "magnet", "clamp", "lip")
BONDS = ("panel", "capacitance", "none")  # metal on metal; through the paint for radio frequency only; insulated
BASES = ("1-1/8-18 thread", "3/8-24 stud", "5/16-24 stud", "M6 stud", "M5 stud", "UHF socket")


@frozen(kw_only=True, eq=False)
class Mount(Accessory):
    """A mount of one `form` for antennas on one `base`.

    `bond` says how the shield meets the panel: through metal of `bond_ohm`, through `capacitance_pf` only, or not at
    all. A hole mount asks for a hole of `hole_mm`; all but magnets ask for a panel from `least_panel_mm` to
    `most_panel_mm`, and may ask for `under_mm` of room below it. `most_whip_m` is the longest whip that it holds.
    """

    form: str
    bond: str
    base: str | None = None
    bond_ohm: float | None = None
    capacitance_pf: float | None = None
    hole_mm: float | None = None
    least_panel_mm: float | None = None
    most_panel_mm: float | None = None
    under_mm: float | None = None
    needs_steel: bool = False
    most_whip_m: float | None = None
    mass_kg: float | None = None

    def holds_on(self, panel_mm: float) -> bool | None:
        """Whether it fits a panel of a thickness; None where the catalog gives no range."""
        if self.least_panel_mm is None and self.most_panel_mm is None:
            return None
        return (self.least_panel_mm or 0.0) <= panel_mm <= (self.most_panel_mm or float("inf"))


class MountSchema(RowSchema):
    """A row of a catalog of mounts."""

    builds = Mount
    form = OneOf(FORMS, required=True)
    bond = OneOf(BONDS, required=True)
    base = OneOf(BASES, load_default=None)
    bond_ohm = Number(above=0, most=1e6, scale=1e-3, load_default=None, data_key="bond_mohm")
    capacitance_pf = Number(above=0, most=1e6, load_default=None)
    hole_mm = Number(above=0, most=200, load_default=None)
    least_panel_mm = Number(least=0, most=100, load_default=None)
    most_panel_mm = Number(above=0, most=100, load_default=None)
    under_mm = Number(least=0, most=500, load_default=None)
    needs_steel = Answer(load_default=False)
    rigid = RigidField(load_default=None, data_key="rigid_mm")
    most_whip_m = Number(above=0, most=10, load_default=None)
    mass_kg = Number(above=0, most=100, load_default=None)

    @validates_schema
    def _whole(self, data: dict[str, Any], **kwargs: Any) -> None:
        """What one column says, another must not contradict."""
        if (data["bond"] == "panel") != (data.get("bond_ohm") is not None):
            raise ValidationError("a resistance belongs to a bond to the panel, and to no other", "bond_mohm")
        if data["form"] == "hole" and data.get("hole_mm") is None:
            raise ValidationError("a hole mount needs the diameter of its hole", "hole_mm")
