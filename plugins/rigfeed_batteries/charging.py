"""What charging takes: the input of a charger, the alternator behind it, what flows when two batteries are joined.

The functions take floats or NumPy arrays, which broadcast; the first argument decides which of the two comes back.
"""

from __future__ import annotations

import numpy as np

from rigfeed.plugin import Value, above_zero, not_negative, refuse_unless, within

__all__ = ["alternator_continuous_a", "converter_input_a", "converter_input_w", "equalising_current_a"]

CONTINUOUS_SHARE = 0.8  # FAA AC 43.13-1B, 11-35


def converter_input_w(
    out_v: Value, out_a: Value | float, efficiency: Value | float, standby_w: Value | float = 0.0
) -> Value:
    r"""Power that a converter or a charger takes.

    .. math:: P = \frac{U_o I_o}{\eta} + P_0

    Parameters
    ----------
    out_v : float or array
        Voltage at its output [V].
    out_a : float or array
        Current at its output [A].
    efficiency : float or array
        Efficiency, above 0 and at most 1 [-].
    standby_w : float or array, optional
        What it takes without any load [W].

    Returns
    -------
    power : float or array
        Power at its input [W].

    Raises
    ------
    OutOfRange
        If a voltage, a current or a power is negative, or the efficiency is outside of 0 to 1.

    Notes
    -----
    The efficiency is taken as constant; at a tenth of the rated output it is lower.

    References
    ----------
    .. [1] Conservation of energy.

    Examples
    --------
    >>> round(converter_input_w(14.4, 30.0, 0.88), 1)
    490.9
    """
    for name, value in (("out_v", out_v), ("out_a", out_a), ("standby_w", standby_w)):
        not_negative(name, value)
    above_zero("efficiency", efficiency)
    within("efficiency", efficiency, 0.0, 1.0)
    return out_v * out_a / efficiency + standby_w


def converter_input_a(input_w: Value, supply_v: Value | float, leads_ohm: Value | float = 0.0) -> Value:
    r"""Current that a constant power takes at the end of its leads.

    .. math:: I = \frac{U - \sqrt{U^2 - 4 R P}}{2 R} = \frac{2 P}{U + \sqrt{U^2 - 4 R P}}

    Parameters
    ----------
    input_w : float or array
        Power at the input of the converter or the charger [W].
    supply_v : float or array
        Voltage where the leads begin: at the input itself if the leads are left out [V].
    leads_ohm : float or array, optional
        Resistance of both leads, with fuse and joints: the loop [ohm].

    Returns
    -------
    current : float or array
        Current at its input [A].

    Raises
    ------
    OutOfRange
        If the power or the resistance is negative, the voltage not above zero, or the leads cannot deliver that power
        at any voltage: above U^2 / 4R there is no operating point.

    Notes
    -----
    The lower the voltage, the more current: a converter is no load of constant current. Of the two solutions this is
    the one with the higher voltage, at which it runs.

    References
    ----------
    .. [1] Ohm's law and the balance of power.

    Examples
    --------
    >>> round(converter_input_a(490.9, 12.2), 1)
    40.2
    >>> round(converter_input_a(320.0, 12.4, 0.0211), 1)
    27.1
    """
    not_negative("input_w", input_w)
    above_zero("supply_v", supply_v)
    not_negative("leads_ohm", leads_ohm)
    under_root = np.asarray(supply_v) ** 2 - 4.0 * np.asarray(leads_ohm) * input_w
    refuse_unless(under_root >= 0.0, "input_w", input_w, "at most U^2 / 4R, the most that these leads deliver")
    current = 2.0 * input_w / (supply_v + np.sqrt(under_root))
    return float(current) if isinstance(input_w, int | float) and np.ndim(current) == 0 else current  # type: ignore[return-value]


def alternator_continuous_a(rated_a: Value, share: Value | float = CONTINUOUS_SHARE) -> Value:
    r"""Load that an alternator may carry for hours without somebody watching an ammeter.

    .. math:: I = 0.8 \, I_r

    Parameters
    ----------
    rated_a : float or array
        Rated output [A].
    share : float or array, optional
        The share of it that counts as continuous [-].

    Returns
    -------
    load : float or array
        Continuous load [A].

    Raises
    ------
    OutOfRange
        If the rated output is negative, or the share is outside of 0 to 1.

    Notes
    -----
    At the speed of the rating. An alternator at idle gives a third to a half of it, which is what counts for a vehicle
    that stands and works. The rule is for aircraft.

    References
    ----------
    .. [1] FAA AC 43.13-1B change 1, "Acceptable methods, techniques, and practices", paragraph 11-35.

    Examples
    --------
    >>> alternator_continuous_a(100.0)
    80.0
    """
    not_negative("rated_a", rated_a)
    within("share", share, 0.0, 1.0)
    return rated_a * share


def equalising_current_a(high_v: Value, low_v: Value | float, loop_ohm: Value | float) -> Value:
    r"""Current from a full battery into an empty one when a relay joins them.

    .. math:: I = \frac{U_1 - U_2}{R}

    Parameters
    ----------
    high_v : float or array
        Voltage of the source: a battery at rest, or the alternator [V].
    low_v : float or array
        Voltage at rest of the battery that is charged [V].
    loop_ohm : float or array
        Resistance of both batteries, the leads, the fuses and the contact: the loop [ohm].

    Returns
    -------
    current : float or array
        Current at the moment of closing; negative when it flows the other way [A].

    Raises
    ------
    OutOfRange
        If the resistance is not above zero, or a voltage is negative.

    Notes
    -----
    It falls within minutes as the empty battery's voltage rises under charge. The relay and both fuses must stand it.
    An alternator gives no more than it can: then its limit is the answer.

    References
    ----------
    .. [1] Ohm's law.

    Examples
    --------
    >>> round(equalising_current_a(14.4, 12.8, 0.02), 1)
    80.0
    """
    not_negative("high_v", high_v)
    not_negative("low_v", low_v)
    above_zero("loop_ohm", loop_ohm)
    return (high_v - low_v) / loop_ohm
