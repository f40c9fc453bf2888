"""The way of a conductor through the vehicle: the route that was given, else the shortest that is allowed."""

from __future__ import annotations

from collections.abc import Iterator

from rigfeed.design.model import Conductor, Run
from rigfeed.installation import Assumption, LaidZone, PlacedNode, Stretch, node_of
from rigfeed.keyed import Keyed
from rigfeed.measure import Measure
from rigfeed.parts.interfaces import ConductorType
from rigfeed.path import Path
from rigfeed.resolve.ledger import Ledger
from rigfeed.resolve.routes import shortest_way
from rigfeed.resolve.zones import zone_or_default

Nodes = Keyed[PlacedNode]
Zones = Keyed[LaidZone]


def stretches_of(
    conductor: Conductor, cable: ConductorType | None, nodes: Nodes, zones: Zones, path: Path, ledger: Ledger
) -> Iterator[Stretch]:
    """The pieces of the way. A measured length wins over the sum of the runs and is shared out in their proportion."""
    route = conductor.route or _shortest(conductor, cable, nodes, zones, path, ledger)
    if not route:
        yield from _without_route(conductor, nodes, zones, path, ledger)
        return
    runs = [(name, ledger.design.runs[name]) for name in route]
    unmeasured = [name for name, run in runs if run.length is None]
    if unmeasured and (len(runs) > 1 or conductor.length is None):
        ledger.missing("routes", f"the length of run {', '.join(unmeasured)} is not measured yet", path)
        return
    _must_connect(conductor, runs, nodes, path, ledger)
    lengths = [run.length.si if run.length else 1.0 for _, run in runs]
    scale = conductor.length.si / sum(lengths) if conductor.length else 1.0
    for (name, run), length_m in zip(runs, lengths, strict=True):
        zone = zone_or_default(run.zone, zones, Path("runs", name, "zone"), ledger)
        yield Stretch(name, length_m * scale, zone)


def _shortest(
    conductor: Conductor, cable: ConductorType | None, nodes: Nodes, zones: Zones, path: Path, ledger: Ledger
) -> tuple[str, ...]:
    """The shortest allowed way where neither a route nor a length is given, counted as an assumption."""
    starts = _points(conductor.start, nodes)
    goals = _points(conductor.end, nodes)
    if conductor.length is not None or len(starts) != 1 or len(goals) != 1 or starts == goals:
        return ()
    runs = ledger.design.runs
    (start,), (goal,) = starts, goals
    way = shortest_way(runs, start, goal, zones, cable.insulation_c if cable else None)
    if not way:
        return ()
    length_m = sum(run.length.si for name in way if (run := runs[name]).length)
    what = f"led over {', '.join(way)}, the shortest way that is allowed"
    ledger.assumptions.append(Assumption(path / "route", what, Measure(length_m, "m"), "no route is given"))
    return way


def _points(terminals: tuple[str, ...], nodes: Nodes) -> set[str]:
    return {at for terminal in terminals if (at := nodes[node_of(terminal)].at) is not None}


def _without_route(conductor: Conductor, nodes: Nodes, zones: Zones, path: Path, ledger: Ledger) -> Iterator[Stretch]:
    if conductor.length is None:
        ledger.missing("routes", "has neither a length nor a route, and there is no allowed way between its ends", path)
        return
    ends = [nodes[node_of(terminal)] for terminal in (*conductor.start, *conductor.end)]
    placed = [node.zone for node in ends if node.at is not None]
    if placed:
        zone = max(placed, key=lambda zone: (zone.warmest_c, zone.id))
    else:
        zone = zone_or_default(None, zones, path / "route", ledger)
    yield Stretch(None, conductor.length.si, zone)


def _must_connect(conductor: Conductor, runs: list[tuple[str, Run]], nodes: Nodes, path: Path, ledger: Ledger) -> None:
    """Runs must follow one another from the point of one end to that of the other; a gap is reported, not guessed."""
    here = _points(conductor.start, nodes)
    for name, run in runs:
        onward = {b for a, b in ((run.start, run.end), (run.end, run.start)) if not here or a in here}
        if not onward:
            at = " or ".join(sorted(here))
            ledger.missing("routes", f"run {name} does not go on from {at}: the length may be wrong", path / "route")
            return
        here = set(onward)
    goal = _points(conductor.end, nodes)
    if goal and here and not goal & here:
        where = f"ends at {' or '.join(sorted(here))}, not at {' or '.join(sorted(goal))}"
        ledger.missing("routes", f"the route {where}: the length may be wrong", path / "route")
