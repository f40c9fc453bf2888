"""What a mismatch at the antenna does: standing wave, reflected power, and what the line loses by it.

A standing wave ratio (SWR) belongs to a place: loss in the line makes it look better at the set than it is at the
antenna, and every function here says at which end it means. The functions take floats or NumPy arrays, which broadcast;
the first argument decides which of the two comes back.
"""

from __future__ import annotations

import numpy as np

from rigfeed.plugin import Floats, Value, above_zero, not_negative, refuse_unless
from rigfeed_antennas.arrays import absolute, db, from_db, sqrt

__all__ = [
    "handbook_line_loss_db",
    "mismatch_loss_db",
    "reflected_share",
    "reflection",
    "return_loss_db",
    "swr_at_set",
    "swr_from_load",
    "swr_from_powers",
]


def swr_from_load(load_ohm: Value, line_ohm: Value | float = 50.0) -> Value:
    r"""Standing wave ratio at a load that is a pure resistance.

    .. math:: S = \max \left( \frac{R}{Z_0}, \frac{Z_0}{R} \right)

    Parameters
    ----------
    load_ohm : float or array
        Resistance of the load, above zero [ohm].
    line_ohm : float or array, optional
        Characteristic impedance of the line, above zero [ohm].

    Returns
    -------
    swr : float or array
        Standing wave ratio at the load, 1 or more [-].

    Raises
    ------
    OutOfRange
        If a resistance is not above zero.

    Notes
    -----
    A load with a reactance has a higher ratio than its resistance alone gives; see `rigfeed_antennas.line`.

    References
    ----------
    .. [1] NCVEC question pool (public domain), G9A09 and G9A10.

    Examples
    --------
    >>> swr_from_load(200.0), swr_from_load(10.0)
    (4.0, 5.0)
    """
    above_zero("load_ohm", load_ohm)
    above_zero("line_ohm", line_ohm)
    ratio = load_ohm / line_ohm
    mean = (ratio + 1.0 / ratio) / 2.0
    return mean + absolute(ratio - 1.0 / ratio) / 2.0  # the larger of the two


def reflection(swr: Value) -> Value:
    r"""Share of the voltage that is reflected where the standing wave has a given ratio.

    .. math:: \rho = \frac{S - 1}{S + 1}

    Parameters
    ----------
    swr : float or array
        Standing wave ratio, 1 or more [-].

    Returns
    -------
    rho : float or array
        Magnitude of the reflection coefficient, from 0 to below 1 [-].

    Raises
    ------
    OutOfRange
        If the ratio is below 1 or not finite.

    Notes
    -----
    An identity: what the ratio means.

    References
    ----------
    .. [1] IEC 60050-726, International electrotechnical vocabulary: transmission lines and waveguides.

    Examples
    --------
    >>> reflection(3.0)
    0.5
    """
    _one_or_more("swr", swr)
    return (swr - 1.0) / (swr + 1.0)


def reflected_share(swr: Value) -> Value:
    r"""Share of the power that is reflected.

    .. math:: \rho^2 = \left( \frac{S - 1}{S + 1} \right)^2

    Parameters
    ----------
    swr : float or array
        Standing wave ratio at the place meant, 1 or more [-].

    Returns
    -------
    share : float or array
        Reflected power over forward power at that place [-].

    Raises
    ------
    OutOfRange
        If the ratio is below 1 or not finite.

    Notes
    -----
    Reflected is not lost: on a line without loss all of it returns to the antenna. A set that lowers its power, or a
    line with loss, makes it a loss.

    References
    ----------
    .. [1] Identity; see `reflection`.

    Examples
    --------
    >>> round(reflected_share(1.5), 6)
    0.04
    """
    rho = reflection(swr)
    return rho * rho


def mismatch_loss_db(swr: Value) -> Value:
    r"""How much less than the forward power a mismatched load takes.

    .. math:: L = -10 \log_{10} (1 - \rho^2)

    Parameters
    ----------
    swr : float or array
        Standing wave ratio at the load, 1 or more [-].

    Returns
    -------
    loss : float or array
        Forward power over power taken [dB].

    Raises
    ------
    OutOfRange
        If the ratio is below 1 or not finite.

    Notes
    -----
    The loss of a source that is matched to the line and takes all of the reflected power back. A transmitter with a
    tuner is no such source.

    References
    ----------
    .. [1] Identity; see `reflection`.

    Examples
    --------
    >>> round(mismatch_loss_db(3.0), 3)
    1.249
    """
    return -db(1.0 - reflected_share(swr)) + 0.0


