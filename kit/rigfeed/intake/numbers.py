"""Numbers as suppliers print them: decimal comma or point, thousands, ranges, tolerances, footnote marks."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import lru_cache

from rigfeed.frozen import frozen

_POWER = r"(?:[eE][+-]\d{1,2}(?!\d))"  # as spreadsheets write what is too wide for its column
NUMBER = (
    rf"(?:\d(?:[.,]\d+)?{_POWER}|\d{{1,3}}(?:[.,'\u00a0\u202f]\d{{3}})+(?:[.,]\d+)?(?!\d)"
    r"|\d+[.,]\d+|\d+|[.,]\d+)"
)
_NUMBER = re.compile(NUMBER)
_CLEAR_COMMA = re.compile(r"(?<![\d.,])(?:\d*,(?:\d{1,2}|\d{4,})|0,\d+|\d{1,3}(?:\.\d{3})+,\d+)(?![\d.,])")
_CLEAR_POINT = re.compile(r"(?<![\d.,])(?:\d*\.(?:\d{1,2}|\d{4,})|0\.\d+|\d{1,3}(?:,\d{3})+\.\d+)(?![\d.,])")
_EITHER = re.compile(r"[1-9]\d{0,2}([.,])\d{3}")


@frozen
class Figure:
    """A number of a cell; `other` is what it would be with its separator read the other way, if nothing tells."""

    value: float
    other: float | None = None


def decimal_mark(cells: Iterable[str]) -> tuple[bool, bool]:
    """Whether a list writes decimal commas, and whether that is sure: it writes one mark, never the other."""
    commas = points = 0
    for cell in cells:
        commas += len(_CLEAR_COMMA.findall(cell))
        points += len(_CLEAR_POINT.findall(cell))
    return commas > points, (commas > 0) != (points > 0)


@lru_cache(maxsize=20_000)
def figure(text: str, comma: bool = False) -> Figure:
    """The number of a text that is one and nothing else; `comma` is the habit of the list where that is open.

    >>> figure("2,5").value, figure("1.234,50").value, figure("1 200").value
    (2.5, 1234.5, 1200.0)
    >>> figure("1,234"), figure("1,234", comma=True).value, figure("1,02E+03").value
    (Figure(value=1234.0, other=1.234), 1.234, 1020.0)

    Raises
    ------
    ValueError
        If it is no number.
    """
    bare = re.sub(r"[\u00a0\u202f ']", "", text)
    if re.search("[eE]", bare):
        return Figure(float(bare.replace(",", ".")))
    last = max(bare.rfind("."), bare.rfind(","))
    if last < 0:
        return Figure(float(bare))
    sign, rest = bare[last], bare[last + 1 :]
    if either := _EITHER.fullmatch(bare):
        whole, decimal = float(bare.replace(sign, "")), float(bare.replace(sign, "."))
        is_decimal = (either[1] == ",") == comma
        return Figure(decimal, whole) if is_decimal else Figure(whole, decimal)
    if bare.count(sign) > 1:
        return Figure(float(bare.replace(sign, "")))
    return Figure(float(f"{bare[:last].replace('.', '').replace(',', '')}.{rest}"))


def figures(text: str, comma: bool = False) -> tuple[Figure, ...]:
    """All numbers of a text, unsigned.

    >>> [number.value for number in figures("6.2x10")]
    [6.2, 10.0]
    """
    return tuple(figure(match, comma) for match in _NUMBER.findall(text))


def plain(value: float) -> str:
    """A number as a catalog has it: six digits at most, no exponent where people would write none.

    >>> plain(4.5945792), plain(0.000012), plain(100.0)
    ('4.59458', '0.000012', '100')
    """
    text = f"{value:.6g}"
    return f"{value:.12f}".rstrip("0").rstrip(".") if "e-" in text else text if "e" not in text else f"{value:.0f}"
