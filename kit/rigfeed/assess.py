"""The one door: a design in, an assessment out."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import field, replace
from typing import TYPE_CHECKING, Any, TypeVar

from rigfeed.checks.check import SEVERITY_ORDER, Check, Finding, NotChecked
from rigfeed.checks.facts import SUBJECTS
from rigfeed.design.model import Design
from rigfeed.errors import Cancelled, InputError, NothingToShow, PluginError, RigfeedError, UnknownName, nearest
from rigfeed.frozen import frozen
from rigfeed.installation import Assumption, Installation
from rigfeed.papers.paper import PLAIN, Paper, Plot, Wanted
from rigfeed.parts.shelf import Shelf, open_shelf
from rigfeed.path import Path
from rigfeed.practice import Practice
from rigfeed.quantity import System
from rigfeed.registry import Registry
from rigfeed.resolve import resolve
from rigfeed.view import Study, StudyFailed, Tell, Workshop, silent

if TYPE_CHECKING:
    from rigfeed.drawing.scene import Scene
    from rigfeed.figures.figure import About, Figure
    from rigfeed.papers.table import Table

R = TypeVar("R")

DEFAULT_PRACTICE = "road"


@frozen(eq=False)
class Assessment:
    """Everything computed for one design. Indexed by a study, it gives its result.

    `findings` are in the order severity, group, check, subject. An accepted one (`accepted_by`) stays in it and does
    not count.
    """

    installation: Installation
    practice: Practice
    findings: tuple[Finding, ...]
    not_checked: tuple[NotChecked, ...]
    assumptions: tuple[Assumption, ...]
    checks: tuple[str, ...]
    troubles: tuple[str, ...]
    _workshop: Workshop = field(repr=False)
    _registry: Registry = field(repr=False)

    def __repr__(self) -> str:
        counts = ", ".join(f"{self.count(severity)} {severity}" for severity in SEVERITY_ORDER)
        return f"<Assessment of {self.installation.title!r}: {counts}, {len(self.not_checked)} not checked>"

    def __getitem__(self, study: Study[R]) -> R:
        """The result of a study, computed now if no check has needed it."""
        return self._workshop.result(study)

    def get(self, study: Study[R]) -> R | None:
        """The result of a study, None if it failed: for a face, which shows what there is."""
        try:
            return self[study]
        except StudyFailed:
            return None

    @property
    def made(self) -> tuple[str, ...]:
        """The checks that could look at all they wanted to; the others are among `not_checked`, at least in part."""
        waiting = {item.check for item in self.not_checked}
        return tuple(name for name in self.checks if name not in waiting)

    @property
    def asked(self) -> tuple[Check, ...]:
        """The checks that ran, as declared, by name; one that the practice switches off is among them."""
        return tuple(self._registry.checks[name] for name in self.checks)

    @property
    def shelf(self) -> Shelf:
        """The parts that were in use: for a trial that assesses variants of the design."""
        return self._workshop.shelf

    def count(self, severity: str) -> int:
        """How many findings of a severity nobody has accepted."""
        return sum(finding.severity == severity and finding.accepted_by is None for finding in self.findings)

    def paper(self, name: str, system: System = "metric") -> Table:
        """The content of a paper; `system` is for the numbers inside of its sentences.

        Raises
        ------
        UnknownName
            If there is none of that name.
        """
        papers = self._registry.papers
        if name not in papers:
            raise UnknownName("paper", name, papers)
        return papers[name].content(self, system)

    @property
    def papers(self) -> tuple[str, ...]:
        """The names of all papers that have something to say here."""
        return tuple(name for name, paper in sorted(self._registry.papers.items()) if _is_wanted(paper, self))

    def drawing(self, name: str, wanted: Wanted = PLAIN) -> Scene:
        """A picture of the installation.

        Raises
        ------
        UnknownName
            If there is none of that name, or no such state in the design.
        """
        drawings = self._registry.drawings
        if name not in drawings:
            raise UnknownName("drawing", name, drawings)
        if wanted.state is not None and wanted.state not in self.installation.states:
            raise UnknownName("state", wanted.state, self.installation.states)
        return drawings[name].content(self, wanted)

    @property
    def drawings(self) -> tuple[str, ...]:
        """The names of all drawings."""
        return tuple(sorted(self._registry.drawings))

    def figure(self, name: str, subject: str | None = None, system: System = "metric") -> Figure:
        """A figure as data. `subject` is the id of what it is to be about; it can be left out where there is one.

        Raises
        ------
        UnknownName
            If there is none of that name, or no such subject.
        InputError
            If there are several subjects and none is named.
        NothingToShow
            If there is nothing.
        """
        plot = self._plot(name)
        if plot.subjects is None:
            if subject is not None:
                raise UnknownName(f"subject of the figure {name!r}", subject, ())
        elif subject is None:
            usual = self.usual_subjects(name)
            if len(usual) != 1:
                known = nearest("", [id_ or "" for id_ in usual])
                raise InputError(f"the figure {name!r} is about one thing, and none is named", remedy=known)
            subject = usual[0]
        figure = plot.content(self, subject, system)
        if figure is None:
            about = f" of {subject}" if subject is not None else ""
            raise NothingToShow(f"there is nothing to show in the figure {name!r}{about}: no current reaches it")
        return figure

    def subjects(self, name: str) -> tuple[About, ...]:
        """What a figure can be about; none where it is about the whole installation.

        Raises
        ------
        UnknownName
            If there is no figure of that name.
        """
        plot = self._plot(name)
        return tuple(plot.subjects(self)) if plot.subjects is not None else ()

    def usual_subjects(self, name: str) -> tuple[str | None, ...]:
        """What a figure is made of where nobody says: the ids of its usual subjects, or None for the one that is about
        the whole installation; raises as `subjects`."""
        if self._plot(name).subjects is None:
            return (None,)
        return tuple(about.id for about in self.subjects(name) if about.usual)

    def _plot(self, name: str) -> Plot:
        figures = self._registry.figures
        if name not in figures:
            raise UnknownName("figure", name, figures)
        return figures[name]

    @property
    def figures(self) -> tuple[str, ...]:
        """The names of all figures."""
        return tuple(sorted(self._registry.figures))


def _is_wanted(paper: Paper, assessment: Assessment) -> bool:
    """Whether a paper has something to say; one that fails to answer is made, and told of where that fails."""
    try:
        return paper.wanted(assessment)
    except Exception:
        return True


def assess(
    design: Design, *, shelf: Shelf | None = None, practice: Practice | str | None = None,
    only: Collection[str] | None = None, tell: Tell | None = None,
) -> Assessment:
    """Resolve a design, run the checks, and collect what they say.

    Parameters
    ----------
    design : Design
        As read, or edited.
    shelf : Shelf, optional
        The parts in use; those of the installed plugins by default.
    practice : Practice or str, optional
        Overrides the one that the design names.
    only : collection of str, optional
        The names of the checks to run; all by default. Studies run when something needs them.
    tell : callable, optional
        Told of the progress; may raise `Cancelled`.

    Raises
    ------
    DesignError, UnknownName, CatalogError, PracticeError, InputErrors
        If the design, a catalog or a practice that it uses cannot be used.
    """
    shelf = shelf or open_shelf()
    registry = shelf.registry
    if not isinstance(practice, Practice):
        practice = _practice(practice, design, registry)
    checks = _chosen(registry, only)
    installation = resolve(design, shelf, practice)
    workshop = Workshop(installation, shelf, practice, tell or silent)
    findings, not_checked = _run(checks, workshop)
    return Assessment(
        installation=installation,
        practice=practice,
        findings=_worst(findings, design),
        not_checked=tuple(sorted({*installation.not_checked, *not_checked}, key=_by_check)),
        assumptions=installation.assumptions,
        checks=tuple(check.name for check in checks),
        troubles=_troubles(registry, shelf),
        _workshop=workshop,
        _registry=registry,
    )


def _practice(name: str | None, design: Design, registry: Registry) -> Practice:
    """The practice that the caller names, else the design's; only the latter is an error of the design."""
    try:
        return registry.practices.get(name or design.job.practice or DEFAULT_PRACTICE)
    except UnknownName as error:
        raise error.at(path=Path("job", "practice")) if name is None and design.job.practice else error from None


