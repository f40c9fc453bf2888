"""Calculators of the heat that a cable loses. Watts are those of one metre of cable."""

from __future__ import annotations

from typing import Annotated, NamedTuple

from rigfeed.plugin import In, Out, calculator
from rigfeed_cables import heat
from rigfeed_cables.calculators.sizes import GROUP

Diameter = Annotated[float, In("mm", 0.1, 200, "diameter over everything")]
Surface = Annotated[float, In("degC", -60, 260, "temperature of the surface, not below that of the air")]
Air = Annotated[float, In("degC", -60, 260, "temperature of the air")]


class AirFacts(NamedTuple):
    """Properties of air."""

    density: Annotated[float, Out("", "density in kg/m3")]
    viscosity: Annotated[float, Out("", "dynamic viscosity in Pa s")]
    conductivity: Annotated[float, Out("", "thermal conductivity in W/(m K)")]


@calculator(
    "air-properties",
    GROUP,
    formula="rho = (1.293 - 1.525e-4 H + 6.379e-9 H^2) / (1 + 0.00367 T); mu = 1.458e-6 (T + 273)^1.5 / (T + 383.4); "
    "k = 0.02424 + 7.477e-5 T - 4.407e-9 T^2",
    validity="-60 to 260 degC, up to 5000 m; meant for films up to about 150 degC",
    source="IEEE 738",
)
def air_properties(
    film: Annotated[float, In("degC", -60, 260, "mean temperature of surface and air")],
    height: Annotated[float, In("m", 0, 5000, "height above the sea")] = 0.0,
) -> AirFacts:
    """Density, viscosity and conductivity of the air at a surface."""
    return AirFacts(*heat.air_properties(film, height))


@calculator(
    "convection-loss",
    GROUP,
    formula="q = pi k C Ra^n (Ts - Ta)",
    validity="one horizontal cable in still air; correlations differ by 10 %",
    source="Morgan 1975 with the properties of air of IEEE 738",
)
def convection_loss(
    diameter: Diameter,
    surface: Surface,
    air: Air,
    height: Annotated[float, In("m", 0, 5000, "height above the sea")] = 0.0,
) -> Annotated[float, Out("W", "heat lost by one metre")]:
    """Heat that still air takes off a metre of cable."""
    return heat.convection_w_per_m(diameter, surface, air, height)


@calculator(
    "radiated-loss",
    GROUP,
    formula="q = pi D e s (Ts^4 - Ta^4), temperatures in kelvin",
    validity="surroundings as warm as the air",
    source="IEEE 738, radiated heat loss",
)
def radiated_loss(
    diameter: Diameter,
    surface: Surface,
    air: Air,
    emissivity: Annotated[float, In("", 0, 1, "of the surface; plastic 0.9, weathered metal 0.8")] = 0.9,
) -> Annotated[float, Out("W", "heat lost by one metre")]:
    """Heat that a metre of cable radiates."""
    return heat.radiation_w_per_m(diameter, surface, air, emissivity)


@calculator(
    "heat-balance-current",
    GROUP,
    formula="I = sqrt((qc + qr - qs) / R')",
    validity="steady state",
    source="IEEE 738, steady-state heat balance",
)
def heat_balance_current(
    convection: Annotated[float, In("W", 0, 10000, "heat that one metre loses to the air")],
    radiation: Annotated[float, In("W", 0, 10000, "heat that one metre radiates")],
    resistance_per_length: Annotated[float, In("ohm/km", 0.001, 10000, "resistance at the conductor's temperature")],
    sun: Annotated[float, In("W", 0, 10000, "heat that one metre takes up from the sun")] = 0.0,
) -> Annotated[float, Out("A", "current")]:
    """The steady current whose heat is what a metre of cable loses."""
    return heat.heat_balance_current_a(convection + radiation - sun, resistance_per_length)


CALCULATORS = (air_properties, convection_loss, radiated_loss, heat_balance_current)
