"""When a fuse opens: between the gates that its standard sets, at its multiple of the rated current.

The functions take floats or NumPy arrays, which broadcast; the first argument decides which of the two comes back.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import overload

import numpy as np

from rigfeed.plugin import FloatArray, Floats, above_zero, not_negative, refuse_unless, within

__all__ = ["gate_time_s", "rerated_a", "rerating_factor"]

SAME = 1e-9  # relative: a multiple that was divided out may miss its gate by the last digit


@overload
def gate_time_s(multiple: float, at_multiples: Sequence[float], times_s: Sequence[float]) -> float: ...
@overload
def gate_time_s(multiple: FloatArray, at_multiples: Sequence[float], times_s: Sequence[float]) -> FloatArray: ...
def gate_time_s(multiple: Floats, at_multiples: Sequence[float], times_s: Sequence[float]) -> Floats:
    r"""Time to open at a multiple of the rated current, from one side of the gates.

    .. math:: \ln t = \ln t_1 + \frac{\ln t_2 - \ln t_1}{\ln m_2 - \ln m_1} \, (\ln m - \ln m_1)

    Parameters
    ----------
    multiple : float or array
        Current over the rated current, zero or more [-].
    at_multiples : sequence of float
        Multiples at which the gates stand, rising, above zero [-].
    times_s : sequence of float
        Times of the gates: all the shortest ones, or all the longest ones [s].

    Returns
    -------
    time : float or array
        Time to open; infinite below the first gate [s].

    Raises
    ------
    OutOfRange
        If a multiple is negative, or the gates are not above zero, not rising or not as many as their times.

    Notes
    -----
    Straight between the gates in logarithms; above the last gate the same current squared times time. A real curve
    bends below the straight line, so what is read between two gates is never too short for the longest time, but may be
    for the shortest. Above the last gate the same holds until the fuse gives off no more heat in the time.

    References
    ----------
    .. [1] ISO 8820-1, road vehicles, fuse-links: the gates are limits of the operating time at multiples of the rating.
    .. [2] IEC 60269-1, low-voltage fuses: constant I2t where the heat has no time to flow away.

    Examples
    --------
    >>> round(gate_time_s(2.5, [1.35, 2.0, 3.5], [60.0, 2.0, 0.2]), 3)
    0.799
    >>> gate_time_s(7.0, [1.35, 2.0, 3.5], [60.0, 2.0, 0.2])
    0.05
    """
    not_negative("multiple", multiple)
    gates, times = np.asarray(at_multiples, dtype=float), np.asarray(times_s, dtype=float)
    above_zero("at_multiples", gates)
    above_zero("times_s", times)
    refuse_unless(0 < gates.size == times.size, "times_s", float(times.size), f"{gates.size} of them, one for a gate")
    refuse_unless(np.diff(gates) > 0, "at_multiples", gates[1:], "rising from gate to gate")
    asked = np.asarray(multiple, dtype=float)
    held = np.maximum(asked, gates[0])
    between = np.exp(np.interp(np.log(held), np.log(gates), np.log(times)))
    beyond = np.minimum(1.0, gates[-1] / held) ** 2
    time = np.where(asked < gates[0] * (1.0 - SAME), np.inf, between * beyond)
    return float(time) if time.ndim == 0 else time


@overload
def rerating_factor(air_c: float, at_c: Sequence[float], factors: Sequence[float]) -> float: ...
@overload
def rerating_factor(air_c: FloatArray, at_c: Sequence[float], factors: Sequence[float]) -> FloatArray: ...
def rerating_factor(air_c: Floats, at_c: Sequence[float], factors: Sequence[float]) -> Floats:
    r"""What a fuse carries in air of another temperature, relative to its rating.

    .. math:: f = f_1 + (f_2 - f_1) \, \frac{T - T_1}{T_2 - T_1}

    Parameters
    ----------
    air_c : float or array
        Temperature of the air around the fuse, within the points of its curve [degC].
    at_c : sequence of float
        Temperatures of the points of its curve, rising [degC].
    factors : sequence of float
        Share of the rating that it carries at each of them [-].

    Returns
    -------
    factor : float or array
        What to multiply the rated current by [-].

    Raises
    ------
    OutOfRange
        If the air is colder or hotter than the curve knows, or the curve is empty, not rising, or not above zero.

    Notes
    -----
    Straight between the points of a curve that the family brings along. It concerns overloads that last; in a short
    the air hardly counts.

    References
    ----------
    .. [1] ISO 8820-1, road vehicles, fuse-links, conditions of test: 23 degC (from memory, unconfirmed).

    Examples
    --------
    >>> round(rerating_factor(85.0, [25.0, 60.0, 110.0], [1.0, 0.93, 0.80]), 3)
    0.865
    """
    points, values = np.asarray(at_c, dtype=float), np.asarray(factors, dtype=float)
    refuse_unless(0 < points.size == values.size, "factors", float(values.size), f"{points.size}, one for a point")
    refuse_unless(np.diff(points) > 0, "at_c", points[1:], "rising from point to point")
    above_zero("factors", values)
    within("air_c", air_c, float(points[0]), float(points[-1]))
    factor = np.interp(air_c, points, values)
    return float(factor) if np.ndim(factor) == 0 else factor


def rerated_a(rated_a: float, factor: float) -> float:
    r"""What a fuse carries for good in its air.

    .. math:: I = f \, I_n

    Parameters
    ----------
    rated_a : float
        Rated current of the fuse, above zero [A].
    factor : float
        Re-rating factor at the temperature of the air, above zero [-].

    Returns
    -------
    current : float
        Current that it carries in that air as it carries its rating in the standard's [A].

    Raises
    ------
    OutOfRange
        If one of them is not above zero.

    Notes
    -----
    No margin is in it: a continuous load takes a share of this, see `window.lowest_rating_a`.

    References
    ----------
    .. [1] ISO 8820-1, road vehicles, fuse-links, conditions of test: 23 degC (from memory, unconfirmed).

    Examples
    --------
    >>> rerated_a(40.0, 0.875)
    35.0
    """
    above_zero("rated_a", rated_a)
    above_zero("factor", factor)
    return rated_a * factor
