"""Coaxial cable: loss over frequency from published points, and characteristic impedance from what it is made of.

Frequencies are in hertz, except in the two coefficients of a loss curve: those are of megahertz and of dB per 100 m, as
the trade prints them. The functions take floats or NumPy arrays, which broadcast; the first argument decides which of
the two comes back.
"""

from __future__ import annotations

from functools import cache

import numpy as np

from rigfeed.plugin import Floats, OutOfRange, Value, above_zero, frozen, not_negative, refuse_unless
from rigfeed_antennas.arrays import log, sqrt
from rigfeed_antennas.bands import MHZ, SPEED_OF_LIGHT_M_PER_S

__all__ = [
    "LossFit",
    "fitted_loss",
    "impedance_from_capacitance_ohm",
    "impedance_from_diameters_ohm",
    "loss_db",
    "loss_db_per_100m",
]

VACUUM_OHM = 376.730313668  # impedance of free space, CODATA 2018
FULL_CIRCLE = 6.283185307179586


@frozen
class LossFit:
    """A loss curve ``k1 sqrt(f) + k2 f`` in dB per 100 m, f in MHz, and how far its points lie from it.

    `worst` is the largest distance of a point from the curve, as a share of the point.
    """

    k1: float
    k2: float
    worst: float = 0.0

    def loss_db(self, frequency_hz: float, length_m: float) -> float:
        """Loss of a matched length [dB]."""
        return loss_db(frequency_hz, length_m, self.k1, self.k2)


def loss_db_per_100m(frequency_hz: Value, k1: Value | float, k2: Value | float) -> Value:
    r"""Loss of 100 m of a matched coaxial cable.

    .. math:: a = k_1 \sqrt{f} + k_2 f

    Parameters
    ----------
    frequency_hz : float or array
        Frequency, above zero [Hz].
    k1 : float or array
        Loss in the metal, not negative [dB/(100 m sqrt(MHz))].
    k2 : float or array
        Loss in the dielectric, not negative [dB/(100 m MHz)].

    Returns
    -------
    loss : float or array
        Loss of 100 m between matched ends [dB].

    Raises
    ------
    OutOfRange
        If the frequency is not above zero, or a coefficient is negative.

    Notes
    -----
    From about 1 MHz, where the current keeps to the skin of the metal; below, the loss falls no further than that of
    the direct current. At 20 degC: copper loses about 0.2 % more for each kelvin above.

    References
    ----------
    .. [1] S. Ramo, J. R. Whinnery, T. Van Duzer, "Fields and waves in communication electronics", transmission lines
       with losses: skin effect goes with the root of the frequency, loss in the dielectric with the frequency.

    Examples
    --------
    >>> round(loss_db_per_100m(100e6, 1.5, 0.01), 2)
    16.0
    """
    above_zero("frequency_hz", frequency_hz)
    not_negative("k1", k1)
    not_negative("k2", k2)
    mhz = frequency_hz / MHZ
    return k1 * sqrt(mhz) + k2 * mhz


def loss_db(frequency_hz: Value, length_m: Value | float, k1: Value | float, k2: Value | float) -> Value:
    r"""Loss of a length of matched coaxial cable.

    .. math:: A = (k_1 \sqrt{f} + k_2 f) \, \frac{l}{100}

    Parameters
    ----------
    frequency_hz : float or array
        Frequency, above zero [Hz].
    length_m : float or array
        Length of the cable, one way, not negative [m].
    k1 : float or array
        Loss in the metal, not negative [dB/(100 m sqrt(MHz))].
    k2 : float or array
        Loss in the dielectric, not negative [dB/(100 m MHz)].

    Returns
    -------
    loss : float or array
        Loss between matched ends [dB].

    Raises
    ------
    OutOfRange
        If the frequency is not above zero, or the length or a coefficient is negative.

    Notes
    -----
    See `loss_db_per_100m`. The published values of one type designation spread by 10 to 20 % between makers: carry that
    as a margin. With a mismatch more is lost; see `rigfeed_antennas.mismatch`.

    References
    ----------
    .. [1] MIL-DTL-17, "Cables, radio frequency, flexible and semirigid": attenuation by type and frequency.

    Examples
    --------
    >>> round(loss_db(150e6, 4.0, 1.5, 0.01), 3)
    0.795
    """
    not_negative("length_m", length_m)
    return loss_db_per_100m(frequency_hz, k1, k2) * length_m / 100.0


