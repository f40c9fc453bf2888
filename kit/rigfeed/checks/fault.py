"""Dead shorts: whether each is cleared in time, what the cables take until then, and which device opens first.

A wire that is short enough to lie in front of the first device, and one behind the vehicle's own fuses, is judged by
what happens elsewhere: nothing could clear a short on it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from rigfeed.checks.check import Check, Fact, Finding, NotChecked, Severity
from rigfeed.checks.facts import Subject
from rigfeed.checks.said import is_added, listed
from rigfeed.checks.selectivity import SELECTIVITY
from rigfeed.checks.survey import Survey, survey_checks
from rigfeed.frozen import frozen
from rigfeed.installation import Installation, LaidConductor, LaidCore, PlacedNode, net_of
from rigfeed.keyed import Keyed
from rigfeed.measure import Measure
from rigfeed.network.ranges import Flags, Floats
from rigfeed.parts.interfaces import MakerPoint, ProtectiveDevice
from rigfeed.path import Path
from rigfeed.practice import Setting, Threshold
from rigfeed.studies.faults import FAULTS, Short, Stress, Timeline
from rigfeed.studies.faults.result import TRACE_A, CaseFaults
from rigfeed.studies.ratings.window import CLEARED_S as TIME_S
from rigfeed.studies.sections import SECTIONS, Sections
from rigfeed.view import View
from rigfeed.wiring import WIRING, Wiring

Said = Iterator[Finding | NotChecked]

RATIO = Threshold("fault-not-cleared-in-time.ratio", "", "fault current against rating: advice below")
BODY_S = Threshold("body-fault-not-cleared.time", "s", "longest time to clear a short to the body at the worst point")
NEAR_M = Threshold("fuse-far-from-source.error", "m", "cable from the source to the first fuse: error")


@frozen
class Reach:
    """The wires that devices are asked to protect, and those that none can: in front of the first one, or behind the
    fuses of the vehicle."""

    judged: tuple[tuple[LaidConductor, LaidCore], ...]
    in_front: frozenset[str]
    makers: frozenset[str]
    bare_nets: frozenset[str]

    def counts(self, short: Short) -> bool:
        """Whether a short lies where a device is to clear it."""
        if short.core is not None:
            return short.core not in self.in_front and short.core not in self.makers
        return short.at not in self.bare_nets

    def counted(self, case: CaseFaults) -> Flags:
        """The same for all shorts of a case."""
        return np.array([self.counts(short) for short in case.shorts], dtype=np.bool_)


def reach_of(view: View, near_m: float) -> Reach:
    """Which wires are asked to be protected; up to `near_m` may lie between a battery and its first device."""
    installation, sections = view.installation, view[SECTIONS]
    in_front = frozenset(_in_front(installation, view[WIRING], near_m))
    makers = frozenset(_behind_makers(installation, sections))
    added = [(conductor, core) for conductor in installation.conductors.values() if is_added(conductor)
             for core in conductor.cores]
    poles = {f"{node.id}.{pole}" for node, part in installation.sources for pole in part.poles}
    bare = {end.net for core in installation.cores if core.id in in_front | makers for end in (core.start, core.end)}
    judged = tuple(wire for wire in added if wire[1].id not in in_front and wire[1].id not in makers)
    return Reach(judged, in_front, makers, frozenset(poles | bare))


def _in_front(installation: Installation, wiring: Wiring, near_m: float) -> Iterator[str]:
    """The cores between a battery and the device that is near enough to it, and the vehicle's own."""
    for node, part in installation.sources:
        for way in wiring.ways_to_protection(f"{node.id}.{part.poles[0]}") if part.stores else ():
            ends_well = isinstance(installation.nodes[way[-1].node].part, ProtectiveDevice)
            length_m = sum(leg.conductor.length_m for leg in way if leg.conductor)
            for leg in way:
                if leg.core and leg.conductor:
                    is_near = ends_well and length_m <= near_m
                    if is_near or leg.conductor.origin == "vehicle":
                        yield leg.core.id


def _behind_makers(installation: Installation, sections: Sections) -> Iterator[str]:
    for node in installation.nodes.values():
        if isinstance(node.part, MakerPoint):
            for terminal in node.part.terminals:
                yield from (core.id for _, core in sections.section(net_of(f"{node.id}.{terminal.name}", node.part)))


# cleared in time


def fault_not_cleared_in_time(view: View) -> Said:
    ratio, ratio_setting = view.threshold(RATIO)
    yield from _late(view, TIME_S, to_body=False)
    reach = reach_of(view, view.threshold(NEAR_M)[0])
    for conductor, core in reach.judged:
        yield from _barely(view, conductor, core, ratio, ratio_setting)
        yield from _again(view, conductor, core)
    if reach.makers:
        why = f"{listed(reach.makers)} hang on the vehicle's own wiring: see its maker's fuses for what clears a short"
        yield NotChecked("fault-not-cleared-in-time", why)


