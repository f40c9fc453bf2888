"""The window of ratings for a fuse: above what the load makes it carry for good, below what it has to protect.

The functions take floats or NumPy arrays, which broadcast; the first argument decides which of the two comes back.
"""

from __future__ import annotations

from typing import overload

import numpy as np

from rigfeed.plugin import FloatArray, Floats, Value, above_zero, not_negative, refuse_unless

__all__ = ["highest_rating_a", "lowest_rating_a", "most_load_a"]


def lowest_rating_a(load_a: Value, share: Value | float = 0.8, factor: Value | float = 1.0) -> Value:
    r"""Lowest rating that carries a load for good.

    .. math:: I_n = \frac{I}{s \, f}

    Parameters
    ----------
    load_a : float or array
        Greatest current that lasts [A].
    share : float or array, optional
        Share of its rating that a fuse may carry continuously, above 0 up to 1 [-].
    factor : float or array, optional
        Re-rating factor of the fuse in its air, above zero [-].

    Returns
    -------
    rating : float or array
        Rating from which on the fuse carries the load; take the next standard rating up [A].

    Raises
    ------
    OutOfRange
        If the load is negative, the share not above 0 up to 1, or the factor not above zero.

    Notes
    -----
    The share is common practice, 0.75 to 0.8. A load that comes and goes within seconds may be counted with its
    thermal average, the volts at it may not.

    References
    ----------
    .. [1] Common practice, no source: a continuous load takes at most 75 to 80 % of a fuse.

    Examples
    --------
    >>> round(lowest_rating_a(15.9), 2)
    19.88
    """
    not_negative("load_a", load_a)
    _is_share(share)
    above_zero("factor", factor)
    return load_a / (share * factor)


@overload
def highest_rating_a(ampacity_a: float, allowed: float = ..., stated_a: float | None = ...) -> float: ...
@overload
def highest_rating_a(ampacity_a: FloatArray, allowed: Floats = ..., stated_a: float | None = ...) -> FloatArray: ...
def highest_rating_a(ampacity_a: Floats, allowed: Floats = 1.0, stated_a: float | None = None) -> Floats:
    r"""Highest rating that still protects the conductor and the equipment.

    .. math:: I_n = \min(a \, I_z, \, I_{stated})

    Parameters
    ----------
    ampacity_a : float or array
        What the weakest conductor carries in its place, up to the next fuse [A].
    allowed : float or array, optional
        Share of the ampacity that the practice allows, from above 0 to 1.5 [-].
    stated_a : float, optional
        Fuse that the maker of the equipment states, above zero; none where there is no such statement [A].

    Returns
    -------
    rating : float or array
        Rating up to which the fuse protects; take the next standard rating down [A].

    Raises
    ------
    OutOfRange
        If the ampacity is negative, the share not above 0 up to 1.5, or the stated fuse not above zero.

    Notes
    -----
    An allowed share above 1 is a rule for boats below 50 V and for nothing else. The ampacity is that of the place:
    its air and its neighbours are in it already.

    References
    ----------
    .. [1] 33 CFR 183.455(a): not above the ampacity; below 50 V up to 150 % of it.
    .. [2] FCS 1362:2010, 4.6: the fuse protects the cable, and is no larger than the maker of the set states.

    Examples
    --------
    >>> highest_rating_a(26.6, stated_a=20.0)
    20.0
    """
    not_negative("ampacity_a", ampacity_a)
    share = np.asarray(allowed)
    refuse_unless((share > 0.0) & (share <= 1.5), "allowed", allowed, "above 0 up to 1.5")
    if stated_a is not None:
        above_zero("stated_a", stated_a)
    highest = np.minimum(ampacity_a * share, np.inf if stated_a is None else stated_a)
    return float(highest) if np.ndim(highest) == 0 else highest


def most_load_a(rating_a: Value, share: Value | float = 0.8, factor: Value | float = 1.0) -> Value:
    r"""Greatest load that a rating carries for good.

    .. math:: I = s \, f \, I_n

    Parameters
    ----------
    rating_a : float or array
        Rated current of the fuse [A].
    share : float or array, optional
        Share of its rating that a fuse may carry continuously, above 0 up to 1 [-].
    factor : float or array, optional
        Re-rating factor of the fuse in its air, above zero [-].

    Returns
    -------
    load : float or array
        Current that it carries for good [A].

    Raises
    ------
    OutOfRange
        If the rating is negative, the share not above 0 up to 1, or the factor not above zero.

    Notes
    -----
    The inverse of `lowest_rating_a`.

    References
    ----------
    .. [1] Common practice, no source: a continuous load takes at most 75 to 80 % of a fuse.

    Examples
    --------
    >>> most_load_a(20.0)
    16.0
    """
    not_negative("rating_a", rating_a)
    _is_share(share)
    above_zero("factor", factor)
    return rating_a * share * factor


def _is_share(share: Floats) -> None:
    value = np.asarray(share)
    refuse_unless((value > 0.0) & (value <= 1.0), "share", share, "above 0 up to 1")
