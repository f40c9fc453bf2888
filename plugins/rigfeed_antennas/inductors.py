"""Coils, cores and straps: inductance and what is lost in it.

The functions take floats or NumPy arrays, which broadcast; the first argument decides which of the two comes back.
"""

from __future__ import annotations

import numpy as np

from rigfeed.plugin import Value, above_zero, refuse_unless
from rigfeed_antennas.arrays import absolute, db, log, sqrt

__all__ = [
    "coil_inductance_h",
    "coil_resistance_ohm",
    "ferrite_inductance_h",
    "filter_attenuation_db",
    "filter_corner_hz",
    "reactance_ohm",
    "strap_inductance_h",
]

INCH_MM = 25.4
TURN = 2.0 * np.pi


def coil_inductance_h(turns: Value, diameter_mm: Value | float, length_mm: Value | float) -> Value:
    r"""Inductance of a single-layer coil in air.

    .. math:: L = \frac{r^2 n^2}{9 r + 10 l} \; \mu\mathrm{H} \quad (r, l \text{ in inches})

    Parameters
    ----------
    turns : float or array
        Number of turns, above zero [-].
    diameter_mm : float or array
        Mean diameter of the winding, above zero [mm].
    length_mm : float or array
        Length of the winding, at least 0.4 of its diameter [mm].

    Returns
    -------
    inductance : float or array
        Inductance at low frequency [H].

    Raises
    ------
    OutOfRange
        If an argument is not above zero, or the coil is shorter than 0.4 of its diameter.

    Notes
    -----
    Within about 1 % for a coil longer than 0.8 of its radius. Near its own resonance a coil seems to have more.

    References
    ----------
    .. [1] H. A. Wheeler, "Simple inductance formulas for radio coils", Proceedings of the IRE 16 (1928), page 1398.

    Examples
    --------
    >>> round(coil_inductance_h(135.0, 76.2, 254.0) * 1e6, 2)
    361.29
    """
    above_zero("turns", turns)
    above_zero("diameter_mm", diameter_mm)
    refuse_unless(np.asarray(length_mm) >= 0.4 * diameter_mm, "length_mm", length_mm, "at least 0.4 of the diameter")
    radius, long = diameter_mm / 2.0 / INCH_MM, length_mm / INCH_MM
    return radius**2 * turns**2 / (9.0 * radius + 10.0 * long) * 1e-6


def coil_resistance_ohm(inductance_h: Value, frequency_hz: Value | float, quality: Value | float) -> Value:
    r"""Resistance of a coil at a frequency, from its quality.

    .. math:: R = \frac{2 \pi f L}{Q}

    Parameters
    ----------
    inductance_h : float or array
        Inductance, above zero [H].
    frequency_hz : float or array
        Frequency, above zero [Hz].
    quality : float or array
        Reactance over resistance, above zero [-].

    Returns
    -------
    resistance : float or array
        Resistance in series with the reactance [ohm].

    Raises
    ------
    OutOfRange
        If an argument is not above zero.

    Notes
    -----
    The definition of the quality. It is that of the frequency given: it changes slowly over a band, and falls near the
    coil's own resonance.

    References
    ----------
    .. [1] IEC 60050, International electrotechnical vocabulary: quality factor.

    Examples
    --------
    >>> round(coil_resistance_ohm(345e-6, 1.8e6, 300.0), 1)
    13.0
    """
    above_zero("inductance_h", inductance_h)
    above_zero("frequency_hz", frequency_hz)
    above_zero("quality", quality)
    return TURN * frequency_hz * inductance_h / quality


def ferrite_inductance_h(turns: Value, al_nh: Value | float) -> Value:
    r"""Inductance of turns through a core.

    .. math:: L = A_L \, n^2

    Parameters
    ----------
    turns : float or array
        Times that the wire passes the hole, above zero [-].
    al_nh : float or array
        Inductance of one turn, as the core's data give it, above zero [nH].

    Returns
    -------
    inductance : float or array
        Inductance at low frequency [H].

    Raises
    ------
    OutOfRange
        If an argument is not above zero.

    Notes
    -----
    Cores of one type differ by 20 to 30 %. It holds below about 1 MHz for the usual noise-suppression materials; above,
    the core loses rather than stores, which is what a choke is for, and impedance is read from its maker's curve. A
    direct current through it saturates the core; both leads of a pair together do not.

    References
    ----------
    .. [1] The definition of the inductance factor of a core; IEC 60050, International electrotechnical vocabulary.

    Examples
    --------
    >>> round(ferrite_inductance_h(7.0, 1000.0) * 1e6, 6)
    49.0
    """
    above_zero("turns", turns)
    above_zero("al_nh", al_nh)
    return al_nh * turns**2 * 1e-9


