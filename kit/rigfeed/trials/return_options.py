"""One way to return, assessed, and how it ranks beside the others."""

from __future__ import annotations

from rigfeed.assess import Assessment, assess
from rigfeed.checks.check import Finding
from rigfeed.design.edit import apply
from rigfeed.design.model import Design
from rigfeed.frozen import frozen
from rigfeed.parts.shelf import Shelf
from rigfeed.practice import Practice, Threshold
from rigfeed.studies.operating import OPERATING
from rigfeed.studies.sections import poles_of
from rigfeed.studies.whatif import WHATIF
from rigfeed.trials.return_ways import ReturnWire, Way

POST = Threshold("return.post", "", "1 where a fused negative at the post is preferred when no rule speaks against it")

RULES = (  # what speaks about where a negative goes
    "sensor-bypassed", "body-return-not-allowed", "negative-at-post-unfused", "isolated-negative-unfused",
    "negative-fused-at-body", "return-far", "return-drop-high", "ground-loop",
)
FIGURES = (  # what its volts and amps make of it
    "volts-below-minimum", "strap-open-overloads", "negative-open-uses-coax", "fault-not-cleared-in-time",
    "body-fault-not-cleared", "fault-heats-conductor",
)


@frozen(eq=False)
class Option:
    """A way to return, assessed.

    `least_v` is the least voltage at the equipment in any state, None where a state leaves it without a feed;
    `return_v` what the way back loses there; `strap_a` the greatest current that the return wire carries if the body
    strap opens while someone cranks, None where that was not computed; `bypasses` whether it leads around a master
    switch that the way as drawn obeys.
    """

    way: Way
    design: Design
    findings: tuple[Finding, ...]
    least_v: float | None
    return_v: float | None
    current_a: float
    strap_a: float | None
    unmeasured: bool
    length_m: float
    bypasses: bool

    def count(self, severity: str) -> int:
        """The findings of a severity that nobody has accepted."""
        return sum(finding.severity == severity and finding.accepted_by is None for finding in self.findings)


def asked(shelf: Shelf) -> list[str]:
    """The checks that have a say, of those that there are."""
    return [check for check in (*RULES, *FIGURES) if check in shelf.registry.checks]


def assessed(way: Way, wire: ReturnWire, base: Assessment, drawn: frozenset[str]) -> Option:
    """A way of a design, assessed; that which is drawn already (`base`) is not assessed again."""
    before = base.installation.design
    changed = apply(before, way.edits)
    wanted = asked(base.shelf)
    is_base = changed == before and set(wanted) <= set(base.checks)
    assessment = base if is_base else assess(changed, shelf=base.shelf, practice=base.practice, only=wanted)
    found = tuple(finding for finding in assessment.findings if finding.check in wanted)
    return _option(way, changed, assessment, found, wire, drawn)


def _option(
    way: Way, design: Design, assessment: Assessment, found: tuple[Finding, ...], wire: ReturnWire,
    drawn: frozenset[str],
) -> Option:
    least_v, return_v, current_a = _volts(assessment, wire, drawn)
    (core,) = wire.conductor.cores
    strap = [round(abs(case.first.core_a.get(core.id, 0.0)), 6) for case in assessment[WHATIF].of("strap-open")]
    unmeasured = way.where != "post" and any(item.check == "return-drop-high" for item in assessment.not_checked)
    return Option(
        way, design, found, least_v, return_v, current_a, max(strap, default=None), unmeasured,
        assessment.installation.conductors[wire.conductor.id].length_m,
        bool(drawn and fed_states(assessment, wire) - drawn),
    )


def rank(option: Option, practice: Practice) -> tuple[object, ...]:
    """Current where the body may carry none is worst; then errors, warnings, what the practice prefers, volts."""
    usual = [("body", False), ("strap", False), ("post", True), ("post", False), ("strap", True), ("body", True)]
    if prefers_post(practice) or option.design.vehicle.isolated_return:
        usual = [("post", True), *(way for way in usual if way != ("post", True))]
    unfed = option.least_v is None
    place = usual.index((option.way.where, option.way.fused))
    warnings = option.count("warning") + option.bypasses
    forbidden = any(finding.check == "body-return-not-allowed" for finding in option.findings)
    return unfed, forbidden, option.count("error"), warnings, place, -(option.least_v or 0.0)


def prefers_post(practice: Practice) -> bool:
    """Whether a practice takes a fused negative at the post where no rule speaks against it."""
    preferred = practice.default(POST)
    return bool(preferred and preferred[0])


def poles(wire: ReturnWire) -> tuple[str, str]:
    (positive, negative), *_ = poles_of(wire.load)
    return positive, negative


def fed_states(assessment: Assessment, wire: ReturnWire) -> frozenset[str]:
    """The states in which the equipment has volts: not those in which a master switch is off."""
    operating = assessment[OPERATING]
    return frozenset(state for state in operating.solutions if operating.between(state, *poles(wire)) is not None)


def _volts(
    assessment: Assessment, wire: ReturnWire, drawn: frozenset[str]
) -> tuple[float | None, float | None, float]:
    """The least volts of the states in which the way as drawn has any (of all, if it has none), what the way back loses
    there, and the current in the return wire."""
    operating, (positive, negative) = assessment[OPERATING], poles(wire)
    (core,) = wire.conductor.cores
    found: list[tuple[float, float, float]] = []
    for state in sorted(drawn or operating.solutions):
        volts = operating.between(state, positive, negative)
        if volts is None:
            return None, None, 0.0
        lost_v = operating.between(state, negative, wire.post) or 0.0
        found.append((round(volts, 9), lost_v, abs(operating.current(state, core.id))))
    return min(found) if found else (None, None, 0.0)
