"""How a table is laid out on paper: widths, wrapped lines, heights, decimals, which way the page lies.

A spreadsheet program measures column widths in digits of its standard font, and so does everything here: 1 is as wide
as a digit. Which font a machine has in place of the wanted one is not known, so widths and heights suffice for narrow
and wide sans-serif fonts alike.
"""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Iterable, Sequence
from typing import Literal

from rigfeed.frozen import frozen
from rigfeed.papers.letters import plain_lines, visible
from rigfeed.papers.table import Cell, Table, cells, headings
from rigfeed.quantity import System, three_digits

Paper = Literal["A4", "Letter"]

DIGIT_PT = 6.12  # a digit of the standard font at its size: 0.556 of 11 points, the common width of sans-serif digits
TEXT_PT, TITLE_PT = 11, 16
MARGIN_MM = 12.0
FREE_PT = 15.0  # the height that a row has of itself
MOST_HEIGHT_PT = 409.0  # the highest row that spreadsheet programs have
LONGEST_WORD = 24.0  # a column grows for a word up to here; longer ones are broken
LONGEST_COMPOUND = 16.0  # hyphened words up to here stay in one piece
CELL_EDGE = 1.0  # what a program leaves free left and right of a text together
MOST_SPREAD = 1e3  # of numbers that are shown with the same decimals
GAP = 0.6  # the blank that keeps numbers off the text to their right
BOLD = 1.12
TOGETHER = 3  # rows that the last page of a table has at least
LEAST_TEXT = 72.0  # title, notes and cautions get at least this width, also over a narrow table

# Widths of letters in digits, as the widest of the usual sans-serif fonts has them; `_letter_width` knows the others.
_WIDTHS = {
    letter: width
    for letters, width in {
        "ijl'|": 0.45, " .,:;I": 0.57, "-": 0.6, "()[]frt/\\!`": 0.68, "\"*": 0.78, "+=<>~^#": 1.33, "GOQ&w": 1.42,
        "mM": 1.56, "W%": 1.7, "@": 1.85,
    }.items()
    for letter in letters
}


_BREAKS = re.compile(r"(?<=[^\W\d]-)(?=[^\W\d])")  # between letters, after the hyphen


@frozen
class Sheet:
    """A printing paper, upright: its number in the format and its size [mm]."""

    code: int
    width_mm: float
    height_mm: float


PAPERS: dict[Paper, Sheet] = {"A4": Sheet(9, 210.0, 297.0), "Letter": Sheet(1, 215.9, 279.4)}


@frozen
class Grid:
    """The measures of one sheet.

    `widths` are of its columns [digits], those of the table first; further ones stand right of a narrow table, so that
    title and notes find room. `right` are the columns that stand right. `formats` are the number formats of the cells,
    row by row; "" for what is no number. `bold` are the columns in bold letters.
    """

    widths: tuple[float, ...]
    right: tuple[bool, ...]
    formats: tuple[tuple[str, ...], ...]
    landscape: bool
    bold: tuple[bool, ...] = ()

    def lines(self, texts: Iterable[Cell], *, bold: bool = False) -> list[int]:
        """How many lines each text of a row takes; numbers never wrap."""
        rooms = [width - GAP * right for width, right in zip(self.widths, self.right, strict=False)]
        weights = self.bold or (False,) * len(rooms)
        return [
            line_count(text, room, bold=bold or heavy) if isinstance(text, str) else 1
            for text, room, heavy in zip(texts, rooms, weights, strict=True)
        ]

    @property
    def text_width(self) -> float:
        """The width that title, notes and cautions have [digits]."""
        return sum(self.widths)


def grid(table: Table, system: System, paper: Paper) -> Grid:
    """Lay out a table. About 85 digits of columns fill an upright A4 page, about 125 one that lies; more is shrunk."""
    rows = [*cells(table, system)]
    columns = [*zip(*rows, strict=True)] or [()] * len(table.columns)
    formats = [
        number_formats(values, column.decimals) for column, values in zip(table.columns, columns, strict=True)
    ]
    right = [
        column.align == "right" or _all_numbers(values) for column, values in zip(table.columns, columns, strict=True)
    ]
    widths = [
        max(float(column.width), _least_width(title, values, shown) * (BOLD if column.bold else 1.0) + GAP * at_right)
        for column, title, values, shown, at_right in zip(
            table.columns, headings(table, system), columns, formats, right, strict=True
        )
    ]
    landscape = sum(widths) > page_width(paper, landscape=False) * 1.05
    while sum(widths) < LEAST_TEXT:
        widths.append(min(12.0, max(2.0, LEAST_TEXT - sum(widths))))
    bold = tuple(column.bold for column in table.columns)
    return Grid(tuple(widths), tuple(right), tuple(zip(*formats, strict=True)), landscape, bold)


