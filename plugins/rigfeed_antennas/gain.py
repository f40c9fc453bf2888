"""From the watts of a set to the watts that are radiated: decibels on the way, and gain of the plain antennas.

The functions take floats or NumPy arrays, which broadcast; the first argument decides which of the two comes back.
"""

from __future__ import annotations

from functools import cache

import numpy as np

from rigfeed.plugin import Value, not_negative, refuse_unless, within
from rigfeed_antennas.arrays import db, from_db

__all__ = ["DIPOLE_DBI", "eirp_w", "erp_w", "monopole_gain_dbi", "power_after_loss_w"]

DIPOLE_DBI = 2.15  # a half-wave dipole over an isotropic source, as 47 CFR 2.1 and the trade round it


def power_after_loss_w(power_w: Value, loss_db: Value | float) -> Value:
    r"""Power that is left after a loss.

    .. math:: P_2 = P_1 \cdot 10^{-A/10}

    Parameters
    ----------
    power_w : float or array
        Power before it, not negative [W].
    loss_db : float or array
        All losses on the way together, not negative [dB].

    Returns
    -------
    power : float or array
        Power after it [W].

    Raises
    ------
    OutOfRange
        If the power or the loss is negative.

    Notes
    -----
    3 dB are half of the power, 1 dB a fifth of it.

    References
    ----------
    .. [1] Definition of the decibel, IEC 60027-3.

    Examples
    --------
    >>> round(power_after_loss_w(25.0, 0.74), 1)
    21.1
    """
    not_negative("power_w", power_w)
    not_negative("loss_db", loss_db)
    return power_w / from_db(loss_db)


def erp_w(power_w: Value, loss_db: Value | float, gain_dbd: Value | float) -> Value:
    r"""Effective radiated power: relative to a half-wave dipole.

    .. math:: ERP = P \cdot 10^{(G_d - A)/10}

    Parameters
    ----------
    power_w : float or array
        Power of the set, not negative [W].
    loss_db : float or array
        All losses between set and antenna, not negative [dB].
    gain_dbd : float or array
        Gain of the antenna over a half-wave dipole; 2.15 less than its gain in dBi [dBd].

    Returns
    -------
    power : float or array
        Power that a dipole would need for the same field [W].

    Raises
    ------
    OutOfRange
        If the power or the loss is negative, or the gain is not finite.

    Notes
    -----
    In the direction of the gain. A makers' figure without a unit after "dB" is most often dBi.

    References
    ----------
    .. [1] NCVEC question pool (public domain), E9A02.
    .. [2] 47 CFR 2.1, effective radiated power.

    Examples
    --------
    >>> round(erp_w(150.0, 4.2, 7.0))
    286
    """
    refuse_unless(np.isfinite(gain_dbd), "gain_dbd", gain_dbd, "a finite gain")
    return power_after_loss_w(power_w, loss_db) * from_db(gain_dbd)


def eirp_w(power_w: Value, loss_db: Value | float, gain_dbi: Value | float) -> Value:
    r"""Equivalent isotropically radiated power.

    .. math:: EIRP = P \cdot 10^{(G_i - A)/10}

    Parameters
    ----------
    power_w : float or array
        Power of the set, not negative [W].
    loss_db : float or array
        All losses between set and antenna, not negative [dB].
    gain_dbi : float or array
        Gain of the antenna over an isotropic source [dBi].

    Returns
    -------
    power : float or array
        Power that an isotropic source would need for the same field [W].

    Raises
    ------
    OutOfRange
        If the power or the loss is negative, or the gain is not finite.

    Notes
    -----
    1.64 times the effective radiated power.

    References
    ----------
    .. [1] 47 CFR 2.1, equivalent isotropically radiated power.

    Examples
    --------
    >>> eirp_w(10.0, 0.0, 0.0)
    10.0
    """
    refuse_unless(np.isfinite(gain_dbi), "gain_dbi", gain_dbi, "a finite gain")
    return power_after_loss_w(power_w, loss_db) * from_db(gain_dbi)


def monopole_gain_dbi(height_wavelengths: float) -> float:
    r"""Gain along the ground of a straight rod without loss over a perfect plane.

    .. math::

        U(\theta) = \left( \frac{\cos(k h \cos \theta) - \cos k h}{\sin \theta} \right)^2, \quad
        G = \frac{2 \, U(\pi/2)}{\int_0^{\pi/2} U \sin \theta \, d\theta}

    Parameters
    ----------
    height_wavelengths : float
        Height of the rod over the wavelength, from 0.01 to 0.7 [-].

    Returns
    -------
    gain : float
        Gain over an isotropic source, towards the horizon [dBi].

    Raises
    ------
    OutOfRange
        If the height is not from 0.01 to 0.7 of a wavelength.

    Notes
    -----
    With a sinusoidal current and endless metal. On the roof of a car the horizon gets less, by some decibels, and not
    alike in all directions; a five-eighths rod needs more metal than a quarter-wave one to show its lead.

    References
    ----------
    .. [1] C. A. Balanis, "Antenna theory", linear wire antennas and image theory.

    Examples
    --------
    >>> round(monopole_gain_dbi(0.25), 2), round(monopole_gain_dbi(0.625), 1)
    (5.16, 8.2)
    """
    within("height_wavelengths", height_wavelengths, 0.01, 0.7)
    nodes, weights = _gauss()
    angle = np.pi / 4.0 * (nodes + 1.0)
    tall = 2.0 * np.pi * height_wavelengths
    pattern = ((np.cos(tall * np.cos(angle)) - np.cos(tall)) / np.sin(angle)) ** 2
    whole = float(np.pi / 4.0 * np.sum(weights * pattern * np.sin(angle)))
    return float(db(2.0 * (1.0 - float(np.cos(tall))) ** 2 / whole))


@cache
def _gauss() -> tuple[np.ndarray, np.ndarray]:
    """Nodes and weights of the Gauss-Legendre rule."""
    nodes, weights = np.polynomial.legendre.leggauss(64)
    return nodes, weights
