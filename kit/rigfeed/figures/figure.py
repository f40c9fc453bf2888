"""A figure as data: two axes with their quantities, and what stands between them.

Numbers are in the base unit of their axis; whoever draws converts them. Nothing here says how a curve looks: the one
who draws gives each its own colour, stroke and shape, and black ink on white paper must suffice to tell them apart.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from typing import Literal

from rigfeed.frozen import frozen
from rigfeed.papers.table import nine_digits
from rigfeed.path import Path

Place = tuple[float, float]
Scale = Literal["linear", "log"]
Role = Literal["plain", "limit"]
Shape = Literal["dot", "diamond", "cross", "arrow", "ring"]
Which = Literal["x", "y"]


@frozen
class Axis:
    """What is laid off along one side: a quantity in `unit` from `least` to `most`, or a list of `names`.

    The first name stands at 0, the next one at 1 and so on, from the top; `beside` has a remark for each of them, which
    is written at the other side.
    """

    label: str
    unit: str = ""
    scale: Scale = "linear"
    least: float = 0.0
    most: float = 1.0
    names: tuple[str, ...] = ()
    beside: tuple[str, ...] = ()


@frozen
class Curve:
    """A line through places. `tag` is the short name that is written at it, `name` says what it is. A "limit" is what
    must not be passed, and is drawn so that it is seen first."""

    tag: str
    name: str
    places: tuple[Place, ...]
    role: Role = "plain"
    subject: Path | None = None


@frozen
class Band:
    """What lies between two curves. Where `high` has no place it has no upper limit, and no lower one without `low`."""

    tag: str
    name: str
    low: tuple[Place, ...]
    high: tuple[Place, ...]
    subject: Path | None = None


@frozen
class Mark:
    """A value on an axis, or a range of values up to `to`."""

    name: str
    at: float
    to: float | None = None
    axis: Which = "x"
    role: Role = "plain"


@frozen
class Dots:
    """Places that mean the same, with a shape that tells them from others."""

    name: str
    places: tuple[Place, ...]
    shape: Shape = "dot"


@frozen
class Figure:
    """A picture of numbers. `subject` is what it is about, where it is about one thing; `note` are sentences below it.

    Raises
    ------
    ValueError
        If a number is not finite, one on a logarithmic axis not above zero, or an axis has no length: a fault of
        whoever made the figure, never of a design.
    """

    name: str
    title: str
    x: Axis
    y: Axis
    bands: tuple[Band, ...] = ()
    curves: tuple[Curve, ...] = ()
    marks: tuple[Mark, ...] = ()
    dots: tuple[Dots, ...] = ()
    notes: tuple[str, ...] = ()
    subject: Path | None = None

    def __post_init__(self) -> None:
        for letter, axis, numbers in (("x", self.x, self._on("x")), ("y", self.y, self._on("y"))):
            if axis.beside and len(axis.beside) != len(axis.names):
                raise ValueError(f"figure {self.name!r}: axis {letter} has {len(axis.beside)} remarks for "
                                 f"{len(axis.names)} names")
            ends = () if axis.names else (axis.least, axis.most)
            if ends and not axis.least < axis.most:
                raise ValueError(f"figure {self.name!r}: axis {letter} goes from {axis.least} to {axis.most}")
            for number in (*ends, *numbers):
                if not math.isfinite(number) or (axis.scale == "log" and number <= 0.0):
                    raise ValueError(f"figure {self.name!r} has {number} on its {axis.scale} axis {letter}")

    @property
    def places(self) -> Iterator[Place]:
        """All places of curves, bands and dots."""
        for band in self.bands:
            yield from (*band.low, *band.high)
        for curve in self.curves:
            yield from curve.places
        for dots in self.dots:
            yield from dots.places

    def _on(self, axis: Which) -> Iterator[float]:
        yield from (place[axis == "y"] for place in self.places)
        for mark in self.marks:
            if mark.axis == axis:
                yield from (mark.at,) if mark.to is None else (mark.at, mark.to)


@frozen
class About:
    """Something that a figure can be made of: the id of a node or a conductor, and words for it. One that is `usual`
    is among the papers; others are made when they are asked for."""

    id: str
    title: str
    usual: bool = True


def figure_json(figure: Figure) -> dict[str, object]:
    """A figure as plain data for JSON, in the base units of its axes, numbers with nine digits.

    >>> line = Curve("a", "square", ((1.0, 1.0), (2.0, 4.0)))
    >>> x, y = Axis("side", "m", most=2.0), Axis("area", "mm2", most=4.0)
    >>> figure_json(Figure("f", "F", x, y, curves=(line,)))["curves"]
    [{'tag': 'a', 'name': 'square', 'role': 'plain', 'subject': None, 'places': [[1.0, 1.0], [2.0, 4.0]]}]
    """
    return {
        "name": figure.name,
        "title": figure.title,
        "subject": _text(figure.subject),
        "x": _axis(figure.x),
        "y": _axis(figure.y),
        "bands": [
            {
                "tag": band.tag, "name": band.name, "subject": _text(band.subject),
                "low": _places(band.low), "high": _places(band.high),
            }
            for band in figure.bands
        ],
        "curves": [
            {
                "tag": curve.tag, "name": curve.name, "role": curve.role, "subject": _text(curve.subject),
                "places": _places(curve.places),
            }
            for curve in figure.curves
        ],
        "marks": [
            {
                "name": mark.name, "axis": mark.axis, "role": mark.role, "at": nine_digits(mark.at),
                "to": None if mark.to is None else nine_digits(mark.to),
            }
            for mark in figure.marks
        ],
        "dots": [{"name": dots.name, "shape": dots.shape, "places": _places(dots.places)} for dots in figure.dots],
        "notes": list(figure.notes),
    }


def _axis(axis: Axis) -> dict[str, object]:
    ends: dict[str, object] = {"least": nine_digits(axis.least), "most": nine_digits(axis.most)}
    if axis.names:
        ends = {"least": None, "most": None}
    return {
        "label": axis.label, "unit": axis.unit, "scale": axis.scale, **ends, "names": list(axis.names),
        "beside": list(axis.beside),
    }


def _places(places: Iterable[Place]) -> list[list[float]]:
    return [[nine_digits(x), nine_digits(y)] for x, y in places]


def _text(path: Path | None) -> str | None:
    return None if path is None else str(path)
