"""The what-if paper: what stops, what works on and which wire suffers, for every question that was asked."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from rigfeed.installation import Installation
from rigfeed.papers.paper import Paper
from rigfeed.papers.places import natural
from rigfeed.papers.table import Cell, Column, Table
from rigfeed.quantity import System, show
from rigfeed.studies.ampacity import AMPACITY, Ampacities
from rigfeed.studies.whatif import MISHAPS, WHATIF, WhatIf
from rigfeed.studies.whatif_outages import OUTAGES, WORSE, BadJoint, Outage

if TYPE_CHECKING:
    from rigfeed.assess import Assessment

COLUMNS = (
    Column("sort", "what", width=11, bold=True),
    Column("question", "if", width=30),
    Column("stops", "stops", width=13, bold=True),
    Column("works", "works on", width=13),
    Column("wire", "most rises in", width=9),
    Column("amps", "to", "A", width=7, align="right"),
    Column("bears", "carries", "A", width=7, align="right"),
    Column("opens", "opens", width=10),
    Column("time", "at the latest after", "s", width=8, align="right"),
    Column("says", "what it means", width=32),
)
SORTS = {
    "strap-open": "strap", "negative-open": "negative", "isolator-open": "switch", "reversed": "plug",
    "cranked": "cranking",
}
NOBODY = "nothing"
JOINTS = 8  # of the worst joints that are listed
TRACE_A, TRACE_V = 0.5, 0.01
NOTES = (
    "Everything keyed that the state with the greatest load keys. Currents over shields of feeders and mounts of "
    "antennas count; what a wire carries is for hours, in its warmest zone.",
    "The current is that at once; a device that it opens is named, with the longest time that it may take. Nothing "
    "here says that a design is safe.",
)


def whatif_paper(assessment: Assessment, system: System = "metric") -> Table:
    """A row for each question: straps, negatives, switches, plugs, cranking, each device out, the worst joints."""
    rows: list[tuple[Cell, ...]] = []
    installation, notes = assessment.installation, list(NOTES)
    ampacities = assessment.get(AMPACITY)
    for study in (assessment.get(WHATIF), assessment.get(MISHAPS)):
        rows += [_case(installation, case, ampacities, system) for case in study.cases] if study else []
        notes += [] if study else ["Some currents could not be computed: see what was not checked."]
    study = assessment.get(WHATIF)
    if study and study.crank_a:
        notes.append(f"The starter is taken as {show(study.crank_a, 'A', system)} with a sound strap.")
    outages = assessment.get(OUTAGES)
    if outages is not None:
        rows += _outages(installation, outages.outages)
        worst = sorted(outages.joints, key=lambda joint: (-round(joint.lost_v, 6), natural(joint.core)))[:JOINTS]
        rows += [_joint(joint, system) for joint in worst if joint.lost_v > TRACE_V]
    return Table(
        "what-if", "What if", COLUMNS, tuple(rows), tuple(notes), group="sort",
        use="what happens when one thing opens, fails or is done wrong",
    )


def _case(
    installation: Installation, case: WhatIf, ampacities: Ampacities | None, system: System
) -> tuple[Cell, ...]:
    wire, amps = _most_risen(installation, case)
    governing = ampacities.governing(wire) if ampacities and wire else None
    device, time_s = case.opened[0] if case.opened else ("", None)
    carries_a = governing.amps if governing else None
    return (
        SORTS[case.kind], case.title, _listed(case.stops), _listed(case.last.working), wire or NOBODY, amps, carries_a,
        ", ".join(case.devices) or NOBODY, time_s, _meaning(case, wire, amps, carries_a, device, system),
    )


def _most_risen(installation: Installation, case: WhatIf) -> tuple[str | None, float | None]:
    """The core of ours in which the current rises most, and that current."""
    ours = [core.id for c in installation.conductors.values() if c.origin != "vehicle" for core in c.cores]
    risen = [(round(case.risen(core), 6), core) for core in ours if case.risen(core) > TRACE_A]
    if not risen:
        return None, None
    core = max(risen)[1]
    return core, abs(case.first.core_a[core])


def _meaning(
    case: WhatIf, wire: str | None, amps: float | None, carries_a: float | None, device: str, system: System
) -> str:
    backwards = {load: v for load, v in case.first.load_v.items() if v is not None and v < -TRACE_A}
    if backwards and case.kind != "reversed":
        worst = min(backwards, key=lambda load: (backwards[load], load))
        return f"{worst} sees {show(-backwards[worst], 'V', system)} the wrong way round"
    if wire is None or amps is None:
        return "no wire of yours takes more than before"
    if device:
        shields = {abs(a): core for core, a in case.first.core_a.items() if "shield" in core and abs(a) > TRACE_A}
        over = f", and {shields[max(shields)]} {show(max(shields), 'A', system)}" if shields else ""
        return f"{device} opens; until then {wire} carries {show(amps, 'A', system)}{over}"
    if "shield" in wire:
        return f"{show(amps, 'A', system)} over the shield of a feeder, and nothing opens"
    if carries_a is not None and amps > carries_a:
        return f"more than {wire} carries, and nothing opens: it burns"
    return "every wire carries what it gets"


def _outages(installation: Installation, outages: Iterable[Outage]) -> Iterator[tuple[Cell, ...]]:
    """A row for each device without which something stops, and one for all others; a second state only where something
    else stops in it."""
    seen: dict[str, tuple[str, ...]] = {}
    for outage in sorted(outages, key=lambda outage: natural(outage.device.id)):
        device = outage.device
        if seen.get(device.id) == outage.stops:
            continue
        seen[device.id] = seen.get(device.id, ()) + outage.stops
        if outage.stops:
            name = device.id if device.title == device.id else f"{device.id} ({device.title})"
            question = f"{name} is out, {installation.states[outage.state].title}"
            yield "out", question, _listed(outage.stops), _listed(outage.works), *(None,) * 5, "dead at once"
    quiet = sorted((device for device, stops in seen.items() if not stops), key=natural)
    if quiet:
        yield "out", f"any one of {_listed(quiet)} is out", NOBODY, None, *(None,) * 5, "nothing that is keyed notices"


def _joint(joint: BadJoint, system: System) -> tuple[Cell, ...]:
    says = (
        f"{joint.load} loses {show(joint.lost_v, 'V', system)} and has {show(joint.load_v or 0.0, 'V', system)}; "
        f"{show(joint.heat_w, 'W', system)} in the joint"
    )
    question = f"the joint of {joint.core} at {joint.end.terminal} has {WORSE:g} times its resistance"
    return ("joint", question, _listed(joint.stops), None, joint.core, None, None, None, None, says)


def _listed(names: Iterable[str]) -> str:
    return ", ".join(names) or NOBODY


WHAT_IF_PAPER = Paper("what-if", "What if", whatif_paper, needs=(WHATIF, MISHAPS, OUTAGES, AMPACITY))
