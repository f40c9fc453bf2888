"""What still air takes off a horizontal cable, and the current that this leaves it: the heat-balance model.

Closed forms take floats or NumPy arrays; `free_air_ampacity_a` solves for one cable at a time. Heat is per metre of
cable. Air is that of sea level unless a height is given.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from rigfeed.plugin import Value, above_zero, not_negative, refuse_unless, within
from rigfeed_cables.resistance import COLDEST_C, HOTTEST_C, corrected_resistance_ohm

__all__ = [
    "Air",
    "air_properties",
    "convection_w_per_m",
    "free_air_ampacity_a",
    "heat_balance_current_a",
    "nusselt",
    "radiation_w_per_m",
]

BOLTZMANN_W_PER_M2_K4 = 5.670374e-8
GRAVITY_M_PER_S2 = 9.80665
AIR_HEAT_J_PER_KG_K = 1005.0
ZERO_C_K = 273.15
EMISSIVITY = 0.9  # plastic surfaces, 0.85 to 0.95: from memory
INSULATION_W_PER_M_K = 0.2  # PVC; cross-linked polyethylene 0.286: from memory
MORGAN = (  # up to this Rayleigh number: factor and exponent
    (1e-2, 0.675, 0.058),
    (1e2, 1.02, 0.148),
    (1e4, 0.850, 0.188),
    (1e7, 0.480, 0.250),
    (1e12, 0.125, 0.333),
)


class Air(NamedTuple):
    """What convection needs to know of air."""

    density_kg_per_m3: float
    viscosity_pa_s: float
    conductivity_w_per_m_k: float


def air_properties(film_c: float, height_m: float = 0.0) -> Air:
    r"""Density, dynamic viscosity and thermal conductivity of air.

    .. math::

        \rho = \frac{1.293 - 1.525 \cdot 10^{-4} H + 6.379 \cdot 10^{-9} H^2}{1 + 0.00367 \, T}, \quad
        \mu = \frac{1.458 \cdot 10^{-6} (T + 273)^{1.5}}{T + 383.4}, \quad
        k = 2.424 \cdot 10^{-2} + 7.477 \cdot 10^{-5} T - 4.407 \cdot 10^{-9} T^2

    Parameters
    ----------
    film_c : float
        Temperature of the film of air at the surface, the mean of surface and air [degC].
    height_m : float, optional
        Height above the sea [m].

    Returns
    -------
    air : Air
        Density, viscosity and conductivity [kg/m3, Pa s, W/(m K)].

    Raises
    ------
    OutOfRange
        If the temperature is outside of -60 to 260 degC or the height outside of 0 to 5000 m.

    Notes
    -----
    The forms are those of the source for overhead lines, whose films stay below 150 degC or so; above, they are
    continued.

    References
    ----------
    .. [1] IEEE 738, "Calculating the current-temperature relationship of bare overhead conductors", air properties.

    Examples
    --------
    >>> [float(f"{value:.4g}") for value in air_properties(70.0)]
    [1.029, 2.043e-05, 0.02945]
    """
    within("film_c", film_c, COLDEST_C, HOTTEST_C)
    within("height_m", height_m, 0.0, 5000.0)
    return _air(film_c, height_m)


def _air(film_c: float, height_m: float = 0.0) -> Air:
    return Air(
        (1.293 - 1.525e-4 * height_m + 6.379e-9 * height_m**2) / (1 + 0.00367 * film_c),
        1.458e-6 * (film_c + 273.0) ** 1.5 / (film_c + 383.4),
        2.424e-2 + 7.477e-5 * film_c - 4.407e-9 * film_c**2,
    )


def nusselt(rayleigh: float) -> float:
    r"""Nusselt number of a horizontal cylinder in still air, by correlation.

    .. math:: Nu = C \, Ra^n

    Parameters
    ----------
    rayleigh : float
        Rayleigh number on the diameter: Grashof times Prandtl number [-].

    Returns
    -------
    nusselt : float
        Heat transfer relative to conduction through still air [-].

    Raises
    ------
    OutOfRange
        If the number is not from 1e-10 to 1e12.

    Notes
    -----
    Five straight pieces on logarithmic paper; they meet to 1 %. Other correlations lie up to 10 % lower.

    References
    ----------
    .. [1] V. T. Morgan, "The overall convective heat transfer from smooth circular cylinders", Advances in heat
       transfer 11, 1975, natural convection from horizontal cylinders.

    Examples
    --------
    >>> round(nusselt(0.69 * 2.63e9), 2)
    151.39
    """
    within("rayleigh", rayleigh, 1e-10, 1e12)
    return _nusselt(rayleigh)


def _nusselt(rayleigh: float) -> float:
    factor, exponent = next((c, n) for most, c, n in MORGAN if rayleigh <= most)
    return float(factor * rayleigh**exponent)


def convection_w_per_m(diameter_mm: float, surface_c: float, air_c: float, height_m: float = 0.0) -> float:
    r"""Heat that still air takes off a horizontal cable.

    .. math:: q_c = \pi \, k \, Nu \, (T_s - T_a), \quad
        Ra = \frac{g \, (T_s - T_a) \, D^3 \rho^2}{T_f \, \mu^2} \cdot \frac{\mu \, c_p}{k}

    Parameters
    ----------
    diameter_mm : float
        Diameter over everything [mm].
    surface_c : float
        Temperature of the surface, not below that of the air [degC].
    air_c : float
        Temperature of the air away from the cable [degC].
    height_m : float, optional
        Height above the sea [m].

    Returns
    -------
    heat : float
        Heat lost by a metre of cable [W/m].

    Raises
    ------
    OutOfRange
        If the diameter is not from 0.1 to 200 mm, a temperature is outside of -60 to 260 degC, or the surface is colder
        than the air.

    Notes
    -----
    One cable by itself, lying horizontally, no draught, no sun. In a bundle, in a loom or against a panel it is less.

    References
    ----------
    .. [1] V. T. Morgan, 1975, as for `nusselt`.
    .. [2] IEEE 738, air properties, and a worked example with 42.4 W/m.

    Examples
    --------
    >>> round(convection_w_per_m(28.1, 100.0, 40.0), 1)
    42.9
    """
    within("diameter_mm", diameter_mm, 0.1, 200.0)
    within("air_c", air_c, COLDEST_C, HOTTEST_C)
    within("surface_c", surface_c, air_c, HOTTEST_C)
    return _convection(diameter_mm / 1000, surface_c, air_c, height_m)


def _convection(wide_m: float, surface_c: float, air_c: float, height_m: float = 0.0) -> float:
    if surface_c == air_c:
        return 0.0
    film_c = (surface_c + air_c) / 2
    air = _air(film_c, height_m)
    buoyancy = GRAVITY_M_PER_S2 * (surface_c - air_c) / (film_c + ZERO_C_K) * wide_m**3
    grashof = buoyancy * (air.density_kg_per_m3 / air.viscosity_pa_s) ** 2
    prandtl = air.viscosity_pa_s * AIR_HEAT_J_PER_KG_K / air.conductivity_w_per_m_k
    rayleigh = max(grashof * prandtl, 1e-10)
    return math.pi * air.conductivity_w_per_m_k * _nusselt(rayleigh) * (surface_c - air_c)


def radiation_w_per_m(
    diameter_mm: Value, surface_c: Value | float, air_c: Value | float, emissivity: Value | float = EMISSIVITY
) -> Value:
    r"""Heat that a cable radiates to surroundings of the temperature of the air.

    .. math:: q_r = \pi \, D \, \varepsilon \, \sigma \, (T_s^4 - T_a^4)

    Parameters
    ----------
    diameter_mm : float or array
        Diameter over everything [mm].
    surface_c : float or array
        Temperature of the surface, not below that of the air [degC].
    air_c : float or array
        Temperature of air and walls around it [degC].
    emissivity : float or array, optional
        Of the surface: 0.9 for plastic, 0.2 for bright metal, 0.8 for weathered metal [-].

    Returns
    -------
    heat : float or array
        Heat lost by a metre of cable [W/m].

    Raises
    ------
    OutOfRange
        If the diameter is not from 0.1 to 200 mm, the emissivity not from 0 to 1, a temperature is outside of -60 to
        260 degC, or the surface is colder than the air.

    Notes
    -----
    Beside something hotter than the air, such as an exhaust, the cable takes heat up: this formula is not for that.

    References
    ----------
    .. [1] IEEE 738, radiated heat loss, and a worked example with 39.1 W/m.

    Examples
    --------
    >>> round(radiation_w_per_m(28.1, 100.0, 40.0, emissivity=0.8), 1)
    39.1
    """
    within("diameter_mm", diameter_mm, 0.1, 200.0)
    within("emissivity", emissivity, 0.0, 1.0)
    within("air_c", air_c, COLDEST_C, HOTTEST_C)
    within("surface_c", surface_c, COLDEST_C, HOTTEST_C)
    refuse_unless(surface_c >= np.asarray(air_c), "surface_c", surface_c, "at least the temperature of the air")
    powers = (surface_c + ZERO_C_K) ** 4 - (air_c + ZERO_C_K) ** 4
    heat: Value = math.pi * diameter_mm / 1000 * emissivity * BOLTZMANN_W_PER_M2_K4 * powers
    return heat


def lost_w_per_m(od_mm: float, surface_c: float, air_c: float, emissivity: float = EMISSIVITY) -> float:
    """Convection and radiation together, for a loop that keeps within what each of them accepts [W/m]."""
    wide_m, powers = od_mm / 1000, (surface_c + ZERO_C_K) ** 4 - (air_c + ZERO_C_K) ** 4
    return _convection(wide_m, surface_c, air_c) + math.pi * wide_m * emissivity * BOLTZMANN_W_PER_M2_K4 * powers


def heat_balance_current_a(lost_w_per_m: Value, ohm_per_km: Value | float) -> Value:
    r"""Current whose heat is just what a metre of conductor loses.

    .. math:: I = \sqrt{q / R'}

    Parameters
    ----------
    lost_w_per_m : float or array
        Heat that the surroundings take off, less what the sun brings [W/m].
    ohm_per_km : float or array
        Resistance per length at the temperature of the conductor, not at 20 degC [ohm/km].

    Returns
    -------
    current : float or array
        Steady current [A].

    Raises
    ------
    OutOfRange
        If the heat is negative or the resistance is not above zero.

    Notes
    -----
    Steady state: a cable takes minutes to reach it, a thick one an hour.

    References
    ----------
    .. [1] IEEE 738, steady-state heat balance, and a worked example with 1025 A.

    Examples
    --------
    >>> round(heat_balance_current_a(81.93 + 39.1 - 22.44, 0.0939))
    1025
    """
    not_negative("lost_w_per_m", lost_w_per_m)
    above_zero("ohm_per_km", ohm_per_km)
    current: Value = (lost_w_per_m / ohm_per_km * 1000.0) ** 0.5
    return current


def free_air_ampacity_a(
    area_mm2: float,
    ohm_per_km: float,
    od_mm: float,
    rated_c: float,
    air_c: float,
    *,
    insulation_w_per_m_k: float = INSULATION_W_PER_M_K,
    emissivity: float = EMISSIVITY,
) -> float:
    r"""Current that brings one cable in still air to its rated temperature.

    .. math:: I^2 R'(T_c) = q = q_c(T_s) + q_r(T_s), \quad T_c - T_s = \frac{q \, \ln (D_o / D_c)}{2 \pi k}

    Parameters
    ----------
    area_mm2 : float
        Cross-section of the metal [mm2].
    ohm_per_km : float
        Resistance per length at 20 degC [ohm/km].
    od_mm : float
        Diameter over the insulation [mm].
    rated_c : float
        Temperature of the conductor, the rated one of its insulation [degC].
    air_c : float
        Temperature of the air [degC].
    insulation_w_per_m_k : float, optional
        Thermal conductivity of the insulation: 0.2 for PVC, 0.286 for cross-linked polyethylene [W/(m K)].
    emissivity : float, optional
        Of the surface [-].

    Returns
    -------
    ampacity : float
        Steady current; 0 in air as hot as the rating [A].

    Raises
    ------
    OutOfRange
        If area, resistance or conductivity is not above zero, the diameter is not more than that of the metal, the
        emissivity not from 0 to 1, or a temperature is outside of -60 to 260 degC.

    Notes
    -----
    A lone horizontal cable. Held against published free-air ratings it is within 5 % of those that were measured or
    computed for one cable, and up to 25 % above those of installation codes, which keep a reserve: it never raises the
    figure of a code. The metal counts as a solid round of its area, which makes the insulation thicker than it is.

    References
    ----------
    .. [1] IEC 60287-2-1, "Calculation of thermal resistance": insulation of a single-core cable.
    .. [2] V. T. Morgan, 1975, and IEEE 738, as for `convection_w_per_m`.

    Examples
    --------
    >>> round(free_air_ampacity_a(2.5, 7.6, 3.0, rated_c=105.0, air_c=30.0))
    42
    """
    for name, value in (("area_mm2", area_mm2), ("ohm_per_km", ohm_per_km), ("k", insulation_w_per_m_k)):
        above_zero(name, value)
    within("rated_c", rated_c, COLDEST_C, HOTTEST_C)
    within("air_c", air_c, COLDEST_C, HOTTEST_C)
    metal_mm = math.sqrt(4 * area_mm2 / math.pi)
    refuse_unless(od_mm > metal_mm, "od_mm", od_mm, f"above {metal_mm:.3g} mm, the diameter of the metal")
    within("od_mm", od_mm, 0.1, 200.0)
    within("emissivity", emissivity, 0.0, 1.0)
    if air_c >= rated_c:
        return 0.0
    through_insulation = math.log(od_mm / metal_mm) / (2 * math.pi * insulation_w_per_m_k)
    coldest_c, hottest_c = air_c, rated_c  # the surface is somewhere between; what it loses grows with it
    for _ in range(60):
        surface_c = (coldest_c + hottest_c) / 2
        lost = lost_w_per_m(od_mm, surface_c, air_c, emissivity)
        if surface_c + lost * through_insulation > rated_c:
            hottest_c = surface_c
        else:
            coldest_c = surface_c
    return heat_balance_current_a(lost, corrected_resistance_ohm(ohm_per_km, rated_c))
