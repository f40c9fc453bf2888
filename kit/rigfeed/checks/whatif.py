"""What would happen if: an open strap, an open negative, an open master switch, one device that fails."""

from __future__ import annotations

from collections.abc import Iterator

from rigfeed.checks.check import Check, Fact, Finding, NotChecked
from rigfeed.checks.facts import SUBJECTS, Subject
from rigfeed.checks.offers import is_feeder
from rigfeed.checks.said import listed, unanswered
from rigfeed.installation import Installation, LaidConductor, LaidCore, PlacedNode
from rigfeed.keyed import Keyed
from rigfeed.measure import Measure
from rigfeed.parts.interfaces import LoadDevice
from rigfeed.path import Path
from rigfeed.practice import Threshold
from rigfeed.studies.ampacity import AMPACITY, Ampacities
from rigfeed.studies.sections import SECTIONS
from rigfeed.studies.whatif import HAS_STARTER, MISHAPS, WHATIF, WhatIf
from rigfeed.studies.whatif_cut import fed_without, passed_on
from rigfeed.view import View

Said = Iterator[Finding | NotChecked]

SHIELD_A = Threshold("strap-open-overloads.shield", "A", "greatest current in the shield of a feeder")
RISE_A = Threshold("strap-open-overloads.rise", "A", "rise of a current that the open strap is blamed for")
COAX_A = Threshold("negative-open-uses-coax.current", "A", "greatest current of an equipment in the shield of a feeder")
REVERSE_V = Threshold("tap-reversed-by-isolator.reverse", "V", "greatest reverse voltage at an equipment")

NEVER_S = 1e9  # of what nothing opens, beside what opens late
REVERSED_S = Threshold("no-reverse-protection.time", "s", "longest time that a diode across the input has to stand")


# the strap

STARTER = Fact(HAS_STARTER, "vehicle", "Does a starter hang on this battery (an electric drive has none)?")


def strap_open_overloads(view: View) -> Said:
    (shield_a, _), (rise_a, _) = view.threshold(SHIELD_A), view.threshold(RISE_A)
    study = view[WHATIF]
    if study.of("strap-open"):
        yield from unanswered(view, "strap-open-overloads", STARTER)
    for case in study.of("strap-open"):
        over = [
            (is_feeder(conductor), limit_a - amps, conductor, amps, limit_a)
            for conductor, core in _ours(view.installation)
            if (limit_a := _limit_a(conductor, core, view[AMPACITY], shield_a)) is not None
            and (amps := abs(case.last.core_a.get(core.id, 0.0))) > limit_a
            and amps - abs(case.before.core_a.get(core.id, 0.0)) > rise_a
        ]
        if over:
            over.sort(key=lambda found: (found[0], round(found[1], 6), found[2].id))
            yield _overloaded(view.installation, case, [found[2:] for found in over], study.crank_a or 0.0)


def _ours(installation: Installation) -> Iterator[tuple[LaidConductor, LaidCore]]:
    for conductor in installation.conductors.values():
        if conductor.origin != "vehicle":
            yield from ((conductor, core) for core in conductor.cores)


def _limit_a(conductor: LaidConductor, core: LaidCore, ampacities: Ampacities, shield_a: float) -> float | None:
    if is_feeder(conductor):
        return shield_a
    governing = ampacities.governing(core.id)
    return governing.amps if governing else None


def _overloaded(
    installation: Installation, case: WhatIf, over: list[tuple[LaidConductor, float, float]], crank_a: float
) -> Finding:
    conductor, amps, limit_a = over[0]
    others = sorted({other.id for other, _, _ in over[1:]} - {conductor.id})
    also = (case.subject, *(Path("conductors", id_) for id_ in others))
    numbers: dict[str, Measure | str] = {
        "wire": conductor.label, "battery": installation.nodes[str(case.subject[1])].title,
        "starter": Measure(crank_a, "A"), "others": listed(others),
        "last": Measure(max(a for _, a, _ in over), "A"),
    }
    more = " So does {others}, {last} at most." if others else ""
    return Finding(
        subject=Path("conductors", conductor.id), also=also, state=installation.states[case.state].title,
        value=Measure(amps, "A"), limit=Measure(limit_a, "A"), excess=amps / limit_a, numbers=Keyed(numbers),
        message=(
            "If the body strap of {battery} opens and someone cranks, the starter (taken as {starter} with a sound "
            "strap) finds its way back through {wire}: {value}, and it carries {limit} for long." if crank_a else
            "If the body strap of {battery} opens, {value} find their way back through {wire}, which carries {limit}."
        ) + more
        + " No fuse stops it.",
        remedy="Take the return to the body, not to the post, so that nothing of yours bridges the strap; or put a "
        "fuse into {wire} at the post.",
    )


