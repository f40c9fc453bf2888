"""The pieces of a route plan that hold text, each laid out from (0, 0): points, and the labels of runs and holes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from rigfeed.drawing.font import ASCENT, DESCENT, cut, plain, width_mm, wrap
from rigfeed.drawing.marks import SIZE, Mark, marks_row, marks_width
from rigfeed.drawing.routes_facts import Place, Way, spans
from rigfeed.drawing.scene import Group, Item, Lettering, Point, moved
from rigfeed.frozen import frozen
from rigfeed.installation import LaidPassage, LaidZone, PlacedNode
from rigfeed.path import Path
from rigfeed.quantity import System, show

NAME_MM, TEXT_MM = 3.0, 2.5
LEADING = ASCENT + DESCENT + 0.05
PAD_MM = 1.8
PLACE_MM = 42.0  # the width of a text in a point
LEAST_PLACE_MM = 26.0  # the width of a point
MOST_TELLING = 9  # devices at one point that are told with their titles
MARKS_MM = SIZE + 1.4

Marks = Mapping[Path, tuple[Mark, ...]]


@frozen
class Piece:
    """Items from (0, 0) to the right and downwards."""

    items: tuple[Item, ...]
    width_mm: float
    height_mm: float

    def at(self, left_top: Point) -> tuple[Item, ...]:
        """Its items on the page."""
        return moved(self.items, left_top)


class _Stack:
    """Lines of a piece, one below the other."""

    def __init__(self, left_mm: float = 0.0, top_mm: float = 0.0) -> None:
        self.items: list[Item] = []
        self.left_mm, self.height_mm, self.width_mm = left_mm, top_mm, 0.0

    def words(self, parts: Iterable[tuple[float, str, bool]], size_mm: float = TEXT_MM) -> list[Lettering]:
        """The texts of one more line, each with its distance from the left and whether it is bold."""
        base = self.height_mm + ASCENT * size_mm
        found = [Lettering((self.left_mm + x, base), text, size_mm, bold=bold) for x, text, bold in parts]
        self.height_mm += LEADING * size_mm
        ends = [text.at[0] - self.left_mm + width_mm(text.text, size_mm, bold=text.bold) for text in found]
        self.width_mm = max(self.width_mm, *ends)
        return found

    def line(self, text: str, size_mm: float = TEXT_MM, *, bold: bool = False) -> None:
        """One line more."""
        self.items += self.words([(0.0, text, bold)], size_mm)

    def lines(self, text: str, room_mm: float, size_mm: float = TEXT_MM, *, bold: bool = False, most: int = 99) -> None:
        """A text in as many lines as it needs."""
        for part in wrap(text, room_mm, size_mm, bold=bold, most=most):
            self.line(part, size_mm, bold=bold)

    def marks(self, marks: Sequence[Mark], room_mm: float) -> None:
        """Numbers of findings, in rows."""
        row: list[Mark] = []
        for mark in (*marks, None):
            if row and (mark is None or marks_width([*row, mark]) > room_mm):
                self.items += marks_row(row, (self.left_mm, self.height_mm + MARKS_MM / 2 + 0.2))
                self.height_mm += MARKS_MM
                self.width_mm = max(self.width_mm, marks_width(row))
                row = []
            row += [mark] if mark else []

    def piece(self) -> Piece:
        """All of it."""
        return Piece(tuple(self.items), self.width_mm, self.height_mm)


# points


def place_piece(place: Place, marks: Marks) -> Piece:
    """A point: its name, what stands at it, which conductors do not leave it. The box around it is not part of it."""
    stack = _Stack(PAD_MM, PAD_MM)
    stack.line(cut(plain(place.id), PLACE_MM, NAME_MM, bold=True), NAME_MM, bold=True)
    if place.title:
        stack.lines(plain(place.title), PLACE_MM, most=3)
    stack.height_mm += 0.8 if place.nodes else 0.0
    if len(place.nodes) <= MOST_TELLING:
        _telling(stack, place.nodes)
    else:
        _listing(stack, place.nodes)
    if place.staying:
        stack.height_mm += 0.8
        stack.lines(f"stays here: {', '.join(spans(place.staying))}", PLACE_MM)
    stack.marks(marks.get(Path("points", place.id), ()), PLACE_MM)
    wide = max(stack.width_mm + 2 * PAD_MM, LEAST_PLACE_MM)
    return Piece(tuple(stack.items), wide, stack.height_mm + PAD_MM)


def _telling(stack: _Stack, nodes: Sequence[PlacedNode]) -> None:
    """Devices one below the other, each with its title."""
    indent = max((width_mm(node.id, TEXT_MM, bold=True) for node in nodes), default=0.0) + 1.5
    indent = min(indent, 0.5 * PLACE_MM)
    for node in nodes:
        name = cut(node.id, indent - 1.0, TEXT_MM, bold=True)
        title = plain(node.title) if node.title != node.id else ""
        told = wrap(title, PLACE_MM - indent, TEXT_MM, most=2) or ("",)
        items = stack.words([(0.0, name, True), (indent, told[0], False)][: 2 if told[0] else 1])
        for line in told[1:]:
            items += stack.words([(indent, line, False)])
        stack.items.append(Group(Path("nodes", node.id), tuple(items), plain(f"{node.id}: {node.title}")))


def _listing(stack: _Stack, nodes: Sequence[PlacedNode]) -> None:
    """Many devices: their names only, as many in a line as find room."""
    row: list[tuple[float, str, PlacedNode]] = []
    x = 0.0
    for position, node in enumerate(nodes):
        name = cut(node.id, PLACE_MM - 1.5, TEXT_MM, bold=True) + ("," if position < len(nodes) - 1 else "")
        wide = width_mm(name, TEXT_MM, bold=True)
        if row and x + wide > PLACE_MM:
            _list_row(stack, row)
            row, x = [], 0.0
        row.append((x, name, node))
        x += wide + 1.0
    _list_row(stack, row)


def _list_row(stack: _Stack, row: Sequence[tuple[float, str, PlacedNode]]) -> None:
    texts = stack.words([(x, name, True) for x, name, _ in row])
    for (_, _, node), text in zip(row, texts, strict=True):
        stack.items.append(Group(Path("nodes", node.id), (text,), plain(f"{node.id}: {node.title}")))


# labels


def way_piece(way: Way, marks: Marks, room_mm: float, system: System) -> Piece:
    """The label of a run: its name and length, what lies on it, and the bundle of that."""
    stack = _Stack()
    length = "not measured" if way.length_m is None else show(way.length_m, "m", system)
    head = f"{way.id}  {length}" + (", closed" if way.closed else "")
    stack.lines(plain(head), room_mm, bold=True)
    if way.conductors:
        stack.lines(", ".join(spans(way.conductors)), room_mm)
        thick = "bundle not known" if way.diameter_mm is None else f"bundle {show(way.diameter_mm, 'mm', system)}"
        stack.lines(thick if len(way.conductors) > 1 else thick.replace("bundle", "cable"), room_mm)
    else:
        stack.lines("nothing led here", room_mm)
    for name, distance_m in way.beside_m:
        stack.lines(f"{plain(name)} at {show(1000 * distance_m, 'mm', system)}", room_mm)
    stack.marks(marks.get(Path("runs", way.id), ()), room_mm)
    return stack.piece()


def hole_piece(hole: LaidPassage, marks: Marks, room_mm: float, system: System) -> Piece:
    """The label of a hole: its name, its diameter, and how much of it cables take."""
    stack = _Stack()
    size = "not measured" if hole.diameter_mm is None else show(hole.diameter_mm, "mm", system)
    stack.lines(plain(f"{hole.id}  {size}"), room_mm, bold=True)
    if hole.title != hole.id:
        stack.lines(plain(hole.title), room_mm, most=3)
    if hole.fill is not None:
        stack.lines(f"{100 * hole.fill:.0f} % full", room_mm)
    stack.lines(hole.edge or "edge not known", room_mm)
    stack.marks(marks.get(Path("passages", hole.id), ()), room_mm)
    return stack.piece()


def zone_piece(zone: LaidZone, marks: Marks, room_mm: float, system: System) -> Piece:
    """The title of a zone: its name, its air, whether it is wet."""
    stack = _Stack()
    air = f"{show(zone.coldest_c, 'degC', system)} to {show(zone.warmest_c, 'degC', system)}"
    name = zone.title if zone.title != zone.id else ""
    stack.lines(plain(f"{zone.id}: {name}" if name else zone.id), room_mm, bold=True, most=2)
    stack.lines(plain(f"{air}{', wet' if zone.wet else ''}"), room_mm, most=2)
    stack.marks(marks.get(Path("zones", zone.id), ()), room_mm)
    return stack.piece()
