"""Calculators of what a cable may carry."""

from __future__ import annotations

from typing import Annotated, Literal, NamedTuple

from rigfeed.plugin import Choice, In, Out, calculator
from rigfeed_cables import ampacity, heat, table
from rigfeed_cables.calculators.sizes import GROUP, Area

Air = Annotated[float, In("degC", -60, 260, "temperature of the air")]
Rated = Annotated[float, In("degC", 40, 260, "temperature for which the insulation is rated")]


class Corrected(NamedTuple):
    """An ampacity and the factor that made it."""

    ampacity: Annotated[float, Out("A", "ampacity in that air")]
    factor: Annotated[float, Out("", "factor; above 1 in air cooler than that of the table")]


@calculator(
    "ampacity-at-ambient",
    GROUP,
    formula="I2 = I1 sqrt((Tc - Ta2) / (Tc - Ta1))",
    validity="air below the rating; not together with a factor for engine spaces, which is this one at 50 degC",
    source="NFPA 70 section 310.15(B)",
)
def ampacity_at_ambient(
    table_current: Annotated[float, In("A", 0, 5000, "ampacity as its table prints it")],
    air: Air,
    rated: Rated,
    table_air: Annotated[float, In("degC", -60, 260, "temperature of the air of the table")] = 30.0,
) -> Corrected:
    """An ampacity of a table in air of another temperature."""
    amps = ampacity.corrected_ampacity_a(table_current, air, rated, table_air)
    return Corrected(amps, ampacity.ambient_factor(air, rated, table_air))


@calculator(
    "table-ampacity",
    GROUP,
    formula="figure of the next thinner size x engine-space factor, or x sqrt((Tc - Ta) / (Tc - 30)); x bundle factor",
    validity="stranded copper of 0.82 mm2 (18 AWG) and more, insulation of 60 degC and more; never above the table",
    source="33 CFR 183.425 table 5 and its notes; its bundle factors are a rule for 50 V and above, used by choice",
)
def table_ampacity(
    area: Area,
    rated: Annotated[float, In("degC", 60, 260, "temperature for which the insulation is rated")],
    air: Air = 30.0,
    bundled: Annotated[float, In("", 1, 100, "how many conductors that carry current lie together")] = 1.0,
    space: Annotated[
        Literal["open", "engine"], Choice("engine: the factor of the table for engine spaces of up to 50 degC")
    ] = "open",
) -> Annotated[float, Out("A", "ampacity")]:
    """What the table of the small-craft rules lets a conductor carry."""
    base_a = table.table_a(table.table_gauge(area), rated)
    count = int(bundled)
    if space == "engine" and air <= table.ENGINE_SPACE_C:
        return base_a * table.engine_space_factor(rated) * table.bundle_factor(count)
    return table.derated_a(base_a, rated, air, count)


@calculator(
    "free-air-ampacity",
    GROUP,
    formula="I^2 R(Tc) = convection(Ts) + radiation(Ts), Tc - Ts = q ln(Do / Dc) / (2 pi k)",
    validity="one horizontal cable in still air at sea level; up to 25 % above codes, which it never raises",
    source="Morgan 1975, IEEE 738, IEC 60287-2-1; emissivity and conductivity of plastic from memory",
)
def free_air_ampacity(
    area: Area,
    resistance_per_length: Annotated[float, In("ohm/km", 0.01, 10000, "resistance at 20 degC")],
    outside_diameter: Annotated[float, In("mm", 0.1, 100, "diameter over the insulation")],
    rated: Rated,
    air: Air,
    *,
    conductivity: Annotated[float, In("", 0.05, 1, "of the insulation, W/(m K): PVC 0.2, XLPE 0.286")] = 0.2,
    emissivity: Annotated[float, In("", 0, 1, "of the surface; plastic 0.9")] = 0.9,
) -> Annotated[float, Out("A", "ampacity")]:
    """The current that brings a lone cable to its rated temperature."""
    return heat.free_air_ampacity_a(
        area, resistance_per_length, outside_diameter, rated, air,
        insulation_w_per_m_k=conductivity, emissivity=emissivity,
    )


CALCULATORS = (ampacity_at_ambient, table_ampacity, free_air_ampacity)
