"""Letters on a sheet: how wide they are, where a line breaks, and writing them. Distances are inches."""

from __future__ import annotations

from functools import cache

from matplotlib.figure import Figure as Paper
from matplotlib.font_manager import FontProperties, findfont, get_font

from rigfeed.drawing.font import bound, plain

POINT = 1 / 72.0
SPARE = 1.01  # dots of a screen are not divided: a line may become a little longer there
LEADING = 1.3  # from line to line, in heights of the letters
MEASURED = 100.0  # points, of the letters that are measured


@cache
def _advance(letter: str, bold: bool) -> float:
    """How far a letter brings the next one, in heights of the letters; 0 for one that the font does not have."""
    font = get_font(findfont(FontProperties(weight="bold" if bold else "normal")))
    if not font.get_char_index(ord(letter)):
        return 0.0
    font.set_size(MEASURED, 72.0)
    return float(font.load_char(ord(letter)).linearHoriAdvance) / 65536.0 / MEASURED


class Letters:
    """What measures and writes on one picture."""

    def __init__(self, picture: Paper) -> None:
        self._picture = picture

    def sound(self, text: str) -> str:
        """A text as it can be written: one line, with a question mark for each letter that the font does not have."""
        return "".join(letter if _advance(letter, False) else "?" for letter in plain(text))

    def width(self, text: str, points: float, *, bold: bool = False) -> float:
        """How wide a line is; letters that move together where they can are measured apart."""
        return sum([_advance(letter, bold) for letter in text]) * points * POINT * SPARE

    def line(self, points: float) -> float:
        """How high a line is."""
        return points * POINT * LEADING

    def wrapped(self, text: str, room: float, points: float, *, bold: bool = False) -> list[str]:
        """The lines of a text in a room of that width; a word wider than that is broken."""
        lines: list[str] = [""]
        for word in bound(self.sound(text).split()):
            for piece in self._pieces(word, room, points, bold):
                longer = f"{lines[-1]} {piece}".lstrip()
                if self.width(longer, points, bold=bold) <= room:
                    lines[-1] = longer
                else:
                    lines.append(piece)
        return [line for line in lines if line]

    def _pieces(self, word: str, room: float, points: float, bold: bool) -> list[str]:
        if self.width(word, points, bold=bold) <= room or len(word) < 2:
            return [word]
        half = len(word) // 2
        return [*self._pieces(word[:half], room, points, bold), *self._pieces(word[half:], room, points, bold)]

    def write(
        self, text: str, x: float, y: float, points: float, colour: str, *, bold: bool = False, anchor: str = "left",
        sits: str = "top", box: str | None = None,
    ) -> None:
        """Write one line at a place; `anchor` is left, center or right, `sits` top, center or baseline."""
        around = None if box is None else {"facecolor": box, "edgecolor": "none", "boxstyle": "square,pad=0.12"}
        self._picture.text(
            x, y, self.sound(text), transform=self._picture.dpi_scale_trans, fontsize=points, color=colour,
            fontweight="bold" if bold else "normal", ha=anchor, va=sits, bbox=around, zorder=9,
        )
