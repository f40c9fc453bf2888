"""Where a person put things: the table `[drawing]` of a design.

::

    [drawing.points]         # the route plan
    battery = [8, 50]
    [drawing.nodes]          # the circuit diagram
    F1 = [30, 20]

Two numbers for each: percent of the width and of the height of the room that a picture has on its page (`Scene.room`),
from the upper left corner to the middle of the thing. So a position holds for every size of paper. What is not named
finds its place by itself. A number beyond the room is taken as its edge; what cannot be read is left alone and can be
told.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any, Literal

from rigfeed.design.model import Design
from rigfeed.drawing.places import Box
from rigfeed.drawing.scene import Point
from rigfeed.frozen import frozen

Collection = Literal["points", "nodes"]


@frozen
class Positions:
    """Positions of things by id, as shares of width and height (0..1), and the names whose entry cannot be read."""

    shares: Mapping[str, Point]
    unread: tuple[str, ...] = ()

    def at(self, id_: str, room: Box) -> Point | None:
        """Where a thing was put in a room of the page [mm]; None if it finds its place by itself."""
        if id_ not in self.shares:
            return None
        x, y = self.shares[id_]
        return room.left + x * room.width, room.top + y * room.height


def positions(design: Design, collection: Collection) -> Positions:
    """The positions that a design gives, in the order of the names; names that it does not have are left out."""
    written = design.drawing.get(collection)
    table = written if isinstance(written, Mapping) else {}
    known = getattr(design, collection)
    read = {str(name): _shares(value) for name, value in sorted(table.items()) if name in known}
    unread = tuple(name for name, shares in read.items() if shares is None)
    if written is not None and not isinstance(written, Mapping):
        unread = (collection,)
    return Positions({name: shares for name, shares in read.items() if shares is not None}, unread)


def _shares(value: Any) -> Point | None:
    if not isinstance(value, list | tuple) or len(value) != 2:
        return None
    numbers = [number for number in value if isinstance(number, int | float) and not isinstance(number, bool)]
    if len(numbers) != 2 or not all(abs(number) < math.inf for number in numbers):
        return None
    x, y = (min(max(float(min(max(number, -1), 101)) / 100, 0.0), 1.0) for number in numbers)
    return x, y


def as_written(at: Point, room: Box) -> list[float]:
    """What stands in the file for a place in a room of the page: percent to a tenth.

    >>> as_written((60.0, 40.0), Box(10.0, 20.0, 110.0, 70.0))
    [50.0, 40.0]
    """
    shares = ((at[0] - room.left) / room.width, (at[1] - room.top) / room.height)
    return [round(100 * min(max(share, 0.0), 1.0), 1) for share in shares]
