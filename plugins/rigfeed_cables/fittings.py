"""What goes on a cable, as parts: end fittings, shrinkable sleeves, conduits."""

from __future__ import annotations

from typing import Any

from marshmallow import ValidationError, validates_schema

from rigfeed.plugin import Accessory, EndFitting, Number, RigidField, RowSchema, frozen
from rigfeed_cables.columns import Flag, Whole


@frozen(kw_only=True, eq=False)
class Fitting(EndFitting):
    """A terminal for conductors from `least_mm2` to `most_mm2`, `places` of them in one barrel.

    A ring fits a stud of `stud_mm`. `rated_a` is what a contact carries, `limit_c` how hot it may be.
    """

    least_mm2: float | None = None
    most_mm2: float | None = None
    places: int = 1
    stud_mm: float | None = None
    rated_a: float | None = None
    limit_c: float | None = None

    def takes(self, area_mm2: float) -> bool | None:
        """Whether a conductor of an area is within the range of its barrel; None where the row does not say."""
        if self.least_mm2 is None or self.most_mm2 is None:
            return None
        return self.least_mm2 <= area_mm2 <= self.most_mm2


class FittingSchema(RowSchema):
    """A row of a terminal catalog."""

    builds = Fitting
    contact_ohm = Number(least=0, most=1000, scale=1e-3, required=True, data_key="contact_mohm")
    rigid = RigidField(load_default=None, data_key="rigid_mm")
    strip_mm = Number(least=0, most=100, load_default=None)
    least_mm2 = Number(above=0, most=1000, load_default=None)
    most_mm2 = Number(above=0, most=1000, load_default=None)
    places = Whole(least=1, most=4, load_default=1)
    stud_mm = Number(above=0, most=40, load_default=None)
    rated_a = Number(above=0, most=2000, load_default=None)
    limit_c = Number(least=40, most=400, load_default=None)


@frozen(kw_only=True, eq=False)
class Sleeve(Accessory):
    """A heat-shrinkable sleeve: bore as supplied and after it has recovered freely; with or without adhesive inside."""

    supplied_mm: float
    recovered_mm: float
    adhesive: bool = False
    limit_c: float | None = None


class SleeveSchema(RowSchema):
    """A row of a sleeve catalog."""

    builds = Sleeve
    supplied_mm = Number(above=0, most=300, required=True)
    recovered_mm = Number(above=0, most=300, required=True)
    adhesive = Flag(load_default=False)
    limit_c = Number(least=40, most=400, load_default=None)

    @validates_schema(skip_on_field_errors=True)
    def _shrinks(self, data: dict[str, Any], **kwargs: Any) -> None:
        if data["recovered_mm"] >= data["supplied_mm"]:
            raise ValidationError("is not below supplied_mm", "recovered_mm")


@frozen(kw_only=True, eq=False)
class Loom(Accessory):
    """A conduit: its bore, what it measures outside, whether it is slit along its length."""

    bore_mm: float
    outside_mm: float
    slit: bool = False
    limit_c: float | None = None


class LoomSchema(RowSchema):
    """A row of a conduit catalog."""

    builds = Loom
    bore_mm = Number(above=0, most=300, required=True)
    outside_mm = Number(above=0, most=300, required=True)
    slit = Flag(load_default=False)
    limit_c = Number(least=40, most=400, load_default=None)

    @validates_schema(skip_on_field_errors=True)
    def _has_a_wall(self, data: dict[str, Any], **kwargs: Any) -> None:
        if data["outside_mm"] <= data["bore_mm"]:
            raise ValidationError("is not above bore_mm", "outside_mm")
