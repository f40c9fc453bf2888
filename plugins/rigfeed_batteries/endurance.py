"""How long a battery lasts, and how large it has to be.

The functions take floats or NumPy arrays, which broadcast; the first argument decides which of the two comes back.
"""

from __future__ import annotations

import numpy as np

from rigfeed.plugin import Floats, Value, above_zero, not_negative, refuse_unless, within

__all__ = ["duty_capacity_ah", "duty_current_a", "endurance_h", "stand_alone_capacity_ah", "standing_time_h"]


def duty_current_a(
    transmit_a: Value, receive_a: Value | float, standby_a: Value | float, transmit_share: Value | float = 0.1,
    receive_share: Value | float = 0.1,
) -> Value:
    r"""Mean current of a set that transmits and receives by turns and waits for the rest of the time.

    .. math:: I = s_t I_t + s_r I_r + (1 - s_t - s_r) I_s

    Parameters
    ----------
    transmit_a : float or array
        Mean current while it transmits: by its mode of speech less than the peak, never below its idle current [A].
    receive_a : float or array
        Current while it receives with the loudspeaker on [A].
    standby_a : float or array
        Current while it waits [A].
    transmit_share : float or array, optional
        Share of the time spent transmitting [-].
    receive_share : float or array, optional
        Share of the time spent receiving [-].

    Returns
    -------
    current : float or array
        Mean current [A].

    Raises
    ------
    OutOfRange
        If a current is negative, a share is outside of 0 to 1, or both together are above 1.

    Notes
    -----
    For ampere-hours only: voltage and fuse follow the peak. 10, 10 and 80 % is the duty of public-safety radio; 5, 5
    and 90 % is common practice elsewhere.

    References
    ----------
    .. [1] US National Institute of Justice, standard for batteries of personal and mobile transceivers: 10-10-80.

    Examples
    --------
    >>> round(duty_current_a(12.0, 0.7, 0.5), 2)
    1.67
    """
    for name, value in (("transmit_a", transmit_a), ("receive_a", receive_a), ("standby_a", standby_a)):
        not_negative(name, value)
    standby_share = _rest_of("receive_share", transmit_share, receive_share)
    return transmit_share * transmit_a + receive_share * receive_a + standby_share * standby_a  # type: ignore[return-value]


def _rest_of(name: str, first: Floats, second: Floats) -> Floats:
    within("transmit_share", first, 0.0, 1.0)
    within(name, second, 0.0, 1.0)
    left = 1.0 - np.asarray(first) - second
    refuse_unless(left >= -1e-12, name, second, "no more than what transmitting leaves of the time")
    left = np.maximum(left, 0.0)
    return float(left) if left.ndim == 0 else left


def duty_capacity_ah(
    current_a: Value, time_h: Value | float, usable: Value | float, factor: Value | float = 1.0
) -> Value:
    r"""Capacity that a mean current asks for over a time.

    .. math:: C = \frac{I \, t \, f}{u}

    Parameters
    ----------
    current_a : float or array
        Mean current [A].
    time_h : float or array
        Time without any charging [h].
    usable : float or array
        Share of the capacity that may be used: 0.5 of lead-acid, 0.8 of LiFePO4 by common practice [-].
    factor : float or array, optional
        For everything else: cold, age, reserve; 1 or more [-].

    Returns
    -------
    capacity : float or array
        Rated capacity to buy [Ah].

    Raises
    ------
    OutOfRange
        If the current or the time is negative, the usable share is outside of 0 to 1, or the factor below 1.

    Notes
    -----
    At small currents, no more than the rated one; for more see the Peukert equation.

    References
    ----------
    .. [1] IEEE 1013, "Recommended practice for sizing lead-acid batteries for stand-alone photovoltaic systems": the
       same steps.

    Examples
    --------
    >>> round(duty_capacity_ah(1.67, 8.0, 0.5), 1)
    26.7
    """
    not_negative("current_a", current_a)
    not_negative("time_h", time_h)
    above_zero("usable", usable)
    within("usable", usable, 0.0, 1.0)
    within("factor", factor, 1.0, 100.0)
    return current_a * time_h * factor / usable


