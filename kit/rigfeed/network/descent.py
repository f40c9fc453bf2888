"""How far to go along a direction in which a convex function falls, for many samples at once."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from rigfeed.network.ranges import Floats

_HALVINGS = 60


def length_of(ahead: Callable[[Floats], Floats], slope: Floats) -> Floats:
    """The part of a step after which the function is lowest, nearly, or the whole.

    Parameters
    ----------
    ahead : callable
        The derivative along the step after such a part of it, one for each sample.
    slope : array, shape (samples,)
        Its size at the start, where it is below zero.
    """
    low, high, length = np.zeros(len(slope)), np.ones(len(slope)), np.ones(len(slope))
    at_low, at_high = -slope, np.zeros(len(slope))
    for count in range(_HALVINGS):
        now = ahead(length)
        too_far = now > 0.1 * slope
        too_short = (now < -0.5 * slope) & (length < 1.0)
        searched = too_far | too_short
        if not searched.any():
            break
        high, at_high = np.where(too_far, length, high), np.where(too_far, now, at_high)
        low, at_low = np.where(too_short, length, low), np.where(too_short, now, at_low)
        # where a line between both would be level; that alone could creep up to a corner, halves in turn cannot
        share = np.divide(at_low, at_low - at_high, out=np.full(len(slope), 0.5), where=searched & (count % 2 == 0))
        length = np.where(searched, low + share * (high - low), length)
    return length
