"""How strong the field of an antenna is at a distance, averaged as the rules average it, and how far to keep away.

All of it for the far field: beyond a wavelength over 2 pi from a short antenna, and beyond the reach of a long one.
Close to a short rod use `rigfeed_antennas.nearfield`. The functions take floats or NumPy arrays, which broadcast; the
first argument decides which of the two comes back.
"""

from __future__ import annotations

import numpy as np

from rigfeed.plugin import Value, above_zero, not_negative, refuse_unless, within
from rigfeed_antennas.arrays import from_db, sqrt
from rigfeed_antennas.bands import SPEED_OF_LIGHT_M_PER_S

__all__ = [
    "FREE_SPACE",
    "FULL_REFLECTION",
    "USUAL_REFLECTION",
    "average_power_w",
    "exposure_distance_m",
    "near_field_edge_m",
    "power_density_w_per_m2",
]

FREE_SPACE, USUAL_REFLECTION, FULL_REFLECTION = 1.0, 2.56, 4.0  # FCC OET-65: none, 1.6 squared, twice the field
LEAST_REFLECTION, MOST_REFLECTION = 1.0, 4.0
SPHERE = 4.0 * np.pi


def power_density_w_per_m2(
    power_w: Value, gain_dbi: Value | float, distance_m: Value | float, reflection: Value | float = FREE_SPACE
) -> Value:
    r"""Power through an area at a distance from an antenna, in its far field.

    .. math:: S = \frac{P \, G \, r}{4 \pi d^2}

    Parameters
    ----------
    power_w : float or array
        Power into the antenna, averaged as the limit asks for, not negative [W].
    gain_dbi : float or array
        Gain towards the place meant [dBi].
    distance_m : float or array
        Distance from the antenna, above zero [m].
    reflection : float or array, optional
        What reflections make of the power density: 1 for none, 2.56 for ground, 4 for the worst [-].

    Returns
    -------
    density : float or array
        Power density; a tenth of it is in mW/cm2 [W/m2].

    Raises
    ------
    OutOfRange
        If the power is negative, the distance is not above zero, the gain is not finite, or the factor is not from 1
        to 4.

    Notes
    -----
    Only beyond `near_field_edge_m`. At 1 m from a loaded 2.4 m rod on 7 MHz the field is ten times what this says.

    References
    ----------
    .. [1] FCC OET Bulletin 65, edition 97-01, equations 3, 6 and 7.

    Examples
    --------
    >>> round(power_density_w_per_m2(0.039811, 0.0, 0.2), 4)
    0.0792
    """
    not_negative("power_w", power_w)
    above_zero("distance_m", distance_m)
    refuse_unless(np.isfinite(gain_dbi), "gain_dbi", gain_dbi, "a finite gain")
    within("reflection", reflection, LEAST_REFLECTION, MOST_REFLECTION)
    return power_w * from_db(gain_dbi) * reflection / (SPHERE * distance_m**2)


def exposure_distance_m(
    power_w: Value, gain_dbi: Value | float, limit_w_per_m2: Value | float, reflection: Value | float = FREE_SPACE
) -> Value:
    r"""Distance at which the power density of the far field comes down to a limit.

    .. math:: d = \sqrt{\frac{P \, G \, r}{4 \pi S}}

    Parameters
    ----------
    power_w : float or array
        Power into the antenna, averaged as the limit asks for, not negative [W].
    gain_dbi : float or array
        Gain towards the place meant [dBi].
    limit_w_per_m2 : float or array
        Limit of the power density, above zero; ten times one in mW/cm2 [W/m2].
    reflection : float or array, optional
        What reflections make of the power density: 1 for none, 2.56 for ground, 4 for the worst [-].

    Returns
    -------
    distance : float or array
        Distance from the antenna [m].

    Raises
    ------
    OutOfRange
        If the power is negative, the limit is not above zero, the gain is not finite, or the factor is not from 1 to 4.

    Notes
    -----
    A result below `near_field_edge_m` is none: there the near field counts, and it is stronger.

    References
    ----------
    .. [1] FCC OET Bulletin 65, edition 97-01, equations 3, 5 and 7.

    Examples
    --------
    >>> round(exposure_distance_m(5.0, 2.15, 2.0), 2)
    0.57
    """
    not_negative("power_w", power_w)
    above_zero("limit_w_per_m2", limit_w_per_m2)
    refuse_unless(np.isfinite(gain_dbi), "gain_dbi", gain_dbi, "a finite gain")
    within("reflection", reflection, LEAST_REFLECTION, MOST_REFLECTION)
    return sqrt(power_w * from_db(gain_dbi) * reflection / (SPHERE * limit_w_per_m2))


def average_power_w(
    peak_w: Value, mode_share: Value | float, keyed_s: Value | float, averaging_s: Value | float
) -> Value:
    r"""Power averaged over the time that a limit of exposure is averaged over.

    .. math:: \bar P = P \, d \, \frac{t}{T}

    Parameters
    ----------
    peak_w : float or array
        Power while keyed; the peak envelope power of a set whose output follows the voice, not negative [W].
    mode_share : float or array
        Average over peak while keyed: 1 for FM and carriers, 0.2 for SSB without and 0.5 with heavy processing, 0.4 for
        CW [-].
    keyed_s : float or array
        The longest time keyed in any stretch of the averaging time, at most all of it [s].
    averaging_s : float or array
        Averaging time: 360 s where people know, 1800 s for everyone else, by 47 CFR 1.1310 [s].

    Returns
    -------
    power : float or array
        Average power [W].

    Raises
    ------
    OutOfRange
        If the power is negative, the share is not from 0 to 1, the averaging time is not above zero, or the time keyed
        is negative or longer.

    Notes
    -----
    The worst stretch counts, not the mean of a day: 2 minutes on, 2 off, 2 on are 4 of any 6 minutes.

    References
    ----------
    .. [1] FCC OET Bulletin 65, supplement B, edition 97-01, pages 12 to 14 and table 2.

    Examples
    --------
    >>> round(average_power_w(1500.0, 0.2, 240.0, 360.0), 6)
    200.0
    """
    not_negative("peak_w", peak_w)
    within("mode_share", mode_share, 0.0, 1.0)
    above_zero("averaging_s", averaging_s)
    not_negative("keyed_s", keyed_s)
    refuse_unless(np.asarray(keyed_s) <= averaging_s, "keyed_s", keyed_s, "at most the averaging time")
    return peak_w * mode_share * keyed_s / averaging_s


def near_field_edge_m(frequency_hz: Value) -> Value:
    r"""Distance from a short antenna at which its near field ends.

    .. math:: d = \frac{\lambda}{2 \pi}

    Parameters
    ----------
    frequency_hz : float or array
        Frequency, above zero [Hz].

    Returns
    -------
    distance : float or array
        A wavelength over 2 pi [m].

    Raises
    ------
    OutOfRange
        If the frequency is not above zero.

    Notes
    -----
    There the parts of the field that fall with the distance, its square and its cube are alike. It is no sharp edge: of
    a rod as long as the distance, the near field reaches further.

    References
    ----------
    .. [1] 47 CFR 1.1307(b)(3)(i)(C).

    Examples
    --------
    >>> round(near_field_edge_m(144e6), 3), round(near_field_edge_m(7.1e6), 1)
    (0.331, 6.7)
    """
    above_zero("frequency_hz", frequency_hz)
    return SPEED_OF_LIGHT_M_PER_S / (2.0 * np.pi * frequency_hz)
