"""What an assessment computed about one thing, to be read under its fields."""

from __future__ import annotations

from collections.abc import Iterator

from rigfeed.assess import Assessment
from rigfeed.errors import RigfeedError
from rigfeed.frozen import frozen
from rigfeed.installation import Installation, LaidConductor, PlacedNode
from rigfeed.parts.interfaces import LoadDevice, SourceDevice
from rigfeed.path import Path
from rigfeed.quantity import System, show
from rigfeed.studies.ampacity import AMPACITY
from rigfeed.studies.operating import OPERATING, Operating
from rigfeed_gui.logic.words import say


@frozen
class Line:
    """Something computed, to be read only: what it is, and its value in words."""

    what: str
    value: str


def computed(assessment: Assessment | None, path: Path, state: str | None, system: System) -> tuple[Line, ...]:
    """The lines of a thing, in a state where that matters; nothing where the assessment has nothing on it."""
    if assessment is None or len(path) < 2:
        return ()
    installation, id_ = assessment.installation, str(path[1])
    if path[0] == "conductors" and id_ in installation.conductors:
        return tuple(_conductor(assessment, installation.conductors[id_], state, system))
    if path[0] == "nodes" and id_ in installation.nodes:
        return tuple(_node(assessment, installation.nodes[id_], state, system))
    if path[0] == "passages" and id_ in installation.passages:
        passage = installation.passages[id_]
        fill = say("computed.unmeasured") if passage.fill is None else show(passage.fill * 100, "%", system)
        return (Line(say("computed.fill"), fill), Line(say("computed.through"), _listed(passage.conductors)))
    if path[0] == "runs":
        return (Line(say("computed.on-run"), _listed(_on_run(installation, id_))),)
    return ()


def _listed(names: tuple[str, ...]) -> str:
    return ", ".join(names) if names else say("computed.none")


def _on_run(installation: Installation, run: str) -> tuple[str, ...]:
    laid = installation.conductors.values()
    return tuple(c.id for c in laid if any(stretch.run == run for stretch in c.stretches))


def _conductor(
    assessment: Assessment, conductor: LaidConductor, state: str | None, system: System
) -> Iterator[Line]:
    yield Line(say("computed.length"), show(conductor.length_m, "m", system))
    yield Line(say("computed.cut"), show(conductor.cut_length_m, "m", system))
    runs = tuple(dict.fromkeys(stretch.run for stretch in conductor.stretches if stretch.run))
    if runs:
        yield Line(say("computed.way"), ", ".join(runs))
    operating = assessment.get(OPERATING)
    for core in conductor.cores:
        name = "" if len(conductor.cores) == 1 else f" ({core.core.name})"
        current_a = _current(operating, state, core.id)
        if current_a is not None:
            yield Line(say("computed.current") + name, show(current_a, "A", system))
            drop_v = _between(operating, state, core.start.terminal, core.end.terminal)
            if drop_v is not None:
                yield Line(say("computed.drop") + name, show(abs(drop_v), "V", system))
    ampacities = assessment.get(AMPACITY)
    governing = ampacities.weakest(core.id for core in conductor.cores) if ampacities else None
    if governing is not None:
        where = say("computed.where", zone=governing.zone.title, basis=governing.figure.basis)
        yield Line(say("computed.ampacity"), f"{show(governing.amps, 'A', system)} {where}")


def _node(assessment: Assessment, node: PlacedNode, state: str | None, system: System) -> Iterator[Line]:
    part = node.part
    if part is None:
        return
    yield Line(say("computed.part"), part.title)
    yield Line(say("computed.source"), f"{part.provenance.source} ({part.provenance.confidence})")
    operating = assessment.get(OPERATING)
    if operating is None or state not in operating.states:
        return
    if isinstance(part, LoadDevice | SourceDevice):
        volts = operating.across(state, node.id)
        yield Line(say("computed.across"), show(volts, "V", system) if volts is not None else say("computed.unfed"))
    for terminal in part.terminals:
        volts = operating.volts(state, f"{node.id}.{terminal.name}")
        if volts is not None:
            yield Line(say("computed.at", terminal=terminal.name), show(volts, "V", system))


def _current(operating: Operating | None, state: str | None, element: str) -> float | None:
    """The current of a core in a state; None where nothing was solved."""
    if operating is None or state not in operating.states:
        return None
    try:
        return operating.current(state, element)
    except RigfeedError:
        return None


def _between(operating: Operating | None, state: str | None, one: str, other: str) -> float | None:
    if operating is None or state is None:
        return None
    try:
        return operating.between(state, one, other)
    except RigfeedError:
        return None
