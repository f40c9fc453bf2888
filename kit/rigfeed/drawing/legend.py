"""The legend of the marks: for each number the word of its severity, what it is about, and what is wrong."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Sequence

from rigfeed.drawing.font import cut, plain, wrap
from rigfeed.drawing.marks import GAP, SIZE, Mark, mark_width, marks_row
from rigfeed.drawing.places import TOUCH_MM
from rigfeed.drawing.scene import Group, Item, Lettering, Point
from rigfeed.frozen import frozen
from rigfeed.path import Path
from rigfeed.quantity import System

TEXT_MM = 2.3
LEADING_MM = 3.0
COLUMN_MM = 85.0  # the least width of a column of sentences
NAMES_MM = 62.0  # and of one of names
APART_MM = 4.0
MOST_LINES = 8  # of what a finding says

_SENTENCES = re.compile(r"(?<=[.?!]) (?=[A-Z])")


@frozen
class Legend:
    """The legend laid out: from (0, 0) to the right and down."""

    items: tuple[Item, ...]
    height_mm: float


Entry = Callable[[Point, float], tuple[tuple[Item, ...], float]]  # its place and its room, then its items and height


def legend(marks: Sequence[Mark], wide_mm: float, most_mm: float, system: System = "metric") -> Legend:
    """The legend of a width and at most a height, saying as much as that allows.

    First the findings say fewer of their sentences (all are in the paper of findings); then the marks of one check
    stand together with its name. That form may be higher than `most_mm`.
    """
    columns = max(1, int(wide_mm // COLUMN_MM))
    for lines in range(MOST_LINES, 0, -1) if len(marks) * 2 * LEADING_MM <= columns * most_mm else ():
        found = _columns([_single(mark, lines, system) for mark in marks], wide_mm, columns)
        if found.height_mm <= most_mm:
            return found
    kinds: dict[tuple[str, str], list[Mark]] = {}
    for mark in marks:
        kinds.setdefault((mark.word, mark.finding.check), []).append(mark)
    entries = [_several(same) for same in kinds.values()]
    most = max(columns, int(wide_mm // NAMES_MM))
    return min((_columns(entries, wide_mm, n) for n in range(columns, most + 1)), key=lambda found: found.height_mm)


def _columns(entries: Sequence[Entry], wide_mm: float, most: int) -> Legend:
    """Entries in so many columns at most, in their order, no higher than need be."""
    if not entries:
        return Legend((), 0.0)
    columns = min(len(entries), most)
    step = (wide_mm + APART_MM) / columns
    heights_mm = [entry((0.0, 0.0), step - APART_MM)[1] for entry in entries]
    most_mm = least_height_mm(heights_mm, columns)
    items: list[Item] = []
    column, y = 0, 0.0
    for entry, high in zip(entries, heights_mm, strict=True):
        if y + high > most_mm + TOUCH_MM:
            column, y = column + 1, 0.0
        items += entry((column * step, y), step - APART_MM)[0]
        y += high
    return Legend(tuple(items), most_mm)


def least_height_mm(heights_mm: Sequence[float], columns: int) -> float:
    """The height of the fullest column where so many columns hold things of these heights in their order, at best.

    >>> least_height_mm([3.0, 3.0, 3.0, 9.0], 2), least_height_mm([5.0, 5.0, 5.0], 2)
    (9.0, 10.0)
    """
    count = len(heights_mm)
    sums = {sum(heights_mm[first:end]) for first in range(count) for end in range(first + 1, count + 1)}
    return min(most_mm for most_mm in sums if _columns_taken(heights_mm, most_mm) <= columns)


def _columns_taken(heights_mm: Sequence[float], most_mm: float) -> float:
    """How many columns of a height it takes; endless where one thing alone is higher."""
    taken, y = 1, 0.0
    for high in heights_mm:
        if high > most_mm + TOUCH_MM:
            return math.inf
        if y + high > most_mm + TOUCH_MM:
            taken, y = taken + 1, 0.0
        y += high
    return taken


def _single(mark: Mark, most: int, system: System) -> Entry:
    """One finding: its mark, its word, what it is about, and the beginning of what it says."""

    def entry(at: Point, room: float) -> tuple[tuple[Item, ...], float]:
        x, y = at
        indent = mark_width(mark) + 1.5
        about = ".".join(map(str, mark.finding.subject[1:]))
        head = cut(plain(f"{mark.word}, {about}: {mark.finding.check}"), room - indent, TEXT_MM, bold=True)
        lines = whole_sentences(plain(mark.finding.text(system)), room - indent, most)
        texts = [Lettering((x + indent, y + 2.8), head, TEXT_MM, bold=True)]
        texts += [
            Lettering((x + indent, y + 2.8 + LEADING_MM * row), line, TEXT_MM) for row, line in enumerate(lines, 1)
        ]
        sign = marks_row([mark], (x, y + SIZE / 2 + 0.5))
        return (Group(mark.finding.subject, (*sign, *texts)),), LEADING_MM * len(texts) + 2.0

    return entry


def whole_sentences(text: str, room_mm: float, most: int) -> tuple[str, ...]:
    """As many whole sentences from the beginning of a text as fit into so many lines; the first is cut if need be.

    >>> whole_sentences("It is too thin. It may burn.", 24.0, 1)
    ('It is too thin.',)
    """
    sentences = _SENTENCES.split(text)
    for count in range(len(sentences), 0, -1):
        lines = wrap(" ".join(sentences[:count]), room_mm, TEXT_MM)
        if len(lines) <= most:
            return lines
    return wrap(sentences[0], room_mm, TEXT_MM, most=most)


def _several(marks: Sequence[Mark]) -> Entry:
    """All findings of one check: its name, then their marks in rows."""

    def entry(at: Point, room: float) -> tuple[tuple[Item, ...], float]:
        x, y = at
        head = cut(plain(f"{marks[0].word}: {marks[0].finding.check}"), room, TEXT_MM, bold=True)
        items: list[Item] = [Group(Path(), (Lettering((x, y + 2.8), head, TEXT_MM, bold=True),))]
        right, y = x, y + 2.8 + SIZE / 2 + 1.7
        for mark in marks:
            if right + mark_width(mark) > x + room:
                right, y = x, y + SIZE + 1.2
            items += marks_row([mark], (right, y))
            right += mark_width(mark) + GAP
        return tuple(items), y + SIZE / 2 + 1.5 - at[1]

    return entry
