"""The same kit in many vehicles: a design for each, all assessed, and what is found side by side."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from functools import cached_property
from typing import TypeVar

from rigfeed.assess import Assessment, assess
from rigfeed.checks.check import SEVERITY_ORDER, Finding, NotChecked
from rigfeed.design.edit import Edit, apply
from rigfeed.design.model import Design
from rigfeed.errors import MOST_LISTED, DesignError, InputError, InputErrors, known_or_raise
from rigfeed.frozen import frozen
from rigfeed.installation import Assumption
from rigfeed.keyed import Keyed
from rigfeed.parts.shelf import Shelf, open_shelf
from rigfeed.path import Path
from rigfeed.practice import Practice
from rigfeed.view import Tell, silent

T = TypeVar("T")


@frozen
class Line:
    """One thing that some of the vehicles have: what a check says of one subject, by the name of the vehicle."""

    check: str
    group: str
    subject: Path
    findings: Keyed[Finding]

    @property
    def worst(self) -> Finding:
        """The finding to show for all: the gravest, then the one that is furthest off, then the first."""
        return min(self.findings.values(), key=lambda f: (SEVERITY_ORDER[f.severity or ""], -f.excess))

    @property
    def open(self) -> tuple[str, ...]:
        """The vehicles in which nobody has accepted it."""
        return tuple(name for name, finding in self.findings.items() if finding.accepted_by is None)


@frozen(eq=False)
class Batch:
    """The assessments by the name of the vehicle, in the order in which they were given."""

    assessments: Keyed[Assessment]

    def count(self, severity: str) -> int:
        """How many findings of a severity nobody has accepted, in all vehicles together."""
        return sum(assessment.count(severity) for assessment in self.assessments.values())

    @cached_property
    def lines(self) -> tuple[Line, ...]:
        """The matrix of findings, a line for each check and subject: by severity, group, check and subject."""
        found: dict[tuple[str, Path], dict[str, Finding]] = {}
        for name, assessment in self.assessments.items():
            for finding in assessment.findings:
                found.setdefault((finding.check, finding.subject), {})[name] = finding
        lines = [
            Line(check, next(iter(findings.values())).group, subject, Keyed(findings))
            for (check, subject), findings in found.items()
        ]
        return tuple(sorted(lines, key=_order))

    @property
    def not_checked(self) -> tuple[tuple[NotChecked, tuple[str, ...]], ...]:
        """What no check could look at, each with the vehicles of which that is true."""
        return _shared((name, assessment.not_checked) for name, assessment in self.assessments.items())

    @property
    def assumptions(self) -> tuple[tuple[Assumption, tuple[str, ...]], ...]:
        """Every default that stands in for a fact, each with the vehicles in which it does."""
        return _shared((name, assessment.assumptions) for name, assessment in self.assessments.items())

    @property
    def troubles(self) -> tuple[str, ...]:
        """Plugins, catalogs and practices that were left out."""
        return tuple(sorted({said for assessment in self.assessments.values() for said in assessment.troubles}))


def variants(design: Design, changes: Mapping[str, Iterable[Edit]]) -> dict[str, Design]:
    """One design as it stands in each vehicle: the edits by the name of the vehicle, none for one that is as drawn.

    Raises
    ------
    DesignError, UnknownName, InputErrors
        Everything that cannot be done, with the name of the vehicle before the path.
    """
    found: dict[str, Design] = {}
    errors: list[InputError] = []
    for name, edits in changes.items():
        try:
            found[name] = apply(design, edits)
        except InputError as error:
            errors += _of_vehicle(name, error)
    known_or_raise(errors)
    return found


def assess_batch(
    designs: Mapping[str, Design], *, shelf: Shelf | None = None, practice: Practice | str | None = None,
    tell: Tell | None = None,
) -> Batch:
    """Assess the designs of several vehicles, by name, each as `rigfeed.assess` does.

    Parameters
    ----------
    designs : mapping of str to Design
        One for each vehicle, at least one.
    shelf : Shelf, optional
        The parts in use, the same for all; those of the installed plugins by default.
    practice : Practice or str, optional
        Overrides those that the designs name.
    tell : callable, optional
        Told before each vehicle and while it is assessed; may raise `Cancelled`.

    Raises
    ------
    DesignError, UnknownName, CatalogError, PracticeError, InputErrors
        If there is no design, or as `rigfeed.assess` does: what is wrong with the designs, up to some twenty things,
        with the name of the vehicle before the path.
    """
    if not designs:
        raise DesignError("no vehicle is given", remedy="give a design for each")
    shelf, tell = shelf or open_shelf(), tell or silent
    found: dict[str, Assessment] = {}
    errors: list[InputError] = []
    for number, (name, design) in enumerate(designs.items()):
        tell(number / len(designs), name)
        try:
            found[name] = assess(design, shelf=shelf, practice=practice, tell=_part(tell, name, number, len(designs)))
        except InputError as error:
            errors += _of_vehicle(name, error)
        if len(errors) >= MOST_LISTED:
            break
    known_or_raise(errors)
    return Batch(Keyed(found))


def _part(tell: Tell, name: str, number: int, count: int) -> Tell:
    """Tells of one vehicle as a part of the whole."""

    def told(done: float, text: str, /) -> None:
        tell((number + done) / count, f"{name}: {text}")

    return told


def _of_vehicle(name: str, error: InputError) -> Iterator[InputError]:
    """The errors of one design, as those of the batch; one that is about no design at all is raised at once."""
    inner = error.errors if isinstance(error, InputErrors) else (error,)
    for one in inner:
        if one.place.path is None:
            raise one
        if one.place.file is None:  # one that points into a catalog keeps its own place
            one.at(path=Path(name, *one.place.path))
        yield one


def _shared(held: Iterable[tuple[str, Iterable[T]]]) -> tuple[tuple[T, tuple[str, ...]], ...]:
    """Each different item once, in the order of the first vehicle that has it, with the names of all that have."""
    names: dict[T, dict[str, None]] = {}
    for name, items in held:
        for item in items:
            names.setdefault(item, {})[name] = None
    return tuple((item, tuple(found)) for item, found in names.items())


def _order(line: Line) -> tuple[int, str, str, str]:
    return SEVERITY_ORDER[line.worst.severity or ""], line.group, line.check, str(line.subject)