# the negative of a set


def negative_open_uses_coax(view: View) -> Said:
    limit_a, setting = view.threshold(COAX_A)
    for case in view[WHATIF].of("negative-open"):
        carried = [
            (abs(amps), conductor) for conductor, core in _ours(view.installation) if is_feeder(conductor)
            if abs(amps := case.first.core_a.get(core.id, 0.0)) > limit_a and case.risen(core.id) > 0.0
        ]
        if carried:
            amps, feeder = max(carried, key=lambda found: (round(found[0], 6), found[1].id))
            node = view.installation.nodes[str(case.subject[1])]
            yield Finding(
                subject=case.subject, also=(Path("conductors", feeder.id),), value=Measure(amps, "A"),
                limit=Measure(limit_a, "A"), excess=amps, authority=setting.authority,
                state=view.installation.states[case.state].title,
                numbers=Keyed({"load": node.title, "feeder": feeder.label, "works": _works(case, node.id)}),
                message="If the negative of {load} comes off, {value} come back over the shield of {feeder} and the "
                "mount of its antenna, more than {limit}. {works}",
                remedy="Secure the negative joint and put it on the test sheet: pull the negative, key, and read the "
                "current; a break for direct current in the feeder ends the question.",
            )


def _works(case: WhatIf, load: str) -> str:
    if load in case.last.working:
        return "The set works on, and nobody notices until the connector is hot."
    return "The set drops out while it sends, and the connector is hot."


# the master switch


def tap_reversed_by_isolator(view: View) -> Said:
    limit_v, setting = view.threshold(REVERSE_V)
    for case in view[WHATIF].of("isolator-open"):
        switch = view.installation.nodes[str(case.subject[1])]
        for load, volts in case.first.load_v.items():
            if volts is not None and volts < -limit_v:
                yield Finding(
                    subject=Path("nodes", load), also=(case.subject,), value=Measure(-volts, "V"),
                    limit=Measure(limit_v, "V"), excess=-volts, authority=setting.authority,
                    numbers=Keyed({"load": view.installation.nodes[load].title, "switch": switch.title}),
                    message="When {switch} is turned off, {load} sees {value} the wrong way round: what is still on "
                    "across the whole bank pulls its negative above the tap. One battery also carries the whole "
                    "load of the day, and the set of two ages apart.",
                    remedy="Feed it from the whole bank through a converter; never from between the two batteries.",
                )


# one device fails


def _is_radio(subject: Subject) -> bool:
    """Whether a subject is a radio set, and not the only one."""
    node, nodes = subject.thing, subject.installation.nodes.values()
    return isinstance(node, PlacedNode) and is_radio(node) and sum(map(is_radio, nodes)) > 1


def is_radio(node: PlacedNode) -> bool:
    """Whether a node is an equipment with an antenna socket."""
    return isinstance(node.part, LoadDevice) and any(terminal.pole == "inner" for terminal in node.part.terminals)


MUST_RUN = Fact(
    "must-run", "node", "Is this one of the sets of which one must still work when any one part fails?", only=_is_radio
)


