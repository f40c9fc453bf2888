"""The circuit diagram: what is joined to what, from the sources on the left to the loads on the right.

Symbols after IEC 60617; a zone of the vehicle is an area; a line is a core, with its id, size and length where it ends
on the right. The layout is that of `layers`, `levels` and `channels`.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from itertools import pairwise

from rigfeed.assess import Assessment
from rigfeed.drawing.boxes import item_box, united
from rigfeed.drawing.channels import CLOSE_MM
from rigfeed.drawing.circuit_blocks import LABELLED, Block, block, sorted_slots
from rigfeed.drawing.circuit_graph import Graph, Wire, graph
from rigfeed.drawing.circuit_held import Plan, settled
from rigfeed.drawing.circuit_layout import Before, Layout, columns_of, laid_out, slots_of, wishes
from rigfeed.drawing.circuit_words import Figures, WireWords, loop, node_words, wire_line, wire_words
from rigfeed.drawing.font import cut, plain, width_mm
from rigfeed.drawing.frame import Content, page_scene
from rigfeed.drawing.layers import Columns
from rigfeed.drawing.marks import Mark, by_subject, numbered
from rigfeed.drawing.places import Box
from rigfeed.drawing.positions import positions
from rigfeed.drawing.scene import Group, Item, Lettering, Line, Point, Scene, moved
from rigfeed.installation import Installation, PlacedNode
from rigfeed.papers.paper import Wanted
from rigfeed.parts.interfaces import Joint
from rigfeed.path import Path
from rigfeed.quantity import show
from rigfeed.studies.operating import OPERATING

TITLE = "Circuit diagram"
EDGE_MM = 0.4
ZONE_MM = 3.0
TITLE_ROOM_MM = 60.0
THIN = "thin lines: as the vehicle came"
FREE = "small circles: free terminals"

Marked = Mapping[Path, Sequence[Mark]]


def circuit_scene(assessment: Assessment, wanted: Wanted) -> Scene:
    """The circuit on one page."""
    installation = assessment.installation
    drawn = {Path("nodes", id_) for id_ in installation.nodes}
    drawn |= {Path("conductors", id_) for id_ in installation.design.conductors}
    marks = numbered(assessment.findings, drawn)
    figures = Figures(assessment.get(OPERATING), wanted.state) if wanted.state else Figures()
    draw = _drawer(installation, by_subject(marks, drawn), figures, wanted)
    words = description(installation)
    return page_scene(assessment, "circuit", TITLE, words, draw(False), marks, wanted, lambda: draw(True))


def description(installation: Installation) -> str:
    """The circuit for somebody who cannot see it."""
    wires = "; ".join(f"{core.id} from {core.start.terminal} to {core.end.terminal}" for core in installation.cores)
    return f"{len(installation.nodes)} devices and {len(installation.conductors)} conductors. {wires}."


def _drawer(
    installation: Installation, marked: Marked, figures: Figures, wanted: Wanted
) -> Callable[[bool], Content]:
    """What draws the circuit, tight or not."""
    first = graph(installation)
    columns, zones = columns_of(first, {id_: node.zone.id for id_, node in installation.nodes.items()})
    titles = [_zone_title(installation, zone) for zone in zones]
    rooms = [width_mm(title, ZONE_MM, bold=True) + 3.0 for title in titles]
    given = positions(installation.design, "nodes").shares
    given = {id_: at for id_, at in given.items() if id_ in installation.nodes}

    def plan(wiring: Graph, columns: Columns) -> Plan:
        return Plan(wiring, columns, _blocks(installation, wiring, columns, marked, figures))

    def draw(is_tight: bool) -> Content:
        def lay(plan: Plan, before: Before | None) -> Layout:
            wide = {n: found.width_mm for n, found in _words(plan.wiring, marked, figures, wanted).items()}
            return laid_out(plan.columns, zones, rooms, plan.blocks, wide, before, is_tight=is_tight)

        chosen, layout = settled(plan(first, columns), given, plan, lay)
        words = _words(chosen.wiring, marked, figures, wanted)
        items: list[Item] = [*_zones(zones, titles, layout), *_wires(chosen.wiring, layout, words)]
        items += _nodes(installation, chosen.wiring, layout, chosen.blocks)
        return _as_content(items, _note(installation, figures, chosen), layout.room if items else None)

    return draw


def _note(installation: Installation, figures: Figures, plan: Plan) -> str:
    notes = [f"volts and amps: {plain(installation.states[figures.state].title)}"] if figures.state else []
    notes += [THIN] if any(c.origin == "vehicle" for c in installation.conductors.values()) else []
    notes += [FREE] if any(drawn.free for drawn in plan.blocks.values()) else []
    return "; ".join(notes)


def _as_content(items: Sequence[Item], note: str, room: Box | None) -> Content:
    """What is drawn, moved to the origin; positions of a person count in the box around the zones."""
    if not items:
        items = [Lettering((0.0, 5.0), "Nothing is in this design yet.", 5.0)]
    box = united(item_box(item) for item in items).grown(EDGE_MM)
    placed = room.moved(-box.left, -box.top) if room else None
    return Content(moved(items, (-box.left, -box.top)), box.width, box.height, note, placed)


def _blocks(
    installation: Installation, wiring: Graph, columns: Columns, marked: Marked, figures: Figures,
) -> dict[str, Block]:
    """Every node as it is drawn, with its words."""
    found: dict[str, Block] = {}
    wish = wishes(columns)
    taken = {name for conductor in installation.design.conductors.values() for name in conductor.start + conductor.end}
    for id_, slots in slots_of(columns, wiring).items():
        node = installation.nodes[id_]
        terminals = [terminal.name for terminal in node.part.terminals] if node.part else []
        order = sorted_slots(slots, terminals, {slot.wire: wish[slot.wire, id_] for slot in slots})
        volts_v = figures.volts(node)
        volts = "" if volts_v is None else show(volts_v, "V")
        drawn = block(node, order, volts, _free(node, taken, is_alone=not slots))
        own = [wire for wire in wiring.own if wire.ends[0] == id_]
        name, below = node_words(node, volts, own, is_titled=drawn.is_titled)
        drawn.words(name, marked.get(Path("nodes", id_), ()), below)
        found[id_] = drawn
    return found


def _free(node: PlacedNode, taken: Collection[str], *, is_alone: bool) -> tuple[str, ...]:
    """The terminals of a node on which no conductor ends, complete or not. A joint has as many as it needs: one is
    shown while it has none."""
    if isinstance(node.part, Joint):
        return ("a",) if is_alone else ()
    terminals = node.part.terminals if node.part else ()
    return tuple(terminal.name for terminal in terminals if f"{node.id}.{terminal.name}" not in taken)


def _words(wiring: Graph, marked: Marked, figures: Figures, wanted: Wanted) -> dict[int, WireWords]:
    found: dict[int, WireWords] = {}
    seen: set[str] = set()
    for number, wire in enumerate(wiring.wires):
        id_ = wire.id
        marks = marked.get(Path("conductors", id_), ()) if id_ not in seen else ()
        found[number] = wire_words(wire, marks, figures, wanted.system)
        seen.add(id_)
    return found


def _zone_title(installation: Installation, id_: str) -> str:
    zone = next(node.zone for node in installation.nodes.values() if node.zone.id == id_)
    return cut(plain(zone.title), TITLE_ROOM_MM, ZONE_MM, bold=True)


def _zones(zones: Sequence[str], titles: Sequence[str], layout: Layout) -> list[Group]:
    found = []
    for id_, title in zip(zones, titles, strict=True):
        area = layout.areas[id_]
        name = Lettering((area.left + 1.5, area.top + 4.0), title, ZONE_MM, bold=True)
        edge = Line(area.corners, 0.2, "faint", closed=True, fill="area")
        found.append(Group(Path("zones", id_), (edge, name), title))
    return found


def _wires(wiring: Graph, layout: Layout, words: Mapping[int, WireWords]) -> list[Group]:
    found = []
    together = _together(wiring, layout)
    for number, wire in enumerate(wiring.wires):
        said = words[number]
        cable = together.get(wire.id, ())
        drawn = said.drawn(layout.words[number], has_sign=not cable)
        loops = (loop([layout.words[core] for core in cable]),) if cable and number == cable[0] else ()
        items = (wire_line(wire, layout.lines[number]), *drawn, *loops)
        title = f"{wire.name}: {_start_to_end(wire)}, {said.below}"
        found.append(Group(Path("conductors", wire.id), items, plain(title)))
    return found


def _start_to_end(wire: Wire) -> str:
    ends = (wire.left, wire.right) if wire.forward else (wire.right, wire.left)
    return " to ".join(ends)


def _together(wiring: Graph, layout: Layout) -> dict[str, tuple[int, ...]]:
    """The cables whose cores end right under each other: their wires, from above."""
    cores: dict[str, list[int]] = {}
    for number, wire in enumerate(wiring.wires):
        cores.setdefault(wire.id, []).append(number)
    found = {}
    for id_, numbers in cores.items():
        numbers.sort(key=lambda number: layout.words[number][1])
        ends = [layout.words[number] for number in numbers]
        steps = [(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(ends)]
        if steps and all(abs(x) < CLOSE_MM and abs(y - LABELLED) < CLOSE_MM for x, y in steps):
            found[id_] = tuple(numbers)
    return found


def _nodes(
    installation: Installation, wiring: Graph, layout: Layout, blocks: Mapping[str, Block]
) -> list[Group]:
    found = []
    met: dict[str, dict[str, Point]] = {id_: {} for id_ in blocks}  # terminals of each node, where a wire ends on them
    for number, wire in enumerate(wiring.wires):
        left, right = wire.ends
        met[left].setdefault(wire.left, layout.lines[number][0])
        met[right].setdefault(wire.right, layout.lines[number][-1])
    for id_, drawn in blocks.items():
        node, (x, y) = installation.nodes[id_], layout.at[id_]
        title = plain(f"{id_}: {node.title}" if node.title != id_ else id_)
        free = {f"{id_}.{name}": (x + dx, y + dy) for name, (dx, dy) in drawn.free.items()}
        terminals = tuple(sorted((met[id_] | free).items()))
        found.append(Group(Path("nodes", id_), moved(drawn.items, (x, y)), title, movable=True, terminals=terminals))
    return found