def body_fault_not_cleared(view: View) -> Said:
    return _late(view, BODY_S, to_body=True)


def _late(view: View, threshold: Threshold, *, to_body: bool) -> Said:
    """The shorts on each wire that last too long at the lowest current."""
    (limit_s, setting), (near_m, _) = view.threshold(threshold), view.threshold(NEAR_M)
    reach = reach_of(view, near_m)
    for case in view[FAULTS].cases:
        late = case.cleared_s > limit_s
        carried = _all_carry(case, reach, limit_s)
        for conductor, core in reach.judged if case.case == "lowest" else ():
            for number in np.flatnonzero(late):
                if case.shorts[number].to_body == to_body and _lies_on(case.shorts[number], core, reach):
                    safe = bool(carried[number])
                    yield _not_cleared(conductor, case.timeline(int(number)), limit_s, setting, safe=safe)


def _lies_on(short: Short, core: LaidCore, reach: Reach) -> bool:
    at_end = short.core is None and short.at in (core.start.net, core.end.net) and reach.counts(short)
    return short.core == core.id or at_end


def _all_carry(case: CaseFaults, reach: Reach, limit_s: float) -> Flags:
    """Whether every wire that is judged carries for hours what flows in it once the time is over."""
    ends_s = np.cumsum(case.course.length_s, axis=0)
    columns = [case.core_ids.index(core.id) for _, core in reach.judged if core.id in case.core_ids]
    amps: Floats = np.abs(case.course.core_a[:, :, columns])
    after = (ends_s > limit_s)[:, :, None]
    bears = ~after | (amps <= case.metal.ampacity_a[columns]) | (amps < TRACE_A)
    carried: Flags = np.logical_and.reduce(bears, axis=(0, 2))
    return carried


def _not_cleared(
    conductor: LaidConductor, timeline: Timeline, limit_s: float, setting: Setting, *, safe: bool
) -> Finding:
    never = math.isinf(timeline.cleared_s)
    what = "{wire}, short-circuited {place}: {amps} flow, "
    how = "no device ever opens, and it stays fed by {sources}. " if never and not timeline.opened else (
        "what opens is {devices}, and it stays fed by {sources}. " if never
        else "and it takes {value} until it is cleared by {devices}; {limit} is the longest time. "
    )
    severity: Severity = "advice" if safe else "error"
    why = "Every wire on the way carries that for hours, so nothing burns, but do not wait for a fuse." if safe else (
        "What glows there meanwhile sets its surroundings on fire."
    )
    return Finding(
        severity=severity, subject=Path("conductors", conductor.id),
        also=tuple(Path("nodes", device) for device in timeline.opened),
        value=None if never else Measure(timeline.cleared_s, "s"), limit=Measure(limit_s, "s"),
        excess=1e12 if never else timeline.cleared_s, authority=setting.authority,
        numbers=Keyed({
            "wire": conductor.label, "place": place_of(timeline), "amps": Measure(timeline.first_a, "A"),
            "devices": listed(timeline.opened), "sources": listed(source for source, _ in timeline.fed_by),
        }),
        message=what + how + why,
        remedy="Nothing has to be done for the cable; switch the source off when it happens." if safe else
        "Put a device near every source that feeds {wire}, or a smaller or faster one; a thicker wire brings more "
        "current to open it.",
    )


def _barely(view: View, conductor: LaidConductor, core: LaidCore, ratio: float, setting: Setting) -> Said:
    """Advice where the lowest current is a small multiple of the rating that has to open."""
    ratings = {node.id: part.rated_a for node, part in view.installation.protections}
    for timeline in view[FAULTS].on(core.id):
        first = timeline.steps[0]
        rated_a = min((ratings[device] for device in first.opens), default=None)
        if rated_a is None or timeline.case != "lowest" or math.isinf(timeline.cleared_s):
            continue
        times = max(abs(first.from_a or 0.0), abs(first.to_a or 0.0)) / rated_a
        if times < ratio:
            yield Finding(
                severity="advice", subject=Path("conductors", conductor.id),
                also=tuple(Path("nodes", device) for device in first.opens), value=Measure(times, ""),
                limit=Measure(ratio, ""), excess=-times, authority=setting.authority,
                numbers=Keyed({
                    "wire": conductor.label, "place": place_of(timeline), "devices": listed(first.opens),
                    "time": Measure(timeline.cleared_s, "s"),
                }),
                message="{wire}, short-circuited {place}, draws only {value} times the rating of {devices} when "
                "everything is weak; {limit} times is comfortable. It still opens, within {time}.",
                remedy="A shorter way back, a thicker wire or a smaller fuse makes it quicker.",
            )


