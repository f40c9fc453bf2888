"""Power taken off the vehicle's own wiring, and what its maker and a master switch have to do with it."""

from __future__ import annotations

from collections.abc import Iterator

from rigfeed.checks.check import Check, Fact, Finding, NotChecked
from rigfeed.checks.facts import SUBJECTS, Subject
from rigfeed.checks.said import brought_a, listed, solved_states, unanswered
from rigfeed.checks.survey import Survey, ask, facts_of
from rigfeed.installation import PlacedNode
from rigfeed.keyed import Keyed
from rigfeed.measure import Measure
from rigfeed.parts.interfaces import ConverterDevice, MakerPoint, SourceDevice
from rigfeed.practice import Threshold
from rigfeed.studies.operating import OPERATING
from rigfeed.studies.sections import SECTIONS
from rigfeed.view import View
from rigfeed.wiring import WIRING

Said = Iterator[Finding | NotChecked]
CODE = "FCS 1362:2010 4.6"

TAP_SHARE = Threshold("tap-overloaded.share", "%", "load on a tap, as a share of the fuse of that circuit")
TAP_A = Threshold("tap-overloaded.current", "A", "load on a socket or a fuse tap")
SURGE_V = Threshold("surge-unprotected.system", "V", "system voltage from which load-dump protection is asked for")
SWITCH_S = Threshold("dangerous-goods-switch.time", "s", "longest time in which the battery switch has to act")
SOLIDS = Threshold("dangerous-goods-switch.solids", "", "first digit of the protection of the switch")
WATER = Threshold("dangerous-goods-switch.water", "", "second digit of the protection of the switch")


def is_tap(subject: Subject) -> bool:
    """Whether a node is a take-off that something of ours hangs on."""
    node = subject.thing
    return isinstance(node, PlacedNode) and isinstance(node.part, MakerPoint) and bool(subject.ours)


def _is_generator(subject: Subject) -> bool:
    part = subject.thing.part if isinstance(subject.thing, PlacedNode) else None
    return isinstance(part, SourceDevice) and not part.stores and not isinstance(part, ConverterDevice)


POWER_POINT = Fact(
    "power-point", "node",
    "Is this a power point that the vehicle's maker provides for added equipment, not a socket or a fuse tap?",
    only=is_tap,
)
POINT_LIMIT = Survey(
    "maker-point-limit", "source", "error",
    Fact("within-maker-limit", "node", "Is the load within what the vehicle's maker allows at this point?",
         only=is_tap),
    True,
    "The load on {subject} is more than the vehicle's maker allows there: its wires and contacts are laid out for that "
    "figure, and so is its fuse.",
    "Take the feed from a point that is made for the load, or from the battery.", CODE,
)
POINT_UNUSED = Survey(
    "maker-point-limit", "source", "warning",
    Fact("maker-point-unused", "vehicle",
         "Does the vehicle's maker provide a power point for radio equipment that is left unused?"),
    False,
    "The vehicle's maker provides a power point for such equipment, and it is not used: its way through the vehicle is "
    "proven, and a warranty may hang on it.",
    "Use the maker's point if it carries the load, or write down why not.", CODE,
)
CLAMPED = Fact("load-dump-clamped", "node", "Does it clamp its own load dump (surge diodes)?", only=_is_generator)
GOODS_SWITCH = Survey(
    "dangerous-goods-switch", "source", "error",
    Fact("battery-switch-as-required", "vehicle",
         "Is the battery switch in the live lead, sealed and quick as required, and does it cut off the radio as "
         "well?"),
    True,
    "The battery switch is not as a vehicle for dangerous goods needs it: it must not sit in the earth lead, must act "
    "within {time}, be protected to IP{solids}{water}, and leave no radio live behind it.",
    "Fit a switch of that sort and feed the radio from behind it; what has to stay live needs an approved supply.",
    "ADR; FCS 1362:2010 2.2.5",
)


