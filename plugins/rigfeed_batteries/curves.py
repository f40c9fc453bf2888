"""What the parts of this plugin share: curves of catalog points, and cells that hold a word each."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

from rigfeed.plugin import OneOf

CHEMISTRIES = ("flooded", "AGM", "gel", "LiFePO4")
Points = tuple[tuple[float, float], ...]


def between(points: Points, x: float) -> float:
    """A curve at `x`: straight between its points, level beyond the first and the last.

    >>> between(((0.0, 11.8), (50.0, 12.3), (100.0, 12.7)), 25.0)
    12.05
    """
    for (low, low_y), (high, high_y) in pairwise(points):
        if x <= high:
            share = max((x - low) / (high - low), 0.0)
            return low_y + (high_y - low_y) * share
    return points[-1][1]


class YesNoCell(OneOf):
    """A cell of a catalog that holds yes or no."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(("yes", "no"), **kwargs)

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> Any:
        return super()._deserialize(value, attr, data, **kwargs) == "yes"


class CountCell(OneOf):
    """A cell of a catalog that holds one of a few whole numbers."""

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> Any:
        return int(super()._deserialize(value, attr, data, **kwargs))
