"""Axes: their numbers in the units of a reader, and the values that are written at them."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace

from rigfeed.figures.figure import Axis, Figure, Mark, Place
from rigfeed.quantity import UNITS, System, convert, shown_in, three_digits

FEW_DECADES = 2.6  # up to so many, 2 and 5 are written between the powers of ten
MANY_DECADES = 4.5  # of more, only the powers of ten have a line
STEPS = 6  # of a linear axis, about


def in_system(figure: Figure, system: System) -> Figure:
    """The figure with its numbers and units as a reader of that system wants them."""
    x, y = _converter(figure.x, system), _converter(figure.y, system)

    def moved(places: Iterable[Place]) -> tuple[Place, ...]:
        return tuple((x(place[0]), y(place[1])) for place in places)

    def mark(one: Mark) -> Mark:
        by = x if one.axis == "x" else y
        return replace(one, at=by(one.at), to=None if one.to is None else by(one.to))

    return replace(
        figure, x=_shown(figure.x, system), y=_shown(figure.y, system),
        bands=tuple(replace(band, low=moved(band.low), high=moved(band.high)) for band in figure.bands),
        curves=tuple(replace(curve, places=moved(curve.places)) for curve in figure.curves),
        marks=tuple(map(mark, figure.marks)),
        dots=tuple(replace(dots, places=moved(dots.places)) for dots in figure.dots),
    )


def _converter(axis: Axis, system: System) -> Callable[[float], float]:
    if axis.unit not in UNITS or axis.names:
        return float
    unit = shown_in(axis.unit, system)
    return lambda value: convert(value, axis.unit, unit)


def _shown(axis: Axis, system: System) -> Axis:
    if axis.unit not in UNITS or axis.names:
        return axis
    by = _converter(axis, system)
    return replace(axis, unit=shown_in(axis.unit, system), least=by(axis.least), most=by(axis.most))


def heading(axis: Axis) -> str:
    """The words at an axis.

    >>> heading(Axis("current", "A")), heading(Axis("conductor"))
    ('current [A]', 'conductor')
    """
    return f"{axis.label} [{axis.unit}]" if axis.unit else axis.label


def ticks(axis: Axis) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """The values that are written at an axis, and those that only have a line.

    >>> ticks(Axis("time", "s", "log", 0.5, 8.0))
    ((0.5, 1.0, 2.0, 5.0), (0.6, 0.7, 0.8, 0.9, 3.0, 4.0, 6.0, 7.0, 8.0))
    >>> ticks(Axis("share", "%", most=100.0))
    ((0.0, 20.0, 40.0, 60.0, 80.0, 100.0), ())
    """
    if axis.scale == "linear":
        return _even(axis.least, axis.most), ()
    low, high = math.log10(axis.least), math.log10(axis.most)
    leading = (1, 2, 5) if high - low <= FEW_DECADES else (1,)
    decades = range(math.floor(low), math.ceil(high) + 1)
    every = [(digit, float(f"{digit}e{decade}")) for decade in decades for digit in range(1, 10)]
    slack = 1.0 + 1e-9
    inside = [(digit, value) for digit, value in every if axis.least / slack <= value <= axis.most * slack]
    written = tuple(value for digit, value in inside if digit in leading)
    between = tuple(value for digit, value in inside if digit not in leading)
    return written, between if high - low <= MANY_DECADES else ()


def _even(least: float, most: float) -> tuple[float, ...]:
    rough = (most - least) / STEPS
    power = 10.0 ** math.floor(math.log10(rough))
    step = next(power * by for by in (1.0, 2.0, 5.0, 10.0) if power * by >= rough * (1 - 1e-9))
    first = math.ceil(least / step - 1e-9)
    return tuple(number * step for number in range(first, math.floor(most / step + 1e-9) + 1))


def tick_names(values: Sequence[float]) -> list[str]:
    """Values as they are written at an axis.

    >>> tick_names([0.001, 1.0, 20000.0])
    ['0.001', '1', '20 000']
    """
    return [f"{value:,.0f}".replace(",", " ") if abs(value) >= 10_000 else three_digits(value) for value in values]
