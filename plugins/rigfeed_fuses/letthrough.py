"""What a fuse lets through until it opens, and the smallest wire that stands it.

The functions take floats or NumPy arrays, which broadcast; the first argument decides which of the two comes back.
"""

from __future__ import annotations

from rigfeed.plugin import Value, above_zero, not_negative

__all__ = ["let_through_a2s", "smallest_area_mm2"]


def let_through_a2s(current_a: Value, time_s: Value | float) -> Value:
    r"""Square of the current times the time that it flows.

    .. math:: W = I^2 t

    Parameters
    ----------
    current_a : float or array
        Steady current of the fault [A].
    time_s : float or array
        Longest time until the fuse opens [s].

    Returns
    -------
    let_through : float or array
        What passes until it opens [A2s].

    Raises
    ------
    OutOfRange
        If one of them is negative or not finite: a fuse that need not open has no such figure.

    Notes
    -----
    For a current that is steady from the start: in the few metres of a vehicle it rises within a millisecond.

    References
    ----------
    .. [1] IEC 60364-5-54:2011, 543.1.2.

    Examples
    --------
    >>> let_through_a2s(140.0, 7.0)
    137200.0
    """
    not_negative("current_a", current_a)
    not_negative("time_s", time_s)
    return current_a * current_a * time_s


def smallest_area_mm2(let_through: Value, k: Value | float) -> Value:
    r"""Smallest cross-section that stays below the final temperature of its insulation.

    .. math:: S = \frac{\sqrt{I^2 t}}{k}

    Parameters
    ----------
    let_through : float or array
        Square of the current times the time until the fuse opens [A2s].
    k : float or array
        Constant of metal, insulation and running temperature, above zero [A s^0.5/mm2].

    Returns
    -------
    area : float or array
        Smallest cross-section; take the next larger size [mm2].

    Raises
    ------
    OutOfRange
        If the let-through is negative, or the constant not above zero.

    Notes
    -----
    No heat leaves the wire: exact to about 5 s, on the safe side beyond. The constant belongs to the temperature from
    which the wire starts: copper in PVC has 115 from 70 degC but 88 from 105 degC.

    References
    ----------
    .. [1] IEC 60364-5-54:2011, 543.1.2 and annex A; BS 7671, 543.1.3.

    Examples
    --------
    >>> round(smallest_area_mm2(137200.0, k=115.0), 2)
    3.22
    """
    not_negative("let_through", let_through)
    above_zero("k", k)
    root: Value = let_through**0.5
    return root / k
