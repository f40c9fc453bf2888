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
    for _ in range(_HALVINGS):
        now = ahead(length)
        too_far = now > 0.1 * slope
        too_short = (now < -0.5 * slope) & (length < 1.0)
        if not (too_far | too_short).any():
            break
        high, low = np.where(too_far, length, high), np.where(too_short, length, low)
        length = np.where(too_far | too_short, (low + high) / 2.0, length)
    return length
