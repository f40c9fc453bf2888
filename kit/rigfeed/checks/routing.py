"""The way through the vehicle: what holes let pass, how it is held and bent, what lies along it, what to cut."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

from rigfeed.checks.beside import CHECKS as BESIDE
from rigfeed.checks.beside import neighbours, unsaid
from rigfeed.checks.check import Check, Fact, Finding, NotChecked
from rigfeed.checks.ends import spare_of
from rigfeed.checks.facts import SUBJECTS, Subject
from rigfeed.checks.offers import is_feeder, is_power, is_solid, number
from rigfeed.checks.passages import CHECKS as PASSAGES
from rigfeed.checks.survey import Survey, ask, facts_of, survey_checks
from rigfeed.checks.survey_routing import (
    BENDS_WIDE,
    CLIPPED,
    CROSSES_HINGE,
    DANGERS_NOTED,
    FEEDER_APART,
    FLEX_LOOP,
    LOOM_FITS,
    ROWS,
    loom_on,
)
from rigfeed.installation import LaidConductor
from rigfeed.keyed import Keyed
from rigfeed.measure import Measure
from rigfeed.packing import enclosing_diameter
from rigfeed.parts.interfaces import Accessory, LoadDevice
from rigfeed.path import Path
from rigfeed.practice import Threshold
from rigfeed.resolve.conductors import SLACK_END_M, SLACK_EQUIPMENT_M
from rigfeed.view import View

SPACING_M = Threshold("clips-too-far.spacing", "m", "greatest distance between the supports of a cable")
BEND_COAX = Threshold("bend-too-tight.coax-fixed", "", "least bend radius of a fixed coax in diameters")
BEND_FLEXING = Threshold("bend-too-tight.coax-flexing", "", "least bend radius of a flexing coax in diameters")
BEND_POWER = Threshold("bend-too-tight.power", "", "least bend radius of a power cable in diameters")
APART_M = Threshold("coax-along-power.distance", "m", "least distance of a coax that runs along power")
ALONG_M = Threshold("coax-along-power.length", "m", "length along which a coax may run nearer")
BORE_LEAST = Threshold("loom-bore-mismatch.least", "", "least bore of a loom against the diameter of its bundle")
BORE_MOST = Threshold("loom-bore-mismatch.most", "", "greatest bore of a loom against the diameter of its bundle")

Said = Iterator[Finding | NotChecked]
Numbers = Mapping[str, Measure | str]


def clips_too_far(view: View) -> Said:
    spacing_m, setting = view.threshold(SPACING_M)
    limit = {"limit": Measure(spacing_m, "m")}
    yield from ask(view, CLIPPED, numbers=lambda subject: limit, authority=setting.authority)


def hinge_without_loop(view: View) -> Said:
    for subject in view[SUBJECTS].of("run"):
        if subject.answer(CROSSES_HINGE) is True:
            for conductor in subject.ours:
                if is_solid(conductor.cable):
                    yield Finding(
                        subject=Path("conductors", conductor.id), also=(subject.path,),
                        numbers=Keyed({"wire": conductor.label, "run": subject.title}),
                        message="{wire} crosses a hinge on {run} and its conductor is one wire: it breaks after some "
                        "hundred movements, inside an insulation that looks whole.",
                        remedy="Use a stranded cable for the piece over the hinge.",
                    )
    yield from ask(view, FLEX_LOOP)


def bend_too_tight(view: View) -> Said:
    coax, flexing, power = (view.threshold(key)[0] for key in (BEND_COAX, BEND_FLEXING, BEND_POWER))

    def radius_mm(conductor: LaidConductor, flexes: bool) -> float:
        cable = conductor.cable
        own_mm = number(cable, "bend_long_mm") if flexes and is_feeder(conductor) else cable.bend_mm
        if own_mm is not None:
            return own_mm
        return cable.od_mm * ((flexing if flexes else coax) if is_feeder(conductor) else power)

    def numbers(subject: Subject) -> Numbers:
        flexes = subject.answer(CROSSES_HINGE) is True
        widest_mm, _, widest = max((radius_mm(c, flexes), c.id, c) for c in subject.ours)
        return {"limit": Measure(widest_mm, "mm"), "cable": widest.label}

    yield from ask(view, BENDS_WIDE, numbers=numbers)


def loom_bore_mismatch(view: View) -> Said:
    (least, setting), (most, _) = view.threshold(BORE_LEAST), view.threshold(BORE_MOST)

    def numbers(subject: Subject) -> Mapping[str, Measure]:
        bundle_mm = enclosing_diameter([conductor.cable.od_mm for conductor in subject.ours])
        return {
            "least": Measure(least * bundle_mm, "mm"), "most": Measure(most * bundle_mm, "mm"),
            "bundle": Measure(bundle_mm, "mm"),
        }

    for subject in view[SUBJECTS].of("run"):
        loom = loom_on(subject)
        bore_mm = number(loom, "bore_mm")
        if loom is not None and bore_mm is not None and subject.ours:
            yield from _misfit(loom, bore_mm, subject, numbers(subject), setting.authority)
    yield from ask(view, LOOM_FITS, numbers=numbers)


def _misfit(
    loom: Accessory, bore_mm: float, subject: Subject, numbers: Mapping[str, Measure], authority: str
) -> Said:
    """A conduit that is too tight or too wide for what lies in it."""
    least_mm, most_mm = numbers["least"].value, numbers["most"].value
    if least_mm <= bore_mm <= most_mm:
        return
    is_tight = bore_mm < least_mm
    yield Finding(
        subject=subject.path, also=tuple(Path("conductors", conductor.id) for conductor in subject.ours),
        value=Measure(bore_mm, "mm"), limit=numbers["least" if is_tight else "most"], authority=authority,
        excess=least_mm / bore_mm if is_tight else bore_mm / most_mm,
        numbers=Keyed({
            **numbers, "loom": loom.title, "run": subject.title,
            "what": "nothing can be drawn through it or cooled in it" if is_tight else "the bundle rattles and chafes",
        }),
        message="{loom} on {run} has a bore of {value} for a bundle of {bundle}: {what}.",
        remedy="Take a conduit with a bore of {least} to {most}.",
    )


def coax_along_power(view: View) -> Said:
    (apart_m, setting), (along_m, _) = view.threshold(APART_M), view.threshold(ALONG_M)
    near = {near.subject.path[1] for near in neighbours(view, "vehicle-loom") if near.distance_m < apart_m}
    power = _power_on_runs(view)
    for conductor in view.installation.conductors.values():
        if conductor.origin == "vehicle" or not is_feeder(conductor):
            continue
        together = {s.run: s.length_m for s in conductor.stretches if s.run in near or s.run in power}
        length_m = sum(together.values())
        if length_m > along_m:
            runs = sorted(str(run) for run in together)
            beside = sorted({name for run in runs for name in power.get(run, ())})
            yield Finding(
                subject=Path("conductors", conductor.id), also=tuple(Path("runs", run) for run in runs),
                value=Measure(length_m, "m"), limit=Measure(along_m, "m"), excess=length_m, authority=setting.authority,
                numbers=Keyed({
                    "coax": conductor.label, "apart": Measure(apart_m, "m"),
                    "beside": ", ".join(beside) or "the vehicle's loom",
                }),
                message="{coax} runs {value} along {beside}, nearer than {apart} for more than {limit}: noise of the "
                "feed gets into the receiver, and transmitted power into the vehicle's electronics.",
                remedy="Lead it over other runs, or keep {apart} between them; cross at right angles.",
            )
    if any(is_feeder(c) and c.origin != "vehicle" for c in view.installation.conductors.values()):
        yield from unsaid(view, "coax-along-power", "vehicle-loom")


def _power_on_runs(view: View) -> dict[str, tuple[str, ...]]:
    """The wires for power by run: what shares a run lies together unless somebody says that it is kept apart."""
    return {
        str(subject.path[1]): tuple(c.label for c in subject.ours if is_power(view.installation, c))
        for subject in view[SUBJECTS].asked(FEEDER_APART)
        if subject.answer(FEEDER_APART) is not True
    }


def cut_too_short(view: View) -> Said:
    (end_m, setting), (equipment_m, _) = view.threshold(SLACK_END_M), view.threshold(SLACK_EQUIPMENT_M)
    installation = view.installation
    for conductor in installation.conductors.values():
        spare_m = spare_of(conductor, installation)
        if spare_m is None:
            continue
        wanted_m = sum(
            equipment_m if any(isinstance(installation.nodes[end.node].part, LoadDevice) for end in ends) else end_m
            for ends in ([core.start for core in conductor.cores], [core.end for core in conductor.cores])
        )
        if spare_m < wanted_m - 1e-9:
            way_m = conductor.cut_length_m - spare_m
            yield Finding(
                subject=Path("conductors", conductor.id), value=Measure(conductor.cut_length_m, "m"),
                limit=Measure(way_m + wanted_m, "m"), excess=wanted_m - spare_m, authority=setting.authority,
                numbers=Keyed({
                    "wire": conductor.label, "way": Measure(way_m, "m"), "wanted": Measure(wanted_m, "m"),
                }),
                message="{wire} is to be cut to {value}, and its way of {way} with {wanted} of spare makes {limit}: "
                "there is not enough for the ends and for pulling the equipment out.",
                remedy="Cut {limit}.",
            )


def _asking(row: Survey, run: Callable[[View], Said], *thresholds: Threshold, facts: tuple[Fact, ...] = ()) -> Check:
    """A check that puts numbers to the question of a row."""
    asked = tuple(dict.fromkeys((*facts_of(row), *facts)))
    return Check(row.check, row.group, row.severity, run, authority=row.authority, facts=asked, thresholds=thresholds)


CHECKS = (
    *survey_checks(ROWS),
    *BESIDE,
    *PASSAGES,
    _asking(CLIPPED, clips_too_far, SPACING_M),
    _asking(FLEX_LOOP, hinge_without_loop),
    _asking(BENDS_WIDE, bend_too_tight, BEND_COAX, BEND_FLEXING, BEND_POWER, facts=(CROSSES_HINGE,)),
    _asking(LOOM_FITS, loom_bore_mismatch, BORE_LEAST, BORE_MOST),
    Check(
        "coax-along-power", "routing", "warning", coax_along_power, authority="FCS 1362:2010 p.21",
        facts=(FEEDER_APART, DANGERS_NOTED), thresholds=(APART_M, ALONG_M),
    ),
    Check("cut-too-short", "routing", "warning", cut_too_short, thresholds=(SLACK_END_M, SLACK_EQUIPMENT_M)),
)
