"""What a check is, and what it can say: a finding, or that it could not look."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import field
from typing import Any, Literal

from rigfeed.design.edit import Edit
from rigfeed.frozen import frozen
from rigfeed.keyed import Keyed
from rigfeed.measure import Measure, apart
from rigfeed.path import Path
from rigfeed.practice import Threshold
from rigfeed.quantity import System
from rigfeed.view import Study, View

Severity = Literal["error", "warning", "advice"]
About = Literal["node", "end", "run", "passage", "vehicle"]
SEVERITY_ORDER: Mapping[str, int] = {"error": 0, "warning": 1, "advice": 2}


@frozen
class Fact:
    """Something only an eye can see: asked for on each subject of a sort, answered yes or no, unknown by default.

    `only` narrows the subjects down: it is asked with a `rigfeed.checks.facts.Subject`.
    """

    name: str
    about: About
    question: str
    only: Callable[[Any], bool] | None = field(default=None, compare=False)


def verbatim(text: str) -> str:
    """A text of a design or a catalog for use inside the template of a message.

    >>> verbatim("{red}")
    '{{red}}'
    """
    return text.replace("{", "{{").replace("}", "}}")


@frozen(kw_only=True)
class Finding:
    """One thing that is not as the practice wants it.

    `message` and `remedy` are templates over ``{value}``, ``{limit}`` and the names in `numbers`. `excess` orders the
    findings of one check and subject: the greatest stands, the states of the others are counted in `also_states`.
    """

    check: str = ""
    severity: Severity | None = None
    group: str = ""
    subject: Path
    also: tuple[Path, ...] = ()
    state: str | None = None
    also_states: tuple[str, ...] = ()
    value: Measure | None = None
    limit: Measure | None = None
    numbers: Keyed[Measure | str] = Keyed()
    authority: str = ""
    message: str
    remedy: str = ""
    fixes: tuple[Edit, ...] = ()
    excess: float = 0.0
    accepted_by: str | None = None

    def text(self, system: System = "metric") -> str:
        """The message with its numbers."""
        return self._filled(self.message, system)

    def advice(self, system: System = "metric") -> str:
        """The remedy with its numbers."""
        return self._filled(self.remedy, system).rstrip()

    def _filled(self, template: str, system: System) -> str:
        names: dict[str, Any] = {"value": self.value, "limit": self.limit, "state": self.state, **self.numbers}
        shown = {key: m.text(system) if isinstance(m, Measure) else m for key, m in names.items()}
        if self.value and self.limit:
            shown["value"], shown["limit"] = apart(self.value, self.limit, system)
        return template.format(**shown)


@frozen
class NotChecked:
    """A check that could not look at something, and what it lacks; `questions` counts what only an eye can answer."""

    check: str
    why: str
    subject: Path = Path()
    questions: int = 0


@frozen(eq=False)
class Check:
    """A rule. `run` yields one finding for each subject and state that breaks it; `assess` keeps the worst of each.

    `severity` and `authority` are those of its findings unless a finding brings its own; a practice may change the
    severity or switch the check off. One that declares `facts` may ask for `rigfeed.checks.facts.SUBJECTS` besides its
    `needs`.
    """

    name: str
    group: str
    severity: Severity
    run: Callable[[View], Iterable[Finding | NotChecked]]
    authority: str = "common practice, no source"
    needs: tuple[Study[Any], ...] = ()
    facts: tuple[Fact, ...] = ()
    thresholds: tuple[Threshold, ...] = ()
