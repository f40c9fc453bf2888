"""How protective devices and contacts stand in the wiring: side by side, in the negative, alone, under load."""

from __future__ import annotations

from collections.abc import Iterator

from rigfeed.checks.check import Check, Fact, Finding, NotChecked
from rigfeed.checks.facts import Subject
from rigfeed.checks.offers import number
from rigfeed.checks.said import brought_a, listed, solved_states
from rigfeed.checks.survey import Survey, ask, facts_of
from rigfeed.installation import Installation, PlacedNode, net_of
from rigfeed.keyed import Keyed
from rigfeed.measure import Measure
from rigfeed.parts.interfaces import ConverterDevice, LoadDevice, ProtectiveDevice, SourceDevice
from rigfeed.path import Path
from rigfeed.studies.operating import OPERATING
from rigfeed.studies.sections import SECTIONS, Feed, Sections, poles_of
from rigfeed.view import View
from rigfeed.wiring import WIRING, Leg

Said = Iterator[Finding | NotChecked]


def fuses_in_parallel(view: View) -> Said:
    sections = view[SECTIONS]
    between: dict[frozenset[frozenset[str]], list[PlacedNode]] = {}
    for node, device in view.installation.protections:
        for pair in device.through:
            sides = frozenset(frozenset(_joined(sections, net_of(f"{node.id}.{t}", device))) for t in pair)
            between.setdefault(sides, []).append(node)
    for both, nodes in between.items():
        if len(nodes) > 1 and len(both) > 1:
            yield Finding(
                subject=Path("nodes", nodes[0].id), also=tuple(Path("nodes", node.id) for node in nodes[1:]),
                numbers=Keyed({"fuses": listed(node.id for node in nodes)}),
                message="{fuses} stand side by side between the same two wires: they never share the current by their "
                "ratings. One opens first, then the others, and none protects the wire at its own rating.",
                remedy="Use one fuse of the rating that is wanted, or give each fuse a wire and a load of its own.",
            )


def _joined(sections: Sections, net: str) -> set[str]:
    """The nets that hang together with one without a protective device in between."""

    def crosses(here: str, leg: Leg) -> bool:
        return here not in sections.on_body and not _is_guard(leg)

    return set(sections.reached(net, crosses))


def negative_at_post_unfused(view: View) -> Said:
    """The body bond is what tells a vehicle's battery: an auxiliary that a set is fed from two-wire has none."""
    installation, sections = view.installation, view[SECTIONS]
    for battery, part in installation.sources:
        post = f"{battery.id}.{part.poles[1]}"
        if not part.stores or not _is_bonded(sections, post):
            continue
        for load in installation.nodes.values():
            if isinstance(load.part, ConverterDevice) and load.part.isolated:
                continue  # nothing of it leads from its input on to the body
            for _, negative in poles_of(load):
                way = sections.feed(negative, to_body=True)
                if way is None or way.end != post or any(_is_guard(leg) for leg in way.legs):
                    continue
                last, _ = way.wires[-1]
                yield Finding(
                    subject=Path("conductors", last.id), also=(Path("nodes", battery.id), Path("nodes", load.id)),
                    numbers=Keyed({"wire": last.label, "battery": battery.title, "load": load.title}),
                    message="{wire} brings the negative of {load} to the post of {battery} without a fuse. If the body "
                    "strap opens or corrodes, the current of starter, alternator or winch takes this thin wire, "
                    "through the set and its antenna cable: it burns.",
                    remedy="Take the return to the body end of the strap; where the maker of the set insists on the "
                    "post, put a fuse of the positive's rating into {wire} at the post.",
                )


