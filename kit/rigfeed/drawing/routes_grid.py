"""Where the points of a route plan stand to each other: columns and rows, from nothing but runs and zones.

Points of one zone, or of none, that runs join are a block. A tree of blocks grows to the right from the block with the
vehicle's own battery, a tree of points inside of each block to the right or, where that makes too many columns,
downwards. Lengths, devices and conductors play no part: they change often, and a picture that jumps about is a new one
each time.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from rigfeed.drawing.routes_facts import Plan
from rigfeed.frozen import frozen
from rigfeed.papers.places import natural

CELL_MM = (64.0, 44.0)  # what a point takes with the way to the next one, roughly
LEVEL_FROM = 0.8  # how much smaller a picture may be for the sake of reading it from left to right

Cell = tuple[int, int]


@frozen
class Block:
    """Points of one zone that hang together, the first of them the nearest to the battery."""

    zone: str | None
    points: tuple[str, ...]


@frozen
class Arrangement:
    """The column and the row of every point, and the blocks."""

    cells: Mapping[str, Cell]
    blocks: tuple[Block, ...]

    @property
    def columns(self) -> int:
        """How many there are."""
        return 1 + max((column for column, _ in self.cells.values()), default=0)

    @property
    def rows(self) -> int:
        """How many there are."""
        return 1 + max((row for _, row in self.cells.values()), default=0)


def arranged(plan: Plan, width_mm: float, height_mm: float) -> Arrangement:
    """The arrangement that can be drawn largest on a page; among nearly equal ones the one that runs level."""
    tree = _Tree(plan)
    level, upright = (_Placing(tree, upright).done() for upright in (False, True))
    return level if _scale(level, width_mm, height_mm) >= LEVEL_FROM * _scale(upright, width_mm, height_mm) else upright


def _scale(found: Arrangement, width_mm: float, height_mm: float) -> float:
    """How large it can be drawn on a page of that size; what fits is large enough."""
    wide, high = CELL_MM
    return min(1.0, width_mm / (found.columns * wide), height_mm / (found.rows * high))


class _Tree:
    """The points as a tree of as few steps as possible, those of one zone first, and as blocks."""

    def __init__(self, plan: Plan) -> None:
        self.zone = {id_: place.zone for id_, place in plan.places.items()}
        self.near: dict[str, list[str]] = {id_: [] for id_ in plan.places}
        for way in plan.ways.values():
            for here, there in ((way.start, way.end), (way.end, way.start)):
                if there not in self.near[here]:
                    self.near[here].append(there)
        for ends in self.near.values():
            ends.sort(key=natural)
        self.roots: list[Block] = []
        self.onward: dict[Block, list[tuple[str, Block]]] = {}
        self.inside: dict[str, list[str]] = {id_: [] for id_ in plan.places}
        self._grow(plan)

    def _grow(self, plan: Plan) -> None:
        seen: set[str] = set()
        firsts = [*plan.order[:1], *sorted(plan.places, key=lambda id_: (-len(self.near[id_]), natural(id_)))]
        for first in firsts:
            if first in seen:
                continue
            self.roots.append(self._block(first, seen))
            queue = [self.roots[-1]]
            for block in queue:
                for here in block.points:
                    for there in self.near[here]:
                        if there not in seen:
                            queue.append(self._block(there, seen))
                            self.onward[block].append((here, queue[-1]))

    def _block(self, first: str, seen: set[str]) -> Block:
        seen.add(first)
        found = [first]
        for here in found:
            for there in self.near[here]:
                if there not in seen and self.zone[there] == self.zone[here]:
                    seen.add(there)
                    found.append(there)
                    self.inside[here].append(there)
        block = Block(self.zone[first], tuple(found))
        self.onward[block] = []
        return block


class _Placing:
    """Points getting their cells; `free` is the first row that is free in each column."""

    def __init__(self, tree: _Tree, upright: bool) -> None:
        self.tree = tree
        inside = _upright if upright else _level
        self.own = {block: inside(block, tree.inside) for block in tree.onward}
        self.high = {block: 1 + max(row for _, row in own.values()) for block, own in self.own.items()}
        self.tallest = max(self.high.values(), default=1)
        self.cells: dict[str, Cell] = {}
        self.free: dict[int, int] = {}

    def done(self) -> Arrangement:
        """All blocks in their cells, each with all behind it before the next."""
        for root in self.tree.roots:
            stack = [(root, 0, max(self.free.values(), default=0))]
            while stack:
                block, column, row = stack.pop()
                stack.extend(reversed(list(self._placed(block, column, row))))
        return Arrangement(self.cells, tuple(self.tree.onward))

    def _placed(self, block: Block, column: int, row: int) -> Iterator[tuple[Block, int, int]]:
        """Give a block its cells, no lower than the tallest block reaches if that can be; what follows on it, with the
        column and the row where it should be."""
        own, high = self.own[block], self.high[block]
        wide = 1 + max(x for x, _ in own.values())
        row = max(min(row, self.tallest - high), *(self.free.get(column + x, 0) for x in range(wide)))
        self.cells |= {id_: (column + x, row + y) for id_, (x, y) in own.items()}
        self.free |= {column + x: row + high for x in range(wide)}
        onward = [(self.cells[here][1], natural(there.points[0]), there) for here, there in self.tree.onward[block]]
        for near, _, there in sorted(onward, key=lambda item: item[:2]):
            yield there, column + wide, near


def _upright(block: Block, onward: Mapping[str, Sequence[str]]) -> dict[str, Cell]:
    """The cells of a block's points one below the other, each branch to its end."""
    cells: dict[str, Cell] = {}
    stack = [block.points[0]]
    while stack:
        here = stack.pop()
        cells[here] = 0, len(cells)
        stack.extend(reversed(onward[here]))
    return cells


def _level(block: Block, onward: Mapping[str, Sequence[str]]) -> dict[str, Cell]:
    """The same one beside the other: the first branch goes straight on, each further one has a row below."""
    cells: dict[str, Cell] = {}
    stack = [(block.points[0], 0, 0)]
    low = 0
    while stack:
        here, column, more = stack.pop()
        low += more
        cells[here] = column, low
        ahead = [(there, column + 1, int(position > 0)) for position, there in enumerate(onward[here])]
        stack.extend(reversed(ahead))
    return cells
