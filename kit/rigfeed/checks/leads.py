"""How conductors are laid and joined: thickness, length, pairs, splices, extensions."""

from __future__ import annotations

from collections.abc import Iterator

from rigfeed.checks.ampacity import UNDER_BONNET, bonnet_zones
from rigfeed.checks.check import Check, Fact, Finding, NotChecked
from rigfeed.checks.facts import SUBJECTS, Subject
from rigfeed.checks.said import brought_a, is_added, solved_states, unanswered
from rigfeed.installation import Installation, LaidConductor, LaidCore, PlacedNode
from rigfeed.keyed import Keyed
from rigfeed.measure import Measure
from rigfeed.parts.interfaces import Joint, ProtectiveDevice
from rigfeed.path import Path
from rigfeed.practice import Threshold
from rigfeed.studies.operating import OPERATING
from rigfeed.studies.sections import SECTIONS, Feed, Sections, Wire, poles_of
from rigfeed.view import View

Said = Iterator[Finding | NotChecked]

CONTROL_MM2 = Threshold("mechanically-thin.control", "mm2", "least cross-section of a control wire")
POWER_MM2 = Threshold("mechanically-thin.power", "mm2", "least cross-section of a power wire")
BONNET_CONTROL_MM2 = Threshold("mechanically-thin.bonnet-control", "mm2", "the same under the bonnet, control")
BONNET_POWER_MM2 = Threshold("mechanically-thin.bonnet-power", "mm2", "the same under the bonnet, power")
COILED_M = Threshold("excess-coiled.length", "m", "greatest length of a feed that is left coiled up")
LONG_M = Threshold("feed-too-long.length", "m", "greatest length one way of a 12 V feed for a large set")
LONG_A = Threshold("feed-too-long.current", "A", "current from which a set is large")
LONG_V = Threshold("feed-too-long.system", "V", "system voltage up to which the length counts")

SAME_SHARE = 1e-3  # two areas that differ by less are written with different digits


def mechanically_thin(view: View) -> Said:
    sections, bonnet = view[SECTIONS], bonnet_zones(view.installation)
    limits = {
        (control, under): view.threshold(threshold)
        for control, under, threshold in (
            (True, False, CONTROL_MM2), (False, False, POWER_MM2), (True, True, BONNET_CONTROL_MM2),
            (False, True, BONNET_POWER_MM2),
        )
    }
    doubtful = set()
    for conductor in view.installation.conductors.values():
        if not is_added(conductor):
            continue
        control = all(sections.is_control((conductor, core)) for core in conductor.cores)
        under = any(stretch.zone.id in bonnet for stretch in conductor.stretches)
        area_mm2 = min(core.core.area_mm2 for core in conductor.cores)
        if limits[control, False][0] <= area_mm2 < limits[control, True][0] and not under:
            doubtful.add(conductor.id)
        limit_mm2, setting = limits[control, under]
        if area_mm2 < limit_mm2:
            yield Finding(
                subject=Path("conductors", conductor.id), value=Measure(area_mm2, "mm2"),
                limit=Measure(limit_mm2, "mm2"), excess=limit_mm2 / area_mm2, authority=setting.authority,
                numbers=Keyed({
                    "wire": conductor.label, "sort": "control" if control else "power",
                    "where": " under the bonnet" if under else "",
                }),
                message="{wire} has {value}; a {sort} wire{where} wants {limit} to live through pulling, clamping and "
                "years of shaking, whatever its current.",
                remedy="Take {limit} or more.",
            )
    yield from unanswered(
        view, "mechanically-thin", UNDER_BONNET, lambda subject: any(c.id in doubtful for c in subject.conductors)
    )


def excess_coiled(view: View) -> Said:
    limit_m, setting = view.threshold(COILED_M)
    for conductor in view.installation.conductors.values():
        if not is_added(conductor) or all(view[SECTIONS].is_control((conductor, core)) for core in conductor.cores):
            continue
        excess_m = _excess_m(view.installation, conductor)
        if excess_m > limit_m:
            yield Finding(
                subject=Path("conductors", conductor.id), value=Measure(excess_m, "m"), limit=Measure(limit_m, "m"),
                excess=excess_m, authority=setting.authority, numbers=Keyed({"wire": conductor.label}),
                message="{wire} is {value} longer than its way, and the rest lies coiled up: the coil keeps the heat "
                "in, costs volts, and kicks each time the set is keyed.",
                remedy="Cut it to its way and spare; where the maker of the set forbids that, lay it in a long flat "
                "loop.",
            )


