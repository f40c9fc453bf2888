"""Edits that mend a finding, where what to do is plain and the shelf has what it takes.

Whoever shows findings asks `fixes_for`; nothing changes unless a person says so. An edit exchanges one part for another
of the same make-up: a fuse for one of its family, a cable for one of its size. What would have to be thought about (a
thicker cable wants other terminals) is left to the person.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from itertools import islice
from typing import TYPE_CHECKING

from rigfeed.checks.check import Finding
from rigfeed.checks.offers import number
from rigfeed.design.edit import Edit, Set
from rigfeed.errors import InputError
from rigfeed.installation import PlacedNode
from rigfeed.parts.alike import P, family_of, others
from rigfeed.parts.interfaces import ConductorType, EndFitting, ProtectiveDevice
from rigfeed.parts.part import Part
from rigfeed.parts.shelf import Shelf
from rigfeed.parts.tables import Want
from rigfeed.path import Path
from rigfeed.studies.ratings import RATINGS

if TYPE_CHECKING:
    from rigfeed.assess import Assessment

Fixer = Callable[[Finding, "Assessment", Shelf], Iterator[Edit]]
MOST_OFFERED = 3
SAME = 1e-6  # two figures of catalogs that mean the same


def fixes_for(finding: Finding, assessment: Assessment, shelf: Shelf) -> list[tuple[Edit, ...]]:
    """The edits that mend a finding of an assessment, one tuple for each way to do it, the nearest to what is there
    first; none where it is not plain."""
    fixer = FIXERS.get(finding.check)
    if fixer is None:
        return []
    found = fixer(finding, assessment, shelf)
    return [(edit,) for edit in islice(found, MOST_OFFERED)]


# fuses


def _smaller_fuse(finding: Finding, assessment: Assessment, shelf: Shelf) -> Iterator[Edit]:
    """The largest of its family that is allowed, if it carries what it has to."""
    fuse, fitting, _ = _fitting(finding, assessment)
    if fuse is not None:
        smaller = [other for other in fitting if other.rated_a < fuse.rated_a]
        rated_a = max((other.rated_a for other in smaller), default=0.0)
        yield from _exchanged(finding.subject / "part", fuse, [o for o in smaller if o.rated_a == rated_a], shelf)


def _larger_fuse(finding: Finding, assessment: Assessment, shelf: Shelf) -> Iterator[Edit]:
    """The next of its family that carries the load, if cable and maker of the equipment are known to allow it."""
    fuse, fitting, known = _fitting(finding, assessment)
    if fuse is not None and known:
        larger = [other for other in fitting if other.rated_a > fuse.rated_a]
        rated_a = min((other.rated_a for other in larger), default=0.0)
        yield from _exchanged(finding.subject / "part", fuse, [o for o in larger if o.rated_a == rated_a], shelf)


def _fitting(
    finding: Finding, assessment: Assessment
) -> tuple[ProtectiveDevice | None, list[ProtectiveDevice], bool]:
    """The device of a finding, those of its family that fit in its place, and whether all is known that could forbid
    one."""
    node, fuse = _guard(finding, assessment)
    ratings = assessment.get(RATINGS)
    if fuse is None or ratings is None:
        return None, [], False
    window = ratings.windows[node.id]
    fitting = [other for other in window.stock if window.fits(other.rated_a) and other.key != fuse.key]
    return fuse, fitting, bool(window.most) and not window.unknown


def _higher_volts(finding: Finding, assessment: Assessment, shelf: Shelf) -> Iterator[Edit]:
    _, fuse = _guard(finding, assessment)
    if fuse is None or finding.limit is None:
        return
    found = family_of(fuse, shelf, least_a=fuse.rated_a, most_a=fuse.rated_a, least_v=finding.limit.value)
    yield from _exchanged(finding.subject / "part", fuse, [o for o in found if o.rated_v == found[0].rated_v], shelf)


def _reset_by_hand(finding: Finding, assessment: Assessment, shelf: Shelf) -> Iterator[Edit]:
    _, breaker = _guard(finding, assessment)
    if breaker is None:
        return
    found = family_of(breaker, shelf, least_a=breaker.rated_a, most_a=breaker.rated_a)
    by_hand = [other for other in found if not getattr(other, "closes_by_itself", False)]
    yield from _exchanged(finding.subject / "part", breaker, by_hand, shelf)


def _guard(finding: Finding, assessment: Assessment) -> tuple[PlacedNode, ProtectiveDevice | None]:
    node = assessment.installation.nodes[str(finding.subject[1])]
    return node, node.part if isinstance(node.part, ProtectiveDevice) else None


# holders


def _holder(finding: Finding, assessment: Assessment, shelf: Shelf) -> Iterator[Edit]:
    """A holder of the same form for the fuse in it, sealed where the place is wet or the one before was."""
    node, fuse = _guard(finding, assessment)
    holder = getattr(node.settings, "holder", None)
    if fuse is None or not isinstance(holder, Part):
        return
    sealed = bool(node.zone.wet) or bool(getattr(holder, "sealed", False))
    wants = [Want("most_a", least=fuse.rated_a)]
    found = [o for o in others(shelf, holder, Part, wants, by="most_a") if _holds(o, fuse, sealed=sealed)]
    least_a = min((number(o, "most_a") or 0.0 for o in found), default=0.0)
    near = [o for o in found if (number(o, "most_a") or 0.0) <= least_a + SAME]
    yield from _exchanged(finding.subject / "settings" / "holder", holder, near, shelf)


def _holds(holder: Part, fuse: ProtectiveDevice, *, sealed: bool) -> bool:
    takes = getattr(holder, "takes", None)
    return bool(takes and takes(fuse)) and (not sealed or bool(getattr(holder, "sealed", False)))


# cables and what ends them


def _higher_class(finding: Finding, assessment: Assessment, shelf: Shelf) -> Iterator[Edit]:
    if finding.limit is None:
        return
    least_c = finding.limit.value
    cable, found = _same_size(finding, assessment, shelf, lambda other: (other.insulation_c or 0.0) >= least_c)
    class_c = min((o.insulation_c or 0.0 for o in found), default=0.0)
    yield from _exchanged(finding.subject / "cable", cable, [o for o in found if o.insulation_c == class_c], shelf)


def _tinned(finding: Finding, assessment: Assessment, shelf: Shelf) -> Iterator[Edit]:
    least_c = assessment.installation.conductors[str(finding.subject[1])].cable.insulation_c or 0.0
    cable, found = _same_size(
        finding, assessment, shelf,
        lambda other: bool(getattr(other, "is_tinned", False)) and (other.insulation_c or 0.0) >= least_c,
    )
    yield from _exchanged(finding.subject / "cable", cable, found, shelf)


def _same_size(
    finding: Finding, assessment: Assessment, shelf: Shelf, suits: Callable[[ConductorType], bool]
) -> tuple[ConductorType, list[ConductorType]]:
    """The cable of a conductor, and those of the same cores and metal that suit, none thicker than the old by half."""
    cable = assessment.installation.conductors[str(finding.subject[1])].cable
    area_mm2 = cable.cores[0].area_mm2
    wants = [Want("area_mm2", area_mm2 - SAME, area_mm2 + SAME)]
    found = others(shelf, cable, ConductorType, wants, by="area_mm2")  # type: ignore[type-abstract]
    alike = [o for o in found if len(o.cores) == len(cable.cores) and _as_good(o, cable) and suits(o)]
    return cable, sorted((o for o in alike if o.od_mm <= 1.5 * cable.od_mm), key=lambda o: (o.od_mm, o.key))


def _as_good(other: ConductorType, cable: ConductorType) -> bool:
    """Whether it is of the same metal; a coat of tin may be added, not lost."""
    return other.material in (cable.material, f"tinned {cable.material}")


def _ring(finding: Finding, assessment: Assessment, shelf: Shelf) -> Iterator[Edit]:
    """A ring of the same make for the stud that is there."""
    path, conductor = finding.subject, assessment.installation.conductors.get(str(finding.subject[1]))
    if finding.limit is None or conductor is None or len(conductor.cores) != 1 or path[2:3] != ("ends",):
        return
    end = conductor.cores[0].start if path[3] == 0 else conductor.cores[0].end
    if end.fitting is None:
        return
    wants = [Want("stud_mm", finding.limit.value - SAME, finding.limit.value + SAME)]
    area_mm2 = conductor.cores[0].core.area_mm2
    found = others(shelf, end.fitting, EndFitting, wants, by="stud_mm")
    fitting = [o for o in found if _takes(o, area_mm2)]
    # the same barrel as before, where there is one
    barrel_mm2, stock = number(end.fitting, "most_mm2"), shelf.stock
    fitting.sort(key=lambda o: (number(o, "most_mm2") != barrel_mm2, not stock.has(o.key), o.key))
    yield from islice(_exchanged(path, end.fitting, fitting, shelf), 1)


def _takes(fitting: EndFitting, area_mm2: float) -> bool:
    least_mm2, most_mm2 = number(fitting, "least_mm2"), number(fitting, "most_mm2")
    return least_mm2 is not None and most_mm2 is not None and least_mm2 <= area_mm2 <= most_mm2


# the shelf


def _exchanged(path: Path, part: Part, others: list[P], shelf: Shelf) -> Iterator[Edit]:
    """The edits that put others in the place of a part: where its own catalog has some, those only."""
    own = [other for other in others if other.provenance.catalog == part.provenance.catalog]
    for other in own or others:
        yield Set(path, _written(other, shelf))


def _written(part: Part, shelf: Shelf) -> str:
    """The key as a person would write it: without the catalog as long as that says which."""
    try:
        return part.short_key if shelf.part(part.short_key).key == part.key else part.key
    except InputError:
        return part.key


FIXERS: Mapping[str, Fixer] = {
    "fuse-above-ampacity": _smaller_fuse,
    "fuse-above-equipment-limit": _smaller_fuse,
    "fuse-loaded-too-close": _larger_fuse,
    "fuse-voltage-low": _higher_volts,
    "self-resetting-main": _reset_by_hand,
    "holder-underrated": _holder,
    "holder-not-sealed": _holder,
    "insulation-class-low": _higher_class,
    "untinned-in-wet": _tinned,
    "ring-hole-mismatch": _ring,
}