def _all_numbers(values: Sequence[Cell]) -> bool:
    filled = [value for value in values if value is not None]
    return bool(filled) and not any(isinstance(value, str) for value in filled)


def page_width(paper: Paper, *, landscape: bool) -> float:
    """What fits between the margins at full size [digits].

    >>> round(page_width("A4", landscape=False)), round(page_width("A4", landscape=True))
    (86, 126)
    """
    sheet = PAPERS[paper]
    page_mm = sheet.height_mm if landscape else sheet.width_mm
    return (page_mm - 2 * MARGIN_MM) / 25.4 * 72 / DIGIT_PT


def page_height_pt(paper: Paper, measures: Grid) -> float:
    """The height of rows that fit on a page, at the size to which its width makes the sheet shrink [pt]."""
    sheet = PAPERS[paper]
    high_mm = sheet.width_mm if measures.landscape else sheet.height_mm
    shrunk = min(1.0, page_width(paper, landscape=measures.landscape) / measures.text_width)
    return (high_mm - 2.5 * MARGIN_MM) / 25.4 * 72 / shrunk  # the footer has half a margin more


def _least_width(title: str, values: Sequence[Cell], formats: Sequence[str]) -> float:
    """A number that does not fit would be shown as ###, and a word broken in the middle is misread."""
    words = [text_width(word, bold=True) for word in title.split()]
    for value, shown in zip(values, formats, strict=True):
        if isinstance(value, str):
            words += [wide for wide in map(text_width, _words(visible(value))) if wide <= LONGEST_WORD]
        elif value is not None:
            words.append(len(shown_number(value, shown)) + 0.5)
    return min(max(words, default=0.0), LONGEST_WORD * 1.2) + CELL_EDGE + 0.2


def number_formats(values: Sequence[Cell], decimals: int | None = None) -> list[str]:
    """The number formats of a column: as many decimals throughout as its finest number needs for three digits, or as
    many as are asked for.

    So the points stand under each other. Where that would be foolish (amperes among milliamperes, very small or large
    numbers), each number has its own format. "" for what is no number.

    >>> number_formats([12.35, 1.2, 0.05, None, "open"])
    ['0.00', '0.00', '0.00', '', '']
    >>> number_formats([3, 40])
    ['0', '0']
    >>> number_formats([3, 40.125], 2)
    ['0.00', '0.00']
    """
    if decimals is not None:
        return ["" if value is None or isinstance(value, str) else _fixed(decimals) for value in values]
    numbers = [value for value in values if value is not None and not isinstance(value, str)]
    sizes = [abs(value) for value in numbers if value]
    common: int | None = max((_decimals(value) for value in numbers), default=0)
    if sizes and (max(sizes) >= 1e9 or min(sizes) < 1e-4 or max(sizes) > MOST_SPREAD * min(sizes)):
        common = None
    return ["" if value is None or isinstance(value, str) else _format(value, common) for value in values]


def _decimals(value: float) -> int:
    if isinstance(value, int) or abs(value) >= 1e9 or abs(value) < 1e-4:
        return 0
    return len(three_digits(value).partition(".")[2])


def _format(value: float, decimals: int | None) -> str:
    if value and (abs(value) >= 1e9 or abs(value) < 1e-4) and not (isinstance(value, int) and abs(value) < 1e12):
        return "0.00E+00"
    return _fixed(_decimals(value) if decimals is None else decimals)


def _fixed(places: int) -> str:
    return f"0.{'0' * places}" if places else "0"


def shown_number(value: float, number_format: str) -> str:
    """A number as a spreadsheet program shows it in one of the formats above.

    >>> shown_number(2.5, "0.00"), shown_number(0.00001234, "0.00E+00")
    ('2.50', '1.23E-05')
    """
    places = len(number_format.partition("E")[0].partition(".")[2])
    return f"{value:.{places}{'E' if 'E' in number_format else 'f'}}"


def text_width(text: str, *, bold: bool = False) -> float:
    """The width of one line of text [digits], on the safe side.

    >>> text_width("12.5") < 4 < text_width("WWW")
    True
    """
    return sum(map(_letter_width, text)) * (BOLD if bold else 1.0)