def _chosen(registry: Registry, only: Collection[str] | None) -> tuple[Check, ...]:
    for name in only or ():
        if name not in registry.checks:
            raise UnknownName("check", name, registry.checks)
    return tuple(check for name, check in sorted(registry.checks.items()) if only is None or name in only)


def _run(checks: Iterable[Check], workshop: Workshop) -> tuple[list[Finding], list[NotChecked]]:
    findings: list[Finding] = []
    not_checked: list[NotChecked] = []
    for check in checks:
        severity = workshop.practice.severities.get(check.name, check.severity)
        if severity == "off":
            continue
        for said in _said(check, workshop):
            if isinstance(said, NotChecked):
                not_checked.append(said)
            else:
                findings.append(_completed(said, check, workshop.practice))
    return findings, not_checked


def _said(check: Check, workshop: Workshop) -> Iterator[Finding | NotChecked]:
    """What a check says. What it lacks, or that it failed, is said as not checked; what it had said by then stands."""
    for threshold in check.thresholds:
        if workshop.practice.threshold(threshold) is None:
            name = workshop.practice.name
            yield NotChecked(check.name, f"practice {name!r} gives no {threshold.key!r} ({threshold.meaning})")
            return
    needs = (*check.needs, SUBJECTS) if check.facts else check.needs
    try:
        for said in check.run(workshop.view(needs, check.thresholds)):
            _must_be_sound(said)
            yield said
    except Cancelled:
        raise
    except StudyFailed as error:
        yield NotChecked(check.name, str(error))
    except Exception as error:
        yield NotChecked(check.name, f"the check itself failed: {type(error).__name__}: {error}")


