"""What only an eye can see: on which subjects it is asked, what the design answers, and what is still open."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence

from rigfeed.checks.check import About, Check, Fact, NotChecked
from rigfeed.design.model import Facts, Run
from rigfeed.frozen import frozen
from rigfeed.installation import Installation, LaidConductor, LaidEnd, LaidPassage, PlacedNode
from rigfeed.path import Path
from rigfeed.view import Study, View


@frozen
class End:
    """One side of a conductor, all its cores together. `beside` are all conductors that end on the same node."""

    conductor: LaidConductor
    side: str
    ends: tuple[LaidEnd, ...]
    node: PlacedNode
    beside: tuple[LaidConductor, ...] = ()


@frozen
class Subject:
    """Something that a question is asked about: where it stands, what it is called, what has been answered.

    `conductors` are those that it is about: on a run, through a passage, ending on a node or with this end; all of them
    for the vehicle.
    """

    about: About
    path: Path
    title: str
    facts: Facts
    thing: Installation | PlacedNode | End | Run | LaidPassage
    installation: Installation
    conductors: tuple[LaidConductor, ...] = ()

    def answer(self, fact: Fact) -> bool | None:
        """What the design says; None is unknown."""
        return self.facts.get(fact.name)

    @property
    def ours(self) -> tuple[LaidConductor, ...]:
        """Its conductors without those that the vehicle came with."""
        return tuple(conductor for conductor in self.conductors if conductor.origin != "vehicle")


class Subjects:
    """Everything that a question can be asked about. It is found once for an installation, and so is on what a fact is
    asked: some hundred checks want to know, and then whoever lists what is open."""

    def __init__(self, installation: Installation) -> None:
        self._all = {about: tuple(find(installation)) for about, find in _FINDERS.items()}
        self._asked: dict[tuple[Fact, object], tuple[Subject, ...]] = {}

    def of(self, about: About) -> tuple[Subject, ...]:
        """Everything of a sort, by id; an end only where it is ours."""
        return self._all[about]

    def asked(self, fact: Fact) -> tuple[Subject, ...]:
        """The subjects on which a fact is asked, by id."""
        key = fact, fact.only  # two facts that differ in that alone are equal
        if key not in self._asked:
            self._asked[key] = tuple(s for s in self.of(fact.about) if fact.only is None or fact.only(s))
        return self._asked[key]


def named(id_: str, title: str) -> str:
    """Id and title of a thing, the id alone where that is its title."""
    return id_ if title == id_ else f"{id_} ({title})"


def _vehicle(installation: Installation) -> Iterator[Subject]:
    facts, laid = installation.design.vehicle.facts, tuple(installation.conductors.values())
    yield Subject("vehicle", Path("vehicle"), "the vehicle", facts, installation, installation, laid)


def _nodes(installation: Installation) -> Iterator[Subject]:
    at = _by_node(installation)
    for node in installation.nodes.values():
        path, title = Path("nodes", node.id), named(node.id, node.title)
        yield Subject("node", path, title, node.facts, node, installation, tuple(at.get(node.id, ())))


def _ends(installation: Installation) -> Iterator[Subject]:
    at = _by_node(installation)
    for conductor in installation.conductors.values():
        if conductor.origin == "vehicle":
            continue  # as its maker fitted it
        sides = (
            ("from", conductor.from_facts, tuple(core.start for core in conductor.cores)),
            ("to", conductor.to_facts, tuple(core.end for core in conductor.cores)),
        )
        for side, facts, ends in sides:
            node = installation.nodes[ends[0].node]
            end = End(conductor, side, ends, node, tuple(at[node.id]))
            title = f"{conductor.label} at {', '.join(end.terminal for end in ends)}"
            path = Path("conductors", conductor.id, f"{side}_facts")
            yield Subject("end", path, title, facts, end, installation, (conductor,))


def _by_node(installation: Installation) -> dict[str, list[LaidConductor]]:
    found: dict[str, list[LaidConductor]] = {}
    for conductor in installation.conductors.values():
        for id_ in dict.fromkeys(end.node for end in conductor.ends):
            found.setdefault(id_, []).append(conductor)
    return found


def _runs(installation: Installation) -> Iterator[Subject]:
    on: dict[str | None, list[LaidConductor]] = {}
    for conductor in installation.conductors.values():
        for id_ in dict.fromkeys(stretch.run for stretch in conductor.stretches):
            on.setdefault(id_, []).append(conductor)
    for name, run in sorted(installation.design.runs.items()):
        yield Subject("run", Path("runs", name), f"run {name}", run.facts, run, installation, tuple(on.get(name, ())))


def _passages(installation: Installation) -> Iterator[Subject]:
    for passage in installation.passages.values():
        path, title = Path("passages", passage.id), named(passage.id, passage.title)
        through = tuple(installation.conductors[name] for name in passage.conductors)
        yield Subject("passage", path, title, passage.facts, passage, installation, through)


_FINDERS: Mapping[About, Callable[[Installation], Iterator[Subject]]] = {
    "vehicle": _vehicle, "node": _nodes, "end": _ends, "run": _runs, "passage": _passages,
}


def find_subjects(view: View) -> Subjects:
    """The subjects of an installation."""
    return Subjects(view.installation)


SUBJECTS: Study[Subjects] = Study("subjects", find_subjects)


def open_line(check: str, fact: Fact, asked: Sequence[Subject]) -> NotChecked | None:
    """One line for all subjects of a question on which nobody has looked; None where all are answered."""
    unknown = sum(subject.answer(fact) is None for subject in asked)
    where = "" if fact.about == "vehicle" else f" on {unknown} of {len(asked)}"
    return NotChecked(check, f"not looked at{where}: {fact.question}", questions=unknown) if unknown else None


@frozen
class OpenQuestion:
    """A fact that nobody has looked at on a subject, and the check that waits for it."""

    check: str
    fact: Fact
    subject: Subject


def open_questions(subjects: Subjects, checks: Iterable[Check]) -> tuple[OpenQuestion, ...]:
    """Every fact that some check asks for and the design does not answer, in the order of the checks."""
    return tuple(
        OpenQuestion(check.name, fact, subject)
        for check in checks
        for fact in check.facts
        for subject in subjects.asked(fact)
        if subject.answer(fact) is None
    )
