"""Studies, and the view through which a study, a check or a paper sees an assessment."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Generic, Protocol, TypeVar

from rigfeed.errors import Cancelled, PluginError, RigfeedError
from rigfeed.frozen import frozen
from rigfeed.practice import Practice, Setting, Threshold

if TYPE_CHECKING:
    from rigfeed.installation import Installation
    from rigfeed.parts.shelf import Shelf

R = TypeVar("R")


class Tell(Protocol):
    """Reports progress: how much is done (0..1), and of what. May raise `Cancelled`."""

    def __call__(self, done: float, text: str, /) -> None: ...


def silent(done: float, text: str) -> None:
    """Tells nobody."""


@frozen(eq=False)
class Study(Generic[R]):
    """A computation: its name, the studies whose results it uses, and a pure function of a view."""

    name: str
    run: Callable[[View], R]
    needs: tuple[Study[Any], ...] = ()


class StudyFailed(RigfeedError):
    """A study that something needs raised an error."""

    def __init__(self, study: str, error: Exception) -> None:
        self.study, self.error = study, error
        what = str(error) if isinstance(error, RigfeedError) else f"{type(error).__name__}: {error}"
        super().__init__(f"study {study!r} failed: {what}")
        self.__cause__ = error


@dataclass
class Workshop:
    """What all views of one assessment share: the results so far, each computed once."""

    installation: Installation
    shelf: Shelf
    practice: Practice
    tell: Tell = silent
    results: dict[Study[Any], Any] = field(default_factory=dict)
    failures: dict[Study[Any], StudyFailed] = field(default_factory=dict)

    def view(self, needs: Iterable[Study[Any]] = (), thresholds: Iterable[Threshold] = ()) -> View:
        """A view that may ask for these studies and thresholds."""
        return View(self, frozenset(needs), frozenset(thresholds))

    def result(self, study: Study[R]) -> R:
        """The result of a study, computed when first asked for; one that failed fails again without being run."""
        if study not in self.results and study not in self.failures:
            try:
                self.results[study] = study.run(self.view(study.needs))
            except Cancelled:
                raise
            except StudyFailed as error:  # the study that it needs is the one to name
                self.failures[study] = error
            except Exception as error:
                self.failures[study] = StudyFailed(study.name, error)
        if study in self.failures:
            raise self.failures[study].with_traceback(None)
        found: R = self.results[study]
        return found


@frozen
class View:
    """The installation, the shelf, the practice, and the results of the studies that its user declared to need."""

    _workshop: Workshop
    _needs: frozenset[Study[Any]]
    _thresholds: frozenset[Threshold]

    @property
    def installation(self) -> Installation:
        """The resolved design."""
        return self._workshop.installation

    @property
    def shelf(self) -> Shelf:
        """All parts."""
        return self._workshop.shelf

    @property
    def practice(self) -> Practice:
        """Thresholds and defaults in force."""
        return self._workshop.practice

    def tell(self, done: float, text: str) -> None:
        """Report progress; may raise `Cancelled`."""
        self._workshop.tell(done, text)

    def __getitem__(self, study: Study[R]) -> R:
        """The result of a study.

        Raises
        ------
        PluginError
            If the study was not declared under `needs`.
        StudyFailed
            If it raised.
        """
        if study not in self._needs:
            raise PluginError(f"study {study.name!r} is used but not declared under needs")
        return self._workshop.result(study)

    def threshold(self, threshold: Threshold) -> tuple[float, Setting]:
        """The number of a declared threshold, in its unit, with its authority.

        Raises
        ------
        PluginError
            If it was not declared. (`assess` has made sure before that the practice gives a value.)
        """
        found = self.practice.threshold(threshold) if threshold in self._thresholds else None
        if found is None:
            raise PluginError(f"threshold {threshold.key!r} is used but not declared")
        return found
