"""Ampacity by the table of the small-craft rules, which is also what road vehicles go by for want of one of their own.

One table, as printed: a figure of it is never raised, neither by interpolating between sizes or insulation classes nor
for air that is cooler than that of the table.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from rigfeed.plugin import OutOfRange, above_zero, within
from rigfeed_cables.ampacity import ambient_factor
from rigfeed_cables.awg import area_mm2 as gauge_area_mm2
from rigfeed_cables.resistance import COLDEST_C, HOTTEST_C

__all__ = [
    "BASE_C",
    "CLASSES_C",
    "ENGINE_SPACE_C",
    "GAUGES",
    "SOURCE",
    "bundle_factor",
    "derated_a",
    "engine_space_factor",
    "table_a",
    "table_class_c",
    "table_gauge",
]

SOURCE = "33 CFR 183.425 table 5"
BASE_C = 30.0
ENGINE_SPACE_C = 50.0
CLASSES_C = (60.0, 75.0, 80.0, 90.0, 105.0, 125.0, 200.0)

# 33 CFR 183.425 table 5, one stranded copper conductor in air of 30 degC: size number (0 for 1/0 AWG), then the amperes
# of each class of insulation
_AMPS: Mapping[int, tuple[int, ...]] = MappingProxyType(
    {
        18: (10, 10, 15, 20, 20, 25, 25),
        16: (15, 15, 20, 25, 25, 30, 35),
        14: (20, 20, 25, 30, 35, 40, 45),
        12: (25, 25, 35, 40, 45, 50, 55),
        10: (40, 40, 50, 55, 60, 70, 70),
        8: (55, 65, 70, 70, 80, 90, 100),
        6: (80, 95, 100, 100, 120, 125, 135),
        4: (105, 125, 130, 135, 160, 170, 180),
        3: (120, 145, 150, 155, 180, 195, 210),
        2: (140, 170, 175, 180, 210, 225, 240),
        1: (165, 195, 210, 210, 245, 265, 280),
        0: (195, 230, 245, 245, 285, 305, 325),
        -1: (225, 265, 285, 285, 330, 355, 370),
        -2: (260, 310, 330, 330, 385, 410, 430),
        -3: (300, 360, 385, 385, 445, 475, 510),
    }
)
GAUGES = tuple(sorted(_AMPS))  # thickest first
_AREAS_MM2 = {gauge: gauge_area_mm2(float(gauge)) for gauge in GAUGES}
_ENOUGH = 0.995  # an area written with three digits is still that of its size

# note 1 of the table; for 200 degC it prints no reduction, where the formula gives 0.94: the formula is taken
_ENGINE_SPACE = {60.0: 0.58, 75.0: 0.75, 80.0: 0.78, 90.0: 0.82, 105.0: 0.85, 125.0: 0.89}

# note 2 of the table: from so many conductors that carry current. It is a rule for 50 V and above.
_BUNDLES = ((25, 0.4), (7, 0.5), (4, 0.6), (3, 0.7))


def table_gauge(area_mm2: float) -> int:
    """The thickest size of the table that has no more metal than a cable.

    Parameters
    ----------
    area_mm2 : float
        Cross-section of the metal [mm2].

    Returns
    -------
    gauge : int
        Size number, 0 for 1/0 and -3 for 4/0 AWG [AWG].

    Raises
    ------
    OutOfRange
        If the area is below that of 18 AWG, the thinnest of the table.

    Notes
    -----
    Areas to ASTM B258. A metric cable gets the amperes of the next thinner size, never any between two sizes.

    References
    ----------
    .. [1] 33 CFR 183.425, table 5.

    Examples
    --------
    >>> table_gauge(2.5), table_gauge(16.0), table_gauge(70.0)
    (14, 6, -1)
    """
    above_zero("area_mm2", area_mm2)
    for gauge in GAUGES:
        if _AREAS_MM2[gauge] * _ENOUGH <= area_mm2:
            return gauge
    raise OutOfRange(
        "area_mm2", area_mm2, f"{_AREAS_MM2[GAUGES[-1]]:.3g} mm2 (18 AWG) and more; the table begins there"
    )


def table_class_c(insulation_c: float) -> float:
    """The highest class of insulation of the table that is not above that of a cable.

    Parameters
    ----------
    insulation_c : float
        Temperature for which the insulation is rated [degC].

    Returns
    -------
    column : float
        Class of insulation in the table [degC].

    Raises
    ------
    OutOfRange
        If the rating is below 60 degC, the lowest of the table, or above 400 degC.

    Notes
    -----
    A cable of 100 degC gets the amperes of 90 degC.

    References
    ----------
    .. [1] 33 CFR 183.425, table 5.

    Examples
    --------
    >>> table_class_c(105.0), table_class_c(100.0)
    (105.0, 90.0)
    """
    within("insulation_c", insulation_c, CLASSES_C[0], 400.0)
    return max(column for column in CLASSES_C if column <= insulation_c)


def table_a(gauge: int, insulation_c: float) -> float:
    """What the table prints for one conductor in air of 30 degC.

    Parameters
    ----------
    gauge : int
        Size number, 0 for 1/0 and -3 for 4/0 AWG [AWG].
    insulation_c : float
        Temperature for which the insulation is rated [degC].

    Returns
    -------
    ampacity : float
        Steady current [A].

    Raises
    ------
    OutOfRange
        If the table does not have the size, or the insulation is rated below 60 degC or above 400 degC.

    Notes
    -----
    One stranded copper conductor outside of an engine space.

    References
    ----------
    .. [1] 33 CFR 183.425, table 5.

    Examples
    --------
    >>> table_a(8, 105.0)
    80.0
    """
    if gauge not in _AMPS:
        raise OutOfRange("gauge", gauge, "18, 16, 14, 12, 10, 8, 6, 4, 3, 2, 1, 1/0, 2/0, 3/0 and 4/0 AWG")
    return float(_AMPS[gauge][CLASSES_C.index(table_class_c(insulation_c))])


def engine_space_factor(insulation_c: float) -> float:
    """What the table leaves of its amperes in an engine space.

    Parameters
    ----------
    insulation_c : float
        Temperature for which the insulation is rated [degC].

    Returns
    -------
    factor : float
        What to multiply the amperes of the table by [-].

    Raises
    ------
    OutOfRange
        If the insulation is rated below 60 degC or above 260 degC.

    Notes
    -----
    It is the correction for air of 50 degC, rounded: for engine spaces up to that, and never together with
    `ambient_factor`. Above 125 degC the formula stands in for what is printed, which reduces nothing.

    References
    ----------
    .. [1] 33 CFR 183.425, table 5, note 1.

    Examples
    --------
    >>> engine_space_factor(105.0)
    0.85
    """
    column = table_class_c(insulation_c)
    return _ENGINE_SPACE[column] if column in _ENGINE_SPACE else ambient_factor(ENGINE_SPACE_C, insulation_c)


def bundle_factor(conductors: int) -> float:
    """What is left of an ampacity where conductors that carry current lie together.

    Parameters
    ----------
    conductors : int
        How many of them carry current at the same time, both legs counted [-].

    Returns
    -------
    factor : float
        What to multiply the ampacity of one by [-].

    Raises
    ------
    OutOfRange
        If there is not at least one.

    Notes
    -----
    The rule is made for 50 V and above; below, it is used by choice, since the heat is the same.

    References
    ----------
    .. [1] 33 CFR 183.425, table 5, note 2.

    Examples
    --------
    >>> [bundle_factor(number) for number in (1, 2, 3, 4, 7, 25)]
    [1.0, 1.0, 0.7, 0.6, 0.5, 0.4]
    """
    within("conductors", conductors, 1, 10_000)
    return next((factor for least, factor in _BUNDLES if conductors >= least), 1.0)


def derated_a(base_a: float, insulation_c: float, air_c: float, conductors: int = 1, base_c: float = BASE_C) -> float:
    r"""An ampacity in hotter air and in a bundle; never more than it was.

    .. math:: I = I_0 \, b \, \min \left( 1, \sqrt{\frac{T_c - T_a}{T_c - T_0}} \right)

    Parameters
    ----------
    base_a : float
        Ampacity of one conductor in air of the base temperature [A].
    insulation_c : float
        Temperature for which the insulation is rated, above the base [degC].
    air_c : float
        Temperature of the air; at or above the rating nothing is left [degC].
    conductors : int, optional
        How many that carry current lie together [-].
    base_c : float, optional
        Air for which the ampacity was stated [degC].

    Returns
    -------
    ampacity : float
        Steady current [A].

    Raises
    ------
    OutOfRange
        If the ampacity is negative, the base is not below the rating, a temperature is outside of -60 to 260 degC, or
        there is not at least one conductor.

    Notes
    -----
    Cooler air than that of the base allows more by nature; no table prints it, so nothing is added.

    References
    ----------
    .. [1] NFPA 70, National Electrical Code, section 310.15(B).
    .. [2] 33 CFR 183.425, table 5, note 2.

    Examples
    --------
    >>> round(derated_a(29.0, 105.0, 85.0), 1), derated_a(29.0, 105.0, 105.0), derated_a(30.0, 105.0, 0.0, conductors=3)
    (15.0, 0.0, 21.0)
    """
    within("air_c", air_c, COLDEST_C, HOTTEST_C)
    within("insulation_c", insulation_c, base_c, HOTTEST_C)
    within("base_a", base_a, 0.0, 1e5)
    share = bundle_factor(conductors)
    if air_c >= insulation_c:
        return 0.0
    return base_a * share * min(1.0, ambient_factor(air_c, insulation_c, base_c))
