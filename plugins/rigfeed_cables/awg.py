"""American wire gauge: size number, diameter and area of a solid round wire, and the smallest size that is enough.

A size is its number: 10 for 10 AWG, 0 for 1/0 AWG, -3 for 4/0 AWG. The area that belongs to a number depends on the
standard that the cable follows: road-vehicle cable to SAE J1127 or J1128 may hold less metal than ASTM B258 gives, so a
choice of size takes the areas to choose from.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from types import MappingProxyType

import numpy as np

from rigfeed.plugin import OutOfRange, Value, above_zero, within

__all__ = [
    "CMIL_MM2",
    "SAE_LEAST_MM2",
    "TRADE_GAUGES",
    "area_mm2",
    "area_of_round_mm2",
    "cmil_from_mm2",
    "diameter_mm",
    "gauge_from_area",
    "gauge_name",
    "mm2_from_cmil",
    "smallest_gauge",
]

THICKEST, THINNEST = -3, 40
CMIL_MM2 = math.pi / 4 * 0.0254**2  # a circle of one mil, 1/1000 inch
TRADE_GAUGES = (-3, -2, -1, 0, 1, 2, 4, 6, 8, 10, 12, 14, 16, 18, 20, 22, 24)  # as cable is sold, thickest first

# Least metal of road-vehicle cable to SAE J1127 and J1128 by size number. 18 to 10 as small-craft papers print them
# beside their conductor formula; the others from memory.
SAE_LEAST_MM2: Mapping[int, float] = MappingProxyType(
    {
        gauge: cmil * CMIL_MM2
        for gauge, cmil in {
            18: 1537.0, 16: 2336.0, 14: 3702.0, 12: 5833.0, 10: 9343.0, 8: 14810.0, 6: 25910.0, 4: 37360.0, 2: 62450.0,
            1: 77790.0, 0: 98980.0, -1: 125100.0, -2: 158600.0, -3: 205500.0,
        }.items()
    }
)


def diameter_mm(gauge: Value) -> Value:
    r"""Diameter of a solid round wire.

    .. math:: d = 0.127 \cdot 92^{(36 - n)/39}

    Parameters
    ----------
    gauge : float or array
        Size number, 0 for 1/0 and -3 for 4/0 AWG [AWG].

    Returns
    -------
    diameter : float or array
        Diameter of the bare wire [mm].

    Raises
    ------
    OutOfRange
        If the number is not from -3 (4/0) to 40.

    Notes
    -----
    Nominal and solid. A stranded conductor of the same area is thicker, for the air between its strands.

    References
    ----------
    .. [1] ASTM B258, "Nominal diameters and cross-sectional areas of AWG sizes of solid round wires": 0.0050 in for 36
       and 0.4600 in for 4/0, in 39 equal ratios.

    Examples
    --------
    >>> round(diameter_mm(10), 3)
    2.588
    """
    within("gauge", gauge, THICKEST, THINNEST)
    wide_mm: Value = 0.127 * 92.0 ** ((36.0 - gauge) / 39.0)
    return wide_mm


def area_mm2(gauge: Value) -> Value:
    r"""Cross-section of a solid round wire.

    .. math:: A = \frac{\pi}{4} d^2

    Parameters
    ----------
    gauge : float or array
        Size number, 0 for 1/0 and -3 for 4/0 AWG [AWG].

    Returns
    -------
    area : float or array
        Cross-section of the metal [mm2].

    Raises
    ------
    OutOfRange
        If the number is not from -3 (4/0) to 40.

    Notes
    -----
    Area to ASTM B258. Cable to SAE J1128 may hold less: 5833 cmil for 12 AWG, where this gives 6530.

    References
    ----------
    .. [1] ASTM B258, "Nominal diameters and cross-sectional areas of AWG sizes of solid round wires".

    Examples
    --------
    >>> round(area_mm2(10), 3), round(area_mm2(-3), 1)
    (5.261, 107.2)
    """
    wide_mm = diameter_mm(gauge)
    return math.pi / 4 * wide_mm * wide_mm


def area_of_round_mm2(wire_mm: Value) -> Value:
    r"""Cross-section of a round wire.

    .. math:: A = \frac{\pi}{4} d^2

    Parameters
    ----------
    wire_mm : float or array
        Diameter of the bare wire [mm].

    Returns
    -------
    area : float or array
        Cross-section of the metal [mm2].

    Raises
    ------
    OutOfRange
        If the diameter is not above zero.

    Notes
    -----
    Of one wire; a strand of n of them has n times as much, its lay some 2 % more resistance.

    References
    ----------
    .. [1] ASTM B258, "Nominal diameters and cross-sectional areas of AWG sizes of solid round wires".

    Examples
    --------
    >>> round(area_of_round_mm2(0.25) * 50, 2)
    2.45
    """
    above_zero("wire_mm", wire_mm)
    return math.pi / 4 * wire_mm * wire_mm


def cmil_from_mm2(size_mm2: Value) -> Value:
    """Cross-section in circular mils, the square of a diameter in thousandths of an inch.

    Parameters
    ----------
    size_mm2 : float or array
        Cross-section, above zero [mm2].

    Returns
    -------
    area : float or array
        The same cross-section [cmil].

    Raises
    ------
    OutOfRange
        If the cross-section is not above zero.

    Notes
    -----
    Exact: the inch is 25.4 mm.

    References
    ----------
    .. [1] ASTM B258, "Nominal diameters and cross-sectional areas of AWG sizes of solid round wires".

    Examples
    --------
    >>> round(cmil_from_mm2(5.2612))
    10383
    """
    above_zero("size_mm2", size_mm2)
    return size_mm2 / CMIL_MM2


def mm2_from_cmil(size_cmil: Value) -> Value:
    """Cross-section in square millimetres from circular mils.

    Parameters
    ----------
    size_cmil : float or array
        Cross-section, above zero [cmil].

    Returns
    -------
    area : float or array
        The same cross-section [mm2].

    Raises
    ------
    OutOfRange
        If the cross-section is not above zero.

    Notes
    -----
    Exact: the inch is 25.4 mm.

    References
    ----------
    .. [1] ASTM B258, "Nominal diameters and cross-sectional areas of AWG sizes of solid round wires".

    Examples
    --------
    >>> round(mm2_from_cmil(211600.0), 1)
    107.2
    """
    above_zero("size_cmil", size_cmil)
    return size_cmil * CMIL_MM2


def gauge_from_area(size_mm2: Value) -> Value:
    r"""Size number, not rounded, of a solid round wire of an area.

    .. math:: n = 36 - 39 \, \log_{92} \frac{\sqrt{4 A / \pi}}{0.127}

    Parameters
    ----------
    size_mm2 : float or array
        Cross-section of the metal [mm2].

    Returns
    -------
    gauge : float or array
        Size number; 9.5 lies between 9 and 10 AWG [AWG].

    Raises
    ------
    OutOfRange
        If the area is not above zero.

    Notes
    -----
    Below -3 and above 40 the number is a continuation of the series that no table prints. To choose a size use
    `smallest_gauge`: rounding a number up would choose less metal.

    References
    ----------
    .. [1] ASTM B258, "Nominal diameters and cross-sectional areas of AWG sizes of solid round wires".

    Examples
    --------
    >>> round(gauge_from_area(6.0), 1)
    9.4
    """
    above_zero("size_mm2", size_mm2)
    widths = (4.0 / math.pi * size_mm2) ** 0.5 / 0.127
    gauge: Value = 36.0 - 39.0 * (math.log(widths) if isinstance(widths, float) else np.log(widths)) / math.log(92.0)
    return gauge


def smallest_gauge(needed_mm2: float, area_of_mm2: Mapping[int, float] | None = None) -> int:
    """The thinnest size of a series that has at least an area.

    Parameters
    ----------
    needed_mm2 : float
        Least cross-section of the metal [mm2].
    area_of_mm2 : mapping, optional
        Area by size number of the series to choose from; unless given, `TRADE_GAUGES` with ASTM B258 areas [mm2].

    Returns
    -------
    gauge : int
        Size number, 0 for 1/0 and -3 for 4/0 AWG [AWG].

    Raises
    ------
    OutOfRange
        If the area is not above zero, no size of the series has it, or the series is empty.

    Notes
    -----
    An area that equals the need is enough. What is sold by SAE J1127 or J1128 needs the areas of that standard.

    References
    ----------
    .. [1] ASTM B258, "Nominal diameters and cross-sectional areas of AWG sizes of solid round wires".

    Examples
    --------
    >>> smallest_gauge(3.1), smallest_gauge(3.1, {10: 4.734, 12: 2.956})
    (12, 10)
    """
    above_zero("needed_mm2", needed_mm2)
    series = {gauge: area_mm2(float(gauge)) for gauge in TRADE_GAUGES} if area_of_mm2 is None else area_of_mm2
    above_zero("number of sizes to choose from", float(len(series)))
    enough = [(area, gauge) for gauge, area in series.items() if area >= needed_mm2]
    if not enough:
        thickest = f"at most {max(series.values()):.4g} mm2, the thickest of the series"
        raise OutOfRange("needed_mm2", needed_mm2, thickest)
    return min(enough)[1]


def gauge_name(gauge: int) -> str:
    """The size as it is printed on a cable.

    Parameters
    ----------
    gauge : int
        Size number, 0 for 1/0 and -3 for 4/0 AWG [AWG].

    Returns
    -------
    name : str
        For instance "4/0 AWG" [name].

    Raises
    ------
    OutOfRange
        If the number is not from -3 (4/0) to 40.

    Notes
    -----
    The same form that the reader of quantities understands.

    References
    ----------
    .. [1] ASTM B258, "Nominal diameters and cross-sectional areas of AWG sizes of solid round wires".

    Examples
    --------
    >>> gauge_name(-3), gauge_name(0), gauge_name(8)
    ('4/0 AWG', '1/0 AWG', '8 AWG')
    """
    within("gauge", float(gauge), THICKEST, THINNEST)
    return f"{1 - gauge}/0 AWG" if gauge < 1 else f"{gauge} AWG"
