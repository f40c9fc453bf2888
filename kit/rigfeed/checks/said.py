"""What several checks of sources and conductors ask of an installation, and say in the same way."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator

from rigfeed.checks.check import Fact, NotChecked
from rigfeed.checks.facts import SUBJECTS, Subject, open_line
from rigfeed.checks.offers import is_feeder
from rigfeed.installation import Installation, LaidConductor, LaidState, PlacedNode
from rigfeed.measure import Measure
from rigfeed.studies.operating import Operating
from rigfeed.studies.ratings import RATINGS
from rigfeed.studies.sections import Sections
from rigfeed.view import StudyFailed, View

MOST_NAMES = 8


def listed(names: Iterable[str]) -> str:
    """Names in a sentence, the first few of many.

    >>> listed(["W2", "W1"])
    'W1, W2'
    """
    found = sorted(set(names))
    more = f" and {len(found) - MOST_NAMES} more" if len(found) > MOST_NAMES else ""
    return ", ".join(found[:MOST_NAMES]) + more


def unanswered(
    view: View, check: str, fact: Fact, matters: Callable[[Subject], bool] = lambda subject: True
) -> Iterator[NotChecked]:
    """One line for all subjects on which nobody has looked, of those to which it matters."""
    asked = [subject for subject in view[SUBJECTS].asked(fact) if matters(subject)]
    if line := open_line(check, fact, asked):
        yield line


def is_added(conductor: LaidConductor) -> bool:
    """Whether it is part of this installation and carries no radio frequency."""
    return conductor.origin != "vehicle" and not is_feeder(conductor)


def solved_states(installation: Installation, operating: Operating) -> Iterator[tuple[str, LaidState]]:
    """The states in which something conducts."""
    for name in operating.solutions:
        yield name, installation.states[name]


def brought_a(operating: Operating, sections: Sections, state: str, net: str) -> float:
    """The current that the cores of a net bring to it, of either sign [A]."""
    total = 0.0
    for _, core in sections.wires_at(net):
        sign = (core.end.net == net) - (core.start.net == net)
        total += sign * operating.current(state, core.id)
    return abs(total)


def other_rating(view: View, node: PlacedNode) -> str:
    """Which other ratings of its family would fit in the place of a device, or why none does, as a sentence; empty
    where that is not known."""
    try:
        window = view[RATINGS].windows[node.id]
    except StudyFailed:
        return ""
    if not window.least or not window.most:
        return ""
    governing = window.least[0], window.most[0]
    least, most = (f"{Measure(bound.rating_a, 'A')} ({bound.subject[-1]})" for bound in governing)
    others = [str(Measure(rated_a, "A")) for rated_a in window.fitting_a if rated_a != window.device.rated_a]
    if others:
        unless = f", as far as is known ({listed(window.unknown)})" if window.unknown else ""
        return f"Of its family {' or '.join(others)} would fit{unless}: at least {least}, at most {most}."
    if window.is_open:
        return f"From {least} to {most} the catalogs have no other one of its family."
    return f"No rating fits here: it takes at least {least}, and at most {most} is allowed."
