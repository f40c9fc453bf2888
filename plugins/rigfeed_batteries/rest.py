"""Voltage at rest of a cell and of a battery, from its charge.

The functions take floats or NumPy arrays, which broadcast; the first number decides which of the two comes back.
"""

from __future__ import annotations

from typing import Literal

import numpy as np

from rigfeed.plugin import Floats, UnknownName, Value, refuse_unless, within

__all__ = ["battery_rest_v", "lead_cell_rest_v", "lithium_cell_rest_v"]

Chemistry = Literal["flooded", "AGM", "gel", "LiFePO4"]

# H. Bode, Lead-acid batteries, 1977: potentials of the two electrodes in the common logarithm of the molality.
POSITIVE_V = (1.628, 0.074, 0.033, 0.043, 0.022)
NEGATIVE_V = (-0.294, -0.074, -0.030, -0.031, -0.012)
# Sulphuric acid of an empty and of a full battery [mol/kg]: 1.11 and 1.28 kg/l flooded, stronger where there is less
# of it (from memory: makers differ).
ACID_MOL_PER_KG = {"flooded": (2.0, 6.0), "AGM": (2.0, 6.7), "gel": (2.0, 6.4)}

# M. Naumann, PhD thesis, TU Munich 2018: fit to a 3 Ah cell, LiFePO4 against graphite, read off every 5 %.
LITHIUM_PERCENT = tuple(range(0, 101, 5))
LITHIUM_V = (
    2.0098, 3.0464, 3.1779, 3.2264, 3.2465, 3.2573, 3.2650, 3.2718, 3.2782, 3.2845, 3.2907, 3.2970, 3.3033, 3.3095,
    3.3158, 3.3220, 3.3283, 3.3345, 3.3408, 3.3470, 3.5820,
)


def lead_cell_rest_v(acid_mol_per_kg: Value) -> Value:
    r"""Voltage at rest of one lead-acid cell, from the strength of its acid.

    .. math:: U = U_{+}(\lg m) - U_{-}(\lg m)

    Parameters
    ----------
    acid_mol_per_kg : float or array
        Molality of the sulphuric acid: about 6 when full, 2 when empty [mol/kg].

    Returns
    -------
    rest : float or array
        Voltage at rest [V].

    Raises
    ------
    OutOfRange
        If the molality is outside of 0.5 to 8 mol/kg.

    Notes
    -----
    Two polynomials of the fourth degree, at 25 degC. A rest of many hours is meant: just charged, a cell shows more,
    just loaded, less.

    References
    ----------
    .. [1] H. Bode, "Lead-acid batteries", Wiley, New York 1977 (constants as an open-source simulation of batteries
       carries them).

    Examples
    --------
    >>> round(6 * lead_cell_rest_v(6.0), 2)
    12.74
    """
    within("acid_mol_per_kg", acid_mol_per_kg, 0.5, 8.0)
    lg = np.log10(acid_mol_per_kg)
    cell_v = [positive - negative for positive, negative in zip(POSITIVE_V, NEGATIVE_V, strict=True)]
    return _like(acid_mol_per_kg, sum(volts * lg**power for power, volts in enumerate(cell_v)))


def lithium_cell_rest_v(charge: Value) -> Value:
    r"""Voltage at rest of one LiFePO4 cell.

    .. math:: U = U_i + (U_{i+1} - U_i) \frac{s - s_i}{s_{i+1} - s_i}

    Parameters
    ----------
    charge : float or array
        Charge, 0 empty to 1 full [-].

    Returns
    -------
    rest : float or array
        Voltage at rest [V].

    Raises
    ------
    OutOfRange
        If the charge is outside of 0 to 1.

    Notes
    -----
    Straight between points at every 5 %. From 20 to 95 % the whole curve lies within 0.1 V: a voltmeter says next to
    nothing of the charge there. Charging and discharging curves differ by some 10 mV, which this one does not tell.

    References
    ----------
    .. [1] M. Naumann, PhD thesis, Technical University of Munich, 2018: fit to a 3 Ah cell, LiFePO4 against graphite
       (constants as an open-source simulation of storage systems carries them).

    Examples
    --------
    >>> lithium_cell_rest_v(0.5)
    3.2907
    """
    within("charge", charge, 0.0, 1.0)
    return _like(charge, np.interp(np.asarray(charge) * 100.0, LITHIUM_PERCENT, LITHIUM_V))


def battery_rest_v(charge: Value, chemistry: Chemistry, cells: float) -> Value:
    r"""Voltage at rest of a battery of cells in series.

    .. math:: U = n \, u(s)

    Parameters
    ----------
    charge : float or array
        Charge, 0 empty to 1 full [-].
    chemistry : str
        "flooded", "AGM", "gel" or "LiFePO4" [-].
    cells : float
        Cells in series, a whole number: 6 of lead-acid or 4 of LiFePO4 make a 12 V battery [-].

    Returns
    -------
    rest : float or array
        Voltage at rest [V].

    Raises
    ------
    OutOfRange
        If the charge is outside of 0 to 1, or there is no cell.
    UnknownName
        If the chemistry is none of these.

    Notes
    -----
    In lead-acid the acid takes part in the reaction, so its molality is taken to fall evenly with the charge. How
    strong it is in a full and in an empty battery differs by maker and type, and is from memory: +-0.1 V on 12 V.

    References
    ----------
    .. [1] H. Bode, "Lead-acid batteries", Wiley, New York 1977.
    .. [2] M. Naumann, PhD thesis, Technical University of Munich, 2018.

    Examples
    --------
    >>> round(battery_rest_v(0.5, "LiFePO4", 4), 2), round(battery_rest_v(0.5, "flooded", 6), 2)
    (13.16, 12.33)
    """
    within("charge", charge, 0.0, 1.0)
    refuse_unless(cells >= 1 and cells % 1 == 0, "cells", cells, "a whole number, 1 or more")
    if chemistry == "LiFePO4":
        return lithium_cell_rest_v(charge) * cells
    if chemistry not in ACID_MOL_PER_KG:
        raise UnknownName("chemistry", chemistry, [*ACID_MOL_PER_KG, "LiFePO4"])
    empty, full = ACID_MOL_PER_KG[chemistry]
    return lead_cell_rest_v(empty + (full - empty) * charge) * cells


def _like(given: Value, result: Floats) -> Value:
    """A float for a float, an array for an array."""
    return float(result) if isinstance(given, int | float) else result  # type: ignore[return-value]
