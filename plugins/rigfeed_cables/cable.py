"""Cables as parts: the columns of their catalogs, and what they answer."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from functools import lru_cache
from types import MappingProxyType
from typing import Any

from marshmallow import ValidationError, validates_schema

from rigfeed.plugin import Ampacity, ConductorType, Core, Number, OneOf, RowSchema, Surroundings, Text, frozen
from rigfeed_cables import awg, rating, short_time
from rigfeed_cables.columns import Gauge, Whole
from rigfeed_cables.resistance import ALPHA_PER_K

ALUMINIUM_ALPHA_PER_K = 0.00403  # IEC 60287-1-1 table 1, at 20 degC; taken for clad wire too, being the higher
COPPER = ("copper", "tinned copper")
MATERIALS = (*COPPER, "copper-clad aluminium", "aluminium")

# IEC 60364-5-54 table 54.2 and after: what the insulation bears at the end of a short circuit; PVC less above 300 mm2
SHORT_TIME_C: Mapping[str, float] = MappingProxyType(
    {"pvc": 160.0, "rubber": 200.0, "xlpe": 250.0, "epr": 250.0, "silicone": 350.0}
)
THICK_MM2, THICK_PVC_C = 300.0, 140.0


@frozen(kw_only=True, eq=False)
class Cable(ConductorType):
    """A cable of one or more equal cores. `od_mm` is its diameter, or the width of a flat one that is `height_mm` high.

    `amps_30c` is the supplier's figure for one core in air of 30 degC; `stated_a` one for air of `stated_air_c`.
    `colours` are codes of IEC 60757, `sold` says how the supplier sells it.
    `gauge` is the size that it is sold as, where that is an American one: its metal may be less than the gauge has.
    """

    area_mm2: float
    ohm_per_km: float
    core_count: int = 1
    amps_30c: float | None = None
    stated_a: float | None = None
    stated_air_c: float | None = None
    strands: int | None = None
    gauge: int | None = None
    height_mm: float | None = None
    insulation: str | None = None
    colours: str | None = None
    sold: str | None = None

    @property
    def cores(self) -> tuple[Core, ...]:
        """Equal cores, named 1, 2, ... where there are several."""
        alpha_per_k = ALPHA_PER_K if self.is_copper else ALUMINIUM_ALPHA_PER_K
        return tuple(
            Core(str(number), self.area_mm2, self.ohm_per_km / 1000, alpha_per_k)
            for number in range(1, self.core_count + 1)
        )

    @property
    def is_copper(self) -> bool:
        """Whether the metal is copper throughout, but for a coat of tin."""
        return self.material in COPPER

    @property
    def is_tinned(self) -> bool:
        """Whether each strand has its coat of tin."""
        return self.material == "tinned copper"

    @property
    def is_solid(self) -> bool | None:
        """Whether the conductor is one wire, which breaks where things shake; None where the row does not say."""
        return None if self.strands is None else self.strands == 1

    def ampacities(self, surroundings: Surroundings) -> tuple[Ampacity, ...]:
        """What each core may carry by the table, by its supplier, and by the heat balance; the lowest governs.

        All cores count as carrying current, so that a cable of three is a bundle by itself.
        """
        return _ampacities(self, surroundings)

    def _rated(self, surroundings: Surroundings) -> tuple[Ampacity, ...]:
        around = replace(surroundings, bundled=max(surroundings.bundled, self.core_count))
        found: list[Ampacity] = []
        if self.insulation_c is not None:
            copper_mm2 = rating.copper_mm2(self.area_mm2, self.ohm_per_km)
            found += rating.by_table(self.gauge if self.is_copper else None, copper_mm2, self.insulation_c, around)
        for stated_a, air_c in ((self.amps_30c, 30.0), (self.stated_a, self.stated_air_c)):
            if stated_a is not None and air_c is not None:
                found += rating.by_supplier(stated_a, air_c, self.insulation_c, around)
        if self.insulation_c is not None:
            wide_mm = rating.surface_mm(self.od_mm, self.height_mm)
            found += rating.by_heat(
                self.area_mm2, self.ohm_per_km, wide_mm, self.insulation_c, cores=self.core_count, around=around
            )
        return tuple(found)

    def running_c(self, current_a: float, surroundings: Surroundings) -> float:
        """The temperature of the metal by the heat balance; one in a bundle is as warm as one alone that carries as
        much more as the bundle takes off its ampacity [degC]."""
        wide_mm = rating.surface_mm(self.od_mm, self.height_mm)
        around = replace(surroundings, bundled=max(surroundings.bundled, self.core_count))
        return rating.running_c(current_a, self.area_mm2, self.ohm_per_km, wide_mm, self.core_count, around)

    @property
    def short_time_c(self) -> float:
        """What the insulation bears at the end of a short circuit [degC]; of an unknown one, the least of all."""
        borne_c = SHORT_TIME_C.get(self.insulation or "pvc", SHORT_TIME_C["pvc"])
        thick_pvc = self.area_mm2 > THICK_MM2 and borne_c == SHORT_TIME_C["pvc"]
        return THICK_PVC_C if thick_pvc else borne_c

    def withstand_a2s(self, running_c: float) -> float:
        """The let-through that a core bears when a fault finds it at its running temperature [A2s]; see `k_factor`."""
        metal = "copper" if self.is_copper else "aluminium"
        factor = short_time.k_factor(min(running_c, self.short_time_c), self.short_time_c, metal)
        return short_time.withstand_a2s(self.area_mm2, factor)


@lru_cache(maxsize=4096)
def _ampacities(cable: Cable, surroundings: Surroundings) -> tuple[Ampacity, ...]:
    """One cable lies in the same air again and again, and its heat balance takes a while."""
    return cable._rated(surroundings)


class CableSchema(RowSchema):
    """A row of a cable catalog."""

    builds = Cable
    area_mm2 = Number(above=0, most=1000, required=True)
    ohm_per_km = Number(above=0, most=10_000, required=True)
    od_mm = Number(above=0, most=100, required=True)
    height_mm = Number(above=0, most=100, load_default=None)
    core_count = Whole(least=1, most=61, load_default=1)
    material = OneOf(MATERIALS, load_default="copper")
    strands = Whole(least=1, most=100_000, load_default=None)
    gauge = Gauge(load_default=None)
    insulation = OneOf(tuple(SHORT_TIME_C), load_default=None)
    insulation_c = Number(least=40, most=400, load_default=None)
    amps_30c = Number(above=0, most=2000, load_default=None)
    stated_a = Number(above=0, most=2000, load_default=None)
    stated_air_c = Number(least=-40, most=250, load_default=None)
    bend_mm = Number(above=0, most=2000, load_default=None)
    g_per_m = Number(above=0, most=20_000, load_default=None)
    colours = Text(re.compile(r"[A-Z]{2}(?:[A-Z]{2})*(?: [A-Z]{2}(?:[A-Z]{2})*)*"), like="RD BK", load_default=None)
    sold = Text(load_default=None)

    @validates_schema(skip_on_field_errors=True)
    def _columns_agree(self, data: dict[str, Any], **kwargs: Any) -> None:
        if (data["stated_a"] is None) != (data["stated_air_c"] is None):
            raise ValidationError("belongs together with stated_air_c: give both or neither", "stated_a")
        if data["stated_air_c"] is not None and data["stated_air_c"] >= (data["insulation_c"] or 1000):
            raise ValidationError("is not below insulation_c", "stated_air_c")
        if data["height_mm"] is not None and data["height_mm"] > data["od_mm"]:
            raise ValidationError("is above od_mm: od_mm is the larger of the two", "height_mm")
        if data["gauge"] is not None:
            share = data["area_mm2"] / awg.area_mm2(float(data["gauge"]))
            if not 0.85 <= share <= 1.25:
                raise ValidationError(f"has {100 * share:.0f} % of the metal of its gauge", "area_mm2")
