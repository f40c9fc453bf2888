"""Two designs side by side: what changed, findings gained and lost, copper, cost, volts at each load."""

from __future__ import annotations

import math
from collections.abc import Iterator
from decimal import Decimal
from typing import Any

from rigfeed.assess import Assessment, assess
from rigfeed.checks.check import SEVERITY_ORDER, Finding
from rigfeed.design.model import Design
from rigfeed.design.schema import to_plain
from rigfeed.frozen import frozen
from rigfeed.parts.interfaces import FeederType
from rigfeed.parts.shelf import Shelf, open_shelf
from rigfeed.path import Path
from rigfeed.practice import Practice
from rigfeed.studies.operating import OPERATING
from rigfeed.view import Tell, silent

COPPER_KG_PER_M_MM2 = 8.89e-3  # IEC 60028: 8.89 g/cm3 at 20 degC
CARRIED = 3  # the depth of a path at which a change is told: conductors.W1.cable


@frozen
class Difference:
    """One thing that differs, as written in each design; None where it is not there."""

    path: Path
    before: str | None
    after: str | None


@frozen
class LoadVolts:
    """The volts at a load in a state that both designs have; None where it is not fed or is not there."""

    load: str
    state: str
    before_v: float | None
    after_v: float | None


@frozen
class Amount:
    """Something that is added up in each design; `unit` is a unit or a currency. None: not known."""

    what: str
    unit: str
    before: float | None
    after: float | None


@frozen(eq=False)
class Comparison:
    """Both assessments, and what is different between them. `volts` are those of the worst state of each load."""

    before: Assessment
    after: Assessment
    differences: tuple[Difference, ...]
    gained: tuple[Finding, ...]
    lost: tuple[Finding, ...]
    changed: tuple[tuple[Finding, Finding], ...]
    volts: tuple[LoadVolts, ...]
    amounts: tuple[Amount, ...]

    @property
    def is_same(self) -> bool:
        """Whether nothing differs: not what is written, nor what comes of it, as where two catalogs differ."""
        figures = [*((v.before_v, v.after_v) for v in self.volts), *((a.before, a.after) for a in self.amounts)]
        told = self.differences or self.gained or self.lost or self.changed
        return not told and all(_alike(one, two) for one, two in figures)


def compare(
    before: Design, after: Design, *, shelf: Shelf | None = None, after_shelf: Shelf | None = None,
    practice: Practice | str | None = None, tell: Tell | None = None,
) -> Comparison:
    """Assess two designs and compare them.

    Parameters
    ----------
    before, after : Design
        In this order: what the second has more is gained.
    shelf, after_shelf : Shelf, optional
        The parts in use for each; those of the installed plugins by default, for the second those of the first.
    practice, tell
        As for `rigfeed.assess`, the same for both.

    Raises
    ------
    DesignError, UnknownName, CatalogError, PracticeError, InputErrors
        As `rigfeed.assess` does, for the first of the two that cannot be assessed.
    """
    shelf, tell = shelf or open_shelf(), tell or silent
    tell(0.0, "the first design")
    one = assess(before, shelf=shelf, practice=practice)
    tell(0.5, "the second design")
    two = assess(after, shelf=after_shelf or shelf, practice=practice)
    return compare_assessments(one, two)


def compare_assessments(one: Assessment, two: Assessment) -> Comparison:
    """Compare what is assessed already."""
    first, second = ({(f.check, str(f.subject)): f for f in a.findings} for a in (one, two))
    return Comparison(
        one, two, tuple(differences(one.installation.design, two.installation.design)),
        tuple(f for key, f in second.items() if key not in first),
        tuple(f for key, f in first.items() if key not in second),
        tuple((first[key], f) for key, f in second.items() if key in first and _differs(first[key], f)),
        tuple(_volts(one, two)), tuple(_amounts(one, two)),
    )


def _alike(one: float | None, two: float | None) -> bool:
    """Whether two figures are the same but for their last bits."""
    return one == two or (one is not None and two is not None and math.isclose(one, two, rel_tol=1e-9, abs_tol=1e-9))


def _differs(one: Finding, two: Finding) -> bool:
    """Whether a finding of both says something else: another severity, or another figure in three digits."""
    values = [f"{f.value.value:.3g}" if f.value else "" for f in (one, two)]
    return one.severity != two.severity or values[0] != values[1]


# what changed