def _must_be_sound(said: object) -> None:
    """Raise, while it is known who said it, what a face would stumble over later."""
    if isinstance(said, Finding):
        if said.severity not in (None, *SEVERITY_ORDER):
            raise PluginError(f"a finding has the severity {said.severity!r}")
        said.text()
        said.advice()
    elif not isinstance(said, NotChecked):
        raise PluginError(f"{said!r} is neither a Finding nor NotChecked")


def _completed(finding: Finding, check: Check, practice: Practice) -> Finding:
    """A finding with what its check says for all: name, group, and the severity that the practice wants."""
    severity: Any = practice.severities.get(check.name, finding.severity or check.severity)
    return replace(
        finding, check=check.name, group=check.group, severity=severity, authority=finding.authority or check.authority
    )


def _worst(findings: Iterable[Finding], design: Design) -> tuple[Finding, ...]:
    """One finding for each check and subject: the worst state stands, the others are named in it."""
    grouped: dict[tuple[str, str], list[Finding]] = {}
    for finding in findings:
        grouped.setdefault((finding.check, str(finding.subject)), []).append(finding)
    kept = []
    for group in grouped.values():
        first, *rest = sorted(group, key=_badness)
        others = sorted({f.state for f in rest if f.state and f.state != first.state})
        kept.append(replace(first, also_states=tuple(others), accepted_by=_accepted(first, design)))
    return tuple(sorted(kept, key=_order))


def _badness(finding: Finding) -> tuple[int, float, str]:
    """The worst first. Nine digits: two states that are as bad must not be told apart by the last bit of a solve."""
    return SEVERITY_ORDER[finding.severity or ""], -float(f"{finding.excess:.9g}"), finding.state or ""


def _order(finding: Finding) -> tuple[int, str, str, str]:
    return SEVERITY_ORDER[finding.severity or ""], finding.group, finding.check, str(finding.subject)


def _by_check(item: NotChecked) -> tuple[str, str, str]:
    return item.check, str(item.subject), item.why


def _accepted(finding: Finding, design: Design) -> str | None:
    for deviation in design.deviations:
        if (deviation.check, deviation.subject) == (finding.check, str(finding.subject)):
            return f"{deviation.by}: {deviation.reason}"
    return None


def _troubles(registry: Registry, shelf: Shelf) -> tuple[str, ...]:
    """Plugins, catalogs and practices that were left out."""
    found = [f"plugin {trouble.plugin}: {trouble.what}" for trouble in registry.troubles]
    errors: list[RigfeedError] = [*shelf.troubles, *registry.practices.troubles]
    declared = {threshold.key for check in registry.checks.values() for threshold in check.thresholds}
    ignored = registry.practices.strange(declared, registry.checks)
    told = [f"left out: {error}" for error in errors]
    told += [f"ignored: {error}" for error in (*ignored, *shelf.strange())]
    return tuple(sorted([*found, *told]))
