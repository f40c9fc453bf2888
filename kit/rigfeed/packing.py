"""How thick cables are that lie side by side: the smallest circle around circles of given diameters.

Up to three circles have a closed form. More are laid by a search that is the same every time:

1. many layouts grow at once, the thickest circles first, each new one put where there is room;
2. all of them are pressed together: the radius of the circle around them pulls inwards, overlaps push back;
3. in the tightest, circles of different size change places, and what comes out is pressed again;
4. the best two are relaxed to the contacts that carry (method of multipliers) and opened until nothing overlaps.

So the answer is a layout that exists, never too thin; nobody proves that there is none thinner. It meets the proven
optima of equal circles up to 20 within 0.1 %. Of mixed circles it is within 0.1 % of what a search a hundred times as
long finds up to seven, at eight now and then 0.7 % above, and within 2 % up to 20. A loom laid by hand is 5 to 10 %
thicker.

Inside, a centre is a complex number, lengths are in units of the root of the sum of the squared diameters, and the
first axis of every array counts layouts.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from rigfeed.formula import above_zero
from rigfeed.frozen import frozen

__all__ = ["Packing", "enclosing_diameter", "least_diameter", "pack"]

Floats = NDArray[np.float64]
Complexes = NDArray[np.complex128]

SEED = 1  # of the places that are tried for a circle: always the same
TRIED = 16  # places tried for a circle, at most
SOFT, STIFF = 20.0, 100.0  # how hard overlaps push back, against a pull of 1
MOST_TOGETHER = 100  # circles laid at once; more are laid as looms that make one loom
LOOMS = 7
MOST_ROUNDS = 4  # of changing places
MOST_RELAXED = 10
ALIKE = 1e-5  # estimates of layouts that count as one
CLOSE = 1e-9  # overlap that is left when a layout counts as relaxed


@frozen
class Packing:
    """A layout: the diameter of the circle around it, and the centres of the circles from its middle, in their order
    [mm]."""

    diameter_mm: float
    centres_mm: tuple[tuple[float, float], ...]


def enclosing_diameter(diameters_mm: Sequence[float]) -> float:
    """Diameter of the smallest circle found around circles that lie side by side [mm]; 0 around none.

    It does not depend on their order. See `pack`.

    Raises
    ------
    OutOfRange
        If a diameter is not finite and above zero.

    Examples
    --------
    >>> round(enclosing_diameter([3.0] * 7), 6), enclosing_diameter([2.0, 5.0])
    (9.0, 7.0)
    """
    return pack(diameters_mm).diameter_mm


def least_diameter(diameters_mm: Sequence[float]) -> float:
    """What no layout can be thinner than [mm]: the two thickest side by side, and a circle with the area of all."""
    thickest = sorted(diameters_mm, reverse=True)[:2]
    return max(math.fsum(thickest), math.sqrt(math.fsum(mm * mm for mm in diameters_mm)))


def pack(diameters_mm: Sequence[float]) -> Packing:
    """The tightest layout found of circles side by side.

    Parameters
    ----------
    diameters_mm : sequence of float
        Diameter of each circle, in any order [mm].

    Returns
    -------
    packing : Packing
        The layout; no two circles overlap and all lie inside, to 1e-9 of its diameter [mm].

    Raises
    ------
    OutOfRange
        If a diameter is not finite and above zero.

    Notes
    -----
    From 21 to `MOST_TOGETHER` circles the search is shorter: some 0.8 of the area around them is filled. Above, `LOOMS`
    looms are laid as if each were one cable: about 15 % too thick, and 30 % from some 700 circles on.

    References
    ----------
    .. [1] F. Soddy, "The kiss precise", Nature 137, 1936: the circle around three that touch.
    """
    given = [float(mm) for mm in diameters_mm]
    for mm in given:
        above_zero("diameters_mm", mm)
    if not given:
        return Packing(0.0, ())
    order = sorted(range(len(given)), key=lambda index: -given[index])
    falling = np.array([given[index] for index in order])
    # rounded, so that circles in another unit of length are laid in the same way
    ratios = np.round(falling / falling[0], 12)
    centres = np.array(_layout(tuple(ratios.tolist()))) * (falling[0] / 2)
    opened, diameter_mm = _opened(centres, falling / 2)
    placed = sorted(zip(order, opened.tolist(), strict=True))
    return Packing(
        max(diameter_mm, least_diameter(falling.tolist())), tuple((centre.real, centre.imag) for _, centre in placed)
    )


def _opened(centres: Complexes, radii: Floats) -> tuple[Complexes, float]:
    """A layout spread until nothing overlaps, and its diameter."""
    if len(radii) > 1:
        first, second = np.triu_indices(len(radii), 1)
        centres = centres * np.max((radii[first] + radii[second]) / np.abs(centres[first] - centres[second]))
    return centres, 2 * float(np.max(np.abs(centres) + radii))


@lru_cache(maxsize=1024)
def _layout(diameters: tuple[float, ...]) -> tuple[complex, ...]:
    """Centres of circles of falling diameters, the first of which is 2 units of the answer thick."""
    radii = np.array(diameters)
    if len(radii) <= 3:
        return _few(diameters)
    if len(radii) > MOST_TOGETHER:
        return _looms(diameters)
    unit = 2 * float(np.sqrt(np.sum(radii**2)))
    return tuple((_searched(2 * radii / unit) * unit / 2).tolist())


def _few(radii: tuple[float, ...]) -> tuple[complex, ...]:
    """One to three circles: closed forms."""
    if len(radii) == 1:
        return (0j,)
    a, b = radii[:2]
    if len(radii) == 2:
        return (complex(-b), complex(a))
    beside = 1 / (1 / a + 1 / b - 1 / (a + b))  # what lies beside two without making them thicker
    c, around = beside, a + b
    if radii[2] > beside:
        c = radii[2]
        bends = (1 / a, 1 / b, 1 / c)
        around = -1 / (sum(bends) - 2 * math.sqrt(bends[0] * bends[1] + bends[1] * bends[2] + bends[2] * bends[0]))
    left = around - a
    if left < 1e-9 * around:
        return (complex(-b), complex(a), 0j)
    turns = []
    for far, touch in ((around - b, a + b), (around - c, a + c)):
        cosine = (left * left + far * far - touch * touch) / (2 * left * far)
        turns.append(far * np.exp(1j * math.acos(min(1.0, max(-1.0, cosine)))))
    return (complex(left), complex(turns[0]), complex(np.conj(turns[1])))


def _looms(diameters: tuple[float, ...]) -> tuple[complex, ...]:
    """Very many circles, dealt out to looms of much the same thickness, which are laid as if each were one cable."""
    looms = [pack(diameters[start::LOOMS]) for start in range(LOOMS)]
    middles = pack([loom.diameter_mm for loom in looms]).centres_mm
    placed = [0j] * len(diameters)
    for start, ((x, y), loom) in enumerate(zip(middles, looms, strict=True)):
        placed[start::LOOMS] = [2 * complex(x + dx, y + dy) for dx, dy in loom.centres_mm]
    return tuple(placed)


# the search


@dataclass
class _Layouts:
    """Several layouts of the same circles. `pushes` and `walls` are the multipliers of their contacts, as overlaps."""

    radii: Floats
    centres: Complexes
    around: Floats
    stiffness: float
    pushes: Floats
    walls: Floats
    estimate: Floats  # of the radius around each if nothing overlapped

    @classmethod
    def of(cls, radii: Floats, centres: Complexes, around: Floats, stiffness: float) -> _Layouts:
        many, count = centres.shape
        return cls(
            radii, centres, around, stiffness, np.zeros((many, count, count)), np.zeros((many, count)), around.copy()
        )

    def kept(self, count: int, *, apart: float = -1.0) -> _Layouts:
        """The tightest; of those whose estimates are not `apart`, one."""
        rows: list[int] = []
        for row in np.argsort(self.estimate, kind="stable").tolist():
            if all(abs(self.estimate[row] - self.estimate[other]) > apart for other in rows):
                rows.append(row)
            if len(rows) == count:
                break
        return _Layouts(
            self.radii, self.centres[rows], self.around[rows], self.stiffness, self.pushes[rows], self.walls[rows],
            self.estimate[rows],
        )

    def stiffer(self) -> _Layouts:
        """The same, started again with overlaps that push back hard."""
        return _Layouts.of(self.radii, self.centres, self.around, STIFF)

    def joined(self, other: _Layouts) -> _Layouts:
        """The layouts of both."""
        mine = (self.centres, self.around, self.pushes, self.walls, self.estimate)
        theirs = (other.centres, other.around, other.pushes, other.walls, other.estimate)
        centres, *rest = (np.concatenate(pair) for pair in zip(mine, theirs, strict=True))
        return _Layouts(self.radii, centres, rest[0], self.stiffness, *rest[1:])

    def press(self, steps: int, *, still: float = 0.0) -> _Layouts:
        """Let each come to rest, in damped Newton steps; the overlaps that remain become its multipliers."""
        centres, around = self.centres, self.around
        pressed = _pressed(self, centres, around)
        damping = np.full(len(centres), 0.1)
        count = len(self.radii)
        for _ in range(steps):
            matrix, slope = _linear(pressed, self.stiffness)
            diagonal = np.arange(2 * count + 1)
            matrix[:, diagonal, diagonal] += damping[:, None]
            step = np.linalg.solve(matrix, slope[:, :, None])[:, :, 0]
            longest = np.max(np.abs(step), axis=1)
            step *= np.minimum(1.0, 0.5 * self.radii[0] / np.maximum(longest, 1e-12))[:, None]
            moved = centres - (step[:, :count] + 1j * step[:, count:-1])
            tried = _pressed(self, moved, around - step[:, -1])
            better = tried.energy <= pressed.energy
            centres = np.where(better[:, None], moved, centres)
            around = np.where(better, around - step[:, -1], around)
            pressed = tried if better.all() else pressed.where(better, tried)
            damping = np.where(better, np.maximum(0.3 * damping, 1e-7), 4 * damping)
            if longest.max() < still:
                break
        estimate = around + self.stiffness * (
            0.5 * np.einsum("kij,kij->k", pressed.overlap, pressed.overlap)
            + np.einsum("ki,ki->k", pressed.over_wall, pressed.over_wall)
        )
        return _Layouts(
            self.radii, centres, around, self.stiffness, pressed.overlap, pressed.over_wall, estimate
        )


@dataclass
class _Pressed:
    """Layouts under pressure: the energy of each, and where circles overlap one another and the wall."""

    energy: Floats
    apart: Complexes
    overlap: Floats
    outward: Complexes
    over_wall: Floats
    distance: Floats

    def where(self, chosen: NDArray[np.bool_], other: _Pressed) -> _Pressed:
        """The chosen ones of another, the rest as here."""
        pairs, each = chosen[:, None, None], chosen[:, None]
        return _Pressed(
            np.where(chosen, other.energy, self.energy), np.where(pairs, other.apart, self.apart),
            np.where(pairs, other.overlap, self.overlap), np.where(each, other.outward, self.outward),
            np.where(each, other.over_wall, self.over_wall), np.where(each, other.distance, self.distance),
        )


def _pressed(layouts: _Layouts, centres: Complexes, around: Floats) -> _Pressed:
    radii = layouts.radii
    touch = radii[:, None] + radii[None, :]
    np.fill_diagonal(touch, -np.inf)
    between = centres[:, :, None] - centres[:, None, :]
    distance = np.maximum(np.abs(between), 1e-12)
    overlap = np.maximum(touch - distance + layouts.pushes, 0.0)
    out = np.maximum(np.abs(centres), 1e-12)
    over_wall = np.maximum(out + (radii - around[:, None]) + layouts.walls, 0.0)
    energy = around + layouts.stiffness * (
        0.25 * np.einsum("kij,kij->k", overlap, overlap) + 0.5 * np.einsum("ki,ki->k", over_wall, over_wall)
    )
    return _Pressed(energy, between / distance, overlap, centres / out, over_wall, out)


def _linear(pressed: _Pressed, stiffness: float) -> tuple[Floats, Floats]:
    """Matrix and slope of the energy over all x, all y and the radius around, both divided by the stiffness.

    The bending of contacts between circles is left out, so that the matrix has no negative direction.
    """
    many, count = pressed.over_wall.shape
    each = np.arange(count)
    force = pressed.over_wall * pressed.outward - np.einsum("kij,kij->ki", pressed.overlap, pressed.apart)
    slope = np.empty((many, 2 * count + 1))
    slope[:, :count], slope[:, count:-1] = force.real, force.imag
    slope[:, -1] = 1 / stiffness - np.sum(pressed.over_wall, axis=1)

    touching = pressed.overlap > 0
    twice = touching * pressed.apart**2
    xx, yy, xy = 0.5 * (touching + twice.real), 0.5 * (touching - twice.real), 0.5 * twice.imag
    at_wall = (pressed.over_wall > 0).astype(np.float64)
    bend = pressed.over_wall / pressed.distance
    x, y = pressed.outward.real, pressed.outward.imag
    matrix = np.zeros((many, 2 * count + 1, 2 * count + 1))
    matrix[:, :count, :count], matrix[:, count:-1, count:-1], matrix[:, :count, count:-1] = -xx, -yy, -xy
    matrix[:, each, each] = xx.sum(axis=2) + at_wall * x * x + bend * y * y
    matrix[:, count + each, count + each] = yy.sum(axis=2) + at_wall * y * y + bend * x * x
    matrix[:, each, count + each] = xy.sum(axis=2) + (at_wall - bend) * x * y
    matrix[:, count:-1, :count] = matrix[:, :count, count:-1]  # symmetric by itself
    matrix[:, :count, -1] = matrix[:, -1, :count] = -at_wall * x
    matrix[:, count:-1, -1] = matrix[:, -1, count:-1] = -at_wall * y
    matrix[:, -1, -1] = at_wall.sum(axis=1)
    return matrix, slope


def _searched(radii: Floats) -> Complexes:
    """The tightest layout found of four and more circles of falling radii."""
    swaps = _swaps(radii)
    many = min(64, max(4, 640 // len(radii)))
    if not swaps and len(radii) <= 20:  # equal circles, which no change of places helps
        many *= 3
    quarter = max(2, many // 4)
    best = _grown(radii, many).press(5 if swaps else 10).kept(quarter).stiffer().press(8)
    least = max(radii[0] + radii[1], float(np.sqrt(np.sum(radii**2))))
    for number in range(min(MOST_ROUNDS, len(radii) - 4) if swaps else 0):
        if best.estimate.min() < least * (1 + CLOSE):
            break  # there is none tighter
        changed = _changed(best.kept(2, apart=ALIKE), swaps, min(24, many), number).press(5)
        best = best.kept(2, apart=ALIKE).joined(changed.kept(quarter).stiffer().press(8))
    return _relaxed(best.kept(2, apart=ALIKE))


def _relaxed(best: _Layouts) -> Complexes:
    """The tightest of a few layouts, pressed until its contacts carry without overlapping."""
    for _ in range(MOST_RELAXED):
        best = best.press(5, still=CLOSE)
        laid = [_opened(centres, best.radii) for centres in best.centres]
        row = min(range(len(laid)), key=lambda number: laid[number][1])
        if laid[row][1] < 2 * best.around[row] * (1 + CLOSE):
            break
    return laid[row][0]


def _grown(radii: Floats, many: int) -> _Layouts:
    """Layouts that grew from the thickest circles on; each tries another number of places for the next circle."""
    raw = np.random.PCG64(SEED).random_raw(2 * many * len(radii) * TRIED)
    even = (raw >> np.uint64(11)) * 2.0**-53
    out, turn = even.reshape(2, len(radii), many, TRIED)
    disc = np.sqrt(out) * np.exp(2j * np.pi * turn)
    untried = np.arange(TRIED)[None, :] > (np.arange(many) % TRIED)[:, None]
    rows = np.arange(many)
    laid = _Layouts.of(radii[:0], np.zeros((many, 0), dtype=np.complex128), np.full(many, radii[0]), SOFT)
    goal = 4
    while True:
        centres = laid.centres
        around = np.maximum(laid.around, 1.05 * np.sqrt(np.sum(radii[:goal] ** 2)))
        for number in range(centres.shape[1], goal):
            places = disc[number] * np.maximum(around - 0.7 * radii[number], 0.0)[:, None]
            room = around[:, None] - np.abs(places)
            if number:
                gaps = np.abs(places[:, :, None] - centres[:, None, :]) - radii[:number]
                room = np.minimum(room, gaps.min(axis=2))
            room[untried] = -np.inf
            centres = np.concatenate([centres, places[rows, room.argmax(axis=1)][:, None]], axis=1)
        laid = _Layouts.of(radii[:goal], centres, around, SOFT)
        if goal == len(radii):
            return laid
        laid = laid.press(5)
        goal = min(len(radii), max(goal + 1, int(1.35 * goal)))


def _swaps(radii: Floats) -> list[tuple[int, int]]:
    """The pairs of circles that differ."""
    first, second = np.triu_indices(len(radii), 1)
    differ = radii[first] - radii[second] > 1e-6 * radii[0]
    return list(zip(first[differ].tolist(), second[differ].tolist(), strict=True))


def _changed(parents: _Layouts, swaps: list[tuple[int, int]], many: int, number: int) -> _Layouts:
    """Layouts in which two circles of different size have changed places; which, is spread evenly over the pairs."""
    each = max(1, many // len(parents.centres))
    centres = np.repeat(parents.centres, each, axis=0)
    for row, laid in enumerate(centres):
        spot = ((number * len(centres) + row + 0.5) * 0.6180339887498949) % 1.0
        pair = list(swaps[int(spot * len(swaps))])
        laid[pair] = laid[pair[::-1]]
    return _Layouts.of(parents.radii, centres, np.repeat(parents.around, each), SOFT)
