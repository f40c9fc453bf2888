"""Where the whine of an alternator lies. The functions take floats or NumPy arrays, which broadcast; the first argument
decides which of the two comes back.
"""

from __future__ import annotations

import numpy as np

from rigfeed.plugin import Value, above_zero, refuse_unless

__all__ = ["alternator_frequency_hz", "alternator_rpm", "whine_hz"]

PULSES = 6.0  # of a three-phase bridge in each turn of its phase


def alternator_rpm(engine_rpm: Value, engine_pulley_mm: Value | float, alternator_pulley_mm: Value | float) -> Value:
    r"""Speed of an alternator from that of the engine and the two pulleys.

    .. math:: N_2 = N_1 \, \frac{D_1}{D_2}

    Parameters
    ----------
    engine_rpm : float or array
        Speed of the crankshaft, above zero [rpm].
    engine_pulley_mm : float or array
        Diameter of the pulley on the crankshaft, above zero [mm].
    alternator_pulley_mm : float or array
        Diameter of the pulley on the alternator, above zero [mm].

    Returns
    -------
    speed : float or array
        Speed of the alternator [rpm].

    Raises
    ------
    OutOfRange
        If an argument is not above zero.

    Notes
    -----
    The belt does not slip. Any unit will do for the pulleys, if it is the same.

    References
    ----------
    .. [1] Ratio of the circumferences.

    Examples
    --------
    >>> round(alternator_rpm(2400.0, 152.4, 50.8), 6)
    7200.0
    """
    above_zero("engine_rpm", engine_rpm)
    above_zero("engine_pulley_mm", engine_pulley_mm)
    above_zero("alternator_pulley_mm", alternator_pulley_mm)
    return engine_rpm * engine_pulley_mm / alternator_pulley_mm


def alternator_frequency_hz(poles: Value, rpm: Value | float) -> Value:
    r"""Frequency of each phase of an alternator.

    .. math:: f = \frac{P \, N}{120}

    Parameters
    ----------
    poles : float or array
        Number of poles, even, 2 or more; 12 and 16 are usual in vehicles [-].
    rpm : float or array
        Speed of the alternator itself, above zero [rpm].

    Returns
    -------
    frequency : float or array
        Frequency of the phase [Hz].

    Raises
    ------
    OutOfRange
        If the poles are not an even number of 2 or more, or the speed is not above zero.

    Notes
    -----
    Poles, not pairs of poles.

    References
    ----------
    .. [1] US Navy electricity and electronics training series, module 5 (NAVEDTRA 14177), section 3.

    Examples
    --------
    >>> alternator_frequency_hz(12.0, 4000.0)
    400.0
    """
    count = np.asarray(poles)
    refuse_unless((count >= 2) & (count % 2 == 0) & np.isfinite(count), "poles", poles, "an even number, 2 or more")
    above_zero("rpm", rpm)
    return poles * rpm / 120.0


def whine_hz(poles: Value, rpm: Value | float) -> Value:
    r"""Lowest frequency of the ripple of an alternator with a healthy bridge.

    .. math:: f = 6 \, \frac{P \, N}{120}

    Parameters
    ----------
    poles : float or array
        Number of poles, even, 2 or more; 12 and 16 are usual in vehicles [-].
    rpm : float or array
        Speed of the alternator itself, above zero [rpm].

    Returns
    -------
    frequency : float or array
        Lowest frequency of the ripple [Hz].

    Raises
    ------
    OutOfRange
        If the poles are not an even number of 2 or more, or the speed is not above zero.

    Notes
    -----
    Six pulses in each turn of the phase. A lower tone, of twice the frequency of the phase or of that itself, points to
    a diode that is open or shorted.

    References
    ----------
    .. [1] US Navy electricity and electronics training series, module 5 (NAVEDTRA 14177), section 3; a three-phase
       full-wave rectifier gives 300 Hz from 50 Hz.

    Examples
    --------
    >>> whine_hz(12.0, 4000.0)
    2400.0
    """
    return PULSES * alternator_frequency_hz(poles, rpm)
