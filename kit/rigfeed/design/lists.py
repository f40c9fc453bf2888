"""The spaces, commas and remarks between the items of a list or of a table on one line, when items come and go."""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import pairwise

from rigfeed.design.places import Mark
from rigfeed.frozen import frozen

_LINE = re.compile(r"[^\n]*\n")


@frozen
class Piece:
    """One item: where it stood (an empty span where it is new), and its new text; None where it goes."""

    start: int
    end: int
    text: str | None

    @property
    def is_new(self) -> bool:
        """Whether it did not stand in the old text."""
        return self.start == self.end


def respaced(text: str, mark: Mark, pieces: Sequence[Piece]) -> str:
    """The text of the whole value from its items; "" where none is left.

    Between items that stay, all stands as it was. On lines of their own, a remark behind an item goes with it, and a
    new item gets a line of its own.
    """
    old = [piece for piece in pieces if not piece.is_new]
    if not old or all(piece.text is None for piece in pieces):
        return ""
    opening, closing = text[mark.value : old[0].start], text[old[-1].end : mark.end]
    tails = [text[one.end : next_.start] for one, next_ in pairwise(old)] + [closing]
    if "\n" in opening and all("\n" in tail for tail in tails):
        return _on_lines(opening, tails, pieces)
    return _in_line(opening, tails, pieces)


def _on_lines(opening: str, tails: Sequence[str], pieces: Sequence[Piece]) -> str:
    """One item to a line: what stands in front of it, the item, and the rest of its line with its comma and remark."""
    head, lead = _split(opening)
    indent = "\n" + lead.rpartition("\n")[2]
    rows: list[tuple[str, str, str]] = []  # in front, item, rest of the line
    loose = ""  # remarks on lines of their own whose item goes
    rest = iter(tails)
    for piece in pieces:
        if piece.is_new:
            rows.append((loose + indent[1:], piece.text or "", ",\n"))
            loose = ""
            continue
        tail, following = _split(next(rest))
        if piece.text is None:
            loose += lead.rpartition("\n")[0] + "\n" if "#" in lead else ""
        else:
            rows.append((loose + lead, piece.text, tail))
            loose = ""
        lead = following
    built = head
    for number, (front, item, tail) in enumerate(rows):
        comma = "" if tail.lstrip().startswith(",") or number == len(rows) - 1 else ","
        built += front + item + comma + tail
    return built + loose + lead


def _split(gap: str) -> tuple[str, str]:
    line = _LINE.match(gap)
    return (line[0], gap[line.end() :]) if line else (gap, "")


def _in_line(opening: str, tails: Sequence[str], pieces: Sequence[Piece]) -> str:
    """Items beside one another, with whatever line breaks and remarks there are."""
    built, owed = opening, ""  # what is due before the next item that stays
    rest = iter(tails)
    last_tail, kept = tails[-1], False
    for piece in pieces:
        tail = "" if piece.is_new else next(rest)
        if piece.text is None:
            owed += _without_comma(tail) if "#" in tail and tail is not last_tail else ""
            continue
        if kept and "," not in owed.split("#")[0]:
            owed = "," + (owed or " ")
        built += owed + piece.text
        kept, owed = True, "" if piece.is_new or tail is last_tail else tail
    if "#" in owed:
        built += _without_comma(owed)
    return built + (last_tail if pieces[-1].text is not None or "#" in last_tail else last_tail[-2:].lstrip(","))


def _without_comma(tail: str) -> str:
    before, comma, behind = tail.partition(",")
    return before + behind if comma and "#" not in before else tail
