"""What is put on the ends: the right barrel, the right ring, not too many, contacts that bear the fuse."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

from rigfeed.checks.check import Check, Finding, NotChecked, Severity
from rigfeed.checks.ends import (
    OurEnd,
    has_stud,
    our_ends,
    ring_mm,
    rings_by_stud,
    spare_of,
    stud_under,
)
from rigfeed.checks.offers import BARE, barrel_mm2, is_feeder, is_solid, number, stud_of
from rigfeed.checks.sleeves import CHECKS as SLEEVES
from rigfeed.checks.survey import Survey, ask, facts_of, survey_checks
from rigfeed.checks.survey_termination import (
    FERRULE_FITS,
    RING_FITS,
    ROWS,
    SPARE_LENGTH,
    STACKED,
)
from rigfeed.installation import Installation, LaidEnd, PlacedNode
from rigfeed.keyed import Keyed
from rigfeed.measure import Measure
from rigfeed.parts.interfaces import ProtectiveDevice
from rigfeed.path import Path
from rigfeed.practice import Threshold
from rigfeed.view import View
from rigfeed.wiring import WIRING, Wiring

RING_LARGER_MM = Threshold("ring-hole-mismatch.larger", "mm", "greatest excess of a ring's hole over its stud")
STUD_COUNT = Threshold("too-many-on-stud.count", "", "greatest number of terminals on a stud")
SPARE_M = Threshold("no-spare-length.length", "m", "least spare for one re-termination")

Said = Iterator[Finding | NotChecked]
Numbers = Mapping[str, Measure | str]


def barrel_mismatch(view: View) -> Said:
    unknown: dict[str, None] = {}
    unfitted = 0
    for ours in our_ends(view.installation):
        fitting = ours.end.fitting
        if is_feeder(ours.conductor):
            continue  # what a coaxial connector takes is a diameter
        if fitting is None:
            unfitted += 1
        elif (barrel := barrel_mm2(fitting)) is None:
            unknown[fitting.short_key] = None
        elif not barrel[0] <= ours.core.core.area_mm2 <= barrel[1]:
            yield _misfit(ours, *barrel)
    if unfitted:
        yield NotChecked("barrel-mismatch", f"no end fitting is chosen at {unfitted} ends")
    if unknown:
        yield NotChecked("barrel-mismatch", f"the catalog gives no range for {', '.join(sorted(unknown))}")


def _misfit(ours: OurEnd, least_mm2: float, most_mm2: float) -> Finding:
    area_mm2, fitting = ours.core.core.area_mm2, ours.end.fitting
    is_thick = area_mm2 > most_mm2
    return Finding(
        subject=ours.path, also=(Path("conductors", ours.conductor.id),), value=Measure(area_mm2, "mm2"),
        limit=Measure(most_mm2 if is_thick else least_mm2, "mm2"),
        excess=area_mm2 / most_mm2 if is_thick else least_mm2 / area_mm2,
        numbers=Keyed({
            "wire": ours.conductor.label, "terminal": ours.end.terminal, "fitting": fitting.title if fitting else "",
            "least": Measure(least_mm2, "mm2"), "most": Measure(most_mm2, "mm2"),
            "what": "it does not go in whole, and strands that are cut off carry nothing" if is_thick
            else "it is not gripped, and pulls out or runs hot",
        }),
        message="{fitting} on {wire} at {terminal} takes {least} to {most}, and the conductor has {value}: {what}.",
        remedy="Use a terminal whose barrel is made for {value}; never thin the strands out or fold them double.",
    )


# studs


def ring_hole_mismatch(view: View) -> Said:
    larger_mm, setting = view.threshold(RING_LARGER_MM)
    rings = rings_by_stud(view.installation.conductors.values())
    for ours in our_ends(view.installation):
        made_for, node = ring_mm(ours.end), view.installation.nodes[ours.end.node]
        stud_mm = None if made_for is None else stud_under(node, rings[ours.end.terminal])
        if made_for is None or stud_mm is None or stud_mm <= made_for <= stud_mm + larger_mm:
            continue
        is_small = made_for < stud_mm
        yield Finding(
            severity="error" if is_small else "warning", subject=ours.path, value=Measure(made_for, "mm"),
            limit=Measure(stud_mm, "mm"), excess=abs(made_for - stud_mm), authority=setting.authority,
            numbers=Keyed({
                "wire": ours.conductor.label, "terminal": ours.end.terminal, "larger": Measure(larger_mm, "mm"),
                "inferred": "" if stud_of(node) is not None else ", or a smaller ring could not go on",
                "what": "it does not go on, and must not be reamed" if is_small
                else "it rests on its rim only, runs hot and works loose",
            }),
            message="The ring of {wire} at {terminal} is made for a stud of {value}, and the stud is "
            "{limit}{inferred}: {what}.",
            remedy="Crimp a ring for {limit}; no more than {larger} of play is allowed.",
        )
    yield from ask(view, RING_FITS)


def too_many_on_stud(view: View) -> Said:
    count, setting = view.threshold(STUD_COUNT)
    for terminal, ends in _on_studs(view.installation).items():
        if len(ends) > count:
            node = view.installation.nodes[ends[0].node]
            yield Finding(
                subject=Path("nodes", node.id), value=Measure(len(ends)), limit=Measure(count), excess=len(ends),
                authority=setting.authority, numbers=Keyed({"stud": terminal, "node": node.title}),
                message="{value} terminals sit on {stud} ({node}), and {limit} are the most: the stack yields, the nut "
                "goes loose, and whoever takes one off takes all off.",
                remedy="Put a busbar beside it; no more than {limit} terminals on one stud, the largest at the bottom.",
            )
    yield from ask(view, STACKED)


def _on_studs(installation: Installation) -> dict[str, list[LaidEnd]]:
    """The ends on each stud: those with a ring, and those on a joint or the body whose fitting is not chosen."""
    found: dict[str, list[LaidEnd]] = {}
    for conductor in installation.conductors.values():
        for end in conductor.ends:
            if ring_mm(end) is not None or (end.fitting is None and has_stud(installation.nodes[end.node])):
                found.setdefault(end.terminal, []).append(end)
    return found


# under screws


def ferrule_missing(view: View) -> Said:
    for ours in our_ends(view.installation):
        fitting = ours.end.fitting
        if fitting is not None and fitting.kind == BARE and not is_solid(ours.conductor.cable):
            yield Finding(
                subject=ours.path, authority=FERRULE_FITS.authority,
                numbers=Keyed({"wire": ours.conductor.label, "terminal": ours.end.terminal}),
                message="{wire} goes bare under the clamp at {terminal}: the screw spreads and cuts fine strands, and "
                "those that are left carry it all.",
                remedy="Crimp a ferrule of the conductor's size, as long as the clamp is deep.",
            )
    yield from ask(view, FERRULE_FITS)


# contacts


def plug_underrated(view: View) -> Said:
    wiring = view[WIRING]
    for ours in our_ends(view.installation):
        fitting, rated_a = ours.end.fitting, number(ours.end.fitting, "rated_a")
        fuse = None if rated_a is None else _branch_fuse(ours.end, wiring)
        if fitting is None or rated_a is None or fuse is None or fuse[1].rated_a <= rated_a:
            continue
        yield Finding(
            subject=ours.path, also=(Path("nodes", fuse[0].id),), value=Measure(rated_a, "A"),
            limit=Measure(fuse[1].rated_a, "A"), excess=fuse[1].rated_a / rated_a,
            numbers=Keyed({
                "fitting": fitting.title, "wire": ours.conductor.label, "terminal": ours.end.terminal,
                "fuse": fuse[0].id,
            }),
            message="{fitting} on {wire} at {terminal} carries {value}, and fuse {fuse} of {limit} lets more through: "
            "the contact melts before the fuse opens.",
            remedy="Use a contact of at least {limit}, or a fuse of no more than {value}.",
        )


def _branch_fuse(end: LaidEnd, wiring: Wiring) -> tuple[PlacedNode, ProtectiveDevice] | None:
    """The device that limits what passes a contact: the one that feeds it, or the one it sits on, the smaller."""
    found = [pair for pair in (wiring.limiting_protection(end.net),) if pair]
    node = wiring.node(end.node)
    if isinstance(node.part, ProtectiveDevice):
        found.append((node, node.part))
    return min(found, key=lambda pair: (pair[1].rated_a, pair[0].id), default=None)


# spare


def no_spare_length(view: View) -> Said:
    least_m, setting = view.threshold(SPARE_M)
    for conductor in view.installation.conductors.values():
        spare_m = spare_of(conductor, view.installation)
        if spare_m is not None and spare_m < least_m:
            yield Finding(
                subject=Path("conductors", conductor.id), value=Measure(max(spare_m, 0.0), "m"),
                limit=Measure(least_m, "m"), excess=least_m - spare_m, authority=setting.authority,
                numbers=Keyed({"wire": conductor.label}),
                message="{wire} has {value} of spare, less than the {limit} that one new terminal takes: when a "
                "terminal has to be replaced, the whole wire has to be.",
                remedy="Cut it longer, by {limit} at each end.",
            )
    yield from ask(view, SPARE_LENGTH, numbers=lambda subject: {"limit": Measure(least_m, "m")})


def _with(row: Survey, run: Callable[[View], Said], *thresholds: Threshold, severity: Severity | None = None) -> Check:
    """A check that computes, and asks the question of a row where it cannot."""
    return Check(
        row.check, row.group, severity or row.severity, run, authority=row.authority, facts=facts_of(row),
        thresholds=thresholds,
    )


CHECKS = (
    *survey_checks(ROWS),
    *SLEEVES,
    Check("barrel-mismatch", "termination", "error", barrel_mismatch),
    _with(RING_FITS, ring_hole_mismatch, RING_LARGER_MM, severity="error"),
    _with(STACKED, too_many_on_stud, STUD_COUNT),
    _with(FERRULE_FITS, ferrule_missing),
    Check("plug-underrated", "termination", "error", plug_underrated, needs=(WIRING,)),
    _with(SPARE_LENGTH, no_spare_length, SPARE_M),
)