def _letter_width(letter: str) -> float:
    width = _WIDTHS.get(letter)
    if width is not None:
        return width
    if letter.isascii():
        return 1.3 if letter.isupper() else 1.04
    if unicodedata.category(letter) in {"Mn", "Me", "Cf"}:
        return 0.0
    return 2.3 if unicodedata.east_asian_width(letter) in "WF" or ord(letter) > 0xFFFF else 1.4


def line_count(text: str, width: float, *, bold: bool = False) -> int:
    """How many lines a text takes when it is wrapped at blanks, and words wider than the column are broken.

    `width` is that of the column [digits]; what the program keeps free at the edges is taken off.

    >>> line_count("one two", 20), line_count("one two", 5), line_count("a" * 40, 11)
    (1, 2, 6)
    """
    room = max(width - CELL_EDGE, 1.0)
    return sum(_paragraph(line, room, BOLD if bold else 1.0) for line in plain_lines(visible(text)).split("\n"))


def _words(text: str) -> list[str]:
    """The pieces that a column should be wide enough for: words, but long compounds may be broken after a hyphen."""
    return [
        piece for word in text.split()
        for piece in (_BREAKS.sub(" ", word).split() if text_width(word) > LONGEST_COMPOUND else (word,))
    ]


def _paragraph(text: str, room: float, scale: float) -> int:
    """Programs break lines after hyphens, or do not: the higher of both counts is safe."""
    return max(_lines(text.split(" "), room, scale), _lines(_BREAKS.sub(" ", text).split(" "), room, scale))


def _lines(words: Sequence[str], room: float, scale: float) -> int:
    blank = _letter_width(" ") * scale
    lines, used = 1, 0.0
    for word in words:
        wide = sum(map(_letter_width, word)) * scale
        if used and used + blank + wide > room:
            lines, used = lines + 1, 0.0
        elif used:
            used += blank
        if wide > room:  # broken: the last letter of a line may not fit, so each line loses up to one letter
            pieces = math.ceil(wide / max(room - 1.9, 1.0))
            lines, used = lines + pieces - 1, wide - (pieces - 1) * max(room - 1.9, 1.0)
        else:
            used += wide
    return lines


def row_height_pt(lines: Iterable[int], *, size_pt: float = TEXT_PT, tall: bool = False) -> float:
    """The height of a row whose cells take so many lines [pt]; `tall` where letters of other scripts stand in it."""
    line_pt = size_pt * (1.55 if tall else 1.24)
    return min(round(max(lines, default=1) * line_pt + size_pt * 0.5, 1), MOST_HEIGHT_PT)


def company(heights_pt: Sequence[float], first_pt: float, later_pt: float) -> int | None:
    """The row that a page should begin with, so that the last rows of a table do not stand alone on theirs.

    `first_pt` and `later_pt` are the room that the first page and the following ones have for rows. None where all is
    well. Programs break a row earlier or later than this reckons, so that two rows on the last page may be one.

    >>> company([20.0] * 11, 200.0, 200.0), company([20.0] * 15, 200.0, 200.0), company([20.0] * 9, 200.0, 200.0)
    (8, None, None)
    """
    begins, room = [0], first_pt
    for number, height_pt in enumerate(heights_pt):
        if height_pt > room and number > begins[-1]:
            begins.append(number)
            room = later_pt
        room -= height_pt
    count = len(heights_pt)
    is_lonely = len(begins) > 1 and count - begins[-1] < TOGETHER and count - TOGETHER > begins[-2]
    return count - TOGETHER if is_lonely else None


def untorn(
    heights_pt: Sequence[float], blocks: Iterable[tuple[int, int]], first_pt: float, later_pt: float,
    begins: Iterable[int] = (),
) -> list[int]:
    """The blocks that a page should begin with, so that none is torn, by their first rows. A block is its first row and
    the one after its last; one that is higher than a page is left to be torn.

    `first_pt` and `later_pt` are the room that the first page and the following ones have; `begins` are rows with which
    a page begins anyway. A line is kept in reserve, because programs break a row earlier or later than this reckons.

    >>> untorn([20.0] * 12, [(6, 9)], 200.0, 200.0), untorn([20.0] * 12, [(7, 12)], 200.0, 200.0)
    ([], [7])
    """
    wanted = {first: sum(heights_pt[first:end]) + FREE_PT for first, end in blocks}
    found, room = [], first_pt
    for number, height_pt in enumerate(heights_pt):
        if room < wanted.get(number, 0.0) <= later_pt:
            found.append(number)
            room = later_pt
        elif number in begins or height_pt > room:
            room = later_pt
        room -= height_pt
    return found
