"""What a battery gives: at another current, in the cold, by its reserve minutes.

The functions take floats or NumPy arrays, which broadcast; the first number decides which of the two comes back.
"""

from __future__ import annotations

import numpy as np

from rigfeed.plugin import FloatArray, UnknownName, Value, above_zero, within
from rigfeed_batteries.rest import Chemistry

__all__ = ["capacity_share", "one_amp_capacity", "peukert_time_h", "peukert_time_one_amp_h", "reserve_capacity_ah"]

RESERVE_A = 25.0  # the current of the reserve minutes

# Temperature [degC] and capacity as a share of that which is rated.
FLOODED = ((-17.8, 0.40), (0.0, 0.75), (25.0, 1.00))
LEAD = (
    (-27.7, 0.374), (-23.0, 0.445), (-18.3, 0.509), (-13.5, 0.567), (-8.7, 0.620), (-4.0, 0.671), (0.8, 0.721),
    (5.5, 0.772), (10.3, 0.823), (15.1, 0.875), (19.8, 0.927), (24.6, 0.978), (29.3, 1.027), (34.1, 1.071),
    (38.9, 1.109), (43.6, 1.136), (48.0, 1.150),
)
LITHIUM = ((-20.0, 0.723), (-10.0, 0.818), (0.0, 0.888), (10.0, 0.930), (23.0, 0.967), (45.0, 1.010), (60.0, 1.010))
SHARES = {"flooded": FLOODED, "AGM": LEAD, "gel": LEAD, "LiFePO4": LITHIUM}


def peukert_time_h(
    current_a: Value, capacity_ah: Value | float, rated_h: Value | float, exponent: Value | float
) -> Value:
    r"""Time that a battery feeds a steady current, from its capacity at a stated time of discharge.

    .. math:: t = H \left( \frac{C}{I \, H} \right)^k

    Parameters
    ----------
    current_a : float or array
        Steady current, above zero [A].
    capacity_ah : float or array
        Capacity when discharged over the rated time [Ah].
    rated_h : float or array
        That time: 20 for most vehicle batteries [h].
    exponent : float or array
        Peukert exponent: about 1.1 to 1.3 for lead-acid, 1.00 to 1.05 for LiFePO4 [-].

    Returns
    -------
    time : float or array
        Time until it is empty [h].

    Raises
    ------
    OutOfRange
        If a value is not above zero, or the exponent is outside of 1 to 2.

    Notes
    -----
    For one steady current at one temperature, between about a tenth and ten times the rated current. It does not say
    how much is left after a changing load. The capacity at 1 A that some lists print is another number: that belongs
    to `peukert_time_one_amp_h`, and mixing the two is a common mistake.

    References
    ----------
    .. [1] D. Doerffel and S. Abu Sharkh, J. Power Sources 155 (2006) 395 (what the equation is not good for).
    .. [2] N. Omar et al., Energies 6 (2013) 5625 (lithium-ion: a narrow range of currents and temperatures only).

    Examples
    --------
    >>> peukert_time_h(5.0, 100.0, 20.0, 1.2)
    20.0
    >>> round(peukert_time_h(20.0, 100.0, 20.0, 1.2), 2)
    3.79
    """
    for name, value in (("current_a", current_a), ("capacity_ah", capacity_ah), ("rated_h", rated_h)):
        above_zero(name, value)
    within("exponent", exponent, 1.0, 2.0)
    time_h: Value = rated_h * (capacity_ah / (current_a * rated_h)) ** exponent
    return time_h


def peukert_time_one_amp_h(current_a: Value, one_amp_capacity_ah: Value | float, exponent: Value | float) -> Value:
    r"""Time that a battery feeds a steady current, from its capacity at one ampere.

    .. math:: t = \frac{C_p}{I^k}

    Parameters
    ----------
    current_a : float or array
        Steady current, above zero [A].
    one_amp_capacity_ah : float or array
        Peukert capacity: the hours for which the battery would feed 1 A, by the equation [Ah].
    exponent : float or array
        Peukert exponent [-].

    Returns
    -------
    time : float or array
        Time until it is empty [h].

    Raises
    ------
    OutOfRange
        If a value is not above zero, or the exponent is outside of 1 to 2.

    Notes
    -----
    The oldest form. The capacity printed on a battery is not this one: 100 Ah over 20 h with an exponent of 1.2 are
    138 Ah at 1 A; see `one_amp_capacity`, and `peukert_time_h` for the printed one. Otherwise the limits are the same.

    References
    ----------
    .. [1] D. Doerffel and S. Abu Sharkh, J. Power Sources 155 (2006) 395.

    Examples
    --------
    >>> peukert_time_one_amp_h(1.0, 138.0, 1.2)
    138.0
    """
    above_zero("current_a", current_a)
    above_zero("one_amp_capacity_ah", one_amp_capacity_ah)
    within("exponent", exponent, 1.0, 2.0)
    time_h: Value = one_amp_capacity_ah / current_a**exponent
    return time_h


