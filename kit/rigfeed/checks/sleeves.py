"""What is shrunk over an end: whether it goes on, grips and seals."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from rigfeed.checks.check import Check, Finding, NotChecked
from rigfeed.checks.ends import is_one, is_wet, our_ends, sleeved, under_sleeve_mm
from rigfeed.checks.facts import SUBJECTS, End, Subject
from rigfeed.checks.offers import has_adhesive, sleeve_mm
from rigfeed.checks.said import unanswered
from rigfeed.checks.survey import ask, facts_of
from rigfeed.checks.survey_termination import JOINT_UNSEALED, SLEEVE_GRIPS, SLEEVED
from rigfeed.installation import LaidConductor, LaidEnd
from rigfeed.keyed import Keyed
from rigfeed.measure import Measure
from rigfeed.path import Path
from rigfeed.practice import Setting, Threshold
from rigfeed.view import View

RECOVERED_SHARE = Threshold("sleeve-mismatch.recovered", "%", "recovered diameter of a sleeve, of the cable's")

Said = Iterator[Finding | NotChecked]
Numbers = Mapping[str, Measure | str]


def joint_unsealed(view: View) -> Said:
    for subject in view[SUBJECTS].of("end"):
        plain = [end for end in sleeved(subject) if end.sleeve and not has_adhesive(end.sleeve)]
        if is_wet(subject) and plain and subject.answer(SLEEVED) is None:
            yield Finding(
                subject=_sleeve_path(subject), authority=JOINT_UNSEALED.authority,
                numbers=Keyed({"subject": subject.title, "sleeve": plain[0].sleeve.title if plain[0].sleeve else ""}),
                message="{subject} lies where it gets wet, and {sleeve} has no adhesive inside: water creeps in under "
                "it and the crimp rots where nobody sees it.",
                remedy="Take an adhesive-lined sleeve, or a sealed connector.",
            )
    zones = (view.installation.nodes[ours.end.node].zone for ours in our_ends(view.installation))
    unknown = sorted({zone.title for zone in zones if zone.wet is None})
    yield from ask(view, JOINT_UNSEALED)
    if unknown:
        yield NotChecked("joint-unsealed", f"needs to know whether these zones get wet: {', '.join(unknown)}")


def _sleeve_path(subject: Subject) -> Path:
    end = subject.thing
    assert isinstance(end, End)
    return Path("conductors", end.conductor.id, "sleeves", 0 if end.side == "from" else 1)


def sleeve_mismatch(view: View) -> Said:
    share, setting = view.threshold(RECOVERED_SHARE)

    def numbers(subject: Subject) -> Numbers:
        (conductor,) = subject.conductors
        return {"limit": Measure(share / 100 * conductor.cable.od_mm, "mm"), "share": Measure(share, "%")}

    for subject in view[SUBJECTS].of("end"):
        for laid in sleeved(subject):
            (conductor,) = subject.conductors
            yield from _narrow(conductor, laid, _sleeve_path(subject))
            yield from _loose(conductor, laid, _sleeve_path(subject), share, setting)
    yield from unanswered(view, "sleeve-mismatch", SLEEVED)
    yield from ask(view, SLEEVE_GRIPS, numbers=numbers)


def _narrow(conductor: LaidConductor, laid: LaidEnd, path: Path) -> Said:
    """A sleeve that does not go on."""
    sizes, over_mm = sleeve_mm(laid.sleeve), under_sleeve_mm(conductor, laid)
    od_mm = conductor.cable.od_mm if is_one(conductor) else 0.0
    needs_mm = od_mm if over_mm is None else over_mm
    if sizes is None or laid.sleeve is None or sizes[0] >= needs_mm:
        return
    fitting = laid.fitting.title if laid.fitting else ""
    over = f"{fitting}, which is on already," if conductor.origin == "supplied" else f"the barrel of {fitting}"
    yield Finding(
        subject=path, value=Measure(sizes[0], "mm"), limit=Measure(needs_mm, "mm"), excess=needs_mm / sizes[0],
        numbers=Keyed({
            "sleeve": laid.sleeve.title, "wire": conductor.label, "terminal": laid.terminal,
            "over": over if needs_mm > od_mm else "the cable",
        }),
        message="{sleeve} is {value} wide before it shrinks, and {over} of {wire} at {terminal} wants {limit}: it does "
        "not go on.",
        remedy="Take a sleeve of at least {limit} as supplied that shrinks far enough for the cable, and put it on "
        "before the terminal.",
    )


def _loose(conductor: LaidConductor, laid: LaidEnd, path: Path, share: float, setting: Setting) -> Said:
    """A sleeve that does not grip the cable when it has shrunk all it can."""
    sizes, most_mm = sleeve_mm(laid.sleeve), share / 100 * conductor.cable.od_mm
    if sizes is None or laid.sleeve is None or not is_one(conductor) or sizes[1] <= most_mm * (1 + 1e-9):
        return
    yield Finding(
        subject=path, value=Measure(sizes[1], "mm"), limit=Measure(most_mm, "mm"), excess=sizes[1] / most_mm,
        authority=setting.authority,
        numbers=Keyed({
            "sleeve": laid.sleeve.title, "wire": conductor.label, "terminal": laid.terminal,
            "od": Measure(conductor.cable.od_mm, "mm"), "share": Measure(share, "%"),
        }),
        message="{sleeve} on {wire} at {terminal} shrinks to {value} at best, and the cable is {od}: it does not grip, "
        "seals nothing and slides away.",
        remedy="Take a sleeve that recovers to {limit} or less, {share} of the cable's diameter; one that shrinks 3:1 "
        "or 4:1 goes over the barrel all the same.",
    )


CHECKS = (
    Check(
        "joint-unsealed", "termination", "warning", joint_unsealed, authority=JOINT_UNSEALED.authority,
        facts=facts_of(JOINT_UNSEALED),
    ),
    Check(
        "sleeve-mismatch", "termination", "warning", sleeve_mismatch, facts=(SLEEVED, *facts_of(SLEEVE_GRIPS)),
        thresholds=(RECOVERED_SHARE,),
    ),
)
