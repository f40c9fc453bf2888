"""Where does the black wire go: every way to return the negative of an equipment, assessed side by side, and the answer
for this vehicle with its reason, both schools and the fact that would turn it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from rigfeed.assess import Assessment, assess
from rigfeed.checks.check import SEVERITY_ORDER, Finding
from rigfeed.design.edit import Set, apply
from rigfeed.design.model import Design
from rigfeed.installation import PlacedNode
from rigfeed.parts.shelf import Shelf, open_shelf
from rigfeed.path import Path
from rigfeed.practice import Practice, Setting, Threshold
from rigfeed.studies.operating import OPERATING
from rigfeed.studies.prospective import BODY_POINT_OHM
from rigfeed.studies.sections import SECTIONS, poles_of
from rigfeed.studies.whatif import WHATIF
from rigfeed.trials.return_ways import ReturnWire, Way, return_wires, ways_of
from rigfeed.view import Tell, silent

POST = Threshold("return.post", "", "1 where a fused negative at the post is preferred when no rule speaks against it")
FAR_M = Threshold("return-far.distance", "m", "greatest distance of the return point from the equipment")

RULES = (  # what speaks about where a negative goes
    "sensor-bypassed", "body-return-not-allowed", "negative-at-post-unfused", "negative-fused-at-body", "return-far",
    "return-drop-high", "ground-loop",
)
FIGURES = (  # what its volts and amps make of it
    "volts-below-minimum", "strap-open-overloads", "negative-open-uses-coax", "fault-not-cleared-in-time",
    "body-fault-not-cleared", "fault-heats-conductor",
)


@dataclass(frozen=True, eq=False)
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


@dataclass(frozen=True)
class Turn:
    """A fact that would change the answer, and to what."""

    fact: str
    to: str


@dataclass(frozen=True)
class School:
    """A rule that a fitter may hold, with its authority, and whether it is the one followed here."""

    rule: str
    authority: str
    followed: bool


@dataclass(frozen=True, eq=False)
class ReturnAnswer:
    """The answer for one equipment. The options stand from best to worst."""

    load: PlacedNode
    options: tuple[Option, ...]
    reason: str
    authority: str
    turns: tuple[Turn, ...]
    schools: tuple[School, ...]
    drawn: Way | None

    @property
    def best(self) -> Option:
        """What is advised."""
        return self.options[0]


@dataclass(frozen=True, eq=False)
class ReturnTrial:
    """The answers by equipment, and the equipment of which the question cannot be asked, each with the reason."""

    answers: tuple[ReturnAnswer, ...]
    others: tuple[tuple[str, str], ...]


def try_returns(
    design: Design, *, shelf: Shelf | None = None, practice: Practice | str | None = None,
    only: Iterable[str] | None = None, tell: Tell | None = None,
) -> ReturnTrial:
    """Assess every way to return the negative of each equipment.

    Parameters
    ----------
    design : Design
        As read, or edited.
    shelf, practice, tell
        As for `rigfeed.assess`.
    only : iterable of str, optional
        The ids of the equipment to ask for; all by default.

    Raises
    ------
    DesignError, UnknownName, CatalogError, PracticeError, InputErrors
        As `rigfeed.assess` does.
    """
    shelf, tell = shelf or open_shelf(), tell or silent
    base = assess(design, shelf=shelf, practice=practice, only=())
    sections = base[SECTIONS]
    wires = list(return_wires(base.installation, sections))
    chosen = None if only is None else set(only)
    answers = []
    for number, wire in enumerate(wires):
        if chosen is None or wire.load.id in chosen:
            tell(number / len(wires), f"the return of {wire.load.title}")
            answers.append(_answer(base, design, wire, shelf))
    return ReturnTrial(tuple(answers), tuple(_others(base, {wire.load.id for wire in wires})))


def _others(base: Assessment, asked: set[str]) -> Iterator[tuple[str, str]]:
    sections = base[SECTIONS]
    for node in base.installation.nodes.values():
        for positive, _ in poles_of(node) if node.id not in asked else ():
            pole = sections.other_pole(positive)
            if pole is None:
                yield node.id, "nothing feeds it"
            elif not sections.returns_over_body(pole):
                source = sections.node_at(pole).title
                yield node.id, f"it is fed from {source} over two wires, and the body is no way back to that"
            else:
                yield node.id, "no wire of yours is its negative, or what feeds it is no battery"


def _answer(base: Assessment, design: Design, wire: ReturnWire, shelf: Shelf) -> ReturnAnswer:
    far = base.practice.threshold(FAR_M)
    ways = ways_of(design, base.installation, wire, far[0] if far else 1.0)
    drawn = _fed_states(base, wire)
    options = [_option(design, way, wire, shelf, base.practice, drawn) for way in ways]
    preferred, setting = base.practice.default(POST) or (0.0, Setting("0", ""))
    isolated = bool(design.vehicle.isolated_return)
    ranked = sorted(options, key=lambda option: _rank(option, isolated=isolated, post=bool(preferred)))
    reason, authority = _reason(ranked[0], design, setting)
    return ReturnAnswer(
        wire.load, tuple(ranked), reason, authority, tuple(_turns(ranked, design, wire, shelf, base.practice)),
        schools(base.practice, ranked[0], isolated=isolated), _drawn(design, options),
    )


def _option(
    design: Design, way: Way, wire: ReturnWire, shelf: Shelf, practice: Practice, drawn: frozenset[str]
) -> Option:
    changed = apply(design, way.edits)
    known = {*shelf.registry.checks}
    assessment = assess(changed, shelf=shelf, practice=practice, only=[c for c in (*RULES, *FIGURES) if c in known])
    least_v, return_v, current_a = _volts(assessment, wire, drawn)
    (core,) = wire.conductor.cores
    strap = [round(abs(case.first.core_a.get(core.id, 0.0)), 6) for case in assessment[WHATIF].of("strap-open")]
    unmeasured = way.where != "post" and any(item.check == "return-drop-high" for item in assessment.not_checked)
    return Option(
        way, changed, assessment.findings, least_v, return_v, current_a, max(strap, default=None), unmeasured,
        assessment.installation.conductors[wire.conductor.id].length_m,
        bool(drawn and _fed_states(assessment, wire) - drawn),
    )


def _poles(wire: ReturnWire) -> tuple[str, str]:
    (positive, negative), *_ = poles_of(wire.load)
    return positive, negative


def _fed_states(assessment: Assessment, wire: ReturnWire) -> frozenset[str]:
    """The states in which the equipment has volts: not those in which a master switch is off."""
    operating = assessment[OPERATING]
    return frozenset(state for state in operating.solutions if operating.between(state, *_poles(wire)) is not None)


def _volts(
    assessment: Assessment, wire: ReturnWire, drawn: frozenset[str]
) -> tuple[float | None, float | None, float]:
    """The least volts of the states in which the way as drawn has any (of all, if it has none), what the way back loses
    there, and the current in the return wire."""
    operating, (positive, negative) = assessment[OPERATING], _poles(wire)
    (core,) = wire.conductor.cores
    found: list[tuple[float, float, float]] = []
    for state in sorted(drawn or operating.solutions):
        volts = operating.between(state, positive, negative)
        if volts is None:
            return None, None, 0.0
        lost_v = operating.between(state, negative, wire.post) or 0.0
        found.append((round(volts, 9), lost_v, abs(operating.current(state, core.id))))
    return min(found) if found else (None, None, 0.0)


def _rank(option: Option, *, isolated: bool, post: bool) -> tuple[object, ...]:
    """Current where the body may carry none is worst; then errors, warnings, what the practice prefers, volts."""
    usual = [("body", False), ("strap", False), ("post", True), ("post", False), ("strap", True), ("body", True)]
    if post or isolated:
        usual = [("post", True), *(way for way in usual if way != ("post", True))]
    unfed = option.least_v is None
    place = usual.index((option.way.where, option.way.fused))
    warnings = option.count("warning") + option.bypasses
    forbidden = any(finding.check == "body-return-not-allowed" for finding in option.findings)
    return unfed, forbidden, option.count("error"), warnings, place, -(option.least_v or 0.0)


def _drawn(design: Design, options: Iterable[Option]) -> Way | None:
    """The way that the design has now."""
    return next((option.way for option in options if replace(option.design) == design), None)


# words


def _reason(best: Option, design: Design, setting: Setting) -> tuple[str, str]:
    vehicle = design.vehicle
    if vehicle.isolated_return:
        return (
            "Both poles of this vehicle are kept off the body, so the body may carry nothing: two wires, and since "
            "neither pole is grounded, a fuse in each.", "FCS 1362:2010 4.7.2; 33 CFR 183.455(a)",
        )
    if best.way.where == "post":
        return (
            "No sensor sits on the negative post, the practice takes the post, and a fuse there stops the starter's "
            "current when the body strap opens.", setting.authority,
        )
    if vehicle.battery_sensor:
        return (
            "A sensor sits on the negative post: what returns to the post itself passes it by, what returns over the "
            "body is counted.", "FCS 1362:2010 4.6.4",
        )
    return (
        "The body is the return of everything else in this vehicle; a short wire to it drops least, and nothing of "
        "yours bridges the strap.", "FCS 1362:2010 4.6.4",
    )


def schools(practice: Practice, best: Option, *, isolated: bool) -> tuple[School, ...]:
    """What the schools say, in our words, each with its authority."""
    to_body = best.way.where != "post"
    return (
        School(
            "Return to the body within 1 m of the set, or at the body end of the battery strap, without a fuse.",
            "FCS 1362:2010 4.6.4", to_body,
        ),
        School(
            "Both leads to the battery, a fuse in each: an open body strap else sends the starter's current "
            "through the set.", "Caltrans vehicle equipment guide", best.way.where == "post" and best.way.fused
            and not isolated,
        ),
        School(
            "Where the body is not the return (bus, tanker, boat), two wires with both poles protected.",
            "FCS 1362:2010 4.7.2; 33 CFR 183.455(a)", isolated,
        ),
    )


def _turns(
    ranked: list[Option], design: Design, wire: ReturnWire, shelf: Shelf, practice: Practice
) -> Iterator[Turn]:
    """The facts of the vehicle, turned round one at a time; what is measured; another practice."""
    best = ranked[0]
    facts = {
        "battery_sensor": ("a sensor on the negative post", "no sensor on the negative post"),
        "isolated_return": ("both poles kept off the body", "the body as the return"),
    }
    for name, (yes, no) in facts.items():
        now = bool(getattr(design.vehicle, name))
        other = _best_by_rules(ranked, Set(Path("vehicle", name), not now), wire, shelf, practice)
        if other is not None and other.title != best.way.title:
            yield Turn(no if now else yes, other.title)
    yield from _thicker(ranked, practice)
    yield from _measured(ranked, practice)


def _thicker(ranked: list[Option], practice: Practice) -> Iterator[Turn]:
    """The way that the practice prefers, where nothing but its volts speaks against it."""
    preferred = practice.default(POST)
    post = next((option for option in ranked if (option.way.where, option.way.fused) == ("post", True)), None)
    if not preferred or not preferred[0] or post is None or post is ranked[0] or post.least_v is None:
        return
    if {finding.check for finding in post.findings if finding.severity == "error"} == {"volts-below-minimum"}:
        yield Turn(f"a thicker wire: with this one the set is left with {post.least_v:.2f} V there", post.way.title)


def _best_by_rules(
    ranked: list[Option], edit: Set, wire: ReturnWire, shelf: Shelf, practice: Practice
) -> Way | None:
    """The best way with one fact changed: volts and amps stay as they are, the rules are asked again."""
    rules = [check for check in RULES if check in shelf.registry.checks and check != "return-drop-high"]
    found = []
    for option in ranked:
        design = apply(option.design, [edit])
        said = assess(design, shelf=shelf, practice=practice, only=rules).findings
        kept = tuple(finding for finding in option.findings if finding.check not in rules)
        found.append(replace(option, design=design, findings=(*kept, *said)))
    isolated = bool(found[0].design.vehicle.isolated_return) if found else False
    preferred = practice.default(POST)
    post = bool(preferred and preferred[0])
    return min(found, key=lambda option: _rank(option, isolated=isolated, post=post)).way if found else None


def _measured(ranked: list[Option], practice: Practice) -> Iterator[Turn]:
    """The body path at which the other school's way leaves more volts, where only volts decide between them."""
    body = next((option for option in ranked if (option.way.where, option.way.fused) == ("body", False)), None)
    post = next((option for option in ranked if (option.way.where, option.way.fused) == ("post", True)), None)
    if body is None or post is None or body.return_v is None or post.return_v is None or not body.current_a:
        return
    against = {f.check for option in (body, post) for f in option.findings if f.severity == "error"}
    assumed = practice.default(BODY_POINT_OHM)
    path_ohm = 2 * (assumed[0] if assumed else 0.0) / 1000 + (post.return_v - body.return_v) / body.current_a
    if against <= {"volts-below-minimum"} and path_ohm > 0.0 and ranked[0] in (body, post):
        here, there = (body, post) if ranked[0] is body else (post, body)
        side = "above" if here is body else "below"
        fact = f"a body path measured {side} {1000 * path_ohm:.0f} mohm: the other way then leaves the set more volts"
        yield Turn(fact, there.way.title)


def worst_first(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """The findings of an option, the gravest first."""
    return tuple(sorted(findings, key=lambda finding: (SEVERITY_ORDER[finding.severity or ""], finding.check)))
