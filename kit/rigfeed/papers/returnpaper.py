"""Where does the black wire go: on one page the ways side by side, the advice with its reason, what would turn it, and
what each school says, with its authority."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from rigfeed.papers.table import Cell, Column, Table
from rigfeed.quantity import System

if TYPE_CHECKING:
    from rigfeed.assess import Assessment
    from rigfeed.trials.return_options import Option
    from rigfeed.trials.returns import ReturnAnswer, ReturnTrial

COLUMNS = (
    Column("set", "for", width=6, bold=True),
    Column("choice", "choice", width=9),
    Column("way", "negative to", width=13, bold=True),
    Column("fuse", "fuse in it", width=5),
    Column("volts", "least volts", "V", width=6, align="right", decimals=2),
    Column("lost", "lost back", "V", width=6, align="right", decimals=2),
    Column("strap", "strap open", "A", width=6, align="right"),
    Column("against", "what speaks against it", width=34),
)
SHORT = {"body": "body point", "strap": "strap end", "post": "battery post"}
NOTHING = "nothing found"
UNMEASURED = "Body path: assumed."
STRAP = "Strap open: amps at once if it opens while cranking; a fuse ends it."
LAST = "Whichever rule you hold, its figures are above; the makers' instructions come before all."
BYPASSES = "leads around the master switch"


def return_paper(assessment: Assessment, system: System = "metric") -> Table:
    """A row for each way of each equipment, the best first."""
    from rigfeed.trials.returns import try_returns_of

    return return_table(try_returns_of(assessment), system)


def return_table(trial: ReturnTrial, system: System = "metric") -> Table:
    """The paper of a trial."""
    rows = tuple(row for answer in trial.answers for row in _rows(answer, system))
    return Table(
        "return-question", "Return question", COLUMNS, rows, (*_advice(trial), *general_notes(trial)), group="set",
        use="where the negative of each equipment goes in this vehicle, and why",
    )


def _rows(answer: ReturnAnswer, system: System) -> Iterator[tuple[Cell, ...]]:
    for number, option in enumerate(answer.options):
        marks = ["advised"] if number == 0 else []
        marks += ["drawn"] if answer.drawn == option.way else []
        yield (
            answer.load.id, ", ".join(marks) or None, SHORT[option.way.where],
            "yes" if option.way.fused else "no", option.least_v, option.return_v, option.strap_a,
            against(answer, option),
        )


def against(answer: ReturnAnswer, option: Option) -> str:
    """What is found of one way and not of all, the gravest first, and what is not known."""
    shared = set.intersection(*({_key(f) for f in other.findings} for other in answer.options))
    said = []
    for severity in ("error", "warning"):
        checks = {f.check: None for f in option.findings if f.severity == severity and _key(f) not in shared}
        said += [f"{severity}: {', '.join(checks)}"] if checks else []
    said += [BYPASSES] if option.bypasses else []
    said += ["no feed"] if option.least_v is None else []
    return "; ".join(said) or NOTHING


def _key(finding: object) -> tuple[str, str]:
    return str(getattr(finding, "check", "")), str(getattr(finding, "subject", ""))


def _advice(trial: ReturnTrial) -> Iterator[str]:
    """What is advised for each equipment, why, and what would turn it."""
    advised: dict[str, list[str]] = {}
    for answer in trial.answers:
        said = f"{answer.best.way.title}. {answer.reason} [{answer.authority}]"
        advised.setdefault(said, []).append(answer.load.title)
    for said, loads in advised.items():
        yield f"{', '.join(loads)}: {said}"
    for answer in trial.answers:
        if answer.turns:
            turns = "; ".join(f"with {turn.fact}: {turn.to}" for turn in answer.turns)
            yield f"What would turn it for {answer.load.id}: {turns}."


def general_notes(trial: ReturnTrial) -> Iterator[str]:
    """What goes for all equipment: what a column means, the rules, of what the question was not asked."""
    options = [option for answer in trial.answers for option in answer.options]
    about = [STRAP] if any(option.strap_a is not None for option in options) else []
    about += [UNMEASURED] if about and any(option.unmeasured for option in options) else []
    if about:
        yield " ".join(about)
    yield from _schools(trial.answers)
    reasons: dict[str, list[str]] = {}
    for id_, why in trial.others:
        reasons.setdefault(why, []).append(id_)
    if reasons:
        yield "Not asked: " + "; ".join(f"{', '.join(ids)}: {why}" for why, ids in reasons.items()) + "."
    yield LAST


def _schools(answers: Iterable[ReturnAnswer]) -> Iterator[str]:
    """The rules, once, those about the same together, each with the equipment for which it is followed."""
    followed: dict[tuple[str, str, str], list[str]] = {}
    for answer in answers:
        for school in answer.schools:
            key = school.about, school.rule, school.authority
            followed.setdefault(key, []).extend([answer.load.id] if school.followed else [])
    said: dict[str, list[str]] = {}
    for (about, rule, authority), loads in followed.items():
        taken = f", followed here for {', '.join(loads)}" if loads else ""
        said.setdefault(about, []).append(f"{rule} [{authority}]{taken}")
    for about, rules in said.items():
        yield f"{about}: {'; '.join(rules)}."
