"""Elementary functions of a number or an array, each giving back what it was given."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np

from rigfeed.plugin import Value

__all__ = ["absolute", "cos", "db", "exp", "from_db", "larger", "log", "log10", "sin", "sqrt", "tan"]


def _like(function: Callable[..., Any], *values: Any) -> Any:
    result = function(*values)
    return result if np.ndim(result) else float(result)


def absolute(value: Value) -> Value:
    """Magnitude."""
    return _like(np.abs, value)  # type: ignore[no-any-return]


def cos(value: Value) -> Value:
    """Cosine of an angle in radians."""
    return _like(np.cos, value)  # type: ignore[no-any-return]


def exp(value: Value) -> Value:
    """Exponential."""
    return _like(np.exp, value)  # type: ignore[no-any-return]


def larger(one: Value, other: Value | float) -> Value:
    """The larger of two, in each place."""
    return _like(np.maximum, one, other)  # type: ignore[no-any-return]


def log(value: Value) -> Value:
    """Natural logarithm."""
    return _like(np.log, value)  # type: ignore[no-any-return]


def log10(value: Value) -> Value:
    """Logarithm to base ten."""
    return _like(np.log10, value)  # type: ignore[no-any-return]


def sin(value: Value) -> Value:
    """Sine of an angle in radians."""
    return _like(np.sin, value)  # type: ignore[no-any-return]


def sqrt(value: Value) -> Value:
    """Square root."""
    return _like(np.sqrt, value)  # type: ignore[no-any-return]


def tan(value: Value) -> Value:
    """Tangent of an angle in radians."""
    return _like(np.tan, value)  # type: ignore[no-any-return]


def db(ratio: Value) -> Value:
    """A ratio of powers in decibels."""
    return 10.0 * log10(ratio)


def from_db(decibels: Value) -> Value:
    """The ratio of powers of a number of decibels."""
    return _like(np.power, 10.0, decibels / 10.0)  # type: ignore[no-any-return]
