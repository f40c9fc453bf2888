"""What a battery drives into a short, and what is known of its resistance.

The functions take floats or NumPy arrays, which broadcast; the first argument decides which of the two comes back.
"""

from __future__ import annotations

import numpy as np

from rigfeed.plugin import Value, above_zero, not_negative, refuse_unless

__all__ = ["bank_prospective_current_a", "prospective_current_a", "starter_resistance_bound_ohm"]

CRANKING_END_V = 7.2  # SAE J537, a 12 V battery after 30 s of its cold cranking current


def prospective_current_a(emf_v: Value, battery_ohm: Value | float, leads_ohm: Value | float = 0.0) -> Value:
    r"""Current into a dead short.

    .. math:: I = \frac{E}{R_i + R_l}

    Parameters
    ----------
    emf_v : float or array
        Voltage at rest of the battery [V].
    battery_ohm : float or array
        Resistance of the battery itself: that of a new one for the highest current [ohm].
    leads_ohm : float or array, optional
        Resistance of everything else in the loop, out and back [ohm].

    Returns
    -------
    current : float or array
        Steady current [A].

    Raises
    ------
    OutOfRange
        If the voltage or the resistance of the battery is not above zero, or that of the leads is negative.

    Notes
    -----
    For choosing a breaking capacity take the new battery, warm, and cold copper; for asking whether a fuse opens, the
    aged one and hot copper. The rise of the current takes less than a millisecond in a vehicle. A management unit that
    disconnects is no protection against a short.

    References
    ----------
    .. [1] Ohm's law.

    Examples
    --------
    >>> round(prospective_current_a(13.2, 0.004), 1)
    3300.0
    """
    above_zero("emf_v", emf_v)
    above_zero("battery_ohm", battery_ohm)
    not_negative("leads_ohm", leads_ohm)
    return emf_v / (battery_ohm + leads_ohm)


def bank_prospective_current_a(battery_a: Value, batteries: float, in_series: float) -> Value:
    r"""Current that a bank of equal batteries drives into a dead short.

    .. math:: I = I_1 \frac{n}{n_s}

    Parameters
    ----------
    battery_a : float or array
        Short-circuit current of one battery [A].
    batteries : float
        Batteries in the whole bank, a whole number [-].
    in_series : float
        Of these, in series in each string, a whole number [-].

    Returns
    -------
    current : float or array
        Short-circuit current of the bank [A].

    Raises
    ------
    OutOfRange
        If the current is negative, there is no battery, or the strings do not come out even.

    Notes
    -----
    In series the voltages add and the resistances too: the current stays. In parallel the currents add.

    References
    ----------
    .. [1] ABYC E-11, "AC and DC electrical systems on boats": strings in parallel add, batteries in series do not.

    Examples
    --------
    >>> bank_prospective_current_a(2400.0, 6, 2)
    7200.0
    """
    not_negative("battery_a", battery_a)
    for name, count in (("batteries", batteries), ("in_series", in_series)):
        refuse_unless(count >= 1 and count % 1 == 0, name, count, "a whole number, 1 or more")
    refuse_unless(batteries % in_series == 0, "batteries", batteries, f"whole strings of {in_series:g}")
    return battery_a * (batteries / in_series)


def starter_resistance_bound_ohm(cranking_a: Value, rest_v: Value | float = 12.6) -> Value:
    r"""The most that the resistance of a new, full starter battery can be.

    .. math:: R \le \frac{E - 7.2\,\mathrm{V}}{I_{CCA}}

    Parameters
    ----------
    cranking_a : float or array
        Cold cranking current of a 12 V battery [A].
    rest_v : float or array, optional
        Voltage at rest, above 7.2 [V].

    Returns
    -------
    resistance : float or array
        An upper bound, at -18 degC [ohm].

    Raises
    ------
    OutOfRange
        If the current is not above zero, or the voltage not above 7.2 V.

    Notes
    -----
    By its definition a battery holds at least 7.2 V after 30 s of that current at -18 degC. A battery may be better
    than its label, and is at 20 degC: never compute the highest fault current from this. Nor is it a bound for an aged
    battery.

    References
    ----------
    .. [1] SAE J537, "Storage batteries": the definition of the cold cranking current.

    Examples
    --------
    >>> round(starter_resistance_bound_ohm(600.0, 12.6), 6)
    0.009
    """
    above_zero("cranking_a", cranking_a)
    refuse_unless(np.asarray(rest_v) > CRANKING_END_V, "rest_v", rest_v, "above 7.2 V")
    return (rest_v - CRANKING_END_V) / cranking_a
