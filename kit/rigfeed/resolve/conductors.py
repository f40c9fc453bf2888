"""Conductors: their cores, their ends, their way through the vehicle and what to cut."""

from __future__ import annotations

from rigfeed.design.model import Conductor
from rigfeed.errors import UnknownName
from rigfeed.installation import LaidConductor, LaidCore, LaidEnd, LaidZone, PlacedNode, net_of, node_of
from rigfeed.keyed import Keyed
from rigfeed.parts.interfaces import ConductorType, EndFitting, LoadDevice
from rigfeed.path import Path
from rigfeed.practice import Threshold
from rigfeed.resolve.ledger import Ledger
from rigfeed.resolve.ways import stretches_of

CONTACT_OHM = Threshold("joint.contact", "mohm", "resistance of a joint whose fitting is not chosen")
SLACK_END_M = Threshold("slack.end", "m", "spare at an end, for two later terminations")
SLACK_EQUIPMENT_M = Threshold("slack.equipment", "m", "service loop at an equipment")

Nodes = Keyed[PlacedNode]
Zones = Keyed[LaidZone]


def laid_conductor(name: str, nodes: Nodes, zones: Zones, ledger: Ledger) -> LaidConductor | None:
    """A conductor on its way; None, and an entry in the ledger, while something of it is not given or wrong."""
    conductor, path = ledger.design.conductors[name], Path("conductors", name)
    cable = _cable(conductor, path, ledger)
    stretches = tuple(stretches_of(conductor, cable, nodes, zones, path, ledger))
    pairs = _pairs(conductor, cable, nodes, path, ledger) if cable else ()
    if cable is None or not pairs or not stretches:
        return None
    several = len(cable.cores) > 1
    cores = tuple(
        LaidCore(f"{name}.{core.name}" if several else name, core, start, end)
        for core, (start, end) in zip(cable.cores, pairs, strict=True)
    )
    return LaidConductor(
        name, cable, cores, stretches, _slack_m(conductor, cores, nodes, path, ledger), conductor.origin or "cut",
        conductor.colour, conductor.label or name, conductor.facts, conductor.from_facts, conductor.to_facts,
    )


def _cable(conductor: Conductor, path: Path, ledger: Ledger) -> ConductorType | None:
    if conductor.cable is None:
        ledger.missing("parts", "no cable is chosen yet", path)
        return None
    cable = ledger.part(conductor.cable, path / "cable")
    if cable is None or isinstance(cable, ConductorType):
        return cable
    ledger.error(f"{conductor.cable!r} is no cable", path / "cable", "name a part of a kind that conducts")
    return None


# the ends


def _pairs(
    conductor: Conductor, cable: ConductorType, nodes: Nodes, path: Path, ledger: Ledger
) -> tuple[tuple[LaidEnd, LaidEnd], ...]:
    if not conductor.start or not conductor.end:
        one = conductor.start or conductor.end
        ledger.missing("wiring", "is connected at one end only" if one else "is not connected", path)
        return ()
    if len(conductor.start) != len(cable.cores):
        cores = ", ".join(core.name for core in cable.cores)
        what = f"{len(conductor.start)} terminals, but the cable has {len(cable.cores)} cores"
        ledger.error(what, path / "from", f"name one terminal for each core: {cores}")
        return ()
    fittings = [_fittings(conductor, position, len(cable.cores), path, ledger) for position in (0, 1)]
    sides = [
        [_end(t, f, nodes, path / key, ledger) for t, f in zip(terminals, fitted, strict=True)]
        for key, terminals, fitted in (("from", conductor.start, fittings[0]), ("to", conductor.end, fittings[1]))
    ]
    pairs = [(start, end) for start, end in zip(*sides, strict=True) if start and end]
    return tuple(pairs) if len(pairs) == len(cable.cores) else ()


def _fittings(
    conductor: Conductor, position: int, cores: int, path: Path, ledger: Ledger
) -> tuple[EndFitting | None, ...]:
    if not conductor.ends:
        return (None,) * cores
    written = conductor.ends[position]
    keys = (written,) if isinstance(written, str) else written
    where = path / "ends" / position
    if len(keys) not in (1, cores):
        ledger.error(f"{len(keys)} end fittings for {cores} cores", where, "name one for all cores, or one for each")
        return (None,) * cores
    found: list[EndFitting | None] = []
    for key in keys:
        part = ledger.part(key, where)
        if part is not None and not isinstance(part, EndFitting):
            ledger.error(f"{key!r} does not fit the end of a conductor", where, "name a ring, a ferrule, a plug ...")
            part = None
        found.append(part)
    return tuple(found) if len(found) == cores else (found[0],) * cores


def _end(terminal: str, fitting: EndFitting | None, nodes: Nodes, path: Path, ledger: Ledger) -> LaidEnd | None:
    node = node_of(terminal)
    part = nodes[node].part
    if part is None:
        ledger.missing("wiring", f"is left out: {node} has no usable part yet", Path(*path[:2]))
        return None
    try:
        part.terminal(terminal.partition(".")[2])
    except UnknownName as error:
        ledger.error(error.what, path, error.remedy)
        return None
    contact_ohm = fitting.contact_ohm if fitting else ledger.default(CONTACT_OHM, Path(*path[:2], "ends")) / 1000
    return LaidEnd(terminal, net_of(terminal, part), node, fitting, contact_ohm)


# what to cut


def _slack_m(conductor: Conductor, cores: tuple[LaidCore, ...], nodes: Nodes, path: Path, ledger: Ledger) -> float:
    """The spare to cut on top. A conductor of a stated length is cut to it; supplied and vehicle leads are not cut."""
    if conductor.slack is not None:
        return conductor.slack.si
    if conductor.length is not None or (conductor.origin or "cut") != "cut":
        return 0.0
    spare = 0.0
    for side in ("start", "end"):
        at_load = any(isinstance(nodes[getattr(core, side).node].part, LoadDevice) for core in cores)
        spare += ledger.rule(SLACK_EQUIPMENT_M if at_load else SLACK_END_M, path / "slack")
    return spare
