"""Ampacity of a conductor in air of another temperature than that of its table.

The functions take floats or NumPy arrays, which broadcast; the first argument decides which of the two comes back.
"""

from __future__ import annotations

from typing import overload

import numpy as np

from rigfeed.plugin import FloatArray, Floats, Value, not_negative, refuse_unless, within
from rigfeed_cables.resistance import COLDEST_C, HOTTEST_C

__all__ = ["ambient_factor", "corrected_ampacity_a"]


@overload
def ambient_factor(ambient_c: float, rated_c: float, base_c: float = ...) -> float: ...
@overload
def ambient_factor(ambient_c: FloatArray, rated_c: Floats, base_c: Floats = ...) -> FloatArray: ...
@overload
def ambient_factor(ambient_c: Floats, rated_c: Floats, base_c: Floats = ...) -> Floats: ...
def ambient_factor(ambient_c: Floats, rated_c: Floats, base_c: Floats = 30.0) -> Floats:
    r"""Ampacity in an ambient relative to that in the ambient of its table.

    .. math:: f = \sqrt{\frac{T_c - T_a}{T_c - T_0}}

    Parameters
    ----------
    ambient_c : float or array
        Temperature of the air around the cable, below the rated temperature [degC].
    rated_c : float or array
        Rated temperature of the conductor [degC].
    base_c : float or array, optional
        Ambient of the table that the ampacity was taken from, below the rated temperature [degC].

    Returns
    -------
    factor : float or array
        What to multiply the table's ampacity by; above 1 where it is cooler than in the table [-].

    Raises
    ------
    OutOfRange
        If the ambient or the table's ambient is not below the rated temperature, or one of them is outside of -60 to
        260 degC. A conductor in air as hot as its rating may carry nothing: there is no factor to give.

    Notes
    -----
    The heat that a conductor gives off goes with its rise above the air, and the heat it makes with the square of the
    current; resistance and surface cooling are taken as in the table. Whether a factor above 1 may be used is for the
    practice to say. Not together with a factor for engine spaces: that one is this one at 50 degC.

    References
    ----------
    .. [1] NFPA 70, National Electrical Code, section 310.15(B) and table 310.15(B)(1).
    .. [2] 33 CFR 183.425, table 5, note 1 (engine spaces: the factor of 50 degC).

    Examples
    --------
    >>> round(ambient_factor(50.0, rated_c=75.0), 3)
    0.745
    """
    for name, value in (("ambient_c", ambient_c), ("rated_c", rated_c), ("base_c", base_c)):
        within(name, value, COLDEST_C, HOTTEST_C)
    rated = f"{rated_c:g} degC" if isinstance(rated_c, (int, float)) else "temperature"
    refuse_unless(base_c < np.asarray(rated_c), "base_c", base_c, f"below the conductor's rated {rated}")
    allowed = f"below the conductor's rated {rated}; in air as hot as that it may carry nothing"
    refuse_unless(ambient_c < np.asarray(rated_c), "ambient_c", ambient_c, allowed)
    return ((rated_c - ambient_c) / (rated_c - base_c)) ** 0.5


def corrected_ampacity_a(
    table_a: Value, ambient_c: Value | float, rated_c: Value | float, base_c: Value | float = 30.0
) -> Value:
    r"""Ampacity of a table, corrected for another ambient.

    .. math:: I_2 = I_1 \sqrt{\frac{T_c - T_{a2}}{T_c - T_{a1}}}

    Parameters
    ----------
    table_a : float or array
        Ampacity as the table prints it [A].
    ambient_c : float or array
        Temperature of the air around the cable, below the rated temperature [degC].
    rated_c : float or array
        Rated temperature of the conductor [degC].
    base_c : float or array, optional
        Ambient of the table, below the rated temperature [degC].

    Returns
    -------
    ampacity : float or array
        Ampacity in that ambient [A].

    Raises
    ------
    OutOfRange
        If the ampacity is negative, the ambient or the table's ambient is not below the rated temperature, or one of
        them is outside of -60 to 260 degC.

    Notes
    -----
    See `ambient_factor`. The factor for bundled cables is separate and multiplies the result.

    References
    ----------
    .. [1] NFPA 70, National Electrical Code, section 310.15(B).

    Examples
    --------
    >>> round(corrected_ampacity_a(80.0, 60.0, rated_c=105.0), 1)
    62.0
    """
    not_negative("table_a", table_a)
    return table_a * ambient_factor(ambient_c, rated_c, base_c)
