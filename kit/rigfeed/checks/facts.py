"""What only an eye can see: on which subjects it is asked, what the design answers, and what is still open."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from rigfeed.checks.check import About, Check, Fact
from rigfeed.design.model import Facts, Run
from rigfeed.installation import Installation, LaidConductor, LaidEnd, LaidPassage, PlacedNode
from rigfeed.path import Path


@dataclass(frozen=True)
class End:
    """One side of a conductor, all its cores together."""

    conductor: LaidConductor
    side: str
    ends: tuple[LaidEnd, ...]
    node: PlacedNode


@dataclass(frozen=True)
class Subject:
    """Something that a question is asked about: where it stands, what it is called, what has been answered."""

    about: About
    path: Path
    title: str
    facts: Facts
    thing: Installation | PlacedNode | End | Run | LaidPassage
    installation: Installation

    def answer(self, fact: Fact) -> bool | None:
        """What the design says; None is unknown."""
        return self.facts.get(fact.name)


def subjects(installation: Installation, fact: Fact) -> Iterator[Subject]:
    """The subjects on which a fact is asked, by id."""
    for subject in _all(installation, fact.about):
        if fact.only is None or fact.only(subject):
            yield subject


def _all(installation: Installation, about: About) -> Iterator[Subject]:
    design = installation.design
    match about:
        case "vehicle":
            yield Subject(about, Path("vehicle"), "the vehicle", design.vehicle.facts, installation, installation)
        case "node":
            for node in installation.nodes.values():
                yield Subject(about, Path("nodes", node.id), f"{node.id} {node.title}", node.facts, node, installation)
        case "end":
            for conductor in installation.conductors.values():
                yield from _ends(installation, conductor)
        case "run":
            for name, run in sorted(design.runs.items()):
                yield Subject(about, Path("runs", name), f"run {name}", run.facts, run, installation)
        case "passage":
            for passage in installation.passages.values():
                path = Path("passages", passage.id)
                yield Subject(about, path, f"{passage.id} {passage.title}", passage.facts, passage, installation)


def _ends(installation: Installation, conductor: LaidConductor) -> Iterator[Subject]:
    if conductor.origin == "vehicle":
        return  # as its maker fitted it
    sides = (
        ("from", conductor.from_facts, tuple(core.start for core in conductor.cores)),
        ("to", conductor.to_facts, tuple(core.end for core in conductor.cores)),
    )
    for side, facts, ends in sides:
        end = End(conductor, side, ends, installation.nodes[ends[0].node])
        title = f"{conductor.label} at {', '.join(end.terminal for end in ends)}"
        yield Subject("end", Path("conductors", conductor.id, f"{side}_facts"), title, facts, end, installation)


@dataclass(frozen=True)
class OpenQuestion:
    """A fact that nobody has looked at on a subject, and the check that waits for it."""

    check: str
    fact: Fact
    subject: Subject


def open_questions(installation: Installation, checks: Iterable[Check]) -> tuple[OpenQuestion, ...]:
    """Every fact that some check asks for and the design does not answer, in the order of the checks."""
    return tuple(
        OpenQuestion(check.name, fact, subject)
        for check in checks
        for fact in check.facts
        for subject in subjects(installation, fact)
        if subject.answer(fact) is None
    )
