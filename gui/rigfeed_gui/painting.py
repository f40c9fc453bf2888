"""A scene as items of a canvas: what `create` of Tk is given. Nothing in here opens a window."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from typing import Any

from rigfeed.drawing.flat import Primitive
from rigfeed.drawing.scene import Circle, Lettering, Line, Point, Scene
from rigfeed.frozen import frozen
from rigfeed.path import Path
from rigfeed_gui.logic.palette import Palette
from rigfeed_gui.logic.surface import LEAST_SCALE, Picture, Viewport

Item = tuple[Any, ...]
Box = tuple[float, float, float, float]
DESCENT = 0.212  # of the size of the font, below the base line; Liberation Sans, table hhea: 434 of 2048 units
LEAST_DASH, MOST_DASH = 1, 255  # pixels, what Tk can draw
GLOWING, SEVERITIES = ("ink", "faint"), ("error", "warning", "advice")
GLOW = 1.6  # how much wider the lines of what is selected are

MARGIN = 14.0  # pixels around a drawing that fits its window
MOST_FITTED = 6.0  # pixels per millimetre; larger than this a small drawing only looks coarse


def content(picture: Picture) -> Box:
    """The box around all that can be selected [mm]: what is to be looked at, without the frame of the paper."""
    boxes = [box for subject in picture.walk() if (box := picture.bounds(subject)) is not None]
    if not boxes:
        return 0.0, 0.0, picture.scene.width_mm, picture.scene.height_mm
    lefts, tops, rights, bottoms = zip(*boxes, strict=True)
    return min(lefts), min(tops), max(rights), max(bottoms)


def framed(box: Box, width: float, height: float) -> Viewport:
    """A box of the page [mm] in the middle of a window of that size [px]."""
    left, top, right, bottom = box
    wide, high = max(right - left, 1.0), max(bottom - top, 1.0)
    scale = min(max(width - 2 * MARGIN, 1.0) / wide, max(height - 2 * MARGIN, 1.0) / high, MOST_FITTED)
    scale = max(scale, LEAST_SCALE)
    return Viewport(scale, (width - (left + right) * scale) / 2, (height - (top + bottom) * scale) / 2)


def centred(at: Point, scale: float, width: float, height: float) -> Viewport:
    """A place of the page [mm] in the middle of a window of that size [px]."""
    return Viewport(scale, width / 2 - at[0] * scale, height / 2 - at[1] * scale)


@frozen
class Placing:
    """What decides where the page lies: a person, the wish to see the whole, else a place that it opens at [mm]."""

    by_hand: bool = False
    whole: bool = False
    at: Point | None = None

    def view(self, box: Box, readable: float, width: float, height: float) -> Viewport:
        """Where a box of the page lies; nobody asks where somebody put it by hand."""
        return framed(box, width, height) if self.whole else opening(box, self.at, readable, width, height)


BY_HAND = Placing(by_hand=True)


def opening(box: Box, at: Point | None, readable: float, width: float, height: float) -> Viewport:
    """A box of the page [mm] as it is first seen in a window of that size [px]: all of it where its letters can be read
    then, else as much as can be read around a place, the upper left corner where none is named."""
    whole = framed(box, width, height)
    if whole.scale >= readable:
        return whole
    left, top, right, bottom = box
    view = centred(at or (left, top), readable, width, height)
    return Viewport(
        readable, _filling(view.x, left * readable, right * readable, width),
        _filling(view.y, top * readable, bottom * readable, height),
    )


def _filling(offset: float, low: float, high: float, size: float) -> float:
    """An offset changed so far that what lies from low to high fills a window of that size, or stands in its middle."""
    if high - low <= size - 2 * MARGIN:
        return (size - low - high) / 2
    return min(max(offset, size - MARGIN - high), MARGIN - low)


def page(scene: Scene, view: Viewport, colours: Palette) -> Item:
    """The sheet of paper itself."""
    left, top = view.to_screen((0.0, 0.0))
    right, bottom = view.to_screen((scene.width_mm, scene.height_mm))
    look = ("-fill", colours.sheet, "-outline", colours.faint, "-tags", ("page",))
    return ("rectangle", left, top, right, bottom, *look)


def items(shapes: Iterable[Primitive], view: Viewport, colours: Palette, family: str) -> Iterator[Item]:
    """All shapes, tagged with their subject (``s:``) and with what a drag moves (``d:``)."""
    for shape in shapes:
        yield _item(shape, view, colours, family, _tags(shape))


def glowing(
    shapes: Iterable[Primitive], subjects: Collection[Path], view: Viewport, colours: Palette, family: str, tag: str
) -> Iterator[Item]:
    """The shapes of some subjects once more, as what is selected looks."""
    for shape in shapes:
        subject = shape.subject
        if shape.shape.ink not in GLOWING or getattr(shape.shape, "fill", None) in SEVERITIES:
            continue  # the mark of a finding keeps its colour
        if subject is not None and any(subject[: len(path)] == path for path in subjects):
            yield _item(shape, view, colours, family, (tag, *_tags(shape)), lit=True)


def _tags(shape: Primitive) -> tuple[str, ...]:
    tags = [f"s:{shape.subject}"] if shape.subject is not None else []
    if shape.dragged is not None:
        tags.append(f"d:{shape.dragged}")
    return tuple(tags)


def _item(
    primitive: Primitive, view: Viewport, colours: Palette, family: str, tags: tuple[str, ...], *, lit: bool = False
) -> Item:
    shape = primitive.shape
    ink = colours.lit if lit else colours.ink(shape.ink)
    if isinstance(shape, Lettering):
        return _text(shape, view, ink, family, tags)
    width = max(1.0, shape.width_mm * view.scale) * (GLOW if lit else 1.0)
    if isinstance(shape, Circle):
        x, y = view.to_screen(shape.at)
        r = shape.radius_mm * view.scale
        fill = colours.ink(shape.fill) if shape.fill else ""
        return ("oval", x - r, y - r, x + r, y + r, "-outline", ink, "-width", width, "-fill", fill, "-tags", tags)
    return _line(shape, view, ink, colours.ink(shape.fill) if shape.fill else "", width, tags)


def _line(line: Line, view: Viewport, ink: str, fill: str, width: float, tags: tuple[str, ...]) -> Item:
    places = [coordinate for point in line.points for coordinate in view.to_screen(point)]
    dash = tuple(round(min(max(length * view.scale, LEAST_DASH), MOST_DASH)) for length in line.dash)
    if line.closed:
        outline = ink if line.width_mm else ""
        return ("polygon", *places, "-outline", outline, "-fill", fill, "-width", width, "-dash", dash, "-tags", tags)
    return ("line", *places, "-fill", ink, "-width", width, "-dash", dash, "-capstyle", "round", "-tags", tags)


def _text(text: Lettering, view: Viewport, ink: str, family: str, tags: tuple[str, ...]) -> Item:
    x, y = view.to_screen(text.at)
    size = max(1, int(text.size_mm * view.scale))  # rounded down: a text must not grow into its neighbour
    below = DESCENT * size
    x, y = {0: (x, y + below), 90: (x - below, y), 180: (x, y - below), 270: (x + below, y)}[text.turn]
    anchor = {"start": "sw", "middle": "s", "end": "se"}[text.anchor]
    font = (family, -size, "bold") if text.bold else (family, -size)
    return ("text", x, y, "-text", text.text, "-font", font, "-fill", ink, "-anchor", anchor,
            "-angle", -text.turn % 360, "-tags", tags)
