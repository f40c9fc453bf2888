"""Conductors: their cores, their ends, their way through the vehicle and what to cut."""

from __future__ import annotations

from typing import TypeVar

from rigfeed.design.model import Conductor
from rigfeed.errors import UnknownName, many
from rigfeed.installation import LaidConductor, LaidCore, LaidEnd, LaidZone, PlacedNode, net_of, node_of
from rigfeed.keyed import Keyed
from rigfeed.parts.interfaces import Accessory, ConductorType, EndFitting, LoadDevice
from rigfeed.path import Path
from rigfeed.practice import Threshold
from rigfeed.resolve.ledger import Ledger
from rigfeed.resolve.ways import stretches_of

P = TypeVar("P")

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
        what = f"{many(len(conductor.start), 'terminal')}, but the cable has {many(len(cable.cores), 'core')}"
        ledger.error(what, path / "from", f"name one terminal for each core: {cores}")
        return ()
    count = len(cable.cores)
    fittings = [_fittings(conductor, position, count, path, ledger) for position in (0, 1)]
    sleeves = [_sleeves(conductor, position, count, path, ledger) for position in (0, 1)]
    sides = [
        [_end(t, f, s, nodes, path / key, ledger) for t, f, s in zip(terminals, fitted, sleeved, strict=True)]
        for key, terminals, fitted, sleeved in zip(
            ("from", "to"), (conductor.start, conductor.end), fittings, sleeves, strict=True
        )
    ]
    pairs = [(start, end) for start, end in zip(*sides, strict=True) if start and end]
    return tuple(pairs) if len(pairs) == count else ()


def _fittings(
    conductor: Conductor, position: int, cores: int, path: Path, ledger: Ledger
) -> tuple[EndFitting | None, ...]:
    where = path / "ends" / position
    found: list[EndFitting | None] = []
    for key in _for_cores(conductor.ends, position, cores, "end fittings", where, ledger):
        part = ledger.part(key, where)
        if part is not None and not isinstance(part, EndFitting):
            ledger.error(f"{key!r} does not fit the end of a conductor", where, "name a ring, a ferrule, a plug ...")
            part = None
        found.append(part)
    return _each(found, cores)


def _sleeves(
    conductor: Conductor, position: int, cores: int, path: Path, ledger: Ledger
) -> tuple[Accessory | None, ...]:
    where = path / "sleeves" / position
    keys = _for_cores(conductor.sleeves, position, cores, "sleeves", where, ledger)
    parts = [ledger.part(key, where) if key else None for key in keys]
    return _each([part if isinstance(part, Accessory) else None for part in parts], cores)


def _for_cores(
    written: tuple[str | tuple[str, ...], ...], position: int, cores: int, what: str, where: Path, ledger: Ledger
) -> tuple[str, ...]:
    """The keys at one end: one for all cores, or one for each; empty where nothing is chosen."""
    if not written:
        return ()
    at_end = written[position]
    keys = (at_end,) if isinstance(at_end, str) else at_end
    if len(keys) in (1, cores):
        return keys
    ledger.error(f"{len(keys)} {what} for {many(cores, 'core')}", where, "name one for all cores, or one for each")
    return ()


def _each(found: list[P | None], cores: int) -> tuple[P | None, ...]:
    """One for each core, of what was written for all of them or for each."""
    return tuple(found) if len(found) == cores else (found[0] if found else None,) * cores


def _end(
    terminal: str, fitting: EndFitting | None, sleeve: Accessory | None, nodes: Nodes, path: Path, ledger: Ledger
) -> LaidEnd | None:
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
    return LaidEnd(terminal, net_of(terminal, part), node, fitting, contact_ohm, sleeve)


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