def endurance_h(
    capacity_ah: Value, current_a: Value | float, usable: Value | float = 1.0, share: Value | float = 1.0
) -> Value:
    r"""Time for which a battery feeds a mean current.

    .. math:: t = \frac{C \, f \, u}{I}

    Parameters
    ----------
    capacity_ah : float or array
        Rated capacity [Ah].
    current_a : float or array
        Mean current, above zero [A].
    usable : float or array, optional
        Share of the capacity that may be used [-].
    share : float or array, optional
        What cold and age leave of the capacity, as a share of the rated one [-].

    Returns
    -------
    time : float or array
        Time until what may be used is gone [h].

    Raises
    ------
    OutOfRange
        If the capacity is negative, the current not above zero, the usable share outside of 0 to 1, or what is left
        of the capacity outside of 0 to 1.5.

    Notes
    -----
    As `duty_capacity_ah`. Whether the set still gets its volts at the end of that time is another question.

    References
    ----------
    .. [1] IEEE 1013: the same steps in the other direction.

    Examples
    --------
    >>> round(endurance_h(50.0, 3.5, usable=0.8), 1)
    11.4
    """
    not_negative("capacity_ah", capacity_ah)
    above_zero("current_a", current_a)
    within("usable", usable, 0.0, 1.0)
    within("share", share, 0.0, 1.5)
    return capacity_ah * share * usable / current_a


def stand_alone_capacity_ah(
    energy_wh: Value, days: Value | float, usable: Value | float, cold_factor: Value | float, system_v: Value | float
) -> Value:
    r"""Capacity of a battery that has to carry a site over days without charge.

    .. math:: C = \frac{W \, d \, f}{u \, U}

    Parameters
    ----------
    energy_wh : float or array
        Energy used in a day [Wh].
    days : float or array
        Days without any charge [d].
    usable : float or array
        Share of the capacity that may be used [-].
    cold_factor : float or array
        For the coldest battery: 1.30 at 4.4 degC for lead-acid [-].
    system_v : float or array
        Nominal voltage [V].

    Returns
    -------
    capacity : float or array
        Rated capacity [Ah].

    Raises
    ------
    OutOfRange
        If energy or days are negative, the usable share is outside of 0 to 1, the factor below 1 or the voltage not
        above zero.

    Notes
    -----
    Then choose the next larger size, and see that neither the hourly load nor the charge is too much for it.

    References
    ----------
    .. [1] IEEE 1013, "Recommended practice for sizing lead-acid batteries for stand-alone photovoltaic systems".

    Examples
    --------
    >>> round(stand_alone_capacity_ah(1000.0, 2.5, 0.5, 1.30, 12.0), 1)
    541.7
    """
    not_negative("energy_wh", energy_wh)
    not_negative("days", days)
    above_zero("usable", usable)
    within("usable", usable, 0.0, 1.0)
    within("cold_factor", cold_factor, 1.0, 100.0)
    above_zero("system_v", system_v)
    return energy_wh * days * cold_factor / (usable * system_v)


def standing_time_h(
    capacity_ah: Value, drain_a: Value | float, share: Value | float = 0.4, month_share: Value | float = 0.0
) -> Value:
    r"""Time after which a standing drain has taken a share of a battery.

    .. math:: t = \frac{s \, C}{I + m \, C / 730\,\mathrm{h}}

    Parameters
    ----------
    capacity_ah : float or array
        Capacity [Ah].
    drain_a : float or array
        Everything that draws while the vehicle stands [A].
    share : float or array, optional
        The share that may go: 0.4 leaves the 60 % that a start asks for by common practice [-].
    month_share : float or array, optional
        What the battery loses by itself in a month, as a share [-].

    Returns
    -------
    time : float or array
        Time [h].

    Raises
    ------
    OutOfRange
        If the capacity is not above zero, the drain negative, a share outside of 0 to 1, or nothing draws at all.

    Notes
    -----
    A month of 730 hours. A self-discharge of 1 to 3 % a month is usual for AGM, from memory; warmth doubles it with
    every 10 K.

    References
    ----------
    .. [1] Definition of the ampere-hour.

    Examples
    --------
    >>> standing_time_h(45.0, 0.25, share=1 / 3)
    60.0
    """
    above_zero("capacity_ah", capacity_ah)
    not_negative("drain_a", drain_a)
    within("share", share, 0.0, 1.0)
    within("month_share", month_share, 0.0, 1.0)
    total_a = drain_a + month_share * capacity_ah / 730.0
    refuse_unless(np.asarray(total_a) > 0.0, "drain_a", drain_a, "above 0, or a self-discharge above 0")
    return share * capacity_ah / total_a
