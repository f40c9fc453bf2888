"""Fault energy: what the worst short lets through each conductor, as a share of what that conductor bears."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING

from rigfeed.figures.figure import Axis, Dots, Figure, Mark, Shape
from rigfeed.frozen import frozen
from rigfeed.papers.places import natural
from rigfeed.parts.interfaces import FeederType
from rigfeed.quantity import System, show
from rigfeed.studies.faults import FAULTS, Stress
from rigfeed.studies.faults.heat import ADIABATIC_S
from rigfeed.studies.faults.result import TRACE_A

if TYPE_CHECKING:
    from rigfeed.assess import Assessment

LEAST, MOST = 0.1, 1000.0  # percent; what is beyond stands at the edge
WORDS: dict[Shape, str] = {
    "dot": "cleared, within the limit",
    "diamond": f"cleared after more than {ADIABATIC_S:g} s: heat leaves it meanwhile, it stays within the limit",
    "cross": "PAST THE LIMIT when it is cleared",
    "arrow": "STAYS FED, past the limit",
    "ring": "within the limit when the devices have opened, then fed on with less",
}
NOTES = (
    "The worst short anywhere for each conductor, in the case of the highest or of the lowest current. The limit is "
    "what its insulation bears from its running temperature (square of the current times its time).",
    "A conductor in front of its first device stays fed: nothing but its length protects it. Nothing here says that a "
    "design is safe.",
)


@frozen
class Strain:
    """One conductor: its core, the share of its limit in percent, None
    where that is not known, what its dot looks like, and a remark."""

    core: str
    percent: float | None
    shape: Shape
    remark: str


def fault_energy(assessment: Assessment, subject: str | None = None, system: System = "metric") -> Figure | None:
    """The figure of all conductors that were added and that a short reaches; None where there is none. It is about the
    whole installation, so there is no `subject`."""
    strains = tuple(_strains(assessment, system))
    if not strains:
        return None
    shapes = [shape for shape in WORDS if any(s.shape == shape and s.percent is not None for s in strains)]
    dots = tuple(
        Dots(WORDS[shape], tuple(
            (_within(strain.percent), float(row))
            for row, strain in enumerate(strains)
            if strain.shape == shape and strain.percent is not None
        ), shape)
        for shape in shapes
    )
    return Figure(
        "fault-energy", "Fault energy against what each conductor bears",
        Axis("let through, as a share of the limit", "%", "log", LEAST, MOST),
        Axis("conductor", names=tuple(s.core for s in strains), beside=tuple(s.remark for s in strains)),
        marks=(Mark("limit", 100.0, role="limit"),), dots=dots, notes=NOTES,
    )


def _strains(assessment: Assessment, system: System) -> Iterator[Strain]:
    faults = assessment[FAULTS]
    known = set(faults.cases[0].core_ids)
    wires = [
        core.id
        for conductor in assessment.installation.conductors.values()
        if conductor.origin != "vehicle" and not isinstance(conductor.cable, FeederType)
        for core in conductor.cores
    ]
    for core in sorted(wires, key=natural):
        stress = faults.stress(core) if core in known else None
        if stress is not None:
            yield _strain(stress, system)


def _strain(stress: Stress, system: System) -> Strain:
    """Where the dot of a conductor stands, and what is said beside it."""
    fed = " and ".join(source for source, _ in stress.timeline.fed_by)
    after = f"past its limit after {show(stress.limit_s, 's', system)}"
    if stress.share is None:
        return Strain(stress.core, None, "dot", "what it bears is not known")
    percent = 100.0 * stress.share
    shown = show(percent, "%", system)
    if math.isfinite(stress.limit_s):
        if stress.lasting_a > TRACE_A:
            return Strain(stress.core, MOST, "arrow", f"stays fed by {fed}, {after}")
        return Strain(stress.core, percent, "cross", f"{shown}, {after}")
    if stress.lasting_a > TRACE_A:
        more = "more than it carries for hours" if stress.too_much_a else "which it carries for hours"
        return Strain(stress.core, percent, "ring", f"{shown}, then {show(stress.lasting_a, 'A', system)}, {more}")
    cleared_s, by = stress.timeline.cleared_s, ", ".join(stress.timeline.opened)
    if math.isinf(cleared_s):  # the short is fed on, over other wires
        return Strain(stress.core, percent, "dot", f"{shown}, {by} opens")
    shape: Shape = "diamond" if cleared_s > ADIABATIC_S else "dot"
    cooled = ", within its limit as heat leaves it" if percent > 100.0 else ""
    return Strain(stress.core, percent, shape, f"{shown}, {by} after {show(cleared_s, 's', system)}{cooled}")


def _within(percent: float) -> float:
    """On the axis: at its edge for what is beyond."""
    return min(max(percent, LEAST), MOST)
