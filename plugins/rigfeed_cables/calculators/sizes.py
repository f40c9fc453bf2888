"""Calculators of resistance and of sizes."""

from __future__ import annotations

from typing import Annotated, Literal, NamedTuple

from rigfeed.plugin import Choice, In, Out, calculator
from rigfeed_cables import awg, pull, resistance

GROUP = "cables"
Area = Annotated[float, In("mm2", 0.01, 1000, "cross-section of the metal, for instance 2.5 mm2 or 14 AWG")]


@calculator(
    "cable-resistance",
    GROUP,
    formula="R = f x 0.01724 x [1 + 0.00393 (T - 20)] x length / area",
    validity="direct current, -60 to 260 degC; what a standard prints as the maximum is 5 to 16 % higher",
    source="IEC 60028:1925; coated copper IEC 60228:2004 table 3; clad aluminium ASTM B566",
)
def cable_resistance(
    length: Annotated[float, In("m", 0, 1000, "length of the metal: one way for one conductor, both for a loop")],
    area: Area,
    temperature: Annotated[float, In("degC", -60, 260, "temperature of the metal, not of the air")] = 20.0,
    material: Annotated[
        Literal["plain copper", "metal-coated copper", "copper-clad aluminium 10 %", "copper-clad aluminium 15 %"],
        Choice("what the conductor is made of; the percentage is that of copper by volume"),
    ] = "plain copper",
) -> Annotated[float, Out("ohm", "resistance")]:
    """Resistance of a conductor from its length and cross-section.

    For a cable whose catalog prints a resistance per length take that one: it counts lay, tolerance and coating.
    """
    factor = resistance.material_factor(material)
    return resistance.resistance_ohm(length, area, temperature, factor=factor)


@calculator(
    "resistance-at-temperature",
    GROUP,
    formula="R2 = R1 x [1 + alpha (T2 - T1)]",
    validity="-60 to 260 degC; the coefficient is that at the temperature of the known resistance",
    source="NFPA 70 chapter 9 table 8 note 2; IEC 60028:1925",
)
def resistance_at_temperature(
    known: Annotated[float, In("ohm", 0, 1e6, "resistance that is known")],
    temperature: Annotated[float, In("degC", -60, 260, "temperature for which it is wanted")],
    known_at: Annotated[float, In("degC", -60, 260, "temperature at which it is known")] = 20.0,
    alpha: Annotated[float, In("", 0, 0.01, "coefficient per kelvin; copper at 20 degC: 0.00393")] = 0.00393,
) -> Annotated[float, Out("ohm", "resistance")]:
    """A resistance at another temperature."""
    return resistance.corrected_resistance_ohm(known, temperature, alpha, known_at)


class Size(NamedTuple):
    """A size of the gauge in all the ways it is written."""

    area: Annotated[float, Out("mm2", "cross-section")]
    circular_mils: Annotated[float, Out("cmil", "the same in circular mils")]
    diameter: Annotated[float, Out("mm", "diameter of a solid round wire")]
    resistance: Annotated[float, Out("ohm/km", "resistance at 20 degC of ideal copper")]


@calculator(
    "awg-to-area",
    GROUP,
    formula="d = 0.127 mm x 92^((36 - n) / 39), A = pi d^2 / 4",
    validity="4/0 to 40 AWG, solid and nominal; cable to SAE J1127 or J1128 may hold less",
    source="ASTM B258",
)
def awg_to_area(
    number: Annotated[float, In("", -3, 40, "size number: 10 for 10 AWG, 0 for 1/0, -1 for 2/0, -3 for 4/0")],
) -> Size:
    """Cross-section and diameter of a size of the American wire gauge."""
    area_mm2 = awg.area_mm2(number)
    per_km = resistance.resistance_ohm(1000.0, area_mm2)
    return Size(area_mm2, awg.cmil_from_mm2(area_mm2), awg.diameter_mm(number), per_km)


class Gauges(NamedTuple):
    """The sizes around an area."""

    number: Annotated[float, Out("", "size number, not rounded; 0 is 1/0, -3 is 4/0")]
    enough: Annotated[float, Out("", "thinnest trade size that has at least this area by ASTM B258")]
    enough_sae: Annotated[float, Out("", "the same by the least areas of SAE J1127 and J1128")]


@calculator(
    "area-to-awg",
    GROUP,
    formula="n = 36 - 39 log(d / 0.127 mm) / log(92)",
    validity="0.21 to 104 mm2; sizes 18 to 10 of the SAE areas are as printed, the thicker ones from memory",
    source="ASTM B258; SAE J1127 and J1128 as small-craft papers print them",
)
def area_to_awg(
    area: Annotated[float, In("mm2", 0.05, 104, "cross-section that is needed")],
) -> Gauges:
    """The size of the American wire gauge that has at least a cross-section.

    Rounding the number up would choose less metal than is needed.
    """
    return Gauges(
        awg.gauge_from_area(area),
        float(awg.smallest_gauge(area)),
        float(awg.smallest_gauge(area, awg.SAE_LEAST_MM2)),
    )


@calculator(
    "crimp-pull-force",
    GROUP,
    formula="table; the next thinner size of it",
    validity="copper, 26 to 2/0 AWG, commercial crimps",
    source="UL 486A-B",
)
def crimp_pull_force(
    area: Annotated[float, In("mm2", 0.129, 1000, "cross-section of the conductor, for instance 2.5 mm2 or 14 AWG")],
) -> Annotated[float, Out("N", "pull")]:
    """Pull that a sample of a crimp must bear for a minute."""
    return pull.pull_force_n(area)


CALCULATORS = (cable_resistance, resistance_at_temperature, awg_to_area, area_to_awg, crimp_pull_force)
