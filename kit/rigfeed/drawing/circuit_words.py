"""The words of the circuit diagram: what stands at each wire and each node, with the figures of one state."""

from __future__ import annotations

import math
from collections.abc import Sequence

from rigfeed.drawing.circuit_graph import Wire
from rigfeed.drawing.font import cut, plain, width_mm, wrap
from rigfeed.drawing.marks import Mark, marks_row, marks_width
from rigfeed.drawing.scene import Item, Lettering, Line, Point, Symbol
from rigfeed.drawing.symbols import PEN
from rigfeed.errors import RigfeedError
from rigfeed.frozen import frozen
from rigfeed.installation import LaidConductor, PlacedNode
from rigfeed.parts.interfaces import FeederType, Joint, LoadDevice, ProtectiveDevice, SourceDevice
from rigfeed.quantity import System, show
from rigfeed.studies.operating import Operating

TEXT_MM = 2.5
LINE_MM = 21.0  # how wide the words of a node may be
MOST_LINES = 4
LEAST_A = 5e-4  # less is none: what a solver leaves over, or nothing that a meter would show
SIGN_MM = 4.2  # room for the sign of a cable
LOOP_MM = 1.1  # radius of its ends
SIGN_AT_MM = 2.6  # its middle, in front of the end of the words
ABOVE_MM, BELOW_MM = 1.05, 2.5  # base lines over and under a wire
MARK_MM = 2.1  # the middle of a mark over it


@frozen
class Figures:
    """What a study says of one state; nothing where no state is asked for."""

    operating: Operating | None = None
    state: str | None = None

    def amps(self, wire: Wire) -> float | None:
        """The current of a wire from left to right [A]; None where there is none to tell, or in a feeder."""
        if self.operating is None or self.state is None or wire.is_coax or wire.core is None:
            return None
        try:
            found = self.operating.current(self.state, wire.core.id)
        except RigfeedError:
            return None
        found = 0.0 if abs(found) < LEAST_A else found
        return found if wire.forward else -found

    def volts(self, node: PlacedNode) -> float | None:
        """The voltage across a load or a source, that of a joint to 0 V [V]."""
        if self.operating is None or self.state is None:
            return None
        try:
            if isinstance(node.part, LoadDevice | SourceDevice):
                return self.operating.across(self.state, node.id)
            return self.operating.volts(self.state, f"{node.id}.any") if isinstance(node.part, Joint) else None
        except RigfeedError:
            return None


def node_words(
    node: PlacedNode, volts: str, own: Sequence[Wire], *, is_titled: bool
) -> tuple[Lettering, list[Lettering]]:
    """What stands over a node, its id, and the lines under it: its rating, its title and its volts, if it does not have
    them inside."""
    below: list[Lettering] = []
    if isinstance(node.part, ProtectiveDevice) and node.title != node.part.title:
        below.append(_text(show(node.part.rated_a, "A")))
    title = "" if is_titled or node.title == node.id else plain(node.title)
    below += [_text(line) for line in wrap(title, LINE_MM, TEXT_MM, most=MOST_LINES)]
    if node.part is None:
        below.append(_text("no part chosen"))
    if volts and not is_titled:
        below.append(_text(volts, bold=True))
    below += [_text(cut(f"{wire.name} to itself", LINE_MM, TEXT_MM)) for wire in own]
    return _text(node.id, bold=True), below


def _text(text: str, *, bold: bool = False) -> Lettering:
    return Lettering((0.0, 0.0), text, TEXT_MM, "middle", bold=bold)


@frozen
class WireWords:
    """What stands over and under a wire, with the marks of its findings in front."""

    above: str
    below: str
    marks: tuple[Mark, ...]
    sign: str

    @property
    def width_mm(self) -> float:
        """The room that it takes in front of the column [mm]."""
        upper = marks_width(self.marks) + width_mm(self.above, TEXT_MM, bold=True)
        return max(upper, width_mm(self.below, TEXT_MM)) + 2.0 + (SIGN_MM if self.sign else 0.0)

    def drawn(self, end: Point, *, has_sign: bool = True) -> tuple[Item, ...]:
        """The words with their right end at a point of the wire; without `has_sign` the room of the sign stays free."""
        x, y = end[0] - 1.0, end[1]
        items: list[Item] = []
        if self.sign and has_sign:
            items.append(Symbol(self.sign, (end[0] - SIGN_AT_MM, y)))
        x -= SIGN_MM if self.sign else 0.0
        upper = width_mm(self.above, TEXT_MM, bold=True)
        items.append(Lettering((x, y - ABOVE_MM), self.above, TEXT_MM, "end", bold=True))
        items.append(Lettering((x, y + BELOW_MM), self.below, TEXT_MM, "end"))
        items += marks_row(self.marks, (x - upper - marks_width(self.marks), y - MARK_MM))
        return tuple(items)


def wire_words(wire: Wire, marks: Sequence[Mark], figures: Figures, system: System) -> WireWords:
    """The id (of a core, where a cable has several), the amps with their direction, the size and the length."""
    above = wire.name
    sign = "shield" if wire.is_coax else "pair" if wire.name != wire.id else ""
    if wire.laid is None or wire.core is None:
        return WireWords(plain(above), wire.wants, tuple(marks), sign)
    amps = figures.amps(wire)
    if amps is not None:
        arrow = "→ " if amps > 0 else "← " if amps < 0 else ""
        above = f"{above} {arrow}{show(abs(amps), 'A')}"
    area = show(wire.core.core.area_mm2, "mm2").replace("mm2", "mm²")
    size = _kind(wire.laid) if isinstance(wire.laid.cable, FeederType) else area
    below = f"{size}, {show(wire.laid.length_m, 'm', system)}"
    return WireWords(plain(above), plain(below), tuple(marks), sign)


def _kind(conductor: LaidConductor) -> str:
    """The name of a feeder in its catalog: what is printed on it, more or less."""
    return cut(plain(conductor.cable.short_key.partition(":")[2]), LINE_MM, TEXT_MM)


def loop(ends: Sequence[Point]) -> Line:
    """The sign of one cable around several of its cores, which end under each other."""
    x, top, bottom, r = ends[0][0] - SIGN_AT_MM, ends[0][1], ends[-1][1], LOOP_MM
    turns = [math.pi * step / 8 for step in range(9)]
    upper = [(x - r * math.cos(turn), top - r * math.sin(turn)) for turn in turns]
    lower = [(x + r * math.cos(turn), bottom + r * math.sin(turn)) for turn in turns]
    return Line((*upper, *lower), PEN, closed=True)


def pen_mm(wire: Wire) -> float:
    """Thick is what is fitted, thin what the vehicle came with [mm]."""
    return 0.25 if wire.laid and wire.laid.origin == "vehicle" else 0.5


def wire_line(wire: Wire, points: tuple[Point, ...]) -> Line:
    """The line of a wire, broken while it is not complete."""
    return Line(points, pen_mm(wire), dash=() if wire.laid else (2.0, 1.2))
