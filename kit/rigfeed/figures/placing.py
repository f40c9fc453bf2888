"""Where short texts go, so that none stands on another: marks in rows above the field, tags beside their curves."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from itertools import pairwise

from rigfeed.figures.figure import Band, Curve, Figure, Place
from rigfeed.frozen import frozen

At = Callable[[Place], Place]  # the place on the sheet of a place in the field
APART = 0.08  # inches between two texts of a row


@frozen
class Room:
    """A rectangle [in]."""

    left: float
    bottom: float
    right: float
    top: float

    def meets(self, other: Room) -> bool:
        """Whether they have anything in common."""
        across = self.left < other.right and other.left < self.right
        return across and self.bottom < other.top and other.bottom < self.top

    def holds(self, other: Room) -> bool:
        """Whether the other one lies in it."""
        across = self.left <= other.left and other.right <= self.right
        return across and self.bottom <= other.bottom and other.top <= self.top

    def around(self, places: Sequence[Place]) -> int:
        """How many places lie in it."""
        return sum(self.left <= x <= self.right and self.bottom <= y <= self.top for x, y in places)


def in_rows(centres: Sequence[float], widths: Sequence[float], left: float, right: float) -> list[tuple[float, int]]:
    """The middle and the row (0: nearest to the field) of texts that belong above these places, each within the ends.

    >>> in_rows([1.0, 1.1, 3.0], [1.0, 1.0, 1.0], 0.0, 4.0)
    [(1.0, 0), (1.1, 1), (3.0, 0)]
    """
    ends: list[float] = []
    found: dict[int, tuple[float, int]] = {}
    for number in sorted(range(len(centres)), key=lambda number: (centres[number], number)):
        half = widths[number] / 2
        middle = max(left + half, min(centres[number], right - half))
        row = next((row for row, end in enumerate(ends) if end + APART <= middle - half), len(ends))
        ends[row : row + 1] = [middle + half]
        found[number] = middle, row
    return [found[number] for number in range(len(centres))]


@frozen
class Tag:
    """A short text with the places beside which it may stand, best first."""

    text: str
    candidates: tuple[Place, ...]


def set_tags(
    tags: Sequence[Tag], sizes: Sequence[tuple[float, float]], field: Room, lines: Sequence[Place],
    taken: Sequence[Room] = (),
) -> list[Place | None]:
    """The middle of each tag: where it meets no other tag and covers the fewest places of the lines; None where there
    is no room at all."""
    rooms = list(taken)
    found: list[Place | None] = []
    for tag, (wide, high) in zip(tags, sizes, strict=True):
        best: tuple[int, int, Place, Room] | None = None
        for turn, (x, y) in enumerate(tag.candidates):
            room = Room(x - wide / 2, y - high / 2, x + wide / 2, y + high / 2)
            if field.holds(room) and not any(room.meets(other) for other in rooms):
                worth = room.around(lines), turn, (x, y), room
                best = worth if best is None else min(best, worth, key=lambda worth: worth[:2])
        found.append(best[2] if best else None)
        rooms += [best[3]] if best else []
    return found


def tags_of(figure: Figure, at: At, beside: float) -> Iterator[tuple[Tag, Curve | Band]]:
    """The tags of bands and curves; `at` gives the place on the sheet, `beside` is how far off a curve a tag stands."""
    for band in figure.bands:
        yield Tag(band.tag, tuple(_within(band, figure, at))), band
    for curve in figure.curves:
        yield Tag(curve.tag, tuple(_along(curve, at, beside))), curve


def _along(curve: Curve, at: At, beside: float) -> Iterator[Place]:
    """Beside a curve, from its middle outwards, above it first."""
    places = dense([at(place) for place in curve.places])
    middle = len(places) // 2
    for number in sorted(range(len(places)), key=lambda number: abs(number - middle)):
        x, y = places[number]
        yield from ((x + beside, y + beside / 2), (x - beside, y - beside / 2))


def _within(band: Band, figure: Figure, at: At) -> Iterator[Place]:
    """Between the curves of a band, from the middle of its height outwards."""
    low, high = dense([at(place) for place in band.low]), dense([at(place) for place in band.high])
    if not (low and high):
        yield from (low or high)
        return
    tops = sorted(low, key=lambda place: abs(place[1] - sum(y for _, y in low) / len(low)))
    for x, y in tops:
        other = min(high, key=lambda place: abs(place[1] - y))
        yield (x + other[0]) / 2, y


def dense(places: Sequence[Place], step: float = 0.06) -> list[Place]:
    """Places along a line, no further apart than a step."""
    found: list[Place] = list(places[:1])
    for (x, y), (to_x, to_y) in pairwise(places):
        pieces = max(1, math.ceil(math.hypot(to_x - x, to_y - y) / step))
        found += [(x + (to_x - x) * n / pieces, y + (to_y - y) * n / pieces) for n in range(1, pieces + 1)]
    return found
