"""The one font of all drawings: how wide a text is, how it is cut and wrapped, which letters may stand in it.

Sizes are those of the em square [mm]. A writer asks a viewer to set every text in the width that is given here, so
that a font with other letters changes the look and not the layout.
"""

from __future__ import annotations

import unicodedata
from functools import cache

from rigfeed.drawing.letterwidths import BOLD, REGULAR, UNITS
from rigfeed.papers.letters import plain_lines, visible
from rigfeed.quantity import UNITS as QUANTITIES

FAMILY = "Liberation Sans, Arial, Helvetica, sans-serif"
ASCENT, DESCENT = 0.905, 0.212  # above and below the base line, in sizes (hhea of the same files)
CAPITAL = 0.688  # height of a capital letter, in sizes
STRANGE = 0.75  # width of a letter that the table does not have, in sizes; of a wide one `WIDE`
WIDE = 1.15
LONGEST = 1000  # letters of one line that anybody would read; a hostile text may have a million
CUT = "…"


@cache
def _table(bold: bool) -> dict[str, float]:
    rows = BOLD if bold else REGULAR
    return {letter: units / UNITS for units, letters in rows.items() for letter in letters}


@cache
def _strange(letter: str) -> float:
    if unicodedata.category(letter) in {"Mn", "Me", "Cf"}:
        return 0.0
    return WIDE if unicodedata.east_asian_width(letter) in "WF" or ord(letter) > 0xFFFF else STRANGE


def is_known(text: str) -> bool:
    """Whether the table has every letter of a text.

    >>> is_known("2.5 mm²"), is_known("\u4e2d")
    (True, False)
    """
    return _table(False).keys() >= set(text)


def width_mm(text: str, size_mm: float, *, bold: bool = False) -> float:
    """The width of one line of text [mm].

    >>> round(width_mm("W12", 2.5), 2)
    5.14
    """
    table = _table(bold)
    return sum([table[letter] if letter in table else _strange(letter) for letter in text]) * size_mm


def plain(text: str, longest: int = LONGEST) -> str:
    r"""A text of a design as one line that a drawing may hold: control characters as pictures, without line breaks
    and without the invisible marks that turn the direction of what follows.

    >>> plain("one\ntwo\x07"), plain("a\u202eb")
    ('one two␇', 'ab')
    """
    line = " ".join(plain_lines(visible(text[: longest * 4])).split())
    if not line.isascii():
        line = "".join(letter for letter in line if unicodedata.category(letter) != "Cf")
    return line[:longest].rstrip()


def cut(text: str, room_mm: float, size_mm: float, *, bold: bool = False) -> str:
    """As much of the beginning of a text as fits, with an ellipsis where something is missing.

    >>> cut("engine bay", 100, 2.5), cut("engine bay", 9, 2.5)
    ('engine bay', 'engin…')
    """
    if width_mm(text, size_mm, bold=bold) <= room_mm:
        return text
    room_mm -= width_mm(CUT, size_mm, bold=bold)
    used = 0.0
    for position, letter in enumerate(text):
        used += width_mm(letter, size_mm, bold=bold)
        if used > room_mm:
            return text[:position].rstrip() + CUT
    return CUT


def wrap(text: str, room_mm: float, size_mm: float, *, bold: bool = False, most: int = 99) -> tuple[str, ...]:
    """A text in lines, broken at blanks; a word wider than a line is broken, and line `most` is cut.

    >>> wrap("behind the rear seat", 16, 2.5)
    ('behind the', 'rear seat')
    """
    lines: list[str] = []
    line, used = "", 0.0
    blank = width_mm(" ", size_mm, bold=bold)
    for word in _words(text, room_mm, size_mm, bold):
        wide = width_mm(word, size_mm, bold=bold)
        if line and used + blank + wide > room_mm:
            lines.append(line)
            line, used = word, wide
        else:
            line, used = (f"{line} {word}", used + blank + wide) if line else (word, wide)
    lines += [line] if line else []
    if len(lines) > most:
        lines[most - 1 :] = [cut(" ".join(lines[most - 1 :]), room_mm, size_mm, bold=bold)]
    return tuple(lines)


def _words(text: str, room_mm: float, size_mm: float, bold: bool) -> list[str]:
    """The words of a text, those that are wider than a line in pieces."""
    words: list[str] = []
    for word in bound(text.split()):
        if width_mm(word, size_mm, bold=bold) <= room_mm:
            words.append(word)
            continue
        piece, used = "", 0.0
        for letter in word:
            wide = width_mm(letter, size_mm, bold=bold)
            if piece and used + wide > room_mm:
                words.append(piece)
                piece, used = "", 0.0
            piece, used = piece + letter, used + wide
        words.append(piece)
    return words


def bound(words: list[str]) -> list[str]:
    """Words with each unit tied to the number in front of it."""
    found: list[str] = []
    for word in words:
        if found and word.strip(",;.") in QUANTITIES and found[-1][-1].isdigit():
            found[-1] = f"{found[-1]}\xa0{word}"
        else:
            found.append(word)
    return found