def differences(before: Design, after: Design) -> Iterator[Difference]:
    """What is written differently, by path; where something is new or gone as a whole it is told once. Positions in a
    window are no part of it."""
    one, two = to_plain(before), to_plain(after)
    for plain in (one, two):
        plain.pop("drawing", None)
    yield from _differ((), one, two)


def _differ(path: tuple[str | int, ...], one: Any, two: Any) -> Iterator[Difference]:
    if one == two:
        return
    if isinstance(one, dict) and isinstance(two, dict):
        for key in sorted({*one, *two}, key=str):
            yield from _differ((*path, key), one.get(key), two.get(key))
    elif len(path) < CARRIED - 1 and isinstance(one or two, dict) and (one is None or two is None):
        for key in sorted(one or two, key=str):  # a whole collection
            yield from _differ((*path, key), (one or {}).get(key), (two or {}).get(key))
    else:
        yield Difference(Path(*path), _written(one), _written(two))


def _written(value: Any) -> str | None:
    """A value as a person would read it; of a whole thing what it is made of."""
    if value is None:
        return None
    if isinstance(value, dict):
        return ", ".join(f"{key} {_written(inner)}" for key, inner in value.items() if not isinstance(inner, dict))
    if isinstance(value, list | tuple):
        return ", ".join(str(_written(inner)) for inner in value)
    return {True: "yes", False: "no"}.get(value, str(value)) if isinstance(value, bool) else str(value)


# volts, copper, cost


def _volts(one: Assessment, two: Assessment) -> Iterator[LoadVolts]:
    """The worst state of each load: one in which only the second design leaves it without a feed, else that with the
    least volts in the second design, else in the first."""
    ids = {node.id for a in (one, two) for node, _ in a.installation.loads}
    states = [state for state in one.installation.states if state in two.installation.states]
    for load in sorted(ids):
        found = [LoadVolts(load, state, _across(one, state, load), _across(two, state, load)) for state in states]
        fed = [volts for volts in found if volts.before_v is not None or volts.after_v is not None]
        if fed:
            yield min(fed, key=_least)


def _least(volts: LoadVolts) -> tuple[bool, float, str]:
    known = [v for v in (volts.after_v, volts.before_v) if v is not None]
    return volts.after_v is not None, round(known[0], 9), volts.state


def _across(assessment: Assessment, state: str, load: str) -> float | None:
    operating = assessment.get(OPERATING)
    known = {node.id for node, _ in assessment.installation.loads}
    return operating.across(state, load) if operating is not None and load in known else None


def _amounts(one: Assessment, two: Assessment) -> Iterator[Amount]:
    for severity in SEVERITY_ORDER:
        yield Amount(f"findings: {severity}", "", float(one.count(severity)), float(two.count(severity)))
    yield Amount("not checked", "", float(len(one.not_checked)), float(len(two.not_checked)))
    yield Amount("assumptions", "", float(len(one.assumptions)), float(len(two.assumptions)))
    yield Amount("cable to cut", "m", _cut_m(one), _cut_m(two))
    yield Amount("copper in it", "kg", _copper_kg(one), _copper_kg(two))
    costs = [_costs(assessment) for assessment in (one, two)]
    for currency in sorted({*costs[0], *costs[1]}):
        before, after = (float(cost.get(currency, Decimal(0))) for cost in costs)
        yield Amount("cost of what has a price", currency, before, after)


def _cut_m(assessment: Assessment) -> float:
    return sum(c.cut_length_m for c in assessment.installation.conductors.values() if c.origin == "cut")


def _copper_kg(assessment: Assessment) -> float:
    """Of the conductors that are cut; feeders and what is not copper are left out."""
    return sum(
        core.core.area_mm2 * conductor.cut_length_m * COPPER_KG_PER_M_MM2
        for conductor in assessment.installation.conductors.values()
        if conductor.origin == "cut" and not isinstance(conductor.cable, FeederType)
        and conductor.cable.material == "copper"
        for core in conductor.cores
    )


def _costs(assessment: Assessment) -> dict[str, Decimal]:
    """What is to be bought and has a price, by currency."""
    from rigfeed.papers.materials import needs

    found: dict[str, Decimal] = {}
    for need in needs(assessment.installation):
        price, total = need.price, need.total()
        if price is not None and total is not None:
            found[price.currency] = found.get(price.currency, Decimal(0)) + total
    return found
