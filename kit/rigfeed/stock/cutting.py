"""Which piece each cut comes from, so that as little as possible is bought: cuts into lengths of one dimension.

The longest cut goes first, into the piece that it leaves least of (best fit, decreasing): offcuts are used up before a
spool is opened. Where that leaves cuts to buy and there are few of them, all ways are tried.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace

from rigfeed.frozen import frozen

UNIT_M = 1e-4  # lengths are compared as whole numbers of this: sums of floats would not be
MOST_CUTS = 60  # of one cable, for which all ways are tried
MOST_STEPS = 40_000  # of that search; where it is not at its end by then, the best way so far stands


@frozen
class Length:
    """A spool or an offcut. Without a colour it is taken for cuts of any. `at`: file and line of its row."""

    label: str
    length_m: float
    colour: str = ""
    at: tuple[str, int] = ("", 0)


@frozen
class Cut:
    """A piece that is wanted. Without a colour any will do."""

    id: str
    length_m: float
    colour: str = ""


@frozen
class Use:
    """One length with what is cut from it, the longest first, and what is left [m]."""

    length: Length
    cuts: tuple[Cut, ...]
    left_m: float


@frozen
class Cutting:
    """Lengths that are cut, and the cuts that are bought. `is_best`: no other way takes more from the lengths."""

    uses: tuple[Use, ...]
    bought: tuple[Cut, ...]
    is_best: bool

    @property
    def bought_m(self) -> float:
        """How much has to be bought [m]."""
        return _units(self.bought) * UNIT_M

    @property
    def cuts(self) -> tuple[Cut, ...]:
        """All of them, the bought ones last."""
        return (*(cut for use in self.uses for cut in use.cuts), *self.bought)

    def only(self, ids: Collection[str]) -> Cutting:
        """The same plan where so far only these cuts are made: from the same lengths, of which more is left."""
        uses = ((use.length, tuple(cut for cut in use.cuts if cut.id in ids)) for use in self.uses)
        return replace(
            self, uses=tuple(_use(length, cuts) for length, cuts in uses if cuts),
            bought=tuple(cut for cut in self.bought if cut.id in ids),
        )


def cutting(lengths: Sequence[Length], cuts: Sequence[Cut]) -> Cutting:
    """Cuts of one cable from lengths of it; the same things give the same plan, in whatever order they come."""
    pieces = sorted(lengths, key=lambda length: (length.length_m, length.label, length.at))
    wanted = sorted(cuts, key=lambda cut: (-cut.length_m, cut.id))
    rooms = [_unit(piece.length_m) for piece in pieces]
    fits = [[_is_of(piece, cut) for piece in pieces] for cut in wanted]
    sizes = [_unit(cut.length_m) for cut in wanted]
    places = _best_fit(rooms, sizes, fits)
    is_best = _covered(places, sizes) == _most(rooms, sizes, fits)
    if not is_best and len(wanted) <= MOST_CUTS:
        search = _Search(rooms, sizes, fits, places)
        places, is_best = search.best, search.is_done
    return _plan(pieces, wanted, places, is_best)


def _unit(length_m: float) -> int:
    return round(length_m / UNIT_M)


def _units(cuts: Sequence[Cut]) -> int:
    return sum(_unit(cut.length_m) for cut in cuts)


def _is_of(piece: Length, cut: Cut) -> bool:
    return not piece.colour or not cut.colour or piece.colour == cut.colour


Places = list[int | None]  # for each cut the number of its piece, None where it is bought


def _best_fit(rooms: Sequence[int], sizes: Sequence[int], fits: Sequence[Sequence[bool]]) -> Places:
    left = list(rooms)
    places: Places = []
    for size, fit in zip(sizes, fits, strict=True):
        open_ = [number for number, room in enumerate(left) if fit[number] and room >= size]
        best = min(open_, key=lambda number: (left[number], number), default=None)
        if best is not None:
            left[best] -= size
        places.append(best)
    return places


def _covered(places: Places, sizes: Sequence[int]) -> int:
    return sum(size for size, place in zip(sizes, places, strict=True) if place is not None)


def _most(rooms: Sequence[int], sizes: Sequence[int], fits: Sequence[Sequence[bool]]) -> int:
    """What no plan can exceed: all that any piece has room for, and all room that there is."""
    each = sum(
        size for size, fit in zip(sizes, fits, strict=True)
        if any(ok and room >= size for ok, room in zip(fit, rooms, strict=True))
    )
    return min(each, sum(rooms))


class _Search:
    """All ways, the best fit first; one that cannot become better than the best so far is left."""

    def __init__(
        self, rooms: Sequence[int], sizes: Sequence[int], fits: Sequence[Sequence[bool]], first: Places
    ) -> None:
        self._left, self._sizes, self._fits = list(rooms), sizes, fits
        self._after = [sum(sizes[number:]) for number in range(len(sizes) + 1)]
        self._places: Places = []
        self._steps = 0
        self.best, self._best = list(first), _covered(first, sizes)
        self._go(0)

    @property
    def is_done(self) -> bool:
        return self._steps < MOST_STEPS

    def _go(self, covered: int) -> None:
        number = len(self._places)
        self._steps += 1
        if covered > self._best:
            self.best, self._best = [*self._places, *[None] * (len(self._sizes) - number)], covered
        could = min(self._after[number], sum(self._left))
        if not self.is_done or number == len(self._sizes) or covered + could <= self._best:
            return
        size = self._sizes[number]
        tried: set[tuple[int, tuple[bool, ...]]] = set()
        for piece in sorted(range(len(self._left)), key=self._left.__getitem__):
            same = self._left[piece], tuple(fit[piece] for fit in self._fits)
            if self._fits[number][piece] and self._left[piece] >= size and same not in tried:
                tried.add(same)
                self._step(piece, size, covered + size)
        self._step(None, 0, covered)

    def _step(self, piece: int | None, size: int, covered: int) -> None:
        self._places.append(piece)
        if piece is not None:
            self._left[piece] -= size
        self._go(covered)
        if piece is not None:
            self._left[piece] += size
        self._places.pop()


def _use(piece: Length, cuts: tuple[Cut, ...]) -> Use:
    return Use(piece, cuts, (_unit(piece.length_m) - _units(cuts)) * UNIT_M)


def _plan(pieces: Sequence[Length], wanted: Sequence[Cut], places: Places, is_best: bool) -> Cutting:
    uses = []
    for number, piece in enumerate(pieces):
        cuts = tuple(cut for cut, place in zip(wanted, places, strict=True) if place == number)
        if cuts:
            uses.append(_use(piece, cuts))
    bought = tuple(cut for cut, place in zip(wanted, places, strict=True) if place is None)
    return Cutting(tuple(uses), bought, is_best)
