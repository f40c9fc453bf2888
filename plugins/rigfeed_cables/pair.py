"""Inductance of two parallel conductors, and how fast a fault current rises in them."""

from __future__ import annotations

import math
from typing import cast

import numpy as np

from rigfeed.plugin import Value, above_zero, not_negative, refuse_unless

__all__ = ["pair_inductance_h", "rise_time_constant_s"]

MAGNETIC_CONSTANT_H_PER_M = 4e-7 * math.pi


def pair_inductance_h(length_m: Value, radius_mm: Value | float, spacing_mm: Value | float) -> Value:
    r"""Inductance of a go-and-return pair of round conductors.

    .. math:: L = \frac{\mu_0 \, l}{\pi} \left( \ln \frac{s}{r} + \frac{1}{4} \right)

    Parameters
    ----------
    length_m : float or array
        Length of the pair, one way [m].
    radius_mm : float or array
        Radius of the metal of each conductor [mm].
    spacing_mm : float or array
        From centre to centre, at least twice the radius [mm].

    Returns
    -------
    inductance : float or array
        Inductance of the loop [H].

    Raises
    ------
    OutOfRange
        If the length is negative, the radius is not above zero or the conductors would overlap.

    Notes
    -----
    Direct current and slow changes; the quarter is the field inside of the metal. A return through the body encloses
    far more area and has far more inductance.

    References
    ----------
    .. [1] F. W. Grover, "Inductance calculations", chapter 5, return circuit of parallel round wires.

    Examples
    --------
    >>> round(pair_inductance_h(5.0, 2.5, 10.0) * 1e6, 2)
    3.27
    """
    not_negative("length_m", length_m)
    above_zero("radius_mm", radius_mm)
    apart = np.asarray(spacing_mm) >= 2.0 * np.asarray(radius_mm)
    refuse_unless(apart, "spacing_mm", spacing_mm, "at least twice the radius")
    per_m = MAGNETIC_CONSTANT_H_PER_M / math.pi * (np.log(spacing_mm / np.asarray(radius_mm)) + 0.25)
    return length_m * cast("Value", float(per_m) if np.ndim(per_m) == 0 else per_m)


def rise_time_constant_s(inductance_h: Value, loop_ohm: Value | float) -> Value:
    r"""Time constant with which a current rises in a loop.

    .. math:: \tau = L / R

    Parameters
    ----------
    inductance_h : float or array
        Inductance of the loop [H].
    loop_ohm : float or array
        Resistance of the loop, source included [ohm].

    Returns
    -------
    time : float or array
        After this time the current has 63 % of its final value [s].

    Raises
    ------
    OutOfRange
        If the inductance is negative or the resistance is not above zero.

    Notes
    -----
    Below a millisecond for the loops of a vehicle: next to the time in which a fuse opens it can be left out.

    References
    ----------
    .. [1] F. W. Grover, "Inductance calculations", for the inductance.

    Examples
    --------
    >>> round(rise_time_constant_s(3.27e-6, 0.015) * 1e3, 3)
    0.218
    """
    not_negative("inductance_h", inductance_h)
    above_zero("loop_ohm", loop_ohm)
    return inductance_h / loop_ohm
