"""A figure laid out on its sheet: title, marks, the field with its axes, legend, notes, cautions.

Everything is measured before it is placed, so that no text is cut off and none stands on another. Distances are inches
from the lower left corner, sizes of letters points.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import log10
from typing import TYPE_CHECKING

from matplotlib.axes import Axes
from matplotlib.figure import Figure as Paper
from matplotlib.lines import Line2D
from matplotlib.patches import Rectangle

from rigfeed.figures.field import draw_field, fill, marker, pen
from rigfeed.figures.figure import Figure, Mark, Place
from rigfeed.figures.lettering import Letters
from rigfeed.figures.placing import Room, dense, in_rows, set_tags, tags_of
from rigfeed.figures.scales import heading, in_system, tick_names, ticks
from rigfeed.frozen import frozen

if TYPE_CHECKING:
    from rigfeed.figures.render import Wish

MM = 1 / 25.4
TITLE, JOB, TEXT, SMALL = 11.0, 7.5, 8.0, 7.0  # points
MARGIN, GAP, PAD = 5 * MM, 2.4 * MM, 1.2 * MM
FIELD = 92 * MM  # height of a field with two quantities
LEAST_FIELD = 54 * MM  # rather no notes than less
MOST_ROOM = 1.5  # so many times what it needs is the most that a list takes
SWATCH = 10 * MM
BESIDE = 0.36  # the share of the width that remarks may take


@frozen
class Block:
    """Something that takes the whole width: how high it is, and what draws it below a height."""

    height: float
    draw: Callable[[float], None]


class Sheet:
    """`picture` is what matplotlib saves."""

    def __init__(self, figure: Figure, wish: Wish) -> None:
        self.figure, self.wish, self.look = in_system(figure, wish.system), wish, wish.look
        self.width = wish.width_mm * MM
        self.picture = Paper(figsize=(self.width, 10.0), dpi=72.0, facecolor=self.look.paper)
        self.letters = Letters(self.picture)
        self._edges()
        above, below = self._above(), self._below()
        field = self._field_height(above, below)
        height = self._stacked(above, below, field)
        self.picture.set_size_inches(self.width, height)
        top = height - MARGIN
        for block in above:
            block.draw(top)
            top -= block.height
        self._draw_field(top - field, field)
        top -= field
        for block in below:
            block.draw(top)
            top -= block.height

    def _stacked(self, above: Sequence[Block], below: Sequence[Block], field: float) -> float:
        return 2 * MARGIN + field + sum(block.height for block in (*above, *below))

    def _field_height(self, above: Sequence[Block], below: list[Block]) -> float:
        """As high as it needs, or what the wanted height leaves; the last blocks go where that is too little."""
        usual = len(self.figure.y.names) * self._row or FIELD
        if self.wish.height_mm is None:
            return usual
        wanted = self.wish.height_mm * MM
        if self.figure.y.names:  # which have no less room than they need: the sheet is higher then
            left = wanted - self._stacked(above, below, 0.0)
            return max(usual, min(left, MOST_ROOM * usual))
        while len(below) > 2 and wanted - self._stacked(above, below, 0.0) < LEAST_FIELD:
            below.pop()
        return max(wanted - self._stacked(above, below, 0.0), LEAST_FIELD)

    # across

    def _edges(self) -> None:
        """Where the field begins and ends, and how the remarks beside it are broken into lines."""
        letters, figure = self.letters, self.figure
        names = [letters.sound(n) for n in figure.y.names] or tick_names(ticks(figure.y)[0])
        self._names = names
        self._left = MARGIN + max((letters.width(name, TEXT) for name in names), default=0.0) + 2 * PAD
        room = self.width * BESIDE
        self._beside = [letters.wrapped(remark, room, SMALL) for remark in figure.y.beside]
        widest = max((letters.width(line, SMALL) for lines in self._beside for line in lines), default=0.0)
        last = letters.width(tick_names(ticks(figure.x)[0][-1:])[0], TEXT) / 2 if ticks(figure.x)[0] else 0.0
        self._right = self.width - MARGIN - (widest + 3 * PAD if self._beside else last)
        lines = max((len(lines) for lines in self._beside), default=1)
        self._row = max(lines * letters.line(SMALL), letters.line(TEXT)) + 1.6 * MM

    def _across(self, axis_x: float) -> float:
        """The place on the sheet of a value on the axis across."""
        axis = self.figure.x
        if axis.scale == "log":
            share = log10(axis_x / axis.least) / log10(axis.most / axis.least)
        else:
            share = (axis_x - axis.least) / (axis.most - axis.least)
        return self._left + share * (self._right - self._left)

    # above and below the field

    def _above(self) -> list[Block]:
        room = self.width - 2 * MARGIN
        blocks = [self._words(self.figure.title, room, TITLE, self.look.ink, bold=True)]
        if self.wish.job:
            blocks.append(self._words(self.wish.job, room, JOB, self.look.quiet))
        blocks.append(Block(GAP, lambda top: None))
        blocks.append(self._words(heading(self.figure.y), room, TEXT, self.look.quiet))
        marks = [mark for mark in self.figure.marks if mark.axis == "x"]
        blocks += [self._marks(marks)] if marks else [Block(PAD, lambda top: None)]
        return blocks

    def _below(self) -> list[Block]:
        """The axis, the legend, the notes, the cautions; the last ones are left out first."""
        room = self.width - 2 * MARGIN
        blocks = [self._axis(), self._legend(room)]
        if self.figure.notes:
            lines = [line for note in self.figure.notes for line in self.letters.wrapped(note, room, SMALL)]
            blocks.append(self._lines(lines, SMALL, self.look.ink, GAP))
        if self.wish.cautions:
            lines = self.letters.wrapped(" ".join(self.wish.cautions), room, SMALL)
            blocks.append(self._lines(lines, SMALL, self.look.quiet, GAP))
        return blocks

    def _words(self, text: str, room: float, points: float, colour: str, *, bold: bool = False) -> Block:
        return self._lines(self.letters.wrapped(text, room, points, bold=bold), points, colour, 0.0, bold=bold)

    def _lines(self, lines: Sequence[str], points: float, colour: str, gap: float, *, bold: bool = False) -> Block:
        high = self.letters.line(points)

        def draw(top: float) -> None:
            for number, line in enumerate(lines):
                self.letters.write(line, MARGIN, top - gap - number * high, points, colour, bold=bold)

        return Block(gap + len(lines) * high, draw)

    def _marks(self, marks: Sequence[Mark]) -> Block:
        """The names of marks, in as many rows as they need, each with a line down to its value."""
        letters, high = self.letters, self.letters.line(TEXT)
        names = [letters.sound(mark.name) for mark in marks]
        ends = [(mark.at, mark.at if mark.to is None else mark.to) for mark in marks]
        middles = [(self._across(at) + self._across(to)) / 2 for at, to in ends]
        placed = in_rows(middles, [letters.width(name, TEXT) for name in names], self._left, self.width - MARGIN)
        rows = 1 + max(row for _, row in placed)

        def draw(top: float) -> None:
            floor = top - rows * high - PAD
            for mark, name, at, (x, row) in zip(marks, names, middles, placed, strict=True):
                bottom = floor + PAD / 2 + row * high
                colour = self.look.limit if mark.role == "limit" else self.look.ink
                if row:
                    self._stroke((at, at), (floor, bottom), 0.5, self.look.quiet)
                letters.write(name, x, bottom + high * 0.25, TEXT, colour, anchor="center", sits="baseline")
                if mark.to is not None and mark.to > mark.at:
                    self._stroke((self._across(mark.at), self._across(mark.to)), (floor, floor), 2.4, self.look.ink)

        return Block(rows * high + PAD, draw)

    def _axis(self) -> Block:
        """Room for the values at the axis across, and its heading."""
        high = self.letters.line(TEXT)

        def draw(top: float) -> None:
            self.letters.write(
                heading(self.figure.x), self._right, top - high - 2 * PAD, TEXT, self.look.quiet, anchor="right"
            )

        return Block(2 * high + 2 * PAD, draw)

    def _legend(self, room: float) -> Block:
        """What is what: a swatch and its words, in two columns where all words fit into half of the width."""
        figure, letters, high = self.figure, self.letters, self.letters.line(TEXT)
        entries: list[tuple[str, Callable[[float, float], None]]] = [
            *((band.name, self._band_swatch(number)) for number, band in enumerate(figure.bands)),
            *((curve.name, self._curve_swatch(number)) for number, curve in enumerate(figure.curves)),
            *((dots.name, self._dots_swatch(number)) for number, dots in enumerate(figure.dots)),
        ]
        half = room / 2 - SWATCH - 2 * PAD
        columns = 2 if all(letters.width(letters.sound(name), TEXT) <= half for name, _ in entries) else 1
        texts = [letters.wrapped(name, half if columns == 2 else room - SWATCH - PAD, TEXT) for name, _ in entries]
        rows = -(-len(entries) // columns)
        heights = [max(len(texts[n]) for n in range(row, len(entries), rows)) * high for row in range(rows)]

        def draw(top: float) -> None:
            for number, (_, swatch) in enumerate(entries):
                column, row = divmod(number, rows)
                x, y = MARGIN + column * room / 2, top - GAP - sum(heights[:row])
                swatch(x, y - high * 0.45)
                for line, text in enumerate(texts[number]):
                    letters.write(text, x + SWATCH + PAD, y - line * high, TEXT, self.look.ink)

        return Block((GAP + sum(heights)) if entries else 0.0, draw)

    def _band_swatch(self, number: int) -> Callable[[float, float], None]:
        def draw(x: float, y: float) -> None:
            inches = self.picture.dpi_scale_trans
            box = Rectangle((x, y - 1.1 * MM), SWATCH - PAD, 2.2 * MM, transform=inches, **fill(number, self.look))
            self.picture.add_artist(box)

        return draw

    def _curve_swatch(self, number: int) -> Callable[[float, float], None]:
        def draw(x: float, y: float) -> None:
            style = pen(self.figure, number, self.look)
            inches = self.picture.dpi_scale_trans
            self.picture.add_artist(Line2D((x, x + SWATCH - PAD), (y, y), transform=inches, **style))

        return draw

    def _dots_swatch(self, number: int) -> Callable[[float, float], None]:
        def draw(x: float, y: float) -> None:
            style, inches = marker(self.figure.dots[number], self.look), self.picture.dpi_scale_trans
            self.picture.add_artist(Line2D((x + SWATCH / 2,), (y,), transform=inches, **style))

        return draw

    def _stroke(self, x: tuple[float, float], y: tuple[float, float], points: float, colour: str) -> None:
        inches = self.picture.dpi_scale_trans
        self.picture.add_artist(
            Line2D(x, y, transform=inches, color=colour, linewidth=points, solid_capstyle="butt", zorder=8)
        )

    # the field

    def _draw_field(self, bottom: float, high: float) -> None:
        wide, tall = self.picture.get_size_inches()
        share = (self._left / wide, bottom / tall, (self._right - self._left) / wide, high / tall)
        axes = self.picture.add_axes(share)
        draw_field(axes, self.figure, self.look, TEXT, self._values())
        room = Room(self._left, bottom, self._right, bottom + high)
        if self.figure.y.names:
            self._write_names(room)
        self._write_tags(axes, room)

    def _values(self) -> list[str]:
        """What is written at the axis across, without those for which there is no room."""
        written, end = ticks(self.figure.x)[0], 0.0
        names = []
        for value, name in zip(written, tick_names(written), strict=True):
            half = self.letters.width(name, TEXT) / 2
            fits = self._across(value) - half >= end
            names.append(name if fits else "")
            end = self._across(value) + half + PAD if fits else end
        return names

    def _write_names(self, room: Room) -> None:
        """The names at the left of the field and the remarks at its right."""
        step = (room.top - room.bottom) / len(self.figure.y.names)
        high = self.letters.line(SMALL)
        for number, name in enumerate(self._names):
            y = room.top - (number + 0.5) * step
            self.letters.write(name, room.left - PAD, y, TEXT, self.look.ink, anchor="right", sits="center", bold=True)
            lines = self._beside[number] if self._beside else []
            for line, text in enumerate(lines):
                at = y + (len(lines) - 1) * high / 2 - line * high
                self.letters.write(text, room.right + 2 * PAD, at, SMALL, self.look.ink, sits="center")

    def _write_tags(self, axes: Axes, room: Room) -> None:
        dpi = self.picture.dpi

        def at(place: Place) -> Place:
            x, y = axes.transData.transform(place)
            return float(x) / dpi, float(y) / dpi

        letters = self.letters
        found = list(tags_of(self.figure, at, 3.5 * MM))
        sizes = [(letters.width(tag.text, TEXT, bold=True) + PAD, letters.line(TEXT)) for tag, _ in found]
        lines = [p for curve in self.figure.curves for p in dense([at(place) for place in curve.places])]
        lines += [p for band in self.figure.bands for side in (band.low, band.high)
                  for p in dense([at(place) for place in side])]
        for (tag, _), middle in zip(found, set_tags([tag for tag, _ in found], sizes, room, lines), strict=True):
            if middle is not None:
                self.letters.write(tag.text, *middle, TEXT, self.look.ink, bold=True, anchor="center", sits="center",
                                   box=self.look.paper)
