"""A number with its unit on its way out: in findings, assumptions and papers."""

from __future__ import annotations

import math

from rigfeed.frozen import frozen
from rigfeed.quantity import System, fitting, show, significant


@frozen
class Measure:
    """A value in `unit`; shown with three digits in metric or US units.

    >>> str(Measure(11.8923, "V")), Measure(0.9, "m").text("us")
    ('11.9 V', '35.4 in')
    """

    value: float
    unit: str = ""

    def text(self, system: System = "metric", digits: int = 3, *, to: str = "") -> str:
        """For people, with so many significant digits; in the unit `to`, else in the one that fits."""
        return show(self.value, self.unit, system, lambda value: significant(value, digits), to=to)

    def __str__(self) -> str:
        return self.text()


def apart(value: Measure, limit: Measure, system: System = "metric") -> tuple[str, str]:
    """Two measures as texts, with as many digits as it takes to see that they differ; of one kind in one unit.

    >>> apart(Measure(11.685, "V"), Measure(11.7, "V")), apart(Measure(0.08, "V"), Measure(0.36, "V"))
    (('11.69 V', '11.7 V'), ('0.08 V', '0.36 V'))
    """
    same = fitting(max(abs(value.value), abs(limit.value)), value.unit, system) if value.unit == limit.unit else ""
    for digits in range(3, 8):
        texts = value.text(system, digits, to=same), limit.text(system, digits, to=same)
        if texts[0] != texts[1]:
            break
    return texts


def json_number(value: float | None) -> float | int | None:
    """A number with 9 significant digits, None where it is not finite: what JSON can hold.

    >>> json_number(1 / 3), json_number(float("inf"))
    (0.333333333, None)
    """
    if value is None or not math.isfinite(value):
        return None
    return value if isinstance(value, int) else float(f"{value:.9g}")
