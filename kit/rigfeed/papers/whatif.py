"""The what-if paper: what stops, what works on and which wire suffers, for every question that was asked; what burns
stands before what only stops, and what nobody notices comes last."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from rigfeed.installation import Installation
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
JOINTS = 4  # of the worst joints that are listed; the next one stands for all others
TRACE_A, TRACE_V = 0.5, 0.01
BURNS, REVERSED, SHIELD, OPENS, STOPS, QUIET = range(6)  # how grave an answer is
SORT_ORDER = (*SORTS.values(),)
Asked = tuple[str, int, tuple[Cell, ...]]  # the sort of a question, how grave its answer is, the row
NOTES = (
    "Everything keyed that the state with the greatest load keys. Currents over shields of feeders and mounts of "
    "antennas count; what a wire carries is for hours, in its warmest zone.",
    "The current is that at once; a device that it opens is named, with the longest time that it may take in "
    "the coldest or the warmest air of its zone. Nothing here says that a design is safe.",
)


def whatif_paper(assessment: Assessment, system: System = "metric") -> Table:
    """A row for each question: straps, negatives, switches, plugs, cranking, each device out, the worst joints."""
    rows: list[tuple[Cell, ...]] = []
    installation, notes = assessment.installation, list(NOTES)
    ampacities = assessment.get(AMPACITY)
    asked: list[Asked] = []
    for study in (assessment.get(WHATIF), assessment.get(MISHAPS)):
        asked += [_case(installation, case, ampacities, system) for case in study.cases] if study else []
        notes += [] if study else ["Some currents could not be computed: see what was not checked."]
    worst = {sort: min(gravity for other, gravity, _ in asked if other == sort) for sort, _, _ in asked}
    rows += [row for _, _, row in sorted(asked, key=lambda one: (worst[one[0]], SORT_ORDER.index(one[0]), one[1]))]
    study = assessment.get(WHATIF)
    if study and study.crank_a:
        notes.append(f"The starter is taken as {show(study.crank_a, 'A', system)} with a sound strap.")
    outages = assessment.get(OUTAGES)
    if outages is not None:
        rows += _outages(installation, outages.outages)
        rows += _joints(outages.joints, system)
    return Table(
        "what-if", "What if", COLUMNS, tuple(rows), tuple(notes), group="sort",
        use="what happens when one thing opens, fails or is done wrong",
    )


def _case(
    installation: Installation, case: WhatIf, ampacities: Ampacities | None, system: System
) -> Asked:
    wire, amps = _most_risen(installation, case)
    governing = ampacities.governing(wire) if ampacities and wire else None
    device, time_s = case.opened[0] if case.opened else ("", None)
    carries_a = governing.amps if governing else None
    gravity, says = _meaning(case, wire, amps, carries_a, device, system)
    sort = SORTS[case.kind]
    return sort, gravity, (
        sort, case.title, _listed(case.stops), _listed(case.last.working), wire or NOBODY, amps, carries_a,
        ", ".join(case.devices) or NOBODY, time_s, says,
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
) -> tuple[int, str]:
    """How grave it is (one of the constants), and in words."""
    backwards = {load: v for load, v in case.first.load_v.items() if v is not None and v < -TRACE_A}
    if backwards and case.kind != "reversed":
        worst = min(backwards, key=lambda load: (backwards[load], load))
        return REVERSED, f"{worst} sees {show(-backwards[worst], 'V', system)} the wrong way round"
    if wire is None or amps is None:
        return STOPS if case.stops else QUIET, "no wire of yours takes more than before"
    if device:
        shields = {abs(a): core for core, a in case.first.core_a.items() if "shield" in core and abs(a) > TRACE_A}
        over = f", and {shields[max(shields)]} {show(max(shields), 'A', system)}" if shields else ""
        return OPENS, f"{device} opens; until then {wire} carries {show(amps, 'A', system)}{over}"
    if "shield" in wire:
        return SHIELD, f"{show(amps, 'A', system)} over the shield of a feeder, and nothing opens"
    if carries_a is not None and amps > carries_a:
        taken, carried = (show(value, "A", system) for value in (amps, carries_a))
        return BURNS, f"{taken} where {wire} carries {carried}, and nothing opens: it overheats"
    return STOPS if case.stops else QUIET, "every wire carries what it gets"


def _outages(installation: Installation, outages: Iterable[Outage]) -> Iterator[tuple[Cell, ...]]:
    """A row for the devices without which the same things stop, most of them first, and one for all others; a second
    state only where something else stops in it."""
    seen: dict[str, tuple[str, ...]] = {}
    alike: dict[tuple[str, tuple[str, ...], tuple[str, ...]], list[str]] = {}
    for outage in sorted(outages, key=lambda outage: natural(outage.device.id)):
        device = outage.device
        if seen.get(device.id) == outage.stops:
            continue
        seen[device.id] = seen.get(device.id, ()) + outage.stops
        if outage.stops:
            name = device.id if device.title == device.id else f"{device.id} ({device.title})"
            alike.setdefault((outage.state, outage.stops, outage.works), []).append(name)
    for (state, stops, works), names in sorted(alike.items(), key=lambda item: -len(item[0][1])):
        question = f"{_any_of(names)} is out, {installation.states[state].title}"
        yield "out", question, _listed(stops), _listed(works), *(None,) * 5, "dead at once"
    quiet = sorted((device for device, stops in seen.items() if not stops), key=natural)
    if quiet:
        yield "out", f"{_any_of(quiet)} is out", NOBODY, None, *(None,) * 5, "nothing that is keyed notices"


def _any_of(names: list[str]) -> str:
    return names[0] if len(names) == 1 else f"any one of {', '.join(names)}"


def _joints(joints: Iterable[BadJoint], system: System) -> Iterator[tuple[Cell, ...]]:
    """The joints that cost most, and what no other one costs more than."""
    worst = sorted(joints, key=lambda joint: (not joint.stops, -round(joint.lost_v, 6), natural(joint.core)))
    told = [joint for joint in worst if joint.lost_v > TRACE_V or joint.stops]
    yield from (_joint(joint, system) for joint in told[:JOINTS])
    if len(told) > JOINTS:
        most_v = max(joint.lost_v for joint in told[JOINTS:])
        heat_w = max(joint.heat_w for joint in told[JOINTS:])
        says = f"costs {show(most_v, 'V', system)} at most, and {show(heat_w, 'W', system)} in the joint"
        stops = sorted({load for joint in told[JOINTS:] for load in joint.stops})
        yield "joint", f"any other joint has {WORSE:g} times its resistance", _listed(stops), *(None,) * 6, says


def _joint(joint: BadJoint, system: System) -> tuple[Cell, ...]:
    heat = f"{show(joint.heat_w, 'W', system)} in the joint"
    says = heat if joint.load is None or joint.load_v is None else (
        f"{joint.load} loses {show(joint.lost_v, 'V', system)} and has {show(joint.load_v, 'V', system)}; {heat}"
    )
    question = f"the joint of {joint.core} at {joint.end.terminal} has {WORSE:g} times its resistance"
    return ("joint", question, _listed(joint.stops), None, joint.core, None, None, None, None, says)


def _listed(names: Iterable[str]) -> str:
    return ", ".join(names) or NOBODY
