"""What passes a hole: its edge, how full it is, whether what is stiff goes through."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

from rigfeed.checks.check import Check, Fact, Finding, NotChecked
from rigfeed.checks.facts import SUBJECTS, End, Subject, named
from rigfeed.checks.survey import ask, facts_of
from rigfeed.checks.survey_routing import GROMMET_GRIPS, HOLE_SEALED
from rigfeed.installation import Installation, LaidPassage
from rigfeed.keyed import Keyed
from rigfeed.measure import Measure
from rigfeed.packing import enclosing_diameter
from rigfeed.path import Path
from rigfeed.practice import Setting, Threshold
from rigfeed.studies.bundles import BUNDLES, SIDES, Passing, Pull, RigidItem, Side
from rigfeed.view import View

FILL_ONE = Threshold("hole-overfull.one", "%", "greatest fill of a hole by one cable")
FILL_TWO = Threshold("hole-overfull.two", "%", "greatest fill of a hole by two cables")
FILL_THREE = Threshold("hole-overfull.three", "%", "greatest fill of a hole by three cables or more")
BORE_LEAST = Threshold("grommet-mismatch.least", "%", "least amount of a bore under the cable's diameter")
BORE_MOST = Threshold("grommet-mismatch.most", "%", "greatest amount of a bore under the cable's diameter")
LOOM_COUNTS = 3  # an existing loom counts as three cables

Said = Iterator[Finding | NotChecked]


def _used(installation: Installation) -> Iterator[LaidPassage]:
    for passage in installation.passages.values():
        if any(installation.conductors[name].origin != "vehicle" for name in passage.conductors):
            yield passage


def no_edge_protection(view: View) -> Said:
    unknown = []
    for passage in _used(view.installation):
        if passage.edge is None:
            unknown.append(passage.id)
        elif passage.edge == "bare":
            yield Finding(
                subject=Path("passages", passage.id),
                numbers=Keyed({"hole": named(passage.id, passage.title), "cables": ", ".join(passage.conductors)}),
                message="The edge of {hole} is bare ({cables}): the metal cuts through the insulation, and a feed that "
                "shorts there burns.",
                remedy="Fit a grommet, a gland or an edge strip before anything is drawn through.",
            )
    if unknown:
        yield NotChecked("no-edge-protection", f"needs to know the edge of {', '.join(unknown)} (passages.X.edge)")


def hole_overfull(view: View) -> Said:
    limits = [view.threshold(threshold) for threshold in (FILL_ONE, FILL_TWO, FILL_THREE)]
    unmeasured = []
    for passage in _used(view.installation):
        count = len(passage.cable_mm) + LOOM_COUNTS * len(passage.existing_mm)
        if passage.edge == "gland" and count == 1:
            continue  # it closes on its one cable: `grommet_mismatch` holds its bore against that
        share, setting = limits[min(count, 3) - 1]
        if passage.fill is None:
            unmeasured.append(passage.id)
        elif 100 * passage.fill > share:
            yield _overfull(passage, count, share, setting)
    if unmeasured:
        yield NotChecked("hole-overfull", f"needs the diameter of {', '.join(unmeasured)} (passages.X.diameter)")


def _overfull(passage: LaidPassage, count: int, share: float, setting: Setting) -> Finding:
    taken_mm2 = sum(mm * mm for mm in (*passage.existing_mm, *passage.cable_mm))
    fill = 100 * (passage.fill or 0.0)
    what = ("one cable", "two cables", "three cables or more; a loom counts as three")[min(count, 3) - 1]
    wanted_mm = math.sqrt(taken_mm2 / share * 100)
    return Finding(
        subject=Path("passages", passage.id), value=Measure(fill, "%"), limit=Measure(share, "%"), excess=fill / share,
        authority=setting.authority,
        numbers=Keyed({
            "hole": named(passage.id, passage.title), "what": what, "wanted": Measure(wanted_mm, "mm"),
        }),
        message="Cables fill {value} of {hole}, more than {limit} (for {what}): they are skinned when they are drawn, "
        "and they cannot get rid of their heat.",
        remedy="Make or find a hole of {wanted}, or lead something through a second one.",
    )


def grommet_mismatch(view: View) -> Said:
    (least, _), (most, setting) = view.threshold(BORE_LEAST), view.threshold(BORE_MOST)

    def sizes(passage: LaidPassage) -> Mapping[str, Measure]:
        bundle_mm = enclosing_diameter((*passage.existing_mm, *passage.cable_mm))
        return {
            "least": Measure((1 - most / 100) * bundle_mm, "mm"), "most": Measure((1 - least / 100) * bundle_mm, "mm"),
            "bundle": Measure(bundle_mm, "mm"),
        }

    def numbers(subject: Subject) -> Mapping[str, Measure]:
        assert isinstance(subject.thing, LaidPassage)
        return sizes(subject.thing)

    for passage in _used(view.installation):
        if passage.bore_mm is not None:
            yield from _misfit(passage, passage.bore_mm, sizes(passage), setting.authority)
    yield from ask(view, GROMMET_GRIPS, HOLE_SEALED, numbers=numbers)


def _misfit(passage: LaidPassage, bore_mm: float, sizes: Mapping[str, Measure], authority: str) -> Said:
    """A grommet or gland that is too wide or too tight for all that passes it together."""
    least_mm, most_mm = sizes["least"].value, sizes["most"].value
    if least_mm * (1 - 1e-9) <= bore_mm <= most_mm * (1 + 1e-9):
        return
    is_wide = bore_mm > most_mm
    yield Finding(
        subject=Path("passages", passage.id), value=Measure(bore_mm, "mm"),
        limit=sizes["most" if is_wide else "least"], authority=authority,
        excess=bore_mm / most_mm if is_wide else least_mm / bore_mm,
        numbers=Keyed({
            **sizes, "hole": named(passage.id, passage.title), "edge": passage.edge or "grommet",
            "what": "it is loose, chafes and lets water and fumes through" if is_wide
            else "it is forced, tears, and is pulled out of the hole",
        }),
        message="The {edge} of {hole} has a bore of {value}, and what passes it together is {bundle}: {what}.",
        remedy="Use one with a bore of {least} to {most} for the {bundle} that pass it together.",
    )


# what is stiff


def _is_on_the_way(subject: Subject) -> bool:
    """Whether an end belongs to a conductor that passes a hole."""
    runs = {stretch.run for stretch in subject.conductors[0].stretches}
    return any(passage.run in runs for passage in subject.installation.passages.values())


FITTED_BEFORE = Fact(
    "fitted-before-pulling", "end", "Is the end fitted, its holder with it, before the cable is drawn?",
    only=_is_on_the_way,
)


def will_not_pass(view: View) -> Said:
    bundles = view[BUNDLES]
    answers = {
        (subject.thing.conductor.id, subject.thing.side): subject.answer(FITTED_BEFORE)
        for subject in view[SUBJECTS].asked(FITTED_BEFORE) if isinstance(subject.thing, End)
    }
    open_, unmeasured = [], []
    for pull in bundles.pulls.values():
        leads = {side: _can_lead(pull, side, answers.get((pull.conductor, side))) for side in SIDES}
        if not pull.passages or True in leads.values():
            continue
        if None not in leads.values():
            yield _stuck(pull, view.installation)
        elif _is_open(pull, answers) and any(item.passes is False for item in pull.items):
            open_.append(pull.conductor)
        else:
            unmeasured.append(pull.conductor)
    if open_:
        why = f"{', '.join(open_)}: what is on the ends does not pass a hole on the way. {FITTED_BEFORE.question}"
        yield NotChecked("will-not-pass", why, questions=len(open_))
    if unmeasured:
        why = f"needs the size of what is on the ends, or of the holes on the way: {', '.join(unmeasured)}"
        yield NotChecked("will-not-pass", why)


def _is_open(pull: Pull, answers: Mapping[tuple[str, str], bool | None]) -> bool:
    """Whether an end is left of which nobody has said whether it is fitted before."""
    return any(answers.get((pull.conductor, side)) is None for side in SIDES)


def _can_lead(pull: Pull, side: Side, fitted_before: bool | None) -> bool | None:
    """Whether an end can go first: if it passes with everything on it, or is bare while it is drawn.

    What is supplied comes with its fittings on, unless somebody says that they are taken off.
    """
    passes = {item.passes for item in pull.at(side)}
    if passes <= {True} or fitted_before is False:
        return True
    is_fitted = True if pull.supplied and fitted_before is None else fitted_before
    return False if is_fitted and False in passes else None


def _stuck(pull: Pull, installation: Installation) -> Finding:
    item, passing = min(
        (_worst(pull, side) for side in SIDES), key=lambda pair: (pair[0].needs_mm or 0.0, pair[0].side)
    )
    passage, label = installation.passages[passing.passage], installation.conductors[pull.conductor].label
    beside = " beside what is in it" if passing.alone else ""
    return Finding(
        subject=Path("conductors", pull.conductor), also=(Path("passages", passing.passage),),
        value=Measure(item.needs_mm or 0.0, "mm"), limit=Measure(passing.hole_mm or 0.0, "mm"),
        excess=(item.needs_mm or 0.0) / (passing.hole_mm or 1.0),
        numbers=Keyed({
            "wire": label, "item": item.part.title, "node": item.node, "hole": _opening(passage),
            "beside": beside, "od": Measure(pull.od_mm, "mm"),
        }),
        message="{wire} is to be drawn with both ends fitted, and neither goes through: {item} at {node} needs a hole "
        "of {value}, and {hole} is {limit}{beside}.",
        remedy="Take {item} off, draw the bare cable of {od} with that end in front, and fit it when it is through.",
    )


def _opening(passage: LaidPassage) -> str:
    """What something stiff has to pass: the hole, or what a grommet leaves of it."""
    hole = named(passage.id, passage.title)
    return hole if passage.bore_mm is None else f"the bore of the {passage.edge or 'grommet'} in {hole}"


def _worst(pull: Pull, side: Side) -> tuple[RigidItem, Passing]:
    """The stiffest thing on an end that does not pass, and the smallest hole that stops it."""
    stopped = [(item, p) for item in pull.at(side) for p in item.passings if p.beside is False]
    return max(stopped, key=lambda pair: (pair[0].needs_mm or 0.0, -(pair[1].hole_mm or 0.0)))


CHECKS = (
    Check(
        "no-edge-protection", "routing", "error", no_edge_protection,
        authority="FCS 1362:2010; 13 CCR 1249(b); 33 CFR 183.445",
    ),
    Check("hole-overfull", "routing", "warning", hole_overfull, thresholds=(FILL_ONE, FILL_TWO, FILL_THREE)),
    Check(
        "grommet-mismatch", "routing", "warning", grommet_mismatch, facts=facts_of(GROMMET_GRIPS, HOLE_SEALED),
        thresholds=(BORE_LEAST, BORE_MOST),
    ),
    Check("will-not-pass", "routing", "error", will_not_pass, needs=(BUNDLES,), facts=(FITTED_BEFORE,)),
)
