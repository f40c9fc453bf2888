"""Wires by hand: a conductor between two terminals, and the runs that it is led over."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any, TypeVar

from rigfeed.design.edit import Add, Edit, Remove, Set
from rigfeed.design.model import Conductor, Design
from rigfeed.errors import InputError
from rigfeed.frozen import frozen
from rigfeed.installation import node_of
from rigfeed.parts.interfaces import Device, Joint, Terminal
from rigfeed.parts.shelf import Shelf
from rigfeed.path import Path
from rigfeed_gui.logic.things import fresh_id
from rigfeed_gui.logic.words import say

T = TypeVar("T")


@frozen
class Joining:
    """A new conductor: the edits, the path to select after them; or why there can be none."""

    edits: tuple[Edit, ...] = ()
    path: Path = Path()
    refused: str = ""


def joining(design: Design, shelf: Shelf, start: str, end: str) -> Joining:
    """A conductor between two terminals, with the next free id, and with the cable and the colour of what ends at its
    start already where that is the same everywhere. The inner of a feeder brings its shield along."""
    if start == end:
        return Joining(refused=say("join.same"))
    for terminal in (start, end):
        if not _exists(terminal, design, shelf):
            return Joining(refused=say("join.unknown", terminal=terminal))
    id_ = fresh_id(design, "conductors")
    sides = tuple(_of_its_own(terminal, id_, design, shelf) for terminal in (start, end))
    cores = tuple(zip(*(_with_shield(side, design, shelf) for side in sides), strict=False))
    for other, conductor in design.conductors.items():
        if {frozenset(pair) for pair in zip(conductor.start, conductor.end, strict=False)} & {frozenset(sides)}:
            return Joining(refused=say("join.taken", id=other))
    value: dict[str, Any] = {"from": [core[0] for core in cores], "to": [core[1] for core in cores]}
    if len(cores) == 1:
        value = {"from": sides[0], "to": sides[1]}
    value |= _usual(design, node_of(start), len(cores))
    return Joining((Add(Path("conductors", id_), value),), Path("conductors", id_))


def _part(terminal: str, design: Design, shelf: Shelf) -> Device | None:
    node = design.nodes.get(node_of(terminal))
    try:
        part = shelf.part(node.part) if node is not None and node.part else None
    except InputError:
        return None
    return part if isinstance(part, Device) else None


def _terminal(terminal: str, design: Design, shelf: Shelf) -> Terminal | None:
    part = _part(terminal, design, shelf)
    try:
        return part.terminal(terminal.partition(".")[2]) if part else None
    except InputError:
        return None


def _exists(terminal: str, design: Design, shelf: Shelf) -> bool:
    """Of a node whose part is not chosen yet, any terminal may exist."""
    known = node_of(terminal) in design.nodes
    return known and (_part(terminal, design, shelf) is None or _terminal(terminal, design, shelf) is not None)


def _of_its_own(terminal: str, id_: str, design: Design, shelf: Shelf) -> str:
    """A joint takes a terminal of any name: one that is taken already gets the name of the conductor instead."""
    used = {name for c in design.conductors.values() for name in (*c.start, *c.end)}
    is_joint = isinstance(_part(terminal, design, shelf), Joint)
    return f"{node_of(terminal)}.{id_.lower()}" if is_joint and terminal in used else terminal


def _with_shield(terminal: str, design: Design, shelf: Shelf) -> tuple[str, ...]:
    part, here = _part(terminal, design, shelf), _terminal(terminal, design, shelf)
    if part is None or here is None or here.pole != "inner":
        return (terminal,)
    shields = [other.name for other in part.terminals if other.pole == "shield"]
    return (terminal, f"{node_of(terminal)}.{shields[0]}") if len(shields) == 1 else (terminal,)


def _usual(design: Design, node: str, cores: int) -> dict[str, Any]:
    """The cable and the colour of the conductors of as many cores that end at a node; of a feeder, of all feeders."""
    alike = [c for c in design.conductors.values() if len(c.start) == cores and c.origin != "vehicle"]
    near = [c for c in alike if cores > 1 or any(node_of(name) == node for name in (*c.start, *c.end))]
    usual: dict[str, Any] = {}
    if cable := _agreed(near, lambda c: c.cable):
        usual["cable"] = cable
    if (colour := _agreed(near, lambda c: c.colour)) and len(colour) == 1:
        usual["colour"] = colour[0]
    return usual


def _agreed(conductors: list[Conductor], value: Callable[[Conductor], T]) -> T | None:
    found = {value(conductor) for conductor in conductors}
    return found.pop() if len(found) == 1 else None


# routes


@frozen
class RoutePick:
    """A route being chosen by clicking runs. `words` say where it has got to and what is missing.

    `before` is the route that the design has, `measured` whether it gives the conductor a length of its own.
    """

    conductor: str
    runs: tuple[str, ...]
    words: str
    complete: bool
    before: tuple[str, ...] = ()
    measured: bool = False


def picking(design: Design, conductor: str) -> RoutePick:
    """Begin with the route that the conductor has."""
    return _judged(design, conductor, design.conductors[conductor].route)


def picked(design: Design, pick: RoutePick, run: str) -> RoutePick:
    """Take a run to the route, or off it if it is on it; runs are kept in the order of the way."""
    runs = tuple(name for name in pick.runs if name != run) if run in pick.runs else (*pick.runs, run)
    return _judged(design, pick.conductor, runs)


def routing(pick: RoutePick) -> tuple[Edit, ...]:
    """The edits that give the conductor the chosen route; a length of its own goes, since the way is measured now."""
    path = Path("conductors", pick.conductor)
    if pick.runs == pick.before:
        return ()
    if not pick.runs:
        return (Remove(path / "route"),)
    return (Set(path / "route", list(pick.runs)), *((Remove(path / "length"),) if pick.measured else ()))


def _judged(design: Design, id_: str, runs: tuple[str, ...]) -> RoutePick:
    conductor = design.conductors[id_]
    ordered, words, complete = _way(design, conductor, id_, runs)
    return RoutePick(id_, ordered, words, complete, conductor.route, conductor.length is not None)


def _way(design: Design, conductor: Conductor, id_: str, runs: tuple[str, ...]) -> tuple[tuple[str, ...], str, bool]:
    """The runs in the order of the way, what is to be said of them, and whether they lead from end to end."""
    start, end = (_point(design, terminals) for terminals in (conductor.start, conductor.end))
    if start is None or end is None:
        return runs, say("route.ends-unplaced", id=id_), False
    names = {"start": start, "end": end}
    if not runs:
        return (), say("route.empty", **names), False
    ordered, at = _in_order(design, start, runs)
    if len(ordered) < len(runs):
        rest = tuple(run for run in runs if run not in ordered)
        return (*ordered, *rest), say("route.gap", **names), False
    return ordered, say("route.whole", **names) if at == end else say("route.open", at=at, **names), at == end


def _point(design: Design, terminals: tuple[str, ...]) -> str | None:
    points = {node.at for name in terminals if (node := design.nodes.get(node_of(name))) is not None}
    return points.pop() if len(points) == 1 else None


def _in_order(design: Design, start: str, runs: tuple[str, ...]) -> tuple[tuple[str, ...], str]:
    """The runs as far as they make one way from a point, and where that ends: the longest of all ways there are."""
    best: tuple[tuple[str, ...], str] = ((), start)
    for way, at in _ways(design, start, runs):
        if len(way) > len(best[0]):
            best = way, at
            if len(way) == len(runs):
                break
    return best


def _ways(design: Design, at: str, left: tuple[str, ...]) -> Iterator[tuple[tuple[str, ...], str]]:
    """All ways from a point over runs, each run once: those that a person clicked are few."""
    for name in left:
        run = design.runs.get(name)
        if run is None or at not in (run.start, run.end):
            continue
        there = run.end if run.start == at else run.start
        yield (name,), there
        for way, last in _ways(design, there, tuple(other for other in left if other != name)):
            yield (name, *way), last