def isolated_negative_unfused(view: View) -> Said:
    """Where neither pole is grounded, the negative of an equipment is a live wire like its positive. What only joins
    negative posts, and the coil of a contact, are no equipment."""
    installation, sections = view.installation, view[SECTIONS]
    isolated = installation.design.vehicle.isolated_return
    bare = list(_bare_returns(installation, sections)) if isolated is not False else []
    for load, way in bare:
        subject = Path("conductors", way.wires[-1][0].id)
        if isolated is None:
            if not sections.returns_over_body(way.end):
                why = "needs to know whether both poles are kept off the body (vehicle.isolated_return)"
                yield NotChecked("isolated-negative-unfused", why, Path("vehicle"))
                return
        elif all(wire.origin == "vehicle" for wire, _ in way.wires):
            why = "it is the vehicle's own wiring: see its maker's instructions"
            yield NotChecked("isolated-negative-unfused", why, subject)
        else:
            source = sections.node_at(way.end)
            yield Finding(
                subject=subject, also=(Path("nodes", source.id), Path("nodes", load.id)),
                numbers=Keyed({"wire": way.wires[-1][0].label, "source": source.title, "load": load.title}),
                message="{wire} brings the negative of {load} to {source} without a fuse, and both poles of this "
                "vehicle are kept off the body. When the positive of another circuit touches metal nothing happens; "
                "when this wire then chafes through on the same metal, all that the other circuit's fuse lets pass "
                "flows in it, and the fuse in the positive of {load} sees none of it.",
                remedy="Put a fuse of the positive's rating into {wire} as well, as close to {source} as it will go.",
            )


def _bare_returns(installation: Installation, sections: Sections) -> Iterator[tuple[PlacedNode, Feed]]:
    """The equipment whose negative hangs on that of a battery without a protective device in between."""
    posts = {f"{node.id}.{part.poles[1]}" for node, part in installation.sources if part.stores}
    for load in installation.nodes.values():
        for _, negative in poles_of(load):
            way = sections.feed(negative, to_body=True, unguarded=True)  # a longer wire past a fuse is one as well
            if way is None or way.end in sections.on_body:
                continue
            if not posts.isdisjoint(_joined(sections, negative)):
                yield load, way


def _is_guard(leg: Leg) -> bool:
    return leg.through is not None and isinstance(leg.through.part, ProtectiveDevice)


def _is_bonded(sections: Sections, post: str) -> bool:
    """Whether the vehicle's own wire joins a post to the body."""

    def crosses(here: str, leg: Leg) -> bool:
        return here not in sections.on_body and leg.conductor is not None and leg.conductor.origin == "vehicle"

    reached = sections.reached(post, crosses)
    return not sections.on_body.isdisjoint(reached)


def negative_fused_at_body(view: View) -> Said:
    installation, sections = view.installation, view[SECTIONS]
    for load in installation.nodes.values():
        for _, negative in poles_of(load):
            way = sections.feed(negative, to_body=True)
            if way is None or way.end not in sections.on_body:
                continue
            for leg in way.legs:
                if _is_guard(leg):
                    yield Finding(
                        subject=Path("nodes", leg.node), also=(Path("nodes", load.id),),
                        numbers=Keyed({"fuse": leg.node, "load": load.title}),
                        message="Fuse {fuse} sits in the negative of {load}, which goes to the body: it protects "
                        "nothing, and when it opens the set finds its return through the antenna cable.",
                        remedy="Leave {fuse} out and take the negative to the body without a break.",
                    )


def self_resetting_main(view: View) -> Said:
    wiring = view[WIRING]
    for node, part in view.installation.loads:
        devices = wiring.protections_of(f"{node.id}.{part.poles[0]}")
        if devices and all(getattr(device, "closes_by_itself", False) for _, device in devices):
            breaker = devices[-1][0]
            yield Finding(
                subject=Path("nodes", breaker.id), also=(Path("nodes", node.id),),
                numbers=Keyed({"breaker": breaker.id, "load": node.title}),
                message="Self-resetting breaker {breaker} is all that protects the feed of {load}: it closes into the "
                "fault again and again, and heats wire and fault until something gives.",
                remedy="Use a fuse or a breaker that has to be reset by hand as the first device at the battery.",
            )


# contacts


def _has_coil(subject: Subject) -> bool:
    return isinstance(subject.thing, PlacedNode) and bool(number(subject.thing.part, "coil_a"))


COIL = Survey(
    "contact-underrated", "source", "error",
    Fact("coil-suppressed", "node", "Is its coil suppressed (diode or resistor across it)?", only=_has_coil), True,
    "The coil of {subject} has nothing across it: each time it lets go it sends a spike of some hundred volts into the "
    "wiring.",
    "Use a relay with a built-in resistor or diode, or fit one across the coil, the right way round.",
)