def _again(view: View, conductor: LaidConductor, core: LaidCore) -> Said:
    """Advice where what clears a short closes into it again."""
    again = {node.id for node, part in view.installation.protections if part.closes_again}
    for timeline in view[FAULTS].on(core.id) if again else ():
        breakers = again.intersection(timeline.opened)
        if breakers and timeline.case == "lowest":
            yield Finding(
                severity="advice", subject=Path("conductors", conductor.id),
                also=tuple(Path("nodes", breaker) for breaker in sorted(breakers)),
                numbers=Keyed({
                    "wire": conductor.label, "place": place_of(timeline), "breakers": listed(breakers),
                    "time": Measure(timeline.cleared_s, "s"),
                }),
                message="{wire}, short-circuited {place}, is cleared by {breakers} within {time}, and fed again as "
                "soon as that has cooled and closes by itself: what is said of the heat counts the first time only.",
                remedy="Use a fuse or a breaker that has to be reset by hand.",
            )


def place_of(timeline: Timeline) -> str:
    """Where a short lies, in words."""
    short = timeline.short
    to = "the body" if short.to_body else short.to
    off = f", {listed(timeline.out)} switched off by its management unit" if timeline.out else ""
    return f"{short.where} to {to}{off}"


# heat


def fault_heats_conductor(view: View) -> Said:
    reach, faults = reach_of(view, view.threshold(NEAR_M)[0]), view[FAULTS]
    counted = {case.case: reach.counted(case) for case in faults.cases}
    known = set(faults.cases[0].core_ids)
    unknown = []
    for conductor in view.installation.conductors.values():
        for core in conductor.cores if is_added(conductor) else ():
            stress = faults.stress(core.id, lambda case: counted[case.case]) if core.id in known else None
            if stress is None:
                continue
            if stress.withstand_a2s is None:
                unknown.append(core.id)
            elif math.isfinite(stress.limit_s):
                yield _heated(conductor, stress)
    if unknown:
        yield NotChecked("fault-heats-conductor", f"what the insulation of {listed(unknown)} bears is not known")


def _heated(conductor: LaidConductor, stress: Stress) -> Finding:
    timeline, fed = stress.timeline, [source for source, _ in stress.timeline.fed_by]
    assert stress.withstand_a2s is not None
    stays = bool(fed) and stress.lasting_a > 0.0
    start = "In a short {place} {wire} carries {amps} and passes what its insulation bears ({limit}) after {time}; "
    end = "it stays fed by {sources}." if stays else "{value} have passed when it is cleared by {devices}."
    return Finding(
        subject=Path("conductors", conductor.id), also=tuple(Path("nodes", device) for device in timeline.opened),
        value=None if stays else Measure(stress.let_through_a2s, "A2s"), limit=Measure(stress.withstand_a2s, "A2s"),
        excess=1e12 / max(stress.limit_s, 1e-6),
        numbers=Keyed({
            "wire": conductor.label, "place": place_of(timeline), "amps": Measure(abs(stress.first_a), "A"),
            "time": Measure(stress.limit_s, "s"), "devices": listed(timeline.opened), "sources": listed(fed),
        }),
        message=start + end,
        remedy="Take a wire that carries for hours what {sources} can give, or put a device near every source that "
        "feeds {wire}." if stays else
        "Take a thicker wire, a cooler way, a higher class of insulation, or a fuse that lets less through.",
    )


# relays


def _may_close(subject: Subject) -> bool:
    """Whether a relay follows a signal, or the volts of the battery behind it: both can be there during a crank."""
    part = subject.thing.part if isinstance(subject.thing, PlacedNode) else None
    return getattr(part, "sense", None) == "engine" or getattr(part, "both_sides", False) is True


CRANK = Survey(
    "relay-carries-crank", "fault", "warning",
    Fact("open-while-cranking", "node", "Does this relay stay open while the starter turns?", only=_may_close), True,
    "{subject} can be closed while the starter turns: the battery behind it then cranks the engine too, through the "
    "link, whose fuse opens or ages and whose contacts weld.",
    "Take its signal from a terminal that is dead while cranking (a charge lamp, not the ignition), or use a relay "
    "that opens on the sag of the start battery.",
)

CHECKS = (
    *survey_checks((CRANK,)),
    Check(
        "fault-not-cleared-in-time", "fault", "error", fault_not_cleared_in_time, needs=(FAULTS, SECTIONS, WIRING),
        thresholds=(TIME_S, RATIO, NEAR_M),
    ),
    Check(
        "body-fault-not-cleared", "fault", "error", body_fault_not_cleared, needs=(FAULTS, SECTIONS, WIRING),
        thresholds=(BODY_S, NEAR_M),
    ),
    Check(
        "fault-heats-conductor", "fault", "error", fault_heats_conductor, needs=(FAULTS, SECTIONS, WIRING),
        authority="IEC 60364-5-54, 543.1.2", thresholds=(NEAR_M,),
    ),
    SELECTIVITY,
)
