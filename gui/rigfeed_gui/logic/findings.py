"""The list of what is wrong: filtered, sorted, numbered as in the drawing, explained, mended where that is plain."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from typing import Literal

from rigfeed.assess import Assessment
from rigfeed.checks.check import Finding
from rigfeed.design.edit import Edit
from rigfeed.design.model import Design
from rigfeed.path import Path
from rigfeed.quantity import System

Order = Literal["severity", "subject", "state"]


@dataclass(frozen=True)
class Filter:
    """What to show: severities, those in a state, those of a subject and what is inside it, with a word in the text.
    Empty or None is no limit."""

    severities: Collection[str] = ()
    state: str | None = None
    subject: Path | None = None
    word: str = ""
    accepted: bool = True


@dataclass(frozen=True)
class Row:
    """A finding in the list. `number` is that of its mark in the drawing; `mark` is the shape of its severity."""

    number: int
    mark: str
    severity: str
    subject: str
    state: str
    text: str
    finding: Finding


@dataclass(frozen=True)
class Fix:
    """An edit that mends a finding, and what it does in words."""

    words: str
    edits: tuple[Edit, ...]


@dataclass(frozen=True)
class Explanation:
    """A finding in full: what is wrong, the value against its limit, who says so, what to do, and what does it."""

    heading: str
    text: str
    figures: tuple[tuple[str, str], ...]
    authority: str
    remedy: str
    subjects: tuple[Path, ...]
    fixes: tuple[Fix, ...]


@dataclass(frozen=True)
class Summary:
    """The counts for the status line: by severity, accepted, not checked, assumptions."""

    counts: tuple[tuple[str, int], ...]
    accepted: int
    not_checked: int
    assumptions: int
    words: str


def rows(assessment: Assessment, wanted: Filter, order: Order, system: System) -> tuple[Row, ...]:
    """The findings to show."""
    raise NotImplementedError


def explanation(assessment: Assessment, finding: Finding, system: System) -> Explanation:
    """Everything about one finding."""
    raise NotImplementedError


def summary(assessment: Assessment) -> Summary:
    """How many of each, in numbers and in one sentence that calls nothing safe."""
    raise NotImplementedError


def accepting(design: Design, finding: Finding, reason: str, by: str, on: str | None) -> tuple[Edit, ...]:
    """The edit that accepts a finding, with the reason and a name."""
    raise NotImplementedError


def open_lines(assessment: Assessment) -> tuple[tuple[str, str, Path], ...]:
    """What was not checked: the check, why, and the subject to select."""
    raise NotImplementedError


def assumed_lines(assessment: Assessment, system: System) -> tuple[tuple[str, str, Path], ...]:
    """What was assumed: what, the value with its authority, and the subject to select."""
    raise NotImplementedError
