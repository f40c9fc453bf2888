"""Pull that a crimp must bear."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from rigfeed.plugin import OutOfRange, above_zero
from rigfeed_cables.awg import area_mm2 as gauge_area_mm2

__all__ = ["PULL_LBF", "pull_force_n"]

LBF_N = 0.45359237 * 9.80665

# UL 486A-B, copper, commercial crimp: pounds by size number, 0 for 1/0 AWG. 1 AWG and all above 2/0 are not in it.
PULL_LBF: Mapping[int, float] = MappingProxyType(
    {
        26: 3, 24: 5, 22: 8, 20: 13, 18: 20, 16: 30, 14: 50, 12: 70, 10: 80, 8: 90, 6: 100, 4: 140, 2: 180, 0: 250,
        -1: 300,
    }
)


def pull_force_n(area_mm2: float) -> float:
    """Pull that a crimp on a copper conductor must bear for a minute.

    Parameters
    ----------
    area_mm2 : float
        Cross-section of the metal [mm2].

    Returns
    -------
    force : float
        Of the next thinner size of the table [N].

    Raises
    ------
    OutOfRange
        If the area is below that of 26 AWG, the thinnest of the table.

    Notes
    -----
    A test pulls a sample of the same terminal, conductor and tool, never the joint that is to be used. Other standards
    ask for more: aircraft terminals for about twice as much.

    References
    ----------
    .. [1] UL 486A-B, "Wire connectors", pullout test of copper conductors.

    Examples
    --------
    >>> round(pull_force_n(2.5)), round(pull_force_n(16.0))
    (222, 445)
    """
    above_zero("area_mm2", area_mm2)
    for gauge in sorted(PULL_LBF):
        if gauge_area_mm2(float(gauge)) * 0.995 <= area_mm2:
            return PULL_LBF[gauge] * LBF_N
    raise OutOfRange("area_mm2", area_mm2, "0.129 mm2 (26 AWG) and more; the table begins there")