def return_loss_db(swr: Value) -> Value:
    r"""How far the reflected power lies below the forward power.

    .. math:: RL = -20 \log_{10} \rho

    Parameters
    ----------
    swr : float or array
        Standing wave ratio at the place meant, 1 or more [-].

    Returns
    -------
    loss : float or array
        Forward over reflected power, infinite at a ratio of 1 [dB].

    Raises
    ------
    OutOfRange
        If the ratio is below 1 or not finite.

    Notes
    -----
    The larger the better.

    References
    ----------
    .. [1] Identity; see `reflection`.

    Examples
    --------
    >>> round(return_loss_db(2.0), 2)
    9.54
    """
    share = reflected_share(swr)
    with np.errstate(divide="ignore"):
        return -db(share)


def swr_from_powers(forward_w: Value, reflected_w: Value | float) -> Value:
    r"""Standing wave ratio from the two readings of a directional wattmeter.

    .. math:: \rho = \sqrt{P_r / P_f}, \quad S = \frac{1 + \rho}{1 - \rho}

    Parameters
    ----------
    forward_w : float or array
        Forward power, above zero [W].
    reflected_w : float or array
        Reflected power at the same place, not negative, below the forward power [W].

    Returns
    -------
    swr : float or array
        Standing wave ratio where the meter is [-].

    Raises
    ------
    OutOfRange
        If the forward power is not above zero, or the reflected power is negative or not below it.

    Notes
    -----
    Read at the set it is better than at the antenna; see `swr_at_set` for how much.

    References
    ----------
    .. [1] Identity; see `reflection`.

    Examples
    --------
    >>> round(swr_from_powers(25.0, 1.0), 6)
    1.5
    """
    above_zero("forward_w", forward_w)
    not_negative("reflected_w", reflected_w)
    refuse_unless(np.asarray(reflected_w) < forward_w, "reflected_w", reflected_w, "below the forward power")
    rho = sqrt(reflected_w / forward_w)
    return (1.0 + rho) / (1.0 - rho)


def swr_at_set(swr_at_antenna: Value, matched_loss_db: Value | float) -> Value:
    r"""Standing wave ratio at the near end of a line, from that at its far end.

    .. math:: \rho_{in} = \rho / a, \quad a = 10^{A/10}

    Parameters
    ----------
    swr_at_antenna : float or array
        Standing wave ratio at the far end, 1 or more [-].
    matched_loss_db : float or array
        Loss of the line between matched ends, not negative [dB].

    Returns
    -------
    swr : float or array
        Standing wave ratio at the near end [-].

    Raises
    ------
    OutOfRange
        If the ratio is below 1, or the loss is negative.

    Notes
    -----
    The wave loses A on its way out and A on its way back. A fair reading behind a long thin cable proves little: a
    cable of 3 dB shows no more than 3 even with no antenna on it.

    References
    ----------
    .. [1] S. Ramo, J. R. Whinnery, T. Van Duzer, "Fields and waves in communication electronics", transmission lines.

    Examples
    --------
    >>> round(swr_at_set(3.0, 1.0), 2)
    2.32
    """
    not_negative("matched_loss_db", matched_loss_db)
    near = reflection(swr_at_antenna) / from_db(matched_loss_db)
    return (1.0 + near) / (1.0 - near)


def handbook_line_loss_db(swr_at_antenna: Value, matched_loss_db: Value | float) -> Value:
    r"""Loss of a line with a standing wave, by the formula of the handbooks.

    .. math:: A' = 10 \log_{10} \frac{a^2 - \rho^2}{a \, (1 - \rho^2)}, \quad a = 10^{A/10}

    Parameters
    ----------
    swr_at_antenna : float or array
        Standing wave ratio at the far end, 1 or more [-].
    matched_loss_db : float or array
        Loss of the line between matched ends, not negative [dB].

    Returns
    -------
    loss : float or array
        Power into the line over power into the load [dB].

    Raises
    ------
    OutOfRange
        If the ratio is below 1, or the loss is negative.

    Notes
    -----
    The mean over many half-waves: it takes the characteristic impedance to be a pure resistance, as if metal and
    dielectric lost alike. Real cable at HF loses in its metal, so that a short line into a low resistance, where
    the current is high, loses more than this says, and one into a high resistance less. See
    `rigfeed_antennas.line.loaded_line` for the line as it is.

    References
    ----------
    .. [1] S. Ramo, J. R. Whinnery, T. Van Duzer, "Fields and waves in communication electronics", transmission lines.

    Examples
    --------
    >>> round(handbook_line_loss_db(4.2, 0.1388), 2)
    0.3
    """
    not_negative("matched_loss_db", matched_loss_db)
    share, out = reflected_share(swr_at_antenna), from_db(matched_loss_db)
    return db((out * out - share) / (out * (1.0 - share)))


def _one_or_more(name: str, value: Floats) -> None:
    refuse_unless(np.isfinite(value) & (np.asarray(value) >= 1.0), name, value, "1 or more")
