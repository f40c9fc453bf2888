"""What a run must keep its distance from: what is hot, moves, leaks, is noisy or at high voltage; battery cases."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator

from rigfeed.checks.check import Check, Fact, Finding, NotChecked, Severity
from rigfeed.checks.facts import SUBJECTS, Subject
from rigfeed.checks.offers import is_feeder
from rigfeed.checks.survey import ask, facts_of
from rigfeed.checks.survey_routing import (
    CROSSES_SQUARE,
    DANGERS_NOTED,
    HEAT_SHIELD,
    HIGH_VOLTAGE,
    PIPE_IN_HOLE,
    PIPES,
    SWITCHER_CHOKED,
    TIED_TO_PIPE,
)
from rigfeed.design.model import Run
from rigfeed.frozen import frozen
from rigfeed.keyed import Keyed
from rigfeed.measure import Measure
from rigfeed.parts.interfaces import SourceDevice
from rigfeed.practice import Threshold
from rigfeed.view import View

EXHAUST_M = Threshold("near-exhaust.distance", "m", "least distance from the exhaust without a heat shield")
MOVING_M = Threshold("near-moving-parts.distance", "m", "least distance from moving parts and brake lines")
HIGH_VOLTAGE_M = Threshold("near-high-voltage.distance", "m", "least distance from traction or ignition cables")
SWITCHER_M = Threshold("switcher-near-antenna.distance", "m", "least distance of a switching device from a feeder")
CASE_M = Threshold("near-battery-case.distance", "m", "least distance from a battery or a chemical container")

Said = Iterator[Finding | NotChecked]


@frozen
class Near:
    """A run that we use and a neighbour that is written beside it."""

    subject: Subject
    thing: str
    distance_m: float


def neighbours(view: View, *things: str) -> Iterator[Near]:
    """The runs that we use beside some of these things, each with its distance."""
    for subject, run in _used(view):
        for thing in things:
            if thing in run.beside:
                yield Near(subject, thing, run.beside[thing].si)


def _used(view: View) -> Iterator[tuple[Subject, Run]]:
    for subject in view[SUBJECTS].of("run"):
        if subject.ours and isinstance(subject.thing, Run):
            yield subject, subject.thing


def unsaid(view: View, check: str, *things: str) -> Iterator[NotChecked]:
    """One line for all runs that say nothing of any of these, unless somebody has said that all dangers are noted."""
    if view.installation.design.vehicle.facts.get(DANGERS_NOTED.name) is True:
        return
    used = list(_used(view))
    silent = sum(set(things).isdisjoint(run.beside) for _, run in used)
    if silent:
        where = f"on {silent} of {len(used)} runs nothing is noted (beside: {', '.join(things)})"
        yield NotChecked(check, f"{where}: {DANGERS_NOTED.question}", questions=1)


def _finding(near: Near, limit_m: float, authority: str, severity: Severity, message: str, remedy: str) -> Finding:
    cables = ", ".join(conductor.label for conductor in near.subject.ours)
    return Finding(
        severity=severity, subject=near.subject.path, value=Measure(near.distance_m, "m"), limit=Measure(limit_m, "m"),
        excess=limit_m - near.distance_m, authority=authority, message=message, remedy=remedy,
        numbers=Keyed({"run": near.subject.title, "thing": near.thing.replace("-", " "), "cables": cables}),
    )


def near_exhaust(view: View) -> Said:
    limit_m, setting = view.threshold(EXHAUST_M)
    for near in neighbours(view, "exhaust"):
        if near.distance_m < limit_m and near.subject.answer(HEAT_SHIELD) is not True:
            yield _finding(
                near, limit_m, setting.authority, "error",
                "On {run} ({cables}) there are {value} to the exhaust, less than {limit}, and no heat shield is "
                "recorded: the insulation softens, then it burns.",
                "Keep {limit} from the exhaust, or put a heat shield between and record it.",
            )
    yield from unsaid(view, "near-exhaust", "exhaust")


def near_moving_parts(view: View) -> Said:
    limit_m, setting = view.threshold(MOVING_M)
    for near in neighbours(view, "moving-parts", "brake-line"):
        if near.distance_m < limit_m:
            yield _finding(
                near, limit_m, setting.authority, "error",
                "On {run} ({cables}) there are {value} to the {thing}, less than {limit}: what moves or vibrates "
                "wears through insulation and pipe alike.",
                "Clip it at least {limit} away, with the engine and the steering moved to their ends of travel.",
            )
    for near in neighbours(view, "fuel-line"):
        if near.distance_m == 0:
            yield _finding(
                near, 0.0, setting.authority, "error",
                "On {run} something ({cables}) touches the fuel line: it chafes the pipe, and a short lies on it.",
                "Give it clips of its own, away from the fuel line.",
            )
    yield from ask(view, TIED_TO_PIPE, PIPE_IN_HOLE)
    yield from unsaid(view, "near-moving-parts", "moving-parts", *PIPES)


def near_high_voltage(view: View) -> Said:
    limit_m, setting = view.threshold(HIGH_VOLTAGE_M)
    for near in neighbours(view, *HIGH_VOLTAGE):
        if near.distance_m == 0:
            yield _finding(
                near, limit_m, setting.authority, "error",
                "On {run} something ({cables}) touches a traction or ignition cable ({thing}) or is tied to it: nobody "
                "may work on it, and one worn place puts high voltage on the set.",
                "Take it off and keep {limit} away; cross at a right angle where you must.",
            )
        elif near.distance_m < limit_m and near.subject.answer(CROSSES_SQUARE) is not True:
            yield _finding(
                near, limit_m, setting.authority, "warning",
                "On {run} ({cables}) there are {value} to a traction or ignition cable ({thing}), less than {limit}: "
                "its noise is heard, and rescuers cut there.",
                "Keep {limit} away, or only cross it at a right angle and record that.",
            )
    yield from unsaid(view, "near-high-voltage", *HIGH_VOLTAGE)


def switcher_near_antenna(view: View) -> Said:
    limit_m, setting = view.threshold(SWITCHER_M)
    for near in neighbours(view, "switcher"):
        if not any(is_feeder(conductor) for conductor in near.subject.ours) or near.distance_m >= limit_m:
            continue
        if near.subject.answer(SWITCHER_CHOKED) is not True:
            yield _finding(
                near, limit_m, setting.authority, "warning",
                "On {run} a feeder ({cables}) lies {value} from a switching device (regulator, converter, LED "
                "bar), less than {limit}: its noise covers weak signals.",
                "Keep {limit} away, and put chokes on both sides of the device.",
            )
    yield from unsaid(view, "switcher-near-antenna", "switcher")


def near_battery_case(view: View) -> Said:
    limit_m, setting = view.threshold(CASE_M)
    for near in neighbours(view, "battery-case"):
        strangers = [c for c in near.subject.ours if not _is_its_own_lead(near.subject, c.id)]
        if strangers and near.distance_m < limit_m:
            yield _finding(
                near, limit_m, setting.authority, "warning",
                "On {run} ({cables}) there are {value} to a battery or a chemical container, less than {limit}: acid "
                "mist and leaks eat the insulation.",
                "Keep {limit} from it; only the battery's own leads may lie there.",
            )
    yield from unsaid(view, "near-battery-case", "battery-case")


def _is_its_own_lead(subject: Subject, conductor: str) -> bool:
    """Whether a conductor starts or ends where a battery stands: at the battery, or at the fuse beside it."""
    installation = subject.installation
    batteries = {node.at for node, part in installation.sources if part.stores and node.at is not None}
    ends = (installation.nodes[end.node] for end in installation.conductors[conductor].ends)
    return any(node.at in batteries or isinstance(node.part, SourceDevice) for node in ends)


def _check(
    name: str, severity: Severity, run: Callable[[View], Said], threshold: Threshold, facts: Iterable[Fact] = (),
    authority: str = "common practice, no source",
) -> Check:
    return Check(
        name, "routing", severity, run, authority=authority, facts=(DANGERS_NOTED, *facts), thresholds=(threshold,)
    )


CHECKS = (
    _check("near-exhaust", "error", near_exhaust, EXHAUST_M, (HEAT_SHIELD,)),
    _check(
        "near-moving-parts", "error", near_moving_parts, MOVING_M, facts_of(TIED_TO_PIPE, PIPE_IN_HOLE),
        "FCS 1362:2010 4.3",
    ),
    _check("near-high-voltage", "error", near_high_voltage, HIGH_VOLTAGE_M, (CROSSES_SQUARE,)),
    Check(
        "switcher-near-antenna", "noise", "warning", switcher_near_antenna, facts=(DANGERS_NOTED, SWITCHER_CHOKED),
        thresholds=(SWITCHER_M,),
    ),
    _check("near-battery-case", "warning", near_battery_case, CASE_M),
)
