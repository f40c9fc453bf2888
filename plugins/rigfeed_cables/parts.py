"""Cables and end fittings as parts: the columns of their catalogs, and what they answer."""

from __future__ import annotations

from dataclasses import dataclass

from marshmallow import fields

from rigfeed.plugin import ConductorType, Core, EndFitting, Number, OneOf, RigidField, RowSchema

COPPER_ALPHA_PER_K = 0.00393  # IEC 60028: annealed copper at 20 degC

MATERIALS = ("copper", "tinned copper", "copper-clad aluminium", "aluminium")


@dataclass(frozen=True, kw_only=True)
class Cable(ConductorType):
    """A cable of one or more equal cores. `amps_30c` is the supplier's figure for one core in air of 30 degC."""

    area_mm2: float
    ohm_per_km: float
    core_count: int = 1
    amps_30c: float | None = None
    strands: int | None = None

    @property
    def cores(self) -> tuple[Core, ...]:
        """Equal cores, named 1, 2, ... where there are several."""
        return tuple(
            Core(str(number), self.area_mm2, self.ohm_per_km / 1000, COPPER_ALPHA_PER_K)
            for number in range(1, self.core_count + 1)
        )


class CableSchema(RowSchema):
    """A row of a cable catalog."""

    builds = Cable
    area_mm2 = Number(above=0, most=1000, required=True)
    ohm_per_km = Number(above=0, most=10_000, required=True)
    od_mm = Number(above=0, most=100, required=True)
    core_count = fields.Integer(load_default=1)
    material = OneOf(MATERIALS, load_default="copper")
    insulation_c = Number(least=40, most=400, load_default=None)
    amps_30c = Number(above=0, most=2000, load_default=None)
    strands = fields.Integer(load_default=None)


@dataclass(frozen=True, kw_only=True)
class Fitting(EndFitting):
    """A terminal for conductors from `least_mm2` to `most_mm2`; a ring fits a stud of `stud_mm`."""

    least_mm2: float | None = None
    most_mm2: float | None = None
    stud_mm: float | None = None


class FittingSchema(RowSchema):
    """A row of a terminal catalog."""

    builds = Fitting
    contact_ohm = Number(least=0, most=1000, scale=1e-3, required=True, data_key="contact_mohm")
    rigid = RigidField(load_default=None, data_key="rigid_mm")
    strip_mm = Number(least=0, most=100, load_default=None)
    least_mm2 = Number(above=0, most=1000, load_default=None)
    most_mm2 = Number(above=0, most=1000, load_default=None)
    stud_mm = Number(above=0, most=40, load_default=None)
