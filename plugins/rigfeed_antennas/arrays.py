"""Elementary functions of a number or an array, each giving back what it was given: a float of a float."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Protocol, overload

import numpy as np

from rigfeed.plugin import FloatArray, Floats

__all__ = ["absolute", "cos", "db", "exp", "from_db", "log", "sin", "sqrt", "tan"]


class Function(Protocol):
    """A function of one number, in each place of an array."""

    @overload
    def __call__(self, value: float) -> float: ...
    @overload
    def __call__(self, value: FloatArray) -> FloatArray: ...
    @overload
    def __call__(self, value: Floats) -> Floats: ...


def _of(function: Callable[[Any], Any]) -> Function:
    def applied(value: Any) -> Any:
        result = function(value)
        return result if np.ndim(result) else float(result)

    return applied


absolute = _of(np.abs)
cos = _of(np.cos)
exp = _of(np.exp)
log = _of(np.log)
sin = _of(np.sin)
sqrt = _of(np.sqrt)
tan = _of(np.tan)
db = _of(lambda ratio: 10.0 * np.log10(ratio))  # a ratio of powers in decibels
from_db = _of(lambda decibels: 10.0 ** (np.asarray(decibels) / 10.0))  # and back
