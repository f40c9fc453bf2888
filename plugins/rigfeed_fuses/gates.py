"""The gates of a protective device and the curve between them, in the air that it is in."""

from __future__ import annotations

import math
import re
from itertools import pairwise
from typing import Any

import numpy as np
from marshmallow import ValidationError

from rigfeed.plugin import FloatArray, Text, frozen, not_negative
from rigfeed_fuses.opening import SAME, gate_time_s, rerating_factor

# the least trusted of several is what the whole may be trusted for
TRUST = ("published", "measured", "maker", "derived", "memory", "invented")
LIKE = "1.1 360000..; 1.35 60..1800; 2 2..60"


@frozen
class Gate:
    """The shortest and the longest time to open at a multiple of the rating; None where it is not known.

    It stands for the ratings above `above_a` up to `up_to_a`.
    """

    multiple: float
    least_s: float | None = None
    most_s: float | None = None
    above_a: float = 0.0
    up_to_a: float = math.inf
    source: str = ""
    confidence: str = ""

    def stands_for(self, rated_a: float) -> bool:
        """Whether it holds for a rating."""
        return self.above_a < rated_a <= self.up_to_a


@frozen
class Curve:
    """Gates by rising multiple, and pairs of air temperature and factor on the rating (none: the air is left out)."""

    gates: tuple[Gate, ...] = ()
    rerating: tuple[tuple[float, float], ...] = ()

    @property
    def confidence(self) -> str:
        """How far to trust its times: as far as the least trusted gate."""
        return max((gate.confidence for gate in self.gates), key=TRUST.index, default="")

    @property
    def air_range_c(self) -> tuple[float, float]:
        """The temperatures of the air for which it is known [degC]."""
        return (self.rerating[0][0], self.rerating[-1][0]) if self.rerating else (-math.inf, math.inf)

    def factor(self, air_c: float) -> float:
        """The share of its rating that it carries in that air; raises OutOfRange where that is not known."""
        if not self.rerating:
            return 1.0
        return rerating_factor(air_c, [point for point, _ in self.rerating], [factor for _, factor in self.rerating])

    def window_s(self, multiple: float, air_c: float = 25.0) -> tuple[float, float]:
        """The shortest and the longest time to open at a multiple of the rated current [s].

        Infinite where it need not open: the longest below the first gate that has one, the shortest below the first
        gate at all. What is not known is zero at the short side and infinite at the long one. Its air only widens the
        window: heat shortens the shortest time, cold lengthens the longest one.

        Raises
        ------
        OutOfRange
            If the multiple is negative, or the air outside of the curve.
        """
        not_negative("multiple", multiple)
        shortest, longest = self.windows_s(np.array([multiple]), air_c)
        return float(shortest[0]), float(longest[0])

    def windows_s(self, multiples: FloatArray, air_c: float = 25.0) -> tuple[FloatArray, FloatArray]:
        """`window_s` for many multiples at once [s]."""
        not_negative("multiples", multiples)
        factor = self.factor(air_c)
        cold, hot = multiples / max(factor, 1.0), multiples / min(factor, 1.0)
        least = [(gate.multiple, gate.least_s) for gate in self.gates if gate.least_s is not None]
        most = [(gate.multiple, gate.most_s) for gate in self.gates if gate.most_s is not None]
        shortest = gate_time_s(hot, *_columns(least)) if least else np.zeros_like(hot)
        if least and self.gates[-1].least_s is None:
            shortest = np.where(hot > least[-1][0] * (1.0 + SAME), 0.0, shortest)
        return shortest, gate_time_s(cold, *_columns(most)) if most else np.full_like(cold, math.inf)


def _columns(points: list[tuple[float, float]]) -> tuple[list[float], list[float]]:
    return [multiple for multiple, _ in points], [time_s for _, time_s in points]


class GatesField(Text):
    """Gates in a cell of a catalog: ``1.1 360000..; 1.35 60..1800; 2 2..60``, each a multiple and its two times."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(like=LIKE, **kwargs)

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> Any:
        gates = tuple(_gate(part.strip()) for part in str(value).split(";"))
        if any(b.multiple <= a.multiple for a, b in pairwise(gates)):
            raise ValidationError(f"{value!r}: the multiples do not rise; sort them, like: {LIKE}")
        for side in ("least_s", "most_s"):
            times = [(gate.multiple, time_s) for gate in gates if (time_s := getattr(gate, side)) is not None]
            for (lower, time_s), (higher, later_s) in pairwise(times):
                if later_s > time_s:
                    what = f"it takes longer at {higher:g} times its rating than at {lower:g} times"
                    raise ValidationError(f"{value!r}: {what}; a larger current never does: see its data sheet")
        return gates


def _gate(text: str) -> Gate:
    match = re.fullmatch(r"([0-9.]+)\s+([0-9.]*?)\.\.([0-9.]*)", text)
    try:
        numbers = [float(part) if part else None for part in match.groups()] if match else []
    except ValueError:
        numbers = []
    multiple, least_s, most_s = numbers if len(numbers) == 3 else (None, None, None)
    if multiple is None or multiple < 1 or 0.0 in (least_s, most_s) or (least_s is None and most_s is None):
        raise ValidationError(f"{text!r} is no gate; write multiple, shortest and longest time, like: {LIKE}")
    if least_s is not None and most_s is not None and least_s > most_s:
        raise ValidationError(f"{text!r}: the shortest time is longer than the longest; write the shorter one first")
    return Gate(multiple, least_s, most_s)
