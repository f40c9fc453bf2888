"""What would turn the advice: a fact of the vehicle, a body path that is measured, a thicker wire. Each is tried, not
reckoned: what is said here holds when the fact is turned."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from rigfeed.assess import Assessment, assess
from rigfeed.checks.returns import body_returns
from rigfeed.design.edit import Set, apply
from rigfeed.frozen import frozen
from rigfeed.path import Path
from rigfeed.practice import Threshold
from rigfeed.trials.return_options import RULES, Option, assessed, prefers_post, rank
from rigfeed.trials.return_ways import ReturnWire, Way

DROP_V = Threshold("return-drop-high.drop", "V", "greatest drop in the return at transmit peak")
FACTS = {
    "battery_sensor": ("a sensor on the negative post", "no sensor on the negative post"),
    "isolated_return": ("both poles kept off the body", "the body as the return"),
}
MARGIN = 0.02  # how far beyond the limit it is tried


@frozen
class Turn:
    """A fact that would change the answer, and to what."""

    fact: str
    to: str


def turns(ranked: Sequence[Option], wire: ReturnWire, base: Assessment, drawn: frozenset[str]) -> Iterator[Turn]:
    """The facts of the vehicle, turned round one at a time; what is measured; a thicker wire."""
    best = ranked[0]
    vehicle = base.installation.design.vehicle
    for name, (yes, no) in FACTS.items():
        now = bool(getattr(vehicle, name))
        other = _best_by_rules(ranked, Set(Path("vehicle", name), not now), base)
        if other.title != best.way.title:
            yield Turn(no if now else yes, other.title)
    yield from _thicker(ranked, base)
    yield from _measured(ranked, wire, base, drawn)


def _best_by_rules(ranked: Sequence[Option], edit: Set, base: Assessment) -> Way:
    """The best way with one fact changed: volts and amps stay as they are, the rules are asked again."""
    rules = [check for check in RULES if check in base.shelf.registry.checks and check != "return-drop-high"]
    found = []
    for option in ranked:
        design = apply(option.design, [edit])
        said = assess(design, shelf=base.shelf, practice=base.practice, only=rules).findings
        kept = tuple(finding for finding in option.findings if finding.check not in rules)
        found.append(replace(option, design=design, findings=(*kept, *said)))
    return min(found, key=lambda option: rank(option, base.practice)).way


def _thicker(ranked: Sequence[Option], base: Assessment) -> Iterator[Turn]:
    """The way that the practice prefers, where nothing but its volts speaks against it."""
    post = next((option for option in ranked if (option.way.where, option.way.fused) == ("post", True)), None)
    if not prefers_post(base.practice) or post is None or post is ranked[0] or post.least_v is None:
        return
    if {finding.check for finding in post.findings if finding.severity == "error"} == {"volts-below-minimum"}:
        yield Turn(f"a thicker wire (with this one the set is left with {post.least_v:.2f} V there)", post.way.title)


# what is measured


def _measured(ranked: Sequence[Option], wire: ReturnWire, base: Assessment, drawn: frozenset[str]) -> Iterator[Turn]:
    """The body path at which another way is best, while it is not measured."""
    body = next((option for option in ranked if (option.way.where, option.way.fused) == ("body", False)), None)
    if body is None or not body.unmeasured or not body.current_a or wire.strap is None:
        return
    point_ohm, strap_ohm, point = _assumed(body, wire, base)
    for more_ohm in sorted(_limits_ohm(body, wire, base), key=abs):
        new_ohm = point_ohm + more_ohm * (1.0 + MARGIN)
        if new_ohm <= 0.0:
            continue
        tried = _with_point(body, wire, base, drawn, point, new_ohm)
        others = [option for option in ranked if option is not body]
        other = min([tried, *others], key=lambda option: rank(option, base.practice)).way
        if other.title != ranked[0].way.title:
            side = "above" if more_ohm > 0 else "below"
            yield Turn(f"a body path measured {side} {1000 * (point_ohm + more_ohm + strap_ohm):.0f} mohm", other.title)
            return


def _limits_ohm(body: Option, wire: ReturnWire, base: Assessment) -> Iterator[float]:
    """By how much the path must be worse, or better, for the return or the equipment to meet a limit."""
    drop = base.practice.threshold(DROP_V)
    if drop is not None and body.return_v is not None:
        yield (drop[0] - body.return_v) / body.current_a
    least_v = getattr(wire.load.part, "least_v", None)
    if least_v is not None and body.least_v is not None:
        yield (body.least_v - least_v) / body.current_a


def _assumed(body: Option, wire: ReturnWire, base: Assessment) -> tuple[float, float, str]:
    """What is taken for the bolt of the equipment and for that of the strap [ohm], and the id of the first."""
    installation = assess(body.design, shelf=base.shelf, practice=base.practice, only=()).installation
    (point,) = (back.point for back in body_returns(installation) if back.node.id == wire.load.id)
    assert wire.strap is not None
    strap = installation.nodes[wire.strap.partition(".")[0]]
    return float(point.settings.resistance.si), float(strap.settings.resistance.si), point.id


def _with_point(
    body: Option, wire: ReturnWire, base: Assessment, drawn: frozenset[str], point: str, ohm: float
) -> Option:
    edit = Set(Path("nodes", point, "settings", "resistance"), f"{1000 * ohm:.6g} mohm")
    return assessed(Way(body.way.where, body.way.fused, (*body.way.edits, edit)), wire, base, drawn)
