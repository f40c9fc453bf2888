"""What a time-current figure is about: a feed or a conductor, its devices, and the currents of the shorts on it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

import numpy as np

from rigfeed.errors import UnknownName
from rigfeed.figures.figure import About
from rigfeed.frozen import frozen
from rigfeed.installation import Installation, LaidConductor, PlacedNode
from rigfeed.network.ranges import Floats, Places
from rigfeed.papers.fuses import greatest_a
from rigfeed.papers.places import natural
from rigfeed.parts.interfaces import FeederType, ProtectiveDevice
from rigfeed.path import Path
from rigfeed.studies.faults import FAULTS, Short
from rigfeed.studies.faults.result import TRACE_A, CaseFaults, Faults
from rigfeed.studies.operating import OPERATING
from rigfeed.studies.sections import SECTIONS, Feed, Sections, Wire, poles_of

if TYPE_CHECKING:
    from rigfeed.assess import Assessment

Device = tuple[PlacedNode, ProtectiveDevice]
LEAST_A = 1.0  # a wire through which no short drives more needs no figure
MOST_DEVICES = 4  # of a return that many feeds share, those of the highest rating: more bands cannot be told apart
IN_SERIES = 0.9  # a device that sees so much of the current of a wire is in series with it


@frozen
class Way:
    """The wires and devices of a figure, from the source on.

    `least_a` and `most_a` are what the shorts on it drive through the devices of a feed, or through a conductor, over
    both cases. `load_a` is the greatest current of all states, None where it is not known.
    """

    subject: Path
    title: str
    wires: tuple[Wire, ...]
    devices: tuple[Device, ...]
    least_a: float
    most_a: float
    load_a: float | None


def subjects(assessment: Assessment) -> Iterator[About]:
    """What there is a figure of: every feed with a device in it, and every conductor that a short reaches."""
    for node, _ in _feeds(assessment.installation, assessment[SECTIONS]):
        yield About(node.id, f"feed of {node.title}")
    for conductor in _reached(assessment.installation, assessment[FAULTS]):
        yield About(conductor.id, titled(conductor), usual=False)


def way_of(assessment: Assessment, subject: str) -> Way | None:
    """The way of a feed, by the id of what it feeds, or of a conductor; None where no short drives anything.

    Raises
    ------
    UnknownName
        If there is none of that id.
    """
    installation, faults = assessment.installation, assessment[FAULTS]
    for node, feed in _feeds(installation, assessment[SECTIONS]):
        if node.id == subject:
            wires = tuple(reversed(feed.wires))
            devices = _devices(leg.through for leg in reversed(feed.legs))
            amps = [_device_a(case, wires, devices) for case in faults.cases]
            return _way(assessment, Path("nodes", subject), f"feed of {node.title}", wires, devices, amps, wires[-1])
    for conductor in _reached(installation, faults):
        if conductor.id == subject:
            wires = tuple((conductor, core) for core in conductor.cores)
            seeing = _seeing(faults, wires)
            devices = _largest([pair for pair in installation.protections if pair[0].id in seeing])
            amps = [_core_a(case, wires)[_rows(case, wires)] for case in faults.cases]
            return _way(assessment, Path("conductors", subject), titled(conductor), wires, devices, amps, wires[0])
    known = [about.id for about in subjects(assessment)]
    raise UnknownName("feed or conductor", subject, known)


def _way(
    assessment: Assessment, subject: Path, title: str, wires: tuple[Wire, ...], devices: tuple[Device, ...],
    amps: Iterable[Floats], load: Wire,
) -> Way | None:
    """A way with the range of the currents of its shorts; `load` is the wire whose current is that of the load."""
    flowing = np.concatenate([found[found > TRACE_A] for found in amps])
    load_a, _ = greatest_a(load[1].id, assessment.get(OPERATING))
    if not len(flowing):
        return None
    return Way(subject, title, wires, devices, float(flowing.min()), float(flowing.max()), load_a)


def titled(conductor: LaidConductor) -> str:
    """A conductor with what it is."""
    return f"{conductor.id}, {conductor.cable.title}"


def _feeds(installation: Installation, sections: Sections) -> Iterator[tuple[PlacedNode, Feed]]:
    """Everything that takes current and has a device on its way, by id."""
    for node in sorted(installation.nodes.values(), key=lambda node: natural(node.id)):
        for positive, _ in poles_of(node):
            feed = sections.feed(positive, to_body=False)
            if feed is not None and feed.wires and _devices(leg.through for leg in feed.legs):
                yield node, feed


def _largest(devices: list[Device]) -> tuple[Device, ...]:
    """The devices of the highest rating, by id."""
    chosen = sorted(devices, key=lambda pair: (-pair[1].rated_a, natural(pair[0].id)))[:MOST_DEVICES]
    return tuple(sorted(chosen, key=lambda pair: natural(pair[0].id)))


def _devices(nodes: Iterable[PlacedNode | None]) -> tuple[Device, ...]:
    return tuple((node, node.part) for node in nodes if node and isinstance(node.part, ProtectiveDevice))


def _reached(installation: Installation, faults: Faults) -> list[LaidConductor]:
    """The conductors that were added, and that some short drives a current through, by id."""
    found = []
    for conductor in installation.conductors.values():
        if conductor.origin != "vehicle" and not isinstance(conductor.cable, FeederType):
            wires = [(conductor, core) for core in conductor.cores]
            if any((_core_a(case, wires) > LEAST_A).any() for case in faults.cases):
                found.append(conductor)
    return sorted(found, key=lambda conductor: natural(conductor.id))


def _core_a(case: CaseFaults, wires: Iterable[Wire]) -> Floats:
    """What the first moment of every short drives through the one of these wires that carries most [A]."""
    cores = {core.id for _, core in wires}
    places = [place for place, id_ in enumerate(case.core_ids) if id_ in cores]
    amps: Floats = np.abs(case.course.core_a[0][:, places]).max(axis=1, initial=0.0)
    return amps


def _device_a(case: CaseFaults, wires: tuple[Wire, ...], devices: tuple[Device, ...]) -> Floats:
    """What the shorts on these wires drive through each of these devices at first [A]."""
    ids = {node.id for node, _ in devices}
    places = [place for place, id_ in enumerate(case.device_ids) if id_ in ids]
    amps: Floats = case.course.device_a[0][_rows(case, wires)][:, places].ravel()
    return amps


def _rows(case: CaseFaults, wires: tuple[Wire, ...]) -> Places:
    """The shorts that lie on these wires; for wires on which none lies, those that drive something through them. What
    is left when a battery has taken itself off is no part of the range."""
    cores = {core.id for _, core in wires}
    nets = {end.net for _, core in wires for end in (core.start, core.end)}
    whole = np.array([not out for out in case.out], dtype=np.bool_)
    flows = (_core_a(case, wires) > TRACE_A) & whole
    on = np.array([_lies_on(short, cores, nets) for short in case.shorts], dtype=np.bool_)
    return np.flatnonzero(flows & on if (flows & on).any() else flows)


def _lies_on(short: Short, cores: set[str], nets: set[str]) -> bool:
    return short.core in cores if short.core is not None else short.at in nets


def _seeing(faults: Faults, wires: tuple[Wire, ...]) -> set[str]:
    """The devices that open in a short on these wires, or are in series with them; of wires on which a short lies half
    way, in that one: at an end a wire may carry but what comes from behind it."""
    found: set[str] = set()
    cores = {core.id for _, core in wires}
    for case in faults.cases:
        rows = _rows(case, wires)
        half_way = rows[[case.shorts[row].core in cores for row in rows]]
        rows = half_way if len(half_way) else rows
        series = case.course.device_a[0][rows] >= IN_SERIES * _core_a(case, wires)[rows, None]
        seen = series & (case.course.device_a[0][rows] > TRACE_A)
        if len(half_way):
            seen |= case.course.opens[:, rows].any(axis=0)
        found |= {case.device_ids[place] for place in np.flatnonzero(seen.any(axis=0))}
    return found