def single_point_of_loss(view: View) -> Said:
    sections = view[SECTIONS]
    yield from unanswered(view, "single-point-of-loss", MUST_RUN)
    wanted = [subject.thing for subject in view[SUBJECTS].asked(MUST_RUN) if subject.answer(MUST_RUN)]
    loads = [node for node in wanted if isinstance(node, PlacedNode) and fed_without(sections, node)]
    for device in passed_on(view.installation) if len(loads) > 1 else ():
        if not any(fed_without(sections, load, device.id) for load in loads):
            yield Finding(
                subject=Path("nodes", device.id), also=tuple(Path("nodes", load.id) for load in loads),
                numbers=Keyed({"device": device.title, "loads": listed(load.id for load in loads)}),
                message="When {device} fails, {loads} are dead together, and one of them was to go on working.",
                remedy="Give one of them a feed of its own from its source on, with its own fuse; a second battery or "
                "source if the source is what they share.",
            )


# a plug the wrong way round


def _is_set(subject: Subject) -> bool:
    node = subject.thing
    return isinstance(node, PlacedNode) and isinstance(node.part, LoadDevice) and bool(subject.ours)


def _is_protected(subject: Subject) -> bool:
    return _is_set(subject) and subject.answer(PROTECTED) is True


PROTECTED = Fact(
    "reverse-protected", "node", "Is it protected against a reversed supply, as its manual says?", only=_is_set
)
BY_DIODE = Fact(
    "reverse-by-diode", "node", "Does it do that by a diode across its input that makes the fuse open?",
    only=_is_protected,
)


def no_reverse_protection(view: View) -> Said:
    """Nothing protects it; or a diode does, and the fuse that has to save the diode opens late or not at all."""
    limit_s, setting = view.threshold(REVERSED_S)
    for fact in (PROTECTED, BY_DIODE):
        yield from unanswered(view, "no-reverse-protection", fact)
    for subject in view[SUBJECTS].asked(PROTECTED):
        if subject.answer(PROTECTED) is False:
            yield Finding(
                subject=subject.path, numbers=Keyed({"load": subject.title}),
                message="Nothing protects {load} against a reversed supply: one swap of its leads destroys it.",
                remedy="Use a plug that fits one way only, and read the polarity with a meter before plugging it in.",
            )
    diodes = {str(s.path[1]) for s in view[SUBJECTS].asked(BY_DIODE) if s.answer(BY_DIODE)}
    for case in view[MISHAPS].of("reversed") if diodes else ():
        after_s = case.opened[0][1] if case.opened else None
        if str(case.subject[1]) in diodes and (after_s is None or after_s > limit_s):
            yield _diode_alone(view.installation, case, after_s, Measure(limit_s, "s"), setting.authority)


def _diode_alone(
    installation: Installation, case: WhatIf, after_s: float | None, limit: Measure, authority: str
) -> Finding:
    load = str(case.subject[1])
    opens = "opens nothing" if after_s is None else "opens {device} after {value} at the latest, more than {limit}"
    device = case.devices[0] if case.devices else ""
    return Finding(
        subject=case.subject, value=None if after_s is None else Measure(after_s, "s"), limit=limit,
        excess=NEVER_S if after_s is None else after_s, authority=authority,
        numbers=Keyed({"load": installation.nodes[load].title, "device": device}),
        message="With its leads swapped the diode in {load} " + opens + ": the diode burns out, and then the set.",
        remedy="Use the fuse that the maker of the set states, and a wire that lets it open at once.",
    )


CHECKS = (
    Check(
        "strap-open-overloads", "fault", "error", strap_open_overloads, needs=(WHATIF, AMPACITY),
        facts=(STARTER,), thresholds=(SHIELD_A, RISE_A),
    ),
    Check(
        "negative-open-uses-coax", "fault", "warning", negative_open_uses_coax, needs=(WHATIF,), thresholds=(COAX_A,),
    ),
    Check(
        "tap-reversed-by-isolator", "fault", "error", tap_reversed_by_isolator, needs=(WHATIF,),
        thresholds=(REVERSE_V,),
    ),
    Check(
        "single-point-of-loss", "fault", "warning", single_point_of_loss, needs=(SECTIONS,), facts=(MUST_RUN,),
    ),
    Check(
        "no-reverse-protection", "fault", "warning", no_reverse_protection, needs=(MISHAPS,),
        facts=(PROTECTED, BY_DIODE), thresholds=(REVERSED_S,),
    ),
)