def _excess_m(installation: Installation, conductor: LaidConductor) -> float:
    """What lies coiled up: spare that was asked for, and a stated length that is more than its runs."""
    written = installation.design.conductors[conductor.id]
    excess_m = written.slack.si if written.slack is not None else 0.0
    runs = [installation.design.runs[s.run] for s in conductor.stretches if s.run is not None]
    lengths = [run.length.si for run in runs if run.length is not None]
    if written.length is not None and runs and len(lengths) == len(runs):
        excess_m += max(0.0, written.length.si - sum(lengths))
    return excess_m


def feed_too_long(view: View) -> Said:
    (limit_m, setting), (large_a, _), (system_v, _) = (view.threshold(t) for t in (LONG_M, LONG_A, LONG_V))
    if view.installation.system_v > system_v:
        return
    operating, sections = view[OPERATING], view[SECTIONS]
    for node, _part in view.installation.loads:
        ((positive, _),) = poles_of(node)
        way = sections.feed(positive, to_body=False)
        if way is None or way.length_m <= limit_m:
            continue
        states = solved_states(view.installation, operating)
        amps = max((brought_a(operating, sections, name, positive) for name, _ in states), default=0.0)
        if amps >= large_a:
            yield Finding(
                subject=Path("nodes", node.id), value=Measure(way.length_m, "m"), limit=Measure(limit_m, "m"),
                excess=way.length_m, authority=setting.authority,
                numbers=Keyed({"load": node.title, "amps": Measure(amps, "A")}),
                message="{load} draws {amps} over {value} of cable one way; beyond {limit} a feed at this voltage "
                "costs more copper than it is worth.",
                remedy="Put a battery or a converter near the set, or the set nearer to the battery.",
            )


def pair_apart(view: View) -> Said:
    sections = view[SECTIONS]
    for node, _ in view.installation.loads:
        ((positive, negative),) = poles_of(node)
        there, back = sections.feed(positive, to_body=False), sections.feed(negative, to_body=True)
        if there is None or back is None or back.end in sections.on_body:
            continue
        runs, others = _runs(there), _runs(back)
        alone = sorted(runs ^ others)
        if runs and others and alone:
            yield Finding(
                subject=Path("nodes", node.id), also=tuple(Path("runs", run) for run in alone),
                numbers=Keyed({"load": node.title, "runs": ", ".join(alone)}),
                message="Positive and negative of {load} go different ways (only one of them over {runs}): together "
                "they are a loop that picks up ignition and alternator, and sends out what the set makes.",
                remedy="Lead both side by side the whole way, twisted where they allow it.",
            )


def _runs(feed: Feed) -> set[str]:
    return {s.run for conductor, _ in feed.wires for s in conductor.stretches if s.run is not None}


# joints


def lead_extended_thinner(view: View) -> Said:
    sections = view[SECTIONS]
    for conductor in view.installation.conductors.values():
        if conductor.origin != "supplied" or not is_added(conductor):
            continue
        for core in conductor.cores:
            for other, thin in _extensions(sections, conductor, core):
                if thin.core.area_mm2 < core.core.area_mm2 * (1 - SAME_SHARE):
                    yield Finding(
                        subject=Path("conductors", other.id), also=(Path("conductors", conductor.id),),
                        value=Measure(thin.core.area_mm2, "mm2"), limit=Measure(core.core.area_mm2, "mm2"),
                        excess=core.core.area_mm2 / thin.core.area_mm2,
                        numbers=Keyed({"wire": other.label, "lead": conductor.label}),
                        message="{wire} extends the supplied lead {lead} of {limit} with {value}: the maker chose "
                        "that size for the set's current and its fuse.",
                        remedy="Extend it with {limit} or more; the longer the way, the more.",
                    )


def _extensions(sections: Sections, conductor: LaidConductor, core: LaidCore) -> Iterator[Wire]:
    """What is joined to a core end to end: over a joint of two, or through a fuse."""
    for net in (core.start.net, core.end.net):
        part = sections.node_at(net).part
        nets = [net] if isinstance(part, Joint) else []
        if isinstance(part, ProtectiveDevice):
            nets = [leg.net for leg in sections.legs[net] if leg.through]
        for far in nets:
            wires = [wire for wire in sections.wires_at(far) if wire[1] is not core]
            if len(wires) == 1 and wires[0][0].origin == "cut" and is_added(wires[0][0]):
                yield wires[0]


