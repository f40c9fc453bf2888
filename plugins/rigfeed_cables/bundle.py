"""How thick cables are together: the circle around a number of circles."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import NamedTuple

from rigfeed.plugin import above_zero, within

__all__ = ["EQUAL_CIRCLES", "Girth", "bundle_bounds_mm", "equal_bundle_mm", "fill_ratio"]

# Diameter of the smallest known circle around so many equal circles, by the diameter of one. Proven the smallest by
# Graham (to 7), Pirl (8 to 10), Melissen (11), Fodor (12, 13, 19) and Ekanayake and LaFountain (14); of the others
# nobody knows a smaller one.
EQUAL_CIRCLES: Mapping[int, float] = MappingProxyType(
    {
        1: 1.0, 2: 2.0, 3: 2.154701, 4: 2.414214, 5: 2.701302, 6: 3.0, 7: 3.0, 8: 3.304765, 9: 3.613126, 10: 3.813026,
        11: 3.923804, 12: 4.029602, 13: 4.236068, 14: 4.328429, 15: 4.521357, 16: 4.615426, 17: 4.792034, 18: 4.863703,
        19: 4.863703, 20: 5.122321,
    }
)
TRADE_FACTOR = 1.2


class Girth(NamedTuple):
    """What is known of a bundle of any mix without laying it: bounds that hold, and a rule of the trade between."""

    least_mm: float
    trade_mm: float
    most_mm: float


def equal_bundle_mm(number: int, od_mm: float) -> float:
    r"""Diameter of the smallest circle around equal cables.

    .. math:: D = d \, c_n

    Parameters
    ----------
    number : int
        How many cables, 1 to 20 [-].
    od_mm : float
        Diameter of each [mm].

    Returns
    -------
    diameter : float
        Diameter around all of them, laid as tightly as is known [mm].

    Raises
    ------
    OutOfRange
        If the number is not from 1 to 20 or the diameter is not above zero.

    Notes
    -----
    A loom that is laid by hand comes out 5 to 10 % thicker.

    References
    ----------
    .. [1] R. L. Graham, B. D. Lubachevsky, K. J. Nurmela and P. R. J. Ostergard, "Dense packings of congruent circles
       in a circle", Discrete mathematics 181, 1998.

    Examples
    --------
    >>> equal_bundle_mm(7, 2.0), round(equal_bundle_mm(5, 3.0), 1)
    (6.0, 8.1)
    """
    within("number", number, 1, max(EQUAL_CIRCLES))
    above_zero("od_mm", od_mm)
    return EQUAL_CIRCLES[int(number)] * od_mm


def bundle_bounds_mm(ods_mm: Sequence[float]) -> Girth:
    r"""Between which diameters the smallest circle around cables of any diameters lies.

    .. math::

        \max \left( d_1 + d_2, \sqrt{\textstyle\sum d_i^2} \right) \le D \le \sqrt{2 \textstyle\sum d_i^2}, \quad
        D_{trade} = 1.2 \sqrt{\textstyle\sum d_i^2}

    Parameters
    ----------
    ods_mm : sequence of float
        Diameter of each cable, in any order [mm].

    Returns
    -------
    girth : Girth
        The bound from below, the rule of the trade within the bounds, and the bound from above [mm].

    Raises
    ------
    OutOfRange
        If there is no cable or a diameter is not above zero.

    Notes
    -----
    From below: the two thickest side by side, and no more metal and plastic than area. From above: discs that together
    have half the area of a disc always fit into it, whatever their sizes; one cable is its own bundle. The rule of the
    trade is for many cables of like size; it is kept within the bounds.

    References
    ----------
    .. [1] S. P. Fekete, P. Keldenich and C. Scheffer, "Packing disks into disks with optimal worst-case density",
       Symposium on computational geometry, 2019: the density of one half.

    Examples
    --------
    >>> [round(value, 2) for value in bundle_bounds_mm([3.0, 3.0, 5.0])]
    [8.0, 8.0, 9.27]
    """
    above_zero("number of cables", float(len(ods_mm)))
    for od_mm in ods_mm:
        above_zero("ods_mm", od_mm)
    root = math.sqrt(sum(od_mm**2 for od_mm in ods_mm))
    if len(ods_mm) == 1:
        return Girth(root, root, root)
    least = max(sum(sorted(ods_mm)[-2:]), root)
    most = math.sqrt(2) * root
    return Girth(least, min(max(TRADE_FACTOR * root, least), most), most)


def fill_ratio(ods_mm: Sequence[float], bore_mm: float) -> float:
    r"""Share of the area of a round hole that cables take.

    .. math:: f = \frac{\sum d_i^2}{D^2}

    Parameters
    ----------
    ods_mm : sequence of float
        Diameter of each cable, in any order [mm].
    bore_mm : float
        Diameter of the hole or the bore of the loom [mm].

    Returns
    -------
    fill : float
        Share of the area; above 1 they cannot pass [-].

    Raises
    ------
    OutOfRange
        If a diameter or the bore is not above zero.

    Notes
    -----
    The trade allows 53 % for one cable, 31 % for two and 40 % for three and more, so that they can be pulled.

    References
    ----------
    .. [1] NFPA 70, National Electrical Code, chapter 9 table 1, from memory.

    Examples
    --------
    >>> round(fill_ratio([3.0, 3.0], 10.0), 2)
    0.18
    """
    above_zero("bore_mm", bore_mm)
    for od_mm in ods_mm:
        above_zero("ods_mm", od_mm)
    return sum(od_mm**2 for od_mm in ods_mm) / bore_mm**2
