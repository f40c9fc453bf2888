"""The field of a figure: its axes, bands, curves, marks and dots, each with a stroke or pattern of its own."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from matplotlib.axes import Axes

from rigfeed.figures.figure import Axis, Band, Dots, Figure, Mark, Place
from rigfeed.figures.look import DASHES, HATCHES, MARKERS, Look
from rigfeed.figures.scales import tick_names, ticks

LINE, LIMIT, GRID, FRAME = 1.3, 2.0, 0.45, 0.8  # points
DOT = 6.5
FILL = 0.16  # how much of its colour a band has


def draw_field(axes: Axes, figure: Figure, look: Look, letters: float, names: Sequence[str]) -> None:
    """Everything that stands between the axes, with letters of that size at them [pt]; `names` are what is written at
    the values of the axis across."""
    _scales(axes, figure, look, letters, names)
    for mark in figure.marks:
        _mark(axes, mark, look)
    for number, band in enumerate(figure.bands):
        axes.add_patch(_area(axes, figure, band, number, look))
    for number, curve in enumerate(figure.curves):
        axes.plot(*_columns(curve.places), **pen(figure, number, look), zorder=5)
    for dots in figure.dots:
        _stems(axes, figure, dots, look)
        axes.plot(*_columns(dots.places), **marker(dots, look), zorder=6, clip_on=False)


def _scales(axes: Axes, figure: Figure, look: Look, letters: float, names: Sequence[str]) -> None:
    axes.set_facecolor("none")
    axes.set_axisbelow(True)
    _scale(axes, "x", figure.x, names)
    _scale(axes, "y", figure.y, tick_names(ticks(figure.y)[0]))
    axes.grid(which="major", color=look.faint, linewidth=GRID, axis="x" if figure.y.names else "both")
    axes.tick_params(which="both", labelsize=letters, labelcolor=look.ink, color=look.quiet, width=GRID, length=2.5)
    axes.tick_params(which="minor", length=1.2)
    if figure.y.names:
        axes.tick_params(axis="y", length=0.0)
    for side in axes.spines.values():
        side.set(color=look.quiet, linewidth=FRAME)


def _scale(axes: Axes, which: str, axis: Axis, names: Sequence[str]) -> None:
    """The ends of an axis and what is written at it."""
    limits, scale, places = (getattr(axes, f"set_{which}{what}") for what in ("lim", "scale", "ticks"))
    if axis.names:
        limits(len(axis.names) - 0.5, -0.5)
        places(range(len(axis.names)), [""] * len(axis.names))  # written by the sheet, which knows how wide they are
        return
    if axis.scale == "log":
        scale("log")
    limits(axis.least, axis.most)
    written, between = ticks(axis)
    places(written, list(names))
    places(between, [""] * len(between), minor=True)


def _mark(axes: Axes, mark: Mark, look: Look) -> None:
    line, area = (axes.axvline, axes.axvspan) if mark.axis == "x" else (axes.axhline, axes.axhspan)
    if mark.to is not None and mark.to > mark.at:
        area(mark.at, mark.to, facecolor=look.area, edgecolor="none", zorder=0.5)
        for at in (mark.at, mark.to):
            line(at, color=look.ink, linewidth=GRID * 1.6, linestyle=(0, (1.5, 1.5)), zorder=3)
    elif mark.role == "limit":
        line(mark.at, color=look.limit, linewidth=LIMIT, zorder=3)
    else:
        line(mark.at, color=look.ink, linewidth=LINE, linestyle=(0, (1.0, 1.6)), zorder=3)


def _area(axes: Axes, figure: Figure, band: Band, number: int, look: Look) -> Any:
    """A band, up to the edge of the field where it has no limit."""
    from matplotlib.patches import Polygon

    floor, ceiling = (end for end in (figure.y.least / 10, figure.y.most * 10)) if figure.y.scale == "log" else (
        2 * figure.y.least - figure.y.most, 2 * figure.y.most - figure.y.least
    )
    low, high = list(band.low), list(band.high)
    low = low or [(high[0][0], floor), (high[-1][0], floor)]
    high = high or [(low[0][0], ceiling), (low[-1][0], ceiling)]
    if low[0][0] < high[0][0]:
        high = [(low[0][0], ceiling), (high[0][0], ceiling), *high]
    elif low[0][0] > high[0][0]:
        low = [(high[0][0], floor), (low[0][0], floor), *low]
    if low[-1][0] > high[-1][0]:
        high = [*high, (high[-1][0], ceiling), (low[-1][0], ceiling)]
    elif low[-1][0] < high[-1][0]:
        low = [*low, (low[-1][0], floor), (high[-1][0], floor)]
    return Polygon([*low, *reversed(high)], closed=True, zorder=2, **fill(number, look))


def _stems(axes: Axes, figure: Figure, dots: Dots, look: Look) -> None:
    """A thin line from the edge to each dot of a list, for the eye."""
    if figure.y.names:
        for x, y in dots.places:
            axes.plot((figure.x.least, x), (y, y), color=look.quiet, linewidth=FRAME, zorder=4)


# the pens, which the legend uses as well


def pen(figure: Figure, number: int, look: Look) -> dict[str, Any]:
    """Colour and stroke of a curve. Limits have a colour of their own; bands have taken the first of the others."""
    curve = figure.curves[number]
    dash = DASHES[number % len(DASHES)]
    is_limit = curve.role == "limit"
    colour = look.limit if is_limit else look.series[(number + len(figure.bands)) % len(look.series)]
    style: Any = (0, dash) if dash else "solid"
    return {"color": colour, "linewidth": LIMIT if is_limit else LINE, "linestyle": style}


def fill(number: int, look: Look) -> dict[str, Any]:
    """Colour and pattern of a band."""
    colour = look.series[number % len(look.series)]
    hatch = HATCHES[number % len(HATCHES)]
    return {"facecolor": (colour, FILL), "edgecolor": colour, "linewidth": LINE, "hatch": hatch}


def marker(dots: Dots, look: Look) -> dict[str, Any]:
    """Shape and colour of dots: what is past a limit has its colour, and a shape that tells it without."""
    colour = look.limit if dots.shape in ("cross", "arrow") else look.ink
    inside = look.paper if dots.shape == "ring" else colour
    return {
        "linestyle": "none", "marker": MARKERS[dots.shape], "markersize": DOT, "markerfacecolor": inside,
        "markeredgecolor": colour, "markeredgewidth": 1.2,
    }


def _columns(places: Sequence[Place]) -> tuple[list[float], list[float]]:
    return [x for x, _ in places], [y for _, y in places]