@cache
def fitted_loss(points: tuple[tuple[float, float], ...]) -> LossFit:
    r"""The loss curve that lies nearest to published points.

    .. math:: \min_{k_1, k_2 \ge 0} \sum_i \left( \frac{k_1 \sqrt{f_i} + k_2 f_i}{a_i} - 1 \right)^2

    Parameters
    ----------
    points : tuple of pairs
        Frequency and loss of each, both above zero; a frequency may stand more than once [MHz, dB/100 m].

    Returns
    -------
    fit : LossFit
        Both coefficients, and the largest distance of a point [-].

    Raises
    ------
    OutOfRange
        If there are less than two points, or a number is not above zero.

    Notes
    -----
    Least squares of the relative distance, since a table is as exact at its low end as at its high one. Where the best
    curve would have a negative coefficient, that one is zero: neither metal nor dielectric gives power back.

    References
    ----------
    .. [1] C. L. Lawson, R. J. Hanson, "Solving least squares problems", chapter 23: least squares with coefficients
       that are not negative.

    Examples
    --------
    >>> fit = fitted_loss(((1.0, 1.51), (100.0, 16.0), (400.0, 34.0)))
    >>> round(fit.k1, 6), round(fit.k2, 6)
    (1.5, 0.01)
    """
    if len(points) < 2:
        raise OutOfRange("points", len(points), "at least 2 of them")
    for mhz, db_per_100m in points:
        above_zero("points", mhz)
        above_zero("points", db_per_100m)
    rows = [(mhz**0.5 / loss, mhz / loss) for mhz, loss in points]
    k1, k2 = _least_squares(rows)
    worst = max(abs(k1 * a + k2 * b - 1.0) for a, b in rows)
    return LossFit(k1, k2, worst)


def _least_squares(rows: list[tuple[float, float]]) -> tuple[float, float]:
    """The coefficients, none negative, with which the two columns come nearest to one in every row."""
    aa, ab, bb = (sum(r[i] * r[j] for r in rows) for i, j in ((0, 0), (0, 1), (1, 1)))
    a, b = sum(r[0] for r in rows), sum(r[1] for r in rows)
    determinant = aa * bb - ab * ab
    if determinant > 1e-12 * aa * bb:
        k1, k2 = (a * bb - b * ab) / determinant, (b * aa - a * ab) / determinant
        if k1 >= 0.0 and k2 >= 0.0:
            return k1, k2
    # one coefficient alone, whichever leaves less: of the sum of squares, n - a^2/aa is left, or n - b^2/bb
    return (a / aa, 0.0) if a * a / aa >= b * b / bb else (0.0, b / bb)


def impedance_from_capacitance_ohm(velocity_factor: Value, capacitance_pf_per_m: Value | float) -> Value:
    r"""Characteristic impedance of a line from its speed and its capacitance.

    .. math:: Z_0 = \frac{1}{v \, c \, C'}

    Parameters
    ----------
    velocity_factor : float or array
        Speed on the line over that of light, above 0, at most 1 [-].
    capacitance_pf_per_m : float or array
        Capacitance between the conductors, above zero [pF/m].

    Returns
    -------
    impedance : float or array
        Characteristic impedance [ohm].

    Raises
    ------
    OutOfRange
        If the velocity factor is not above 0 and at most 1, or the capacitance is not above zero.

    Notes
    -----
    Of a line without loss. The printed form is Z0 = 101670/(VoP C), with the velocity in percent and pF/ft.

    References
    ----------
    .. [1] MIL-DTL-28830E, paragraph 4.7.10.2, characteristic impedance.

    Examples
    --------
    >>> round(impedance_from_capacitance_ohm(0.66, 101.0), 1)
    50.0
    """
    _no_faster_than_light(velocity_factor)
    above_zero("capacitance_pf_per_m", capacitance_pf_per_m)
    return 1e12 / (velocity_factor * SPEED_OF_LIGHT_M_PER_S * capacitance_pf_per_m)


def impedance_from_diameters_ohm(
    dielectric_mm: Value, inner_mm: Value | float, velocity_factor: Value | float
) -> Value:
    r"""Characteristic impedance of a coaxial line from its diameters.

    .. math:: Z_0 = v \, \frac{\eta_0}{2 \pi} \, \ln \frac{D}{d}

    Parameters
    ----------
    dielectric_mm : float or array
        Diameter over the dielectric, under the shield [mm].
    inner_mm : float or array
        Diameter of the inner conductor, above zero, below that of the dielectric [mm].
    velocity_factor : float or array
        Speed on the line over that of light, above 0, at most 1 [-].

    Returns
    -------
    impedance : float or array
        Characteristic impedance [ohm].

    Raises
    ------
    OutOfRange
        If the inner diameter is not above zero and below the other, or the velocity factor not above 0 and at most 1.

    Notes
    -----
    Round and smooth conductors. A stranded inner conductor counts as a thinner one and a braid lies a little further
    out, so that a real cable has a few ohms more than this says.

    References
    ----------
    .. [1] S. Ramo, J. R. Whinnery, T. Van Duzer, "Fields and waves in communication electronics", the coaxial line.

    Examples
    --------
    >>> round(impedance_from_diameters_ohm(7.24, 2.26, 0.66), 1)
    46.1
    """
    above_zero("inner_mm", inner_mm)
    refuse_unless(np.asarray(inner_mm) < dielectric_mm, "inner_mm", inner_mm, "below the diameter over the dielectric")
    _no_faster_than_light(velocity_factor)
    return velocity_factor * VACUUM_OHM / FULL_CIRCLE * log(dielectric_mm / inner_mm)


def _no_faster_than_light(velocity_factor: Floats) -> None:
    speed = np.asarray(velocity_factor)
    refuse_unless((speed > 0.0) & (speed <= 1.0), "velocity_factor", velocity_factor, "above 0, at most 1")
