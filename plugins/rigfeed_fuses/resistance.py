"""Resistance of a fuse: warm from the drop that its standard allows, cold from what it is warm.

The functions take floats or NumPy arrays, which broadcast; the first argument decides which of the two comes back.
"""

from __future__ import annotations

from rigfeed.plugin import Value, above_zero, not_negative, within

__all__ = ["cold_resistance_ohm", "hot_resistance_ohm", "loss_w"]


def hot_resistance_ohm(drop_v: Value, rated_a: Value | float) -> Value:
    r"""Resistance of a fuse that has warmed up at its rated current.

    .. math:: R = U / I_n

    Parameters
    ----------
    drop_v : float or array
        Drop at the rated current, measured or the limit of the standard [V].
    rated_a : float or array
        Rated current, above zero [A].

    Returns
    -------
    resistance : float or array
        Resistance of the warm fuse [ohm].

    Raises
    ------
    OutOfRange
        If the drop is negative, or the rating not above zero.

    Notes
    -----
    A limit of a standard gives the most that a good fuse has; most have less. At part load it lies between cold and
    hot.

    References
    ----------
    .. [1] DIN 72581-3, form E: at most 125 mV at the rated current for 20 A, 100 mV from 30 to 80 A.

    Examples
    --------
    >>> hot_resistance_ohm(0.1, 40.0)
    0.0025
    """
    not_negative("drop_v", drop_v)
    above_zero("rated_a", rated_a)
    return drop_v / rated_a


def cold_resistance_ohm(hot_ohm: Value, hot_over_cold: Value | float = 1.45) -> Value:
    r"""Resistance of the same fuse before any current has warmed it.

    .. math:: R_{cold} = R_{hot} / h

    Parameters
    ----------
    hot_ohm : float or array
        Resistance at the rated current [ohm].
    hot_over_cold : float or array, optional
        Ratio of the two, from 1 to 3 [-].

    Returns
    -------
    resistance : float or array
        Resistance of the cold fuse: what an ohmmeter shows, and what a short finds at first [ohm].

    Raises
    ------
    OutOfRange
        If the resistance is negative, or the ratio not from 1 to 3.

    Notes
    -----
    The ratio is common practice, 1.4 to 1.5 for fuses.

    References
    ----------
    .. [1] Common practice, no source: a fuse at its rated current has 1.4 to 1.5 times its cold resistance.

    Examples
    --------
    >>> round(cold_resistance_ohm(0.0029), 6)
    0.002
    """
    not_negative("hot_ohm", hot_ohm)
    within("hot_over_cold", hot_over_cold, 1.0, 3.0)
    return hot_ohm / hot_over_cold


def loss_w(current_a: Value, resistance_ohm: Value | float) -> Value:
    r"""Heat that a fuse makes.

    .. math:: P = I^2 R

    Parameters
    ----------
    current_a : float or array
        Current through the fuse [A].
    resistance_ohm : float or array
        Its resistance, with its holder if that is asked for [ohm].

    Returns
    -------
    power : float or array
        Heat [W].

    Raises
    ------
    OutOfRange
        If the current or the resistance is negative.

    Notes
    -----
    With the hot resistance right at the rated current, too much below it.

    References
    ----------
    .. [1] Joule's law.

    Examples
    --------
    >>> loss_w(40.0, 0.0025)
    4.0
    """
    not_negative("current_a", current_a)
    not_negative("resistance_ohm", resistance_ohm)
    return current_a * current_a * resistance_ohm