def contact_underrated(view: View) -> Said:
    yield from ask(view, COIL)
    for node in view.installation.nodes.values():
        part = node.part
        if part is None or isinstance(part, ProtectiveDevice | SourceDevice | LoadDevice) or not part.through:
            continue
        rated_a, rated_v, peak_a = (number(part, name) for name in ("rated_a", "rated_v", "peak_a"))
        if rated_a is not None:
            yield from _carries_too_much(view, node, rated_a)
        if rated_v is not None and rated_v < view.installation.system_v:
            yield Finding(
                subject=Path("nodes", node.id), value=Measure(rated_v, "V"),
                limit=Measure(view.installation.system_v, "V"), numbers=Keyed({"contact": node.title}),
                message="{contact} is made for {value} and sits in a system of {limit}: direct current at that voltage "
                "keeps the arc burning when it opens.",
                remedy="Use one that is rated to make and break {limit} of direct voltage.",
            )
        if peak_a is not None:
            yield from _weld(view, node, peak_a)


def _carries_too_much(view: View, node: PlacedNode, rated_a: float) -> Said:
    operating, sections = view[OPERATING], view[SECTIONS]
    assert node.part is not None
    for name, state in solved_states(view.installation, operating):
        nets = (net_of(f"{node.id}.{pair[1]}", node.part) for pair in node.part.through)
        amps = max(brought_a(operating, sections, name, net) for net in nets)
        if amps > rated_a:
            yield Finding(
                subject=Path("nodes", node.id), state=state.title, value=Measure(amps, "A"),
                limit=Measure(rated_a, "A"), excess=amps, numbers=Keyed({"contact": node.title}),
                message="{contact} carries {value} in state {state} and is rated for {limit}: its contacts overheat "
                "and weld or burn off.",
                remedy="Use one that is rated for {value} for hours, or take a load off it.",
            )


def _weld(view: View, node: PlacedNode, peak_a: float) -> Said:
    """What the capacitors behind a contact draw as it closes."""
    sections = view[SECTIONS]
    behind: list[tuple[str, float]] = []
    for load, part in view.installation.loads:
        inrush_a = number(part, "inrush_a")
        way = sections.feed(f"{load.id}.{part.poles[0]}", to_body=False)
        if inrush_a and way and any(leg.through is node for leg in way.legs):
            behind.append((load.title, inrush_a))
    total_a = sum(inrush_a for _, inrush_a in behind)
    if total_a > peak_a:
        yield Finding(
            subject=Path("nodes", node.id), value=Measure(total_a, "A"), limit=Measure(peak_a, "A"), excess=total_a,
            numbers=Keyed({"contact": node.title, "loads": listed(title for title, _ in behind)}),
            message="{contact} closes on the capacitors of {loads}, which draw {value} at first; it stands {limit} "
            "for a moment. Its contacts weld.",
            remedy="Charge the capacitors over a resistor first, or use a contact for that peak.",
        )


CHECKS = (
    Check(
        "fuses-in-parallel", "source", "error", fuses_in_parallel, needs=(SECTIONS,), authority="FCS 1362:2010 4.6.3",
    ),
    Check(
        "negative-at-post-unfused", "source", "error", negative_at_post_unfused, needs=(SECTIONS,),
        authority="Caltrans vehicle equipment guide 17, item 12",
    ),
    Check(
        "isolated-negative-unfused", "source", "error", isolated_negative_unfused, needs=(SECTIONS,),
        authority="33 CFR 183.455(a); FCS 1362:2010 4.7.2",
    ),
    Check(
        "negative-fused-at-body", "source", "warning", negative_fused_at_body, needs=(SECTIONS,),
        authority="FCS 1362:2010 4.6.4",
    ),
    Check("self-resetting-main", "source", "warning", self_resetting_main, needs=(WIRING,)),
    Check(
        "contact-underrated", "source", "error", contact_underrated, needs=(OPERATING, SECTIONS), facts=facts_of(COIL),
    ),
)
