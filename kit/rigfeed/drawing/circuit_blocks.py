"""How each node of the circuit looks, and where its wires meet it.

A block is drawn around its own origin, the first row of wires at height 0. Rows lie on a grid of `GRID` mm: those on
the left `LABELLED` mm apart, since every wire has its words in front of its right end, those on the right one step.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from rigfeed.drawing.boxes import item_box, united
from rigfeed.drawing.circuit_symbols import Look, look
from rigfeed.drawing.font import cut, plain, width_mm, wrap
from rigfeed.drawing.levels import Extent
from rigfeed.drawing.marks import Mark, marks_row, marks_width
from rigfeed.drawing.places import Box
from rigfeed.drawing.scene import Circle, Item, Lettering, Line, Point, Symbol
from rigfeed.drawing.symbols import PEN, SYMBOLS, ends
from rigfeed.frozen import frozen
from rigfeed.installation import PlacedNode

GRID = 3.5
LABELLED = 2 * GRID
HALF = 1.5 * GRID  # half the length of a symbol with its leads
TEXT_MM = 2.5
LEADING_MM = 3.0
NAME_MM = 9.0  # room for the name of a terminal
INSIDE_MM, MOST_INSIDE = 17.0, 4  # room for a title inside of a frame, and its lines
HEAD_MM = 34.0  # room for a name with marks
AIR_MM = 0.5  # around a block
FREE_MM = 0.6  # radius of the sign of a terminal without a wire
OVER_BAR_MM = 1.5  # from the end of a bar to its first row, and from its last
OVER_MM = 1.95  # from the edge of a frame to its first row, and from its last
WORDS_MM = 3.15  # over and under a wire, for its words
SIGNS = {"pos": "+", "neg": "−", "in-pos": "in +", "in-neg": "in −", "out-pos": "out +", "out-neg": "out −"}


@frozen
class Slot:
    """Where a wire (its number) meets a block on one side (0 left, 1 right), and at which terminal."""

    wire: int
    side: int
    terminal: str


@dataclass
class Block:
    """A node as it is drawn. `meets` is where each wire meets it, `free` where its terminals without a wire are;
    `half_mm` is half the width of everything."""

    items: list[Item] = field(default_factory=list)
    meets: dict[tuple[int, int], Point] = field(default_factory=dict)
    free: dict[str, Point] = field(default_factory=dict)
    top: float = 0.0
    bottom: float = 0.0
    half_mm: float = 0.0
    is_titled: bool = False  # whether its title stands in it

    @property
    def extent(self) -> Extent:
        """What it takes above and below its origin, with some air."""
        return Extent(AIR_MM - self.top, AIR_MM + self.bottom)

    @property
    def centre(self) -> Point:
        """The middle of all that is drawn, seen from its origin."""
        return united(item_box(item) for item in self.items).centre

    def draw(self, *items: Item) -> None:
        """Add items, and see how far they reach."""
        self.items += items
        for item in items:
            box = item_box(item)
            self.top, self.bottom = min(self.top, box.top), max(self.bottom, box.bottom)
            self.half_mm = max(self.half_mm, box.right, -box.left)

    def open(self, names: Iterable[str], at: Point) -> None:
        """Small open circles: terminals on which no wire ends yet."""
        for name in names:
            self.free[name] = at
            self.draw(Circle(at, FREE_MM, PEN, fill="paper"))

    def words(self, name: Lettering, marks: Sequence[Mark], below: Sequence[Lettering]) -> None:
        """The name over everything with the marks behind it, in rows where they are many; other lines under it, in
        their order. All are centred; of the texts only size and letters are used."""
        lowest = max([self.bottom, *(y + 0.6 for _, y in self.meets.values())])
        base = min([self.top, *(y - 0.6 for _, y in self.meets.values())]) - 0.9
        own = width_mm(name.text, name.size_mm, bold=name.bold)
        count = next(n for n in range(len(marks), -1, -1) if own + 1.0 + marks_width(marks[:n]) <= HEAD_MM or not n)
        left = -(own + 1.0 + marks_width(marks[:count]) if count else own) / 2
        self.draw(replace(name, at=(left, base), anchor="start"))
        self.draw(*marks_row(marks[:count], (left + own + 1.0, base - 1.0)))
        for first in range(count, len(marks), 4):
            row = marks[first : first + 4]
            self.draw(*marks_row(row, (-marks_width(row) / 2, self.top - 2.0)))
        for number, text in enumerate(below):
            self.draw(replace(text, at=(0.0, lowest + 2.8 + number * LEADING_MM), anchor="middle"))
        rows = [y for (_, side), (_, y) in self.meets.items() if side == 0]
        if rows:  # the words of the wires stand in front of the block, and another block must not come close to them
            self.bottom = max(self.bottom, max(rows) + WORDS_MM)
            self.top = min(self.top, min(rows) - WORDS_MM)


def block(node: PlacedNode, slots: Sequence[Slot], figure: str = "", free: Sequence[str] = ()) -> Block:
    """The symbol of a node with its wires; `slots` are in the order in which they should meet it from above, `free` are
    its terminals without a wire.

    What has no symbol of its own is a frame with the title inside, and `figure` under it.
    """
    seen = look(node, {slot.terminal for slot in slots} | set(free))
    drawn = Block()
    if seen.form == "bar":
        _bar(drawn, slots, is_body=seen.symbol == "frame")
        drawn.open(free, (0.0, -OVER_BAR_MM))
    elif seen.form == "inline" and _is_straight(seen, slots):
        _inline(drawn, seen, slots, free)
    elif seen.form in ("inline", "upright"):
        _upright(drawn, seen, slots, free)
    elif seen.form == "mast" and len(slots) < 2:
        drawn.draw(Symbol("antenna", (0.0, 0.0)))
        drawn.meets |= {(slot.wire, slot.side): (0.0, 0.0) for slot in slots}
        drawn.open(() if slots else free, (0.0, 0.0))
    else:
        ways = [*slots, *(Slot(-number, 1, name) for number, name in enumerate(free, 1))]
        _box(drawn, seen, ways, "" if seen.symbol or node.title == node.id else plain(node.title), figure)
        for number, name in enumerate(free, 1):
            drawn.open([name], drawn.meets.pop((-number, 1)))
    return drawn


def _is_straight(seen: Look, slots: Sequence[Slot]) -> bool:
    """Whether the feed passes from one side to the other."""
    sides = [{slot.side for slot in slots if slot.terminal == name} for name in seen.terminals]
    return all(len(side) < 2 for side in sides) and not (sides[0] & sides[1])


def _stack(
    drawn: Block, slots: Sequence[Slot], x: float, first: float, *, upwards: bool = False
) -> tuple[float, float]:
    """Meeting points of the wires on one terminal, at x and from a height on; the upper and the lower end of them."""
    heights = [first]
    for side, step in ((0, LABELLED), (1, GRID)):
        mine = [slot for slot in slots if slot.side == side]
        for row, slot in enumerate(reversed(mine) if upwards else mine):
            drawn.meets[slot.wire, side] = (x, first + (-step if upwards else step) * row)
            heights.append(drawn.meets[slot.wire, side][1])
    return min(heights), max(heights)


def _trunk(drawn: Block, slots: Sequence[Slot], x: float, span: tuple[float, float]) -> None:
    """What joins the wires on one terminal, with a dot for each where there are several."""
    if span[0] != span[1]:
        drawn.draw(Line(((x, span[0]), (x, span[1])), PEN))
    if len(slots) > 1:
        spots = sorted({drawn.meets[slot.wire, slot.side] for slot in slots})
        drawn.draw(*(Symbol("junction", spot) for spot in spots))


def _bar(drawn: Block, slots: Sequence[Slot], *, is_body: bool) -> None:
    """A stud or a busbar with its wires on both sides; one on the body has the sign of the body under it."""
    if is_body and len(slots) == 1:
        drawn.draw(Symbol("frame", (0.0, 0.0), 0 if slots[0].side == 0 else 180))
        drawn.meets[slots[0].wire, slots[0].side] = (0.0, 0.0)
        return
    counts = [sum(slot.side == side for slot in slots) for side in (0, 1)]
    longer = max((counts[0] - 1) * LABELLED, (counts[1] - 1) * GRID, 0.0)
    for side, step in ((0, LABELLED), (1, GRID)):
        mine = [slot for slot in slots if slot.side == side]
        first = GRID * (((longer - (len(mine) - 1) * step) / 2) // GRID) if mine else 0.0
        for row, slot in enumerate(mine):
            drawn.meets[slot.wire, side] = (0.0, first + row * step)
    drawn.draw(Line(((0.0, -OVER_BAR_MM), (0.0, longer + OVER_BAR_MM)), 1.0))
    if is_body:
        drawn.draw(Symbol("frame", (0.0, longer + OVER_BAR_MM), 90))


def _inline(drawn: Block, seen: Look, slots: Sequence[Slot], free: Sequence[str]) -> None:
    """A symbol along the feed; turned round where its first terminal has its wires on the right."""
    first = {slot.side for slot in slots if slot.terminal == seen.terminals[0]}
    second = {slot.side for slot in slots if slot.terminal == seen.terminals[1]}
    back = 1 in first or (0 in second and 0 not in first)
    drawn.draw(Symbol(seen.symbol, (0.0, 0.0), 180 if back else 0))
    reach = max(x for x, _ in SYMBOLS[seen.symbol].ends)
    for name in seen.terminals:
        mine = [slot for slot in slots if slot.terminal == name]
        right = (name == seen.terminals[0]) == back
        x = HALF if right else -HALF
        span = _stack(drawn, mine, x, 0.0)
        drawn.draw(Line(((math.copysign(reach, x), 0.0), (x, 0.0)), PEN))
        _trunk(drawn, mine, x, span)
        drawn.open([name] if name in free else (), (x, 0.0))


def _upright(drawn: Block, seen: Look, slots: Sequence[Slot], free: Sequence[str]) -> None:
    """A symbol between two terminals, the first on top; wires come from both sides to a line through its middle."""
    upper, lower = ends(Symbol(seen.symbol, (0.0, HALF), 90))
    drawn.draw(Symbol(seen.symbol, (0.0, HALF), 0 if seen.symbol == "generator" else 90))
    for name, at, upwards in ((seen.terminals[0], 0.0, True), (seen.terminals[1], 2 * HALF, False)):
        mine = [slot for slot in slots if slot.terminal == name]
        if mine:
            reach = upper[1] if upwards else lower[1]
            drawn.draw(Line(((0.0, reach), (0.0, at)), PEN))
            _trunk(drawn, mine, 0.0, _stack(drawn, mine, 0.0, at, upwards=upwards))
        elif name in seen.on_body:
            drawn.draw(Symbol("frame", (0.0, lower[1]), 90))
        if name in free:
            drawn.open([name], (0.0, upper[1] if upwards else lower[1]))


def _box(drawn: Block, seen: Look, slots: Sequence[Slot], title: str, figure: str) -> None:
    """A frame with the names of the terminals inside, at the side where their wires come; the symbol or the title
    between them."""
    names = [*_names(drawn, slots)]
    wide = [
        max((width_mm(text.text, TEXT_MM) for text in names if text.anchor == anchor), default=0.0)
        for anchor in ("start", "end")
    ]
    lines = [Lettering((0.0, 0.0), line, TEXT_MM) for line in wrap(title, INSIDE_MM, TEXT_MM, most=MOST_INSIDE)]
    drawn.is_titled = bool(lines)
    lines += [Lettering((0.0, 0.0), figure, TEXT_MM, bold=True)] if lines and figure else []
    inside = 7.5 if seen.symbol else max((item_box(line).width for line in lines), default=0.0) + 2.0
    half = max((sum(wide) + inside + 2.4) / 2, 5.0)
    rows = max((y for _, y in drawn.meets.values()), default=0.0)
    high = max(rows + 2 * OVER_MM, 2.0 * GRID, len(lines) * LEADING_MM + 1.6)
    frame = Box(-half, -OVER_MM, half, high - OVER_MM)
    drawn.draw(Line(frame.corners, PEN, dash=seen.dash, closed=True, fill="paper"))
    for text in names:
        drawn.draw(replace(text, at=(half - 1.0 if text.anchor == "end" else 1.0 - half, text.at[1])))
    x, y = (wide[0] - wide[1]) / 2, frame.centre[1]
    if seen.symbol:
        drawn.draw(Symbol(seen.symbol, (x, y), scale=0.7))
    base = y - len(lines) * LEADING_MM / 2 + 2.35
    drawn.draw(*(replace(line, at=(x, base + row * LEADING_MM), anchor="middle") for row, line in enumerate(lines)))
    for (wire, side), (_, row) in drawn.meets.items():
        drawn.meets[wire, side] = (half if side else -half, row)


def _names(drawn: Block, slots: Sequence[Slot]) -> Iterator[Lettering]:
    """The names of terminals in their rows, and the rows of the wires."""
    for side, step in ((0, LABELLED), (1, GRID)):
        last = ""
        for row, slot in enumerate(slot for slot in slots if slot.side == side):
            drawn.meets[slot.wire, side] = (0.0, row * step)
            word = cut(SIGNS.get(slot.terminal, slot.terminal), NAME_MM, TEXT_MM)
            if word != last:
                yield Lettering((0.0, row * step + 0.9), word, TEXT_MM, "start" if side == 0 else "end")
            last = word


def sorted_slots(slots: Sequence[Slot], terminals: Sequence[str], wish: Mapping[int, float]) -> list[Slot]:
    """Slots in the order in which their wires come from above; wires on one terminal stay together.

    `wish` is by the number of the wire: how far down what is at its other end stands.
    """
    found: list[Slot] = []
    for side in (0, 1):
        mine = [slot for slot in slots if slot.side == side]
        means: dict[str, float] = {}
        for name in {slot.terminal for slot in mine}:
            wishes = [wish[slot.wire] for slot in mine if slot.terminal == name]
            means[name] = sum(wishes) / len(wishes)
        rank = {name: number for number, name in enumerate(terminals)}
        mine.sort(key=lambda s: (means[s.terminal], rank.get(s.terminal, 99), s.terminal, wish[s.wire], s.wire))
        found += mine
    return found