def tap_overloaded(view: View) -> Said:
    (share, share_setting), (most_a, setting) = view.threshold(TAP_SHARE), view.threshold(TAP_A)
    operating, sections, wiring = view[OPERATING], view[SECTIONS], view[WIRING]
    unfused = []
    for subject in view[SUBJECTS].asked(POWER_POINT):
        if subject.answer(POWER_POINT):
            continue  # what its maker allows there is another check's question
        node = subject.thing
        assert isinstance(node, PlacedNode)
        assert node.part is not None
        feed, out = node.part.through[0]
        devices = wiring.protections_of(f"{node.id}.{feed}")
        limit_a, authority = most_a, setting.authority
        if devices and share / 100 * devices[0][1].rated_a < limit_a:
            limit_a, authority = share / 100 * devices[0][1].rated_a, share_setting.authority
        if not devices:
            unfused.append(node.id)
        for name, state in solved_states(view.installation, operating):
            amps = brought_a(operating, sections, name, f"{node.id}.{out}")
            if amps > limit_a:
                yield Finding(
                    subject=subject.path, state=state.title, value=Measure(amps, "A"), limit=Measure(limit_a, "A"),
                    excess=amps, authority=authority, numbers=Keyed({"tap": node.title}),
                    message="{value} are taken from {tap} in state {state}; {limit} is what a socket or a fuse tap "
                    "may give beside its own load. Its thin wires and contacts run hot, and its fuse opens on the "
                    "road.",
                    remedy="Take the feed from the battery with a fuse of its own.",
                )
    if unfused:
        yield NotChecked("tap-overloaded", f"the fuse of the vehicle's circuit {listed(unfused)} is not in the design")


def surge_unprotected(view: View) -> Said:
    system_v, setting = view.threshold(SURGE_V)
    if view.installation.system_v < system_v:
        return
    generators = list(view[SUBJECTS].asked(CLAMPED))
    if not generators:
        yield NotChecked("surge-unprotected", "the alternator is not in the design: whether it clamps is not known")
    yield from unanswered(view, "surge-unprotected", CLAMPED)
    for subject in generators:
        if subject.answer(CLAMPED) is False:
            yield Finding(
                subject=subject.path, value=Measure(view.installation.system_v, "V"), authority=setting.authority,
                numbers=Keyed({"alternator": subject.title}),
                message="{alternator} does not clamp its load dump: if a battery lead comes off while it charges, a "
                "{value} system rises far beyond what equipment stands, for some tenths of a second.",
                remedy="Fit a clamp ahead of the equipment, or equipment and converters that are rated for the load "
                "dump.",
            )


def dangerous_goods_switch(view: View) -> Said:
    numbers = {"time": Measure(view.threshold(SWITCH_S)[0], "s")}
    digits = {name: f"{view.threshold(digit)[0]:.0f}" for name, digit in (("solids", SOLIDS), ("water", WATER))}
    return ask(view, GOODS_SWITCH, numbers=lambda subject: {**numbers, **digits})


def maker_point_limit(view: View) -> Said:
    return ask(view, POINT_LIMIT, POINT_UNUSED)


CHECKS = (
    Check(
        "tap-overloaded", "source", "error", tap_overloaded, needs=(OPERATING, SECTIONS, WIRING), facts=(POWER_POINT,),
        thresholds=(TAP_SHARE, TAP_A),
    ),
    Check(
        "maker-point-limit", "source", "error", maker_point_limit, authority=CODE,
        facts=facts_of(POINT_LIMIT, POINT_UNUSED),
    ),
    Check("surge-unprotected", "source", "warning", surge_unprotected, facts=(CLAMPED,), thresholds=(SURGE_V,)),
    Check(
        "dangerous-goods-switch", "source", "error", dangerous_goods_switch, facts=facts_of(GOODS_SWITCH),
        authority=GOODS_SWITCH.authority, thresholds=(SWITCH_S, SOLIDS, WATER),
    ),
)
