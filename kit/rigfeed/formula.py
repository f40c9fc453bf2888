"""What every formula module shares: one type for "a number or an array of them", and refusing what is out of range.

A formula takes floats or NumPy arrays, which broadcast. A guard names the argument and the first value that is not
allowed; a value that is not a number is never allowed.
"""

from __future__ import annotations

import math
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from rigfeed.errors import OutOfRange

FloatArray = NDArray[np.float64]
Floats = float | FloatArray  # one, or an array of them
Value = TypeVar("Value", float, FloatArray)  # the argument that decides whether a float or an array comes back


def refuse_unless(good: bool | NDArray[np.bool_], name: str, value: Floats, allowed: str) -> None:
    """Raise OutOfRange with the first of the values that is not good.

    Parameters
    ----------
    good : bool or array of bool
        Whether each value may be used; a comparison with a NaN is false, so a NaN is refused.
    name : str
        The argument, as its function spells it.
    value : float or array
        What was given.
    allowed : str
        What would be good, for the message.
    """
    if good is True or np.asarray(good).all():
        return
    bad, values = np.broadcast_arrays(np.logical_not(good), value)
    if bad.any():
        raise OutOfRange(name, float(values[bad][0]), allowed)


def above_zero(name: str, value: Floats) -> None:
    """Raise OutOfRange unless every value is finite and above zero."""
    if isinstance(value, float) and 0.0 < value < math.inf:
        return  # most are one number: no array is made of it, here and below
    refuse_unless(np.isfinite(value) & (np.asarray(value) > 0.0), name, value, "above 0")


def not_negative(name: str, value: Floats) -> None:
    """Raise OutOfRange unless every value is finite and zero or more."""
    if isinstance(value, float) and 0.0 <= value < math.inf:
        return
    refuse_unless(np.isfinite(value) & (np.asarray(value) >= 0.0), name, value, "0 or more")


def within(name: str, value: Floats, least: float, most: float) -> None:
    """Raise OutOfRange unless every value lies from least to most, both allowed."""
    if isinstance(value, float) and least <= value <= most:
        return
    values = np.asarray(value)
    refuse_unless((values >= least) & (values <= most), name, value, f"{least:g} to {most:g}")
