"""The library of symbols, after IEC 60617 (graphical symbols for diagrams): shapes on a grid of 2.5 mm.

A two-pole symbol lies along x, with its ends at -5 and 5 mm, seen with its first terminal on the left. Letters inside
of a symbol stay upright, however it is turned.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from math import cos, pi, sin

from rigfeed.drawing.boxes import item_box, turned, united
from rigfeed.drawing.places import Box
from rigfeed.drawing.scene import Circle, Ink, Lettering, Line, Point, Symbol
from rigfeed.frozen import frozen

Stroke = Line | Circle | Lettering
PEN = 0.35  # mm


@frozen
class Shape:
    """A symbol seen from its origin; `ends` are where wires meet it."""

    meaning: str
    strokes: tuple[Stroke, ...]
    ends: tuple[Point, ...] = ()

    @property
    def box(self) -> Box:
        """What it takes around its origin."""
        return united(item_box(stroke) for stroke in self.strokes)


def strokes(symbol: Symbol) -> tuple[Stroke, ...]:
    """A symbol as strokes on the page.

    Raises
    ------
    KeyError
        If the library has none of that name.
    """
    return tuple(_placed(stroke, symbol) for stroke in SYMBOLS[symbol.name].strokes)


def ends(symbol: Symbol) -> tuple[Point, ...]:
    """Where wires meet a symbol on the page."""
    return tuple(_there(end, symbol) for end in SYMBOLS[symbol.name].ends)


def _there(point: Point, symbol: Symbol) -> Point:
    x, y = turned((point[0] * symbol.scale, point[1] * symbol.scale), symbol.turn)
    return x + symbol.at[0], y + symbol.at[1]


def _placed(stroke: Stroke, symbol: Symbol) -> Stroke:
    ink = symbol.ink if stroke.ink == "ink" else stroke.ink
    if isinstance(stroke, Line):
        points = tuple(_there(point, symbol) for point in stroke.points)
        return replace(stroke, points=points, width_mm=stroke.width_mm * symbol.scale, ink=ink, fill=_fill(stroke, ink))
    if isinstance(stroke, Circle):
        radius_mm, width_mm = stroke.radius_mm * symbol.scale, stroke.width_mm * symbol.scale
        at = _there(stroke.at, symbol)
        return replace(stroke, at=at, radius_mm=radius_mm, width_mm=width_mm, ink=ink, fill=_fill(stroke, ink))
    size_mm = stroke.size_mm * symbol.scale
    down = 0.35 * stroke.size_mm  # from the middle of a letter to its base line
    x, y = _there((stroke.at[0], stroke.at[1] - down), symbol)
    return replace(stroke, at=(x, y + down * symbol.scale), size_mm=size_mm, ink=ink)


def _fill(stroke: Line | Circle, ink: Ink) -> Ink | None:
    return ink if stroke.fill == "ink" else stroke.fill


def _line(*points: Point, dash: tuple[float, ...] = (), width_mm: float = PEN) -> Line:
    return Line(points, width_mm, dash=dash)


def _shape(*points: Point, fill: Ink | None = "paper") -> Line:
    return Line(points, PEN, closed=True, fill=fill)


def _rectangle(left: float, top: float, right: float, bottom: float, fill: Ink | None = "paper") -> Line:
    return _shape((left, top), (right, top), (right, bottom), (left, bottom), fill=fill)


def _letter(x: float, y: float, text: str, size_mm: float = 2.5) -> Lettering:
    return Lettering((x, y + 0.35 * size_mm), text, size_mm, "middle")


def _arc(x: float, y: float, radius: float, start_deg: float, end_deg: float) -> Line:
    angles = [(start_deg + (end_deg - start_deg) * step / 16) * pi / 180 for step in range(17)]
    return _line(*((x + radius * cos(angle), y + radius * sin(angle)) for angle in angles))


def _direct(x: float, y: float) -> tuple[Line, ...]:
    """The sign for direct current: a line above a broken one."""
    return (
        _line((x - 1.2, y - 0.4), (x + 1.2, y - 0.4)), _line((x - 1.2, y + 0.4), (x - 0.7, y + 0.4)),
        _line((x - 0.25, y + 0.4), (x + 0.25, y + 0.4)), _line((x + 0.7, y + 0.4), (x + 1.2, y + 0.4)),
    )


TWO: tuple[Point, ...] = ((-5.0, 0.0), (5.0, 0.0))
LEADS = (_line((-5, 0), (-2.5, 0)), _line((2.5, 0), (5, 0)))


def _battery() -> Iterable[Stroke]:
    """Two cells; the long plate is the positive one and stands on the left."""
    yield _line((-5, 0), (-1.5, 0))
    for x in (-1.5, 0.75):
        yield _line((x, -2.5), (x, 2.5))
        yield _line((x + 0.75, -1.1), (x + 0.75, 1.1), width_mm=0.7)
    yield _line((-0.75, 0), (0.75, 0), dash=(0.4, 0.35))
    yield _line((1.5, 0), (5, 0))
    yield _letter(-3.0, -1.6, "+", 2.5)


def _contact(*more: Stroke) -> tuple[Stroke, ...]:
    return (*LEADS, _line((-2.5, 0), (2.3, -2.1)), *more)


def _frame() -> Iterable[Stroke]:
    """A connection to the frame or the body of the vehicle: hatched, and no earth."""
    yield _line((0, 0), (2.5, 0))
    yield _line((2.5, -2.2), (2.5, 2.2))
    yield from (_line((2.5, y), (4.0, y + 1.0)) for y in (-2.2, -0.75, 0.7))


def _antenna() -> Iterable[Stroke]:
    yield _line((0, 0), (0, -6.5))
    yield _line((-2.2, -6.5), (0, -4.0), (2.2, -6.5))


def _table() -> Mapping[str, Shape]:
    cross = (_line((1.8, -0.7), (3.2, 0.7)), _line((1.8, 0.7), (3.2, -0.7)))
    diode = (_shape((-1.6, -1.6), (-1.6, 1.6), (1.4, 0)), _line((1.4, -1.6), (1.4, 1.6)))
    square = _rectangle(-4, -4, 4, 4)
    found = {
        "fuse": Shape("fuse", (_rectangle(-3.75, -1.25, 3.75, 1.25), _line(*TWO)), TWO),
        "breaker": Shape("circuit-breaker", _contact(*cross), TWO),
        "switch": Shape("switch worked by hand", _contact(_line((0, -1.1), (0, -3.2), dash=(0.8, 0.5)),
                                                          _line((-1, -3.2), (1, -3.2))), TWO),
        "relay": Shape("contact that a coil moves", _contact(
            _line((0, -1.1), (0, 2.0), dash=(0.8, 0.5)), _rectangle(-2.0, 2.0, 2.0, 4.2)), TWO),
        "diode": Shape("one-way element", (_line((-5, 0), (-1.6, 0)), *diode, _line((1.4, 0), (5, 0))), TWO),
        "resistor": Shape("resistor", (_line((-5, 0), (-3.75, 0)), _rectangle(-3.75, -1.25, 3.75, 1.25),
                                       _line((3.75, 0), (5, 0))), TWO),
        "battery": Shape("battery of cells", tuple(_battery()), TWO),
        "generator": Shape("generator of direct current, never turned", (
            Circle((0, 0), 3.5, PEN, fill="paper"), _letter(0, -0.8, "G", 3.0), *_direct(0, 1.6)),
            ((-3.5, 0.0), (3.5, 0.0))),
        "converter": Shape("converter, direct to direct current", (
            square, _line((-4, 4), (4, -4)), *_direct(-1.8, -1.8), *_direct(1.8, 1.8))),
        "take-off": Shape("take-off from the vehicle's own wiring", (
            replace(square, dash=(1.6, 0.8, 0.3, 0.8)), _line((-4, 0), (4, 0)), Circle((0, 0), 0.6, PEN, fill="ink")),
            ((-4.0, 0.0), (4.0, 0.0))),
        "frame": Shape("connection to the body", tuple(_frame()), ((0.0, 0.0),)),
        "antenna": Shape("antenna", tuple(_antenna()), ((0.0, 0.0),)),
        "junction": Shape("junction", (Circle((0, 0), 0.65, PEN, fill="ink"),), ((0.0, 0.0),)),
        "shield": Shape("coaxial cable", (Circle((0, 0), 1.1, PEN), _line((-1.8, 1.1), (1.8, 1.1)))),
        "pair": Shape("conductors of one cable", (_arc(0, 0, 1.1, 0, 360),)),
    }
    return found


SYMBOLS: Mapping[str, Shape] = _table()
