"""How warm a current makes the metal of a cable in still air: the heat balance, read the other way round."""

from __future__ import annotations

import math
from bisect import bisect_right
from functools import lru_cache

from rigfeed.plugin import above_zero, not_negative, refuse_unless, within
from rigfeed_cables.heat import INSULATION_W_PER_M_K, lost_w_per_m
from rigfeed_cables.resistance import ALPHA_PER_K, COLDEST_C, HOTTEST_C

__all__ = ["free_air_metal_c"]

LEAST_K, POINTS = 0.02, 64  # of the surface above its air; between two points the curve is straight in logarithms


def free_air_metal_c(current_a: float, area_mm2: float, ohm_per_km: float, od_mm: float, air_c: float) -> float:
    r"""Temperature of the metal of one cable in still air that carries a current for hours.

    .. math:: I^2 R'(T_m) = q_c(T_s) + q_r(T_s), \quad T_m = T_s + \frac{q \, \ln (D_o / D_c)}{2 \pi k}

    Parameters
    ----------
    current_a : float
        Steady current, zero or more [A].
    area_mm2 : float
        Cross-section of the metal [mm2].
    ohm_per_km : float
        Resistance per length at 20 degC [ohm/km].
    od_mm : float
        Diameter over the insulation [mm].
    air_c : float
        Temperature of the air [degC].

    Returns
    -------
    metal : float
        Temperature of the metal; 260 where it would be that or more: no insulation is left to be judged then [degC].

    Raises
    ------
    OutOfRange
        If the current is negative, area or resistance not above zero, the diameter not more than that of the metal, or
        the air outside of -60 to 260 degC.

    Notes
    -----
    The inverse of `heat.free_air_ampacity_a`, with what is assumed there: a lone horizontal cable, the metal as a solid
    round. Between the points of its curve it is within 0.1 K of the balance.

    References
    ----------
    .. [1] IEC 60287-2-1, V. T. Morgan, 1975, and IEEE 738, as for `heat.free_air_ampacity_a`.

    Examples
    --------
    >>> round(free_air_metal_c(20.0, 2.5, 7.6, 3.0, air_c=30.0))
    48
    """
    not_negative("current_a", current_a)
    for name, value in (("area_mm2", area_mm2), ("ohm_per_km", ohm_per_km)):
        above_zero(name, value)
    within("air_c", air_c, COLDEST_C, HOTTEST_C)
    metal_mm = math.sqrt(4 * area_mm2 / math.pi)
    within("od_mm", od_mm, 0.1, 200.0)
    refuse_unless(od_mm > metal_mm, "od_mm", od_mm, f"above {metal_mm:.3g} mm, the diameter of the metal")
    return metal_c(current_a, area_mm2, ohm_per_km, od_mm, air_c)


def metal_c(current_a: float, area_mm2: float, ohm_per_km: float, od_mm: float, air_c: float) -> float:
    """`free_air_metal_c` for one who has made sure of what it asks for [degC]."""
    if current_a == 0.0 or air_c >= HOTTEST_C - 1.0:
        return air_c
    log_a, log_k = _curve(area_mm2, ohm_per_km, od_mm, air_c)
    here = math.log(current_a)
    if here <= log_a[0]:  # so little that loss and rise are in proportion
        return air_c + math.exp(log_k[0] + 2 * (here - log_a[0]))
    if here >= log_a[-1]:
        return HOTTEST_C
    place = bisect_right(log_a, here)
    share = (here - log_a[place - 1]) / (log_a[place] - log_a[place - 1])
    return min(air_c + math.exp(log_k[place - 1] + share * (log_k[place] - log_k[place - 1])), HOTTEST_C)


@lru_cache(maxsize=1024)
def _curve(
    area_mm2: float, ohm_per_km: float, od_mm: float, air_c: float
) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Logarithms of currents, rising, and of the rise of the metal at each, to the first point beyond the hottest."""
    through = math.log(od_mm / math.sqrt(4 * area_mm2 / math.pi)) / (2 * math.pi * INSULATION_W_PER_M_K)
    log_a, log_k = [], []
    ratio = ((HOTTEST_C - air_c) / LEAST_K) ** (1 / (POINTS - 1))
    for point in range(POINTS):
        surface_c = min(air_c + LEAST_K * ratio**point, HOTTEST_C)
        lost = lost_w_per_m(od_mm, surface_c, air_c)
        warm_c = surface_c + lost * through
        ohm_per_m = ohm_per_km / 1000 * (1.0 + ALPHA_PER_K * (warm_c - 20.0))
        log_a.append(math.log(lost / ohm_per_m) / 2)
        log_k.append(math.log(warm_c - air_c))
        if warm_c >= HOTTEST_C:
            break
    return tuple(log_a), tuple(log_k)