def one_amp_capacity(capacity_ah: Value, rated_h: Value | float, exponent: Value | float) -> Value:
    r"""Capacity at one ampere that a rated capacity stands for.

    .. math:: C_p = H \left( \frac{C}{H} \right)^k

    Parameters
    ----------
    capacity_ah : float or array
        Capacity when discharged over the rated time [Ah].
    rated_h : float or array
        That time [h].
    exponent : float or array
        Peukert exponent [-].

    Returns
    -------
    capacity : float or array
        Capacity at one ampere [Ah].

    Raises
    ------
    OutOfRange
        If a value is not above zero, or the exponent is outside of 1 to 2.

    Notes
    -----
    Both equations then give the same time at every current. Its unit is only an ampere-hour at 1 A.

    References
    ----------
    .. [1] D. Doerffel and S. Abu Sharkh, J. Power Sources 155 (2006) 395.

    Examples
    --------
    >>> round(one_amp_capacity(100.0, 20.0, 1.2), 1)
    138.0
    """
    above_zero("capacity_ah", capacity_ah)
    above_zero("rated_h", rated_h)
    within("exponent", exponent, 1.0, 2.0)
    at_one_ah: Value = rated_h * (capacity_ah / rated_h) ** exponent
    return at_one_ah


def reserve_capacity_ah(reserve_min: Value) -> Value:
    r"""Capacity that a battery gives at 25 A, from its reserve minutes.

    .. math:: C = \frac{25 \, t_{RC}}{60}

    Parameters
    ----------
    reserve_min : float or array
        Minutes for which a new, full battery feeds 25 A before it falls to 10.5 V [min].

    Returns
    -------
    capacity : float or array
        Capacity at 25 A, less than that over 20 hours [Ah].

    Raises
    ------
    OutOfRange
        If the time is negative or not finite.

    Notes
    -----
    At 27 degC, down to 1.75 V a cell. It says nothing of a current far from 25 A; nor is it the capacity over 20 hours,
    which is larger.

    References
    ----------
    .. [1] SAE J537, "Storage batteries": the definition of the reserve capacity.

    Examples
    --------
    >>> reserve_capacity_ah(120.0)
    50.0
    """
    within("reserve_min", reserve_min, 0.0, 1e5)
    return reserve_min * RESERVE_A / 60.0


def capacity_share(temperature_c: Value, chemistry: Chemistry) -> Value:
    r"""Capacity of a cold or warm battery as a share of that which is rated.

    .. math:: f = f_i + (f_{i+1} - f_i) \frac{T - T_i}{T_{i+1} - T_i}

    Parameters
    ----------
    temperature_c : float or array
        Temperature of the battery itself, which follows the air within half a day [degC].
    chemistry : str
        "flooded", "AGM", "gel" or "LiFePO4" [-].

    Returns
    -------
    share : float or array
        What to multiply the rated capacity by [-].

    Raises
    ------
    OutOfRange
        If the temperature is outside of the table: -17.8 to 25 degC flooded, -27.7 to 48 degC AGM and gel, -20 to
        60 degC LiFePO4.
    UnknownName
        If the chemistry is none of these.

    Notes
    -----
    Straight between the points of the table. The table of sealed lead-acid does not say which sort it is of. LiFePO4
    may not be charged below 0 degC at all, whatever it still gives.

    References
    ----------
    .. [1] US Army TM 10-6140-200-14, paragraph 1-9: flooded, 75 % at 0 degC and 40 % at -17.8 degC of the capacity at
       25 degC.
    .. [2] National Renewable Energy Laboratory, PySAM 7.1.1, defaults of the stateful battery model: sealed lead-acid
       and LiFePO4.

    Examples
    --------
    >>> capacity_share(0.0, "flooded"), round(capacity_share(-12.0, "LiFePO4"), 3)
    (0.75, 0.799)
    """
    if chemistry not in SHARES:
        raise UnknownName("chemistry", chemistry, SHARES)
    temperatures, shares = zip(*SHARES[chemistry], strict=True)
    within("temperature_c", temperature_c, temperatures[0], temperatures[-1])
    share: FloatArray = np.interp(temperature_c, temperatures, shares)
    return float(share) if isinstance(temperature_c, int | float) else share