def _is_in_line(subject: Subject) -> bool:
    """Whether a node is a joint at which exactly two of our conductors meet."""
    node = subject.thing
    return isinstance(node, PlacedNode) and isinstance(node.part, Joint) and len(subject.ours) == 2


SPLICE = Fact("splice", "node", "Is this joint a splice in the cable, not a stud or a busbar?", only=_is_in_line)


def splice_in_main_feed(view: View) -> Said:
    sections = view[SECTIONS]
    found = (sections.feed(pole, to_body=False) for node, _ in view.installation.loads for pole, _ in poles_of(node))
    on_feeds = {leg.node for feed in found if feed for leg in feed.legs}
    for subject in view[SUBJECTS].asked(SPLICE):
        assert isinstance(subject.thing, PlacedNode)
        if subject.thing.id in on_feeds and subject.answer(SPLICE):
            yield Finding(
                subject=subject.path, numbers=Keyed({"splice": subject.title}),
                message="{splice} is a splice in a positive feed: one more place to run hot or to work loose, and one "
                "that nobody finds.",
                remedy="Run the feed in one piece from fuse to set, or bring the joint to a stud or a connector in "
                "reach.",
            )
    yield from unanswered(view, "splice-in-main-feed", SPLICE, lambda subject: subject.path[1] in on_feeds)


def partial_upsize(view: View) -> Said:
    sections = view[SECTIONS]
    for node, _ in view.installation.loads:
        ((positive, _),) = poles_of(node)
        feed = sections.feed(positive, to_body=False)
        wires = _in_series(sections, feed) if feed else []
        areas = [core.core.area_mm2 for _, core in wires]
        if len(wires) < 2 or max(areas) - min(areas) <= SAME_SHARE * max(areas):
            continue
        ohms = [core.core.ohm_per_m_20 * conductor.length_m for conductor, core in wires]
        pieces = ", ".join(
            f"{conductor.label} of {Measure(core.core.area_mm2, 'mm2')} has {Measure(1e3 * ohm, 'mohm')} "
            f"({ohm / sum(ohms):.0%})"
            for (conductor, core), ohm in zip(wires, ohms, strict=True)
        )
        most = wires[ohms.index(max(ohms))][0].label
        yield Finding(
            subject=Path("nodes", node.id), also=tuple(Path("conductors", c.id) for c, _ in wires),
            numbers=Keyed({"load": node.title, "pieces": pieces, "most": most}),
            message="The positive lead of {load} is of different sizes: {pieces}. A larger size in one piece buys "
            "only the share of that piece.",
            remedy="If volts are short, enlarge {most} first: that is where they go.",
        )


def _in_series(sections: Sections, feed: Feed) -> list[Wire]:
    """Our wires from an equipment to the first branch on the way to its source: they all carry the same current."""
    found: list[Wire] = []
    for leg in feed.legs:
        if leg.conductor and leg.core:
            if not is_added(leg.conductor):
                break
            found.append((leg.conductor, leg.core))
        power = [wire for wire in sections.wires_at(leg.net) if not sections.is_control(wire)]
        passes = sum(other.through is not None for other in sections.legs.get(leg.net, ()))
        if len(power) + passes > 2:
            break
    return found


CHECKS = (
    Check(
        "mechanically-thin", "conductor", "warning", mechanically_thin, needs=(SECTIONS,), facts=(UNDER_BONNET,),
        thresholds=(CONTROL_MM2, POWER_MM2, BONNET_CONTROL_MM2, BONNET_POWER_MM2),
    ),
    Check("excess-coiled", "conductor", "warning", excess_coiled, needs=(SECTIONS,), thresholds=(COILED_M,)),
    Check(
        "feed-too-long", "conductor", "advice", feed_too_long, needs=(OPERATING, SECTIONS),
        thresholds=(LONG_M, LONG_A, LONG_V),
    ),
    Check("pair-apart", "conductor", "warning", pair_apart, needs=(SECTIONS,), authority="FCS 1362:2010 4.6.2"),
    Check("lead-extended-thinner", "conductor", "warning", lead_extended_thinner, needs=(SECTIONS,)),
    Check("splice-in-main-feed", "conductor", "warning", splice_in_main_feed, needs=(SECTIONS,), facts=(SPLICE,)),
    Check("partial-upsize", "conductor", "advice", partial_upsize, needs=(SECTIONS,)),
)
