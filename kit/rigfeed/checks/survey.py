"""Checks that need nothing but an eye: one row each. The row says what is asked, which answer is good, and why."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import replace
from functools import cached_property

from rigfeed.checks.check import Check, Fact, Finding, NotChecked, Severity
from rigfeed.checks.facts import SUBJECTS, Subject, open_line
from rigfeed.frozen import frozen
from rigfeed.keyed import Keyed
from rigfeed.measure import Measure
from rigfeed.practice import Threshold
from rigfeed.view import View

Numbers = Callable[[Subject], Mapping[str, Measure | str]]


@frozen
class Survey:
    """One question and what it means. `good` is the answer that is as it should be; `message` may name {subject}.

    With a `gate`, that is asked first, and the question itself only where the answer to the gate is yes. Rows of one
    check make one check together.
    """

    check: str
    group: str
    severity: Severity
    fact: Fact
    good: bool
    message: str
    remedy: str
    authority: str = "common practice, no source"
    gate: Fact | None = None

    @cached_property
    def facts(self) -> tuple[Fact, ...]:
        """What it asks, the gate first; behind it, the question narrowed down to where the gate stands open."""
        if self.gate is None:
            return (self.fact,)
        gate, only = self.gate, self.fact.only

        def open_(subject: Subject) -> bool:
            return _asked(gate, subject) and subject.answer(gate) is True and (only is None or only(subject))

        return gate, replace(self.fact, only=open_)


def survey_check(row: Survey) -> Check:
    """The check of a row: a finding where the answer is bad, and one line for all that nobody has looked at."""
    return survey_checks((row,))[0]


def survey_checks(rows: Iterable[Survey]) -> tuple[Check, ...]:
    """The checks of a table of rows, in its order; the first row of a check gives it its severity."""
    by_check: dict[str, list[Survey]] = {}
    for row in rows:
        by_check.setdefault(row.check, []).append(row)
    return tuple(_check(tuple(own)) for own in by_check.values())


def _check(rows: tuple[Survey, ...]) -> Check:
    def run(view: View) -> Iterator[Finding | NotChecked]:
        return ask(view, *rows)

    first = rows[0]
    return Check(first.check, first.group, first.severity, run, authority=first.authority, facts=facts_of(*rows))


def facts_of(*rows: Survey) -> tuple[Fact, ...]:
    """Everything that some rows ask, each once."""
    return tuple(dict.fromkeys(fact for row in rows for fact in row.facts))


def ask(
    view: View, *rows: Survey, numbers: Numbers | None = None, authority: str | None = None
) -> Iterator[Finding | NotChecked]:
    """What rows say: for each bad answer a finding, for each question one line for all subjects without an answer.

    `numbers` gives what the templates of the rows name beside {subject}; `authority` is that of the practice's limit,
    where the answer is held against one.
    """
    open_: dict[tuple[str, str], NotChecked] = {}
    for row in rows:
        for fact in row.facts:
            asked = list(view[SUBJECTS].asked(fact))
            if line := open_line(row.check, fact, asked):
                open_[row.check, fact.name] = line
        bad = (subject for subject in asked if subject.answer(row.fact) is (not row.good))
        for subject in bad:
            named = {"subject": subject.title, **(numbers(subject) if numbers else {})}
            yield Finding(
                severity=row.severity, subject=subject.path, message=row.message, remedy=row.remedy,
                authority=authority or row.authority, numbers=Keyed(named),
            )
    yield from open_.values()


def _asked(fact: Fact, subject: Subject) -> bool:
    return fact.only is None or bool(fact.only(subject))


def optional(view: View, threshold: Threshold) -> tuple[float, str] | None:
    """The number of a threshold that only some practice gives, with its authority; None if this one does not."""
    found = view.practice.threshold(threshold)
    return None if found is None else (found[0], found[1].authority)
