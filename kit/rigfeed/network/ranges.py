"""The numbers that elements carry: which there are, how they become arrays, and what each may be."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from rigfeed.frozen import frozen
from rigfeed.network.elements import LEAST_OHM, Converter, Diode, Element, Resistor, Sink, Source, Switch
from rigfeed.network.errors import NetworkError

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]
Places = NDArray[np.intp]

Kind = Literal["resistor", "source", "sink", "diode", "switch", "converter"]
KINDS: dict[Kind, type[Element]] = {
    "resistor": Resistor,
    "source": Source,
    "sink": Sink,
    "diode": Diode,
    "switch": Switch,
    "converter": Converter,
}


@frozen
class Range:
    """What a number may be, in the unit of its name. Infinity only where it is itself a bound that says so."""

    least: float
    most: float
    endless: bool = False
    above: bool = False  # the least itself is out

    def outside(self, numbers: Floats) -> Flags:
        """Which of the numbers break the range; not-a-number always does."""
        low = numbers > self.least if self.above else numbers >= self.least
        fits = low & (numbers <= self.most)
        return ~(fits & (np.isfinite(numbers) | self.endless))

    def __str__(self) -> str:
        start = "above" if self.above else "at least"
        least = "" if self.least == -math.inf else f"{start} {self.least:g}"
        most = "" if self.most == math.inf else f"at most {self.most:g}"
        return " and ".join(part for part in (least, most, "" if self.endless else "finite") if part)


_OHM = Range(LEAST_OHM, math.inf)
_POSITIVE = Range(0.0, math.inf)
_ANY = Range(-math.inf, math.inf)
_LIMIT = Range(0.0, math.inf, endless=True)
_ENDLESS = Range(-math.inf, math.inf, endless=True)

RANGES: dict[tuple[Kind, str], Range] = {
    ("resistor", "ohm_20"): _OHM,
    ("resistor", "alpha"): Range(-0.05, 0.05),  # metals stay below 0.007 1/K; a percentage slipped in does not
    ("resistor", "temperature_c"): Range(-273.15, 3000.0),
    ("source", "emf_v"): _ANY,
    ("source", "ohm"): _OHM,
    ("source", "limit_a"): _LIMIT,
    ("sink", "value"): _POSITIVE,
    ("sink", "min_v"): _POSITIVE,
    ("sink", "restart_v"): _POSITIVE,
    ("diode", "drop_v"): _POSITIVE,
    ("diode", "ohm"): _OHM,
    ("switch", "ohm"): _OHM,
    ("switch", "close_v"): _ENDLESS,
    ("switch", "open_v"): _ENDLESS,
    ("converter", "out_v"): _POSITIVE,
    ("converter", "out_ohm"): _OHM,
    ("converter", "limit_a"): _LIMIT,
    ("converter", "efficiency"): Range(0.0, 1.0, above=True),
    ("converter", "standby_w"): _POSITIVE,
    ("converter", "cutoff_v"): _POSITIVE,
    ("converter", "restart_v"): _POSITIVE,
}
ORDERED: tuple[tuple[Kind, str, str], ...] = (  # the first must not be above the second
    ("sink", "min_v", "restart_v"),
    ("converter", "cutoff_v", "restart_v"),
    ("switch", "open_v", "close_v"),
)
WHEN_NOT_GIVEN = {("sink", "restart_v"): "min_v", ("converter", "restart_v"): "cutoff_v"}


def somewhere(flags: Flags) -> Flags:
    """Which samples have any flag at all."""
    found: Flags = np.logical_or.reduce(flags, axis=1)
    return found


def distinct(numbers: Places) -> Places:
    """The numbers that occur, rising. Without their places NumPy would load its masked arrays to look for some, which
    takes longer than a whole study."""
    found, _ = np.unique(numbers, return_index=True)
    return found


def gathered(kind: Kind, elements: Sequence[Element]) -> dict[str, Floats]:
    """The numbers of the elements of one kind, one array of shape (count,) for each."""
    arrays = {}
    for field in (field for place, field in RANGES if place == kind):
        stand_in = WHEN_NOT_GIVEN.get((kind, field), field)
        given = [getattr(element, field) for element in elements]
        numbers = [
            getattr(e, stand_in) if number is None else number for e, number in zip(elements, given, strict=True)
        ]
        arrays[field] = np.array(numbers, dtype=np.float64)
    return arrays


def hot_ohm(ohm_20: Floats, alpha: Floats, temperature_c: Floats) -> Floats:
    """Resistance at a temperature [ohm]: ``ohm_20 * (1 + alpha * (temperature_c - 20))``."""
    return ohm_20 * (1.0 + alpha * (temperature_c - 20.0))


def check(kind: Kind, names: Sequence[str], kinds: Sequence[str], arrays: dict[str, Floats]) -> None:
    """Refuse the first number out of its range; the last axis of every array is that of `names`.

    Raises
    ------
    NetworkError
        With the element and the number that is out of range, or the two that contradict each other.
    """
    for field, numbers in arrays.items():
        allowed = RANGES[kind, field]
        _refuse(allowed.outside(numbers), names, field, numbers, str(allowed))
    for place, low, high in ORDERED:
        if place == kind:
            _refuse(~(arrays[low] <= arrays[high]), names, high, arrays[high], f"not below {low}")
    if kind == "resistor":
        ohm = hot_ohm(arrays["ohm_20"], arrays["alpha"], arrays["temperature_c"])
        _refuse(~(ohm > 0.0), names, "alpha", arrays["alpha"], "a resistance above zero at its temperature")
    if kind == "sink":
        resistive = np.array([sort == "resistance" for sort in kinds], dtype=np.bool_)
        short = (arrays["value"] < LEAST_OHM) & resistive
        _refuse(short, names, "value", arrays["value"], f"at least {LEAST_OHM:g} as a resistance")


def _refuse(bad: Flags, names: Sequence[str], field: str, numbers: Floats, allowed: str) -> None:
    if not bad.any():
        return
    where = np.argwhere(bad)[0]
    number = float(np.broadcast_to(numbers, bad.shape)[tuple(where)])
    sample = f" in sample {where[0]}" if bad.ndim > 1 and bad.shape[0] > 1 else ""
    raise NetworkError.about(f"{field} is {number:g}{sample}; allowed: {allowed}", names[where[-1]], field)
