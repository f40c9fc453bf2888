"""What has to be on record."""

from __future__ import annotations

from collections.abc import Iterator

from rigfeed.checks.check import Check, Fact, Finding, NotChecked
from rigfeed.checks.facts import Subject
from rigfeed.checks.offers import number
from rigfeed.checks.survey import Survey, ask, facts_of, survey_checks
from rigfeed.checks.survey_record import ROWS
from rigfeed.installation import PlacedNode
from rigfeed.keyed import Keyed
from rigfeed.path import Path
from rigfeed.view import View

UNSIGNED = tuple(row for row in ROWS if row.check == "deviation-unsigned")


def _makes_mains(subject: Subject) -> bool:
    return isinstance(subject.thing, PlacedNode) and number(subject.thing.part, "mains_w") is not None


MAINS = Survey(
    "mains-side", "record", "warning",
    Fact("mains-by-licensed", "node", "Was its mains side fitted and tested by somebody with a licence for mains?",
         only=_makes_mains),
    True,
    "The mains side of {subject} was not fitted and tested by somebody with a licence for it: it kills, and nothing "
    "here looks at it.",
    "Keep it switched off until that is done, by the local code for mains in vehicles.",
    "local codes and licensed practice",
)


def mains_side(view: View) -> Iterator[Finding | NotChecked]:
    """Only the side of the battery is looked at, and that is said each time."""
    for node in view.installation.nodes.values():
        if number(node.part, "mains_w") is not None:
            why = f"the mains side of {node.title} is no part of this: see local codes and licensed practice"
            yield NotChecked(MAINS.check, why, Path("nodes", node.id))
    yield from ask(view, MAINS)


def deviation_unsigned(view: View) -> Iterator[Finding | NotChecked]:
    for place, deviation in enumerate(view.installation.design.deviations):
        if deviation.on is None:
            yield Finding(
                subject=Path("deviations", place),
                numbers=Keyed({"by": deviation.by, "check": deviation.check}),
                message="The deviation from {check} bears the name of {by} but no date: that is no signature.",
                remedy="Write beside it on what day {by} accepted it.",
            )
    yield from ask(view, *UNSIGNED)


CHECKS = (
    *survey_checks(row for row in ROWS if row not in UNSIGNED),
    Check(MAINS.check, MAINS.group, MAINS.severity, mains_side, authority=MAINS.authority, facts=facts_of(MAINS)),
    Check(
        "deviation-unsigned", "record", "warning", deviation_unsigned, authority="FCS 1362:2010 5.2",
        facts=facts_of(*UNSIGNED),
    ),
)
