"""Checks that need nothing but an eye: one row each. The row says what is asked, which answer is good, and why."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from rigfeed.checks.check import Check, Fact, Finding, NotChecked, Severity
from rigfeed.checks.facts import subjects
from rigfeed.keyed import Keyed
from rigfeed.view import View


@dataclass(frozen=True)
class Survey:
    """One question and what it means. `good` is the answer that is as it should be; `message` may name {subject}."""

    check: str
    group: str
    severity: Severity
    fact: Fact
    good: bool
    message: str
    remedy: str
    authority: str = "common practice, no source"


def survey_check(row: Survey) -> Check:
    """The check of a row: a finding where the answer is bad, and one line for all that nobody has looked at."""
    return Check(row.check, row.group, row.severity, _run(row), authority=row.authority, facts=(row.fact,))


def _run(row: Survey) -> Callable[[View], Iterable[Finding | NotChecked]]:
    def run(view: View) -> Iterator[Finding | NotChecked]:
        asked = list(subjects(view.installation, row.fact))
        unknown = 0
        for subject in asked:
            answer = subject.answer(row.fact)
            if answer is None:
                unknown += 1
            elif answer is not row.good:
                yield Finding(
                    subject=subject.path,
                    message=row.message,
                    remedy=row.remedy,
                    numbers=Keyed({"subject": subject.title}),
                )
        if unknown:
            yield NotChecked(row.check, f"not looked at on {unknown} of {len(asked)}: {row.fact.question}")

    return run
