"""What a core of a cable may carry in given surroundings, on each basis that has a figure; the lowest governs.

Three bases: the table of the small-craft rules, what the supplier states, and the heat balance of one cable in still
air. The first two are never raised for cool air, the first not for lying between two sizes either. At or above the
class of the insulation each is 0 A.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from rigfeed.plugin import Ampacity, OutOfRange, Surroundings
from rigfeed_cables.awg import area_mm2 as gauge_area_mm2
from rigfeed_cables.awg import gauge_name
from rigfeed_cables.heat import free_air_ampacity_a
from rigfeed_cables.resistance import COLDEST_C, HOTTEST_C
from rigfeed_cables.table import (
    CLASSES_C,
    ENGINE_SPACE_C,
    GAUGES,
    SOURCE,
    bundle_factor,
    derated_a,
    engine_space_factor,
    table_a,
    table_class_c,
    table_gauge,
)
from rigfeed_cables.warmth import metal_c

# IEC 60228:2004 table 3: the poorest copper conductor of it is the metal-coated one of 0.5 mm2, 40.1 ohm/km. One with
# more resistance than that for its area holds less copper than it says, or is not of copper.
POOREST_COPPER_OHM_MM2_PER_KM = 40.1 * 0.5


def copper_mm2(area_mm2: float, ohm_per_km: float) -> float:
    """The area of copper that a conductor can count as: the stated one, if its resistance bears that out [mm2]."""
    return min(area_mm2, POOREST_COPPER_OHM_MM2_PER_KM / ohm_per_km)


def by_table(gauge: int | None, copper: float, insulation_c: float, around: Surroundings) -> Iterator[Ampacity]:
    """The figure of the table; none for a class of insulation below its lowest.

    `gauge` is the size that the cable is sold as; without one the next thinner size of the table than `copper` counts.
    Below its thinnest size its current per area is kept, which is less than a thinner wire could carry: without that a
    wire too thin for the table would be let off more easily than one that is in it.
    """
    if insulation_c < CLASSES_C[0]:
        return
    size = _size(gauge, copper)
    if size is None:
        thinnest = GAUGES[-1]
        amps = table_a(thinnest, insulation_c) * copper / gauge_area_mm2(float(thinnest))
        sized = f"by area from {gauge_name(thinnest)}"
    else:
        amps, sized = table_a(size, insulation_c), gauge_name(size)
    basis = f"{SOURCE}, {sized}, {table_class_c(insulation_c):g} degC"
    if around.engine_space and around.air_c <= ENGINE_SPACE_C < insulation_c:
        amps *= engine_space_factor(insulation_c) * bundle_factor(around.bundled)
        yield Ampacity(amps, f"{basis}, engine space{_together(around)}")
    else:
        yield Ampacity(_derated(amps, insulation_c, around), basis + _in_air(insulation_c, around))


def by_supplier(
    stated_a: float, stated_air_c: float, insulation_c: float | None, around: Surroundings
) -> Iterator[Ampacity]:
    """What the supplier states for some air, corrected to that of here.

    Without a class of the insulation there is no correction, and a figure only in air that is no hotter than stated.
    """
    basis = f"supplier's figure for air of {stated_air_c:g} degC"
    if insulation_c is None:
        if around.air_c <= stated_air_c:
            yield Ampacity(stated_a * bundle_factor(around.bundled), basis + _together(around))
        return
    amps = _derated(stated_a, insulation_c, around, stated_air_c)
    yield Ampacity(amps, basis + _in_air(insulation_c, around))


def by_heat(
    area_mm2: float, ohm_per_km: float, od_mm: float, insulation_c: float, *, cores: int, around: Surroundings
) -> Iterator[Ampacity]:
    """The heat balance; `od_mm` is that of a round cable with the same surface. Equal cores heat it together."""
    metal_mm2 = cores * area_mm2
    if od_mm <= math.sqrt(4 * metal_mm2 / math.pi):
        return
    air_c, rated_c = max(around.air_c, COLDEST_C), min(insulation_c, HOTTEST_C)
    amps = 0.0
    if air_c < rated_c:
        amps = free_air_ampacity_a(metal_mm2, ohm_per_km / cores, od_mm, rated_c, air_c) / cores
    basis = "heat balance of a cable in still air"
    yield Ampacity(amps * bundle_factor(around.bundled), basis + _in_air(insulation_c, around))


def running_c(
    current_a: float, area_mm2: float, ohm_per_km: float, od_mm: float, cores: int, around: Surroundings
) -> float:
    """What a current that lasts makes of the metal; `by_heat`, the other way round [degC]."""
    metal_mm2 = cores * area_mm2
    if od_mm <= math.sqrt(4 * metal_mm2 / math.pi) or not COLDEST_C <= around.air_c < HOTTEST_C:
        return around.air_c
    alone_a = abs(current_a) * cores / bundle_factor(around.bundled)
    return metal_c(alone_a, metal_mm2, ohm_per_km / cores, od_mm, around.air_c)


def surface_mm(od_mm: float, height_mm: float | None) -> float:
    """Diameter of a round cable that has as much surface as a flat one with round edges, `od_mm` wide [mm]."""
    if height_mm is None:
        return od_mm
    return height_mm + 2 * (od_mm - height_mm) / math.pi


def _size(gauge: int | None, copper: float) -> int | None:
    """The size of the table that counts for a conductor; None below the thinnest."""
    if gauge in GAUGES:
        return gauge
    try:
        return table_gauge(copper)
    except OutOfRange:
        return None


def _derated(base_a: float, insulation_c: float, around: Surroundings, base_c: float = 30.0) -> float:
    if around.air_c >= insulation_c:
        return 0.0
    air_c, rated_c = max(around.air_c, COLDEST_C), min(insulation_c, HOTTEST_C)
    return derated_a(base_a, rated_c, air_c, around.bundled, base_c)


def _in_air(insulation_c: float, around: Surroundings) -> str:
    hot = "" if around.air_c < insulation_c else f", its class is {insulation_c:g} degC"
    return f", in air of {around.air_c:g} degC{hot}{_together(around)}"


def _together(around: Surroundings) -> str:
    return f", {around.bundled} together" if bundle_factor(around.bundled) < 1 else ""
