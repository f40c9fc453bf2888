"""What a conductor stands for a short time: the let-through that its insulation bears, and the current that melts it.

Every function takes floats or NumPy arrays, which broadcast; the first argument decides which of the two comes back.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import overload

import numpy as np

from rigfeed.plugin import (
    FloatArray,
    Floats,
    UnknownName,
    Value,
    above_zero,
    frozen,
    not_negative,
    refuse_unless,
    within,
)
from rigfeed_cables.awg import CMIL_MM2
from rigfeed_cables.resistance import COLDEST_C, HOTTEST_C

__all__ = [
    "METALS",
    "Metal",
    "k_factor",
    "onderdonk_current_a",
    "preece_current_a",
    "preece_diameter_mm",
    "smallest_area_mm2",
    "withstand_a2s",
]

COPPER_MELTS_C = 1083.0  # of the printed equation; 1084.6 is today's value
PREECE_COPPER_A_PER_IN15 = 10244.0
INCH_MM = 25.4


@frozen
class Metal:
    """Constant of the adiabatic equation, and the temperature below zero at which its resistance would vanish."""

    constant_a_s05_per_mm2: float
    beta_c: float
    source: str


METALS: Mapping[str, Metal] = MappingProxyType(
    {
        "copper": Metal(226.0, 234.5, "IEC 60364-5-54 annex A"),
        "aluminium": Metal(148.0, 228.0, "IEC 60364-5-54 annex A"),
        "steel": Metal(78.0, 202.0, "IEC 60364-5-54 annex A"),
    }
)


@overload
def k_factor(start_c: float, final_c: float, metal: str = ...) -> float: ...
@overload
def k_factor(start_c: FloatArray, final_c: Floats, metal: str = ...) -> FloatArray: ...
@overload
def k_factor(start_c: Floats, final_c: Floats, metal: str = ...) -> Floats: ...
def k_factor(start_c: Floats, final_c: Floats, metal: str = "copper") -> Floats:
    r"""Factor of the adiabatic equation.

    .. math:: k = K \sqrt{\ln \left( 1 + \frac{T_f - T_i}{\beta + T_i} \right)}

    Parameters
    ----------
    start_c : float or array
        Temperature of the conductor when the fault begins: its running temperature [degC].
    final_c : float or array
        Temperature that its insulation bears at the end: 160 for PVC, 250 for cross-linked polyethylene [degC].
    metal : str, optional
        A key of `METALS` [name].

    Returns
    -------
    k : float or array
        Factor; 0 where the conductor is at its final temperature already [A s^0.5/mm2].

    Raises
    ------
    OutOfRange
        If the start is outside of -60 to 260 degC, or the final temperature is below the start or above 2000 degC.
    UnknownName
        If the metal is none of `METALS`.

    Notes
    -----
    No heat leaves the conductor: right up to about 5 s, and on the safe side for longer. The tables print k for one
    starting temperature each (115 from 70 degC, 143 from 90 degC); a hotter conductor has less left.

    References
    ----------
    .. [1] IEC 60364-5-54, "Earthing arrangements and protective conductors", annex A.

    Examples
    --------
    >>> round(k_factor(70.0, 160.0)), round(k_factor(105.0, 160.0), 1)
    (115, 87.6)
    """
    if metal not in METALS:
        raise UnknownName("metal", metal, METALS)
    within("start_c", start_c, COLDEST_C, HOTTEST_C)
    within("final_c", final_c, COLDEST_C, 2000.0)
    refuse_unless(final_c >= np.asarray(start_c), "final_c", final_c, "at least the temperature at the start")
    known = METALS[metal]
    logarithm = np.log1p((final_c - start_c) / (known.beta_c + start_c))
    factor = known.constant_a_s05_per_mm2 * np.sqrt(logarithm)
    return float(factor) if np.ndim(factor) == 0 else factor


def withstand_a2s(area_mm2: Value, k: Value | float) -> Value:
    r"""Let-through that a conductor bears.

    .. math:: I^2 t = k^2 S^2

    Parameters
    ----------
    area_mm2 : float or array
        Cross-section of the metal [mm2].
    k : float or array
        See `k_factor` [A s^0.5/mm2].

    Returns
    -------
    withstand : float or array
        Integral of the square of the current over the time [A2s].

    Raises
    ------
    OutOfRange
        If the area is not above zero or the factor is negative.

    Notes
    -----
    Up to about 5 s; beyond, a conductor bears more, for some of the heat leaves it.

    References
    ----------
    .. [1] IEC 60364-5-54, "Earthing arrangements and protective conductors", 543.1.2.

    Examples
    --------
    >>> withstand_a2s(2.5, 115.0), withstand_a2s(4.0, 115.0)
    (82656.25, 211600.0)
    """
    above_zero("area_mm2", area_mm2)
    not_negative("k", k)
    return (area_mm2 * k) ** 2


def smallest_area_mm2(let_through_a2s: Value, k: Value | float) -> Value:
    r"""Smallest cross-section that bears a let-through.

    .. math:: S = \frac{\sqrt{I^2 t}}{k}

    Parameters
    ----------
    let_through_a2s : float or array
        Integral of the square of the current over the time [A2s].
    k : float or array
        See `k_factor` [A s^0.5/mm2].

    Returns
    -------
    area : float or array
        Least cross-section of the metal [mm2].

    Raises
    ------
    OutOfRange
        If the let-through is negative or the factor is not above zero.

    Notes
    -----
    The next size up is to be taken. For a constant current the let-through is the square of it times the time.

    References
    ----------
    .. [1] IEC 60364-5-54, "Earthing arrangements and protective conductors", 543.1.2.

    Examples
    --------
    >>> round(smallest_area_mm2(140.0**2 * 7.0, 115.0), 2)
    3.22
    """
    not_negative("let_through_a2s", let_through_a2s)
    above_zero("k", k)
    area: Value = let_through_a2s**0.5 / k
    return area


def onderdonk_current_a(area_mm2: Value, time_s: Value | float, ambient_c: Value | float = 25.0) -> Value:
    r"""Current that melts bare copper within a time.

    .. math:: 33 \, t \left( \frac{I}{A} \right)^2 = \log_{10} \left( 1 + \frac{T_m - T_a}{234 + T_a} \right)

    Parameters
    ----------
    area_mm2 : float or array
        Cross-section of the metal; the printed equation counts it in circular mils [mm2].
    time_s : float or array
        Time until it melts, at most 10 s [s].
    ambient_c : float or array, optional
        Temperature of the wire before [degC].

    Returns
    -------
    current : float or array
        Steady current that melts it in that time [A].

    Raises
    ------
    OutOfRange
        If the area is not above zero, the time is not from 0.001 to 10 s, or the ambient is outside of -60 to 260 degC.

    Notes
    -----
    No heat leaves the wire. A form with 234 minus the ambient is widely copied and wrong: resistance would fall with
    heat. This one agrees to 0.5 % with the adiabatic equation, k = 288 from 25 to 1083 degC.

    References
    ----------
    .. [1] E. R. Stauffacher, "Short-time current carrying capacity of copper wire", General Electric Review 31, 1928
       (the equation that I. M. Onderdonk gave).

    Examples
    --------
    >>> round(onderdonk_current_a(1.0, 1.0))
    289
    """
    above_zero("area_mm2", area_mm2)
    within("time_s", time_s, 0.001, 10.0)
    within("ambient_c", ambient_c, COLDEST_C, HOTTEST_C)
    decades = np.log10(1.0 + (COPPER_MELTS_C - ambient_c) / (234.0 + ambient_c))
    density = (decades / (33.0 * time_s)) ** 0.5
    current: Value = area_mm2 / CMIL_MM2 * (float(density) if np.ndim(density) == 0 else density)
    return current


def preece_diameter_mm(current_a: Value) -> Value:
    r"""Diameter of a bare copper wire in free air that a current just melts.

    .. math:: I = 10244 \, d^{1.5}, \quad d \; \text{in inches}

    Parameters
    ----------
    current_a : float or array
        Steady current [A].

    Returns
    -------
    diameter : float or array
        Diameter of the wire [mm].

    Raises
    ------
    OutOfRange
        If the current is not above zero.

    Notes
    -----
    A long bare wire in free air, for minutes. An insulated wire chars long before; no rating may be derived from it.

    References
    ----------
    .. [1] W. H. Preece, "On the heating effects of electric currents", Proceedings of the Royal Society, 1884 to 1888.

    Examples
    --------
    >>> round(preece_diameter_mm(10.0) / 25.4, 4)
    0.0098
    """
    above_zero("current_a", current_a)
    diameter: Value = INCH_MM * (current_a / PREECE_COPPER_A_PER_IN15) ** (2.0 / 3.0)
    return diameter


def preece_current_a(diameter_mm: Value) -> Value:
    r"""Steady current that just melts a bare copper wire in free air.

    .. math:: I = 10244 \, d^{1.5}, \quad d \; \text{in inches}

    Parameters
    ----------
    diameter_mm : float or array
        Diameter of the wire [mm].

    Returns
    -------
    current : float or array
        Steady current [A].

    Raises
    ------
    OutOfRange
        If the diameter is not above zero.

    Notes
    -----
    See `preece_diameter_mm`.

    References
    ----------
    .. [1] W. H. Preece, "On the heating effects of electric currents", Proceedings of the Royal Society, 1884 to 1888.

    Examples
    --------
    >>> round(preece_current_a(1.0), 1)
    80.0
    """
    above_zero("diameter_mm", diameter_mm)
    current: Value = PREECE_COPPER_A_PER_IN15 * (diameter_mm / INCH_MM) ** 1.5
    return current
