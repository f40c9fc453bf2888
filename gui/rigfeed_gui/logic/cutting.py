"""Words that fit: what is too long for its place ends in an ellipsis, and no number is parted from its unit."""

from __future__ import annotations

import re
from collections.abc import Mapping

from rigfeed.quantity import SPELLINGS, UNITS

ELLIPSIS = "\N{HORIZONTAL ELLIPSIS}"
BOUND = "\N{NO-BREAK SPACE}"


def cut(words: str, room: float, wide: Mapping[str, int]) -> str:
    """Words as far as they fit into a room, with the width of each letter; what is cut off is an ellipsis.

    >>> same = dict.fromkeys("abc \N{HORIZONTAL ELLIPSIS}", 10)
    >>> cut("ab c", 40, same), cut("ab c", 39, same), cut("ab c", 5, same)
    ('ab c', 'ab\N{HORIZONTAL ELLIPSIS}', '\N{HORIZONTAL ELLIPSIS}')
    """
    if _fitting(words, room, wide) == len(words):
        return words
    return words[: _fitting(words, room - wide[ELLIPSIS], wide)].rstrip() + ELLIPSIS


def _fitting(words: str, room: float, wide: Mapping[str, int]) -> int:
    """How many letters fit."""
    for count, letter in enumerate(words):
        room -= wide[letter]
        if room < 0:
            return count
    return len(words)


def bound(text: str) -> str:
    """A text in which no line ends between a number and its unit.

    >>> bound("F4 opens at 15 A in 2 min").replace(BOUND, "_")
    'F4 opens at 15_A in 2_min'
    """
    return _UNIT.sub(lambda found: BOUND + found[1].replace(" ", BOUND), text)


def loose(text: str) -> str:
    """A bound text as it was."""
    return text.replace(BOUND, " ")


_NAMES = sorted(re.escape(name) for name in {*UNITS, *SPELLINGS, "AWG", "awg"} if name)
_UNIT = re.compile(rf"(?<=[0-9]) ({'|'.join(sorted(_NAMES, key=len, reverse=True))})(?![\w/])")