def strap_inductance_h(length_mm: Value, width_mm: Value | float, thickness_mm: Value | float) -> Value:
    r"""Inductance of a flat straight strap by itself.

    .. math:: L = 0.002 \, l \left( \ln \frac{2 l}{w + t} + 0.5 + 0.2235 \, \frac{w + t}{l} \right) \; \mu\mathrm{H}
        \quad (\text{cm})

    Parameters
    ----------
    length_mm : float or array
        Length of the strap, not below its width [mm].
    width_mm : float or array
        Width, above zero [mm].
    thickness_mm : float or array
        Thickness, above zero [mm].

    Returns
    -------
    inductance : float or array
        Inductance far from other metal [H].

    Raises
    ------
    OutOfRange
        If an argument is not above zero, or the strap is wider than long.

    Notes
    -----
    Lying close over metal it has less. Even a short strap is no short circuit at radio frequency: its length counts
    most, its width little, its thickness hardly.

    References
    ----------
    .. [1] F. E. Terman, "Radio engineers' handbook", 1943, section 2, rectangular bar.

    Examples
    --------
    >>> round(strap_inductance_h(150.0, 25.0, 1.0) * 1e9)
    90
    """
    above_zero("width_mm", width_mm)
    above_zero("thickness_mm", thickness_mm)
    refuse_unless(np.asarray(length_mm) >= width_mm, "length_mm", length_mm, "not below the width")
    around = width_mm + thickness_mm
    return 2e-10 * length_mm * (log(2.0 * length_mm / around) + 0.5 + 0.2235 * around / length_mm)


def reactance_ohm(inductance_h: Value, frequency_hz: Value | float) -> Value:
    r"""Reactance of an inductance at a frequency.

    .. math:: X = 2 \pi f L

    Parameters
    ----------
    inductance_h : float or array
        Inductance, above zero [H].
    frequency_hz : float or array
        Frequency, above zero [Hz].

    Returns
    -------
    reactance : float or array
        Reactance [ohm].

    Raises
    ------
    OutOfRange
        If an argument is not above zero.

    Notes
    -----
    Above about 100 kHz the resistance of a strap is nothing beside it. With the capacitance between the bonded parts it
    resonates, and there the bond is open.

    References
    ----------
    .. [1] MIL-HDBK-419A, "Grounding, bonding, and shielding", paragraph 7.5.2.3.

    Examples
    --------
    >>> round(reactance_ohm(100e-9, 7.1e6), 2)
    4.46
    """
    above_zero("inductance_h", inductance_h)
    above_zero("frequency_hz", frequency_hz)
    return TURN * frequency_hz * inductance_h


def filter_corner_hz(inductance_h: Value, capacitance_f: Value | float) -> Value:
    r"""Corner of a filter of one coil and one capacitor.

    .. math:: f_0 = \frac{1}{2 \pi \sqrt{L C}}

    Parameters
    ----------
    inductance_h : float or array
        Inductance in the lead, at its direct current, above zero [H].
    capacitance_f : float or array
        Capacitance across it, above zero [F].

    Returns
    -------
    frequency : float or array
        Frequency at which both have the same reactance [Hz].

    Raises
    ------
    OutOfRange
        If an argument is not above zero.

    Notes
    -----
    At the corner itself such a filter can make noise worse: an alternator must whine well above it.

    References
    ----------
    .. [1] The resonance of two reactances; any text on circuits.

    Examples
    --------
    >>> round(filter_corner_hz(1e-3, 1000e-6))
    159
    """
    above_zero("inductance_h", inductance_h)
    above_zero("capacitance_f", capacitance_f)
    return 1.0 / (TURN * sqrt(inductance_h * capacitance_f))


def filter_attenuation_db(frequency_hz: Value, corner_hz: Value | float) -> Value:
    r"""What a filter of one coil and one capacitor takes from a noise.

    .. math:: A = 20 \log_{10} \left| (f/f_0)^2 - 1 \right|

    Parameters
    ----------
    frequency_hz : float or array
        Frequency of the noise, above zero [Hz].
    corner_hz : float or array
        Corner of the filter, above zero [Hz].

    Returns
    -------
    attenuation : float or array
        Negative where the filter makes it worse [dB].

    Raises
    ------
    OutOfRange
        If a frequency is not above zero, or both are the same, where nothing but the losses, not known here, limits it.

    Notes
    -----
    Without losses, between a source of low and a load of high impedance; 40 dB for each decade above the corner.

    References
    ----------
    .. [1] The divider of two reactances; any text on circuits.

    Examples
    --------
    >>> round(filter_attenuation_db(1590.0, 159.0), 1)
    39.9
    """
    above_zero("frequency_hz", frequency_hz)
    above_zero("corner_hz", corner_hz)
    refuse_unless(np.asarray(frequency_hz) != corner_hz, "frequency_hz", frequency_hz, "another than the corner")
    return 2.0 * db(absolute((frequency_hz / corner_hz) ** 2 - 1.0))
