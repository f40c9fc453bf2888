"""What has to be on record."""

from __future__ import annotations

from collections.abc import Iterator

from rigfeed.checks.check import Check, Finding, NotChecked
from rigfeed.checks.survey import ask, facts_of, survey_checks
from rigfeed.checks.survey_record import ROWS
from rigfeed.keyed import Keyed
from rigfeed.path import Path
from rigfeed.view import View

UNSIGNED = tuple(row for row in ROWS if row.check == "deviation-unsigned")


def deviation_unsigned(view: View) -> Iterator[Finding | NotChecked]:
    for number, deviation in enumerate(view.installation.design.deviations):
        if deviation.on is None:
            yield Finding(
                subject=Path("deviations", number),
                numbers=Keyed({"by": deviation.by, "check": deviation.check}),
                message="The deviation from {check} bears the name of {by} but no date: that is no signature.",
                remedy="Write beside it on what day {by} accepted it.",
            )
    yield from ask(view, *UNSIGNED)


CHECKS = (
    *survey_checks(row for row in ROWS if row not in UNSIGNED),
    Check(
        "deviation-unsigned", "record", "warning", deviation_unsigned, authority="FCS 1362:2010 5.2",
        facts=facts_of(*UNSIGNED),
    ),
)
