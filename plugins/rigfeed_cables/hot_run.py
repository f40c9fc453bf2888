"""A run that is warm: how warm its copper is, estimated high, and how much shorter that makes it for the same drop.

Both take floats or NumPy arrays, which broadcast; the first argument decides which of the two comes back.
"""

from __future__ import annotations

import numpy as np

from rigfeed.plugin import Value, above_zero, not_negative, refuse_unless, within
from rigfeed_cables.resistance import COLDEST_C, HOTTEST_C

__all__ = ["estimated_conductor_c", "hot_run_length_m"]


def estimated_conductor_c(
    current_a: Value, most_current_a: Value | float, ambient_c: Value | float, rated_c: Value | float
) -> Value:
    r"""Temperature of a conductor that carries less than it may, estimated high.

    .. math:: T_2 = T_1 + (T_R - T_1) \sqrt{I_2 / I_{max}}

    Parameters
    ----------
    current_a : float or array
        Current of the circuit, from zero to the most allowed [A].
    most_current_a : float or array
        Current that brings the conductor to its rated temperature in this ambient and bundle [A].
    ambient_c : float or array
        Temperature of the air around the cable [degC].
    rated_c : float or array
        Rated temperature of the conductor, above the ambient [degC].

    Returns
    -------
    conductor : float or array
        Estimated temperature of the metal [degC].

    Raises
    ------
    OutOfRange
        If the current is negative or above the most allowed, or the ambient is not below the rated temperature.

    Notes
    -----
    Heat goes with the square of the current, so the true rise is lower: the source calls the estimate conservative.
    It serves the voltage drop; no rating may be derived from it.

    References
    ----------
    .. [1] FAA AC 43.13-1B change 1, "Acceptable methods, techniques, and practices", paragraph 11-66d(6), page 11-23.

    Examples
    --------
    >>> round(estimated_conductor_c(20.0, 26.0, ambient_c=50.0, rated_c=200.0), 1)
    181.6
    """
    above_zero("most_current_a", most_current_a)
    within("rated_c", rated_c, COLDEST_C, HOTTEST_C)
    within("ambient_c", ambient_c, COLDEST_C, HOTTEST_C)
    refuse_unless(ambient_c < np.asarray(rated_c), "ambient_c", ambient_c, "below the rated temperature")
    load = current_a / most_current_a
    refuse_unless((load >= 0.0) & (load <= 1.0), "current_a", current_a, "0 A to the most allowed current")
    conductor_c: Value = ambient_c + (rated_c - ambient_c) * load**0.5
    return conductor_c


def hot_run_length_m(cold_length_m: Value, conductor_c: Value | float) -> Value:
    r"""Longest run of a hot copper conductor, from the longest run that the same drop allows at 20 degC.

    .. math:: L_2 = \frac{254.5 \, L_1}{234.5 + T_2}

    Parameters
    ----------
    cold_length_m : float or array
        Longest run at 20 degC, one way or loop [m].
    conductor_c : float or array
        Temperature of the metal, estimated or measured [degC].

    Returns
    -------
    length : float or array
        Longest run at that temperature, one way or loop as it was given [m].

    Raises
    ------
    OutOfRange
        If the length is negative or the temperature is outside of 20 to 260 degC.

    Notes
    -----
    Copper only. 254.5 is the reciprocal of 0.00393 per kelvin: the straight line of `resistance.temperature_factor`, to
    0.02 %. The source shortens runs above 20 degC and lengthens none below.

    References
    ----------
    .. [1] FAA AC 43.13-1B change 1, "Acceptable methods, techniques, and practices", paragraph 11-66d(4), page 11-22.

    Examples
    --------
    >>> round(hot_run_length_m(10.0, 105.0), 2)
    7.5
    """
    not_negative("cold_length_m", cold_length_m)
    within("conductor_c", conductor_c, 20.0, HOTTEST_C)
    return 254.5 * cold_length_m / (234.5 + conductor_c)
