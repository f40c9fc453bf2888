"""What can be selected: the things of a design, each with its fields, its facts and its title."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any
from weakref import WeakKeyDictionary

from marshmallow import fields

from rigfeed.assess import Assessment
from rigfeed.checks.facts import SUBJECTS
from rigfeed.design import schema
from rigfeed.design.edit import COLLECTIONS, Add, Edit, Remove, Rename, Set, consequences
from rigfeed.design.model import Design
from rigfeed.design.references import references
from rigfeed.errors import DesignError, InputError, UnknownName
from rigfeed.fields import PART_KEY, PartField, RefField, TableOf, TableSchema, TerminalField, YesNo, one_of
from rigfeed.forms import form
from rigfeed.frozen import frozen
from rigfeed.installation import Assumption, node_of
from rigfeed.parts.shelf import Shelf
from rigfeed.path import Path
from rigfeed.quantity import System
from rigfeed_gui.logic.computed import Line, computed
from rigfeed_gui.logic.fields import Field, Typed, has_choices, terminals_of, text_of
from rigfeed_gui.logic.words import say

__all__ = [
    "Addition", "FactRow", "Line", "Listed", "Section", "Thing", "adding", "answering", "filling", "fresh_id",
    "removable", "removing", "renaming", "sections", "selectable", "thing",
]

SCHEMAS: Mapping[str, type[TableSchema]] = {
    "job": schema.JobSchema, "vehicle": schema.VehicleSchema, "zones": schema.ZoneSchema,
    "points": schema.PointSchema, "runs": schema.RunSchema, "passages": schema.PassageSchema,
    "nodes": schema.NodeSchema, "conductors": schema.ConductorSchema, "states": schema.StateSchema,
    "duty": schema.DutySchema,
}
SINGLE = ("job", "vehicle")


@frozen
class Listed:
    """A thing in the list of all things: its path, its id and title, and how many findings it has."""

    path: Path
    words: str
    findings: int = 0


@frozen
class Section:
    """The things of one collection, under its heading."""

    collection: str
    heading: str
    things: tuple[Listed, ...]


@frozen
class FactRow:
    """A question that only an eye can answer on a thing; None is unknown."""

    path: Path
    question: str
    answer: bool | None


@frozen
class Thing:
    """The thing in hand."""

    path: Path
    heading: str
    fields: tuple[Field, ...]
    facts: tuple[FactRow, ...]
    computed: tuple[Line, ...]

    def field(self, path: Path) -> Field:
        """The field of a path; KeyError where there is none."""
        for field in self.fields:
            if field.form.path == path:
                return field
        raise KeyError(str(path))


def sections(design: Design, assessment: Assessment | None) -> tuple[Section, ...]:
    """Everything that can be selected, by collection; the vehicle and the job first."""
    counts: dict[Path, int] = {}
    for finding in assessment.findings if assessment else ():
        at = selectable(design, finding.subject)
        if at is not None and finding.accepted_by is None:
            counts[at] = counts.get(at, 0) + 1
    first = tuple(Listed(Path(name), say(f"whole.{name}"), counts.get(Path(name), 0)) for name in SINGLE)
    return (
        Section("", say("section.design"), first),
        *(Section(name, say(f"section.{name}"), tuple(_listed(design, name, counts))) for name in COLLECTIONS),
    )


def _listed(design: Design, collection: str, counts: Mapping[Path, int]) -> Iterator[Listed]:
    for id_ in getattr(design, collection):
        path = Path(collection, id_)
        yield Listed(path, named(design, path), counts.get(path, 0))


def named(design: Design, path: Path) -> str:
    """A thing as a list shows it: id and title, else what it is or what it joins."""
    item = getattr(design, str(path[0]))[path[1]]
    title = getattr(item, "title", None) or getattr(item, "label", None) or getattr(item, "part", None)
    if not title and (start := getattr(item, "start", None)) and item.end:
        joined = (start, item.end) if isinstance(start, str) else (start[0], item.end[0])
        title = say("thing.joins", start=joined[0], end=joined[1])
    return f"{path[1]}  {title}" if title else str(path[1])


def selectable(design: Design, path: Path) -> Path | None:
    """The thing that a path of a finding points into; None where the design has it no more."""
    if path and path[0] in SINGLE:
        return Path(path[0])
    if len(path) >= 2 and path[0] in COLLECTIONS and path[1] in getattr(design, str(path[0])):
        return Path(*path[:2])
    return None


def removable(path: Path) -> bool:
    """Whether a thing can be removed or renamed: it has an id."""
    return len(path) == 2 and path[0] in COLLECTIONS


def thing(
    design: Design, path: Path, shelf: Shelf, assessment: Assessment | None, state: str | None, system: System
) -> Thing:
    """The thing at a path of `sections`; `computed` shows the chosen state.

    Raises
    ------
    KeyError
        If the design has none there.
    """
    if selectable(design, path) != path:
        raise KeyError(str(path))
    collection = str(path[0])
    heading = say(f"whole.{collection}") if len(path) == 1 else say(f"thing.{collection}", id=named(design, path))
    assumed = {a.subject: a for a in assessment.assumptions} if assessment else {}
    fields_, facts = _fields(design, path, shelf, assumed, system), _facts(design, path, assessment)
    return Thing(path, heading, tuple(fields_), tuple(facts), computed(assessment, path, state, system))


def _fields(
    design: Design, path: Path, shelf: Shelf, assumed: Mapping[Path, Assumption], system: System
) -> Iterator[Field]:
    held = _plain(design, path)
    yield from _of(one_of(SCHEMAS[str(path[0])]), path, held, design, shelf, assumed, system)
    settings = _settings_of(held, shelf) if path[0] == "nodes" else None
    if settings is not None:
        inside = held.get("settings", {})
        yield from _of(one_of(settings), path / "settings", inside, design, shelf, assumed, system)


def _plain(design: Design, path: Path) -> dict[str, Any]:
    """The plain data of one thing: of the whole design it would take as long as all else in a form."""
    collection = str(path[0])
    held = getattr(design, collection)
    plain: dict[str, Any] = one_of(SCHEMAS[collection]).dump(held if len(path) == 1 else held[path[1]])
    return plain


def _settings_of(node: Mapping[str, Any], shelf: Shelf) -> type[TableSchema] | None:
    kind = shelf.kinds.get(str(node.get("part", "")).split(":")[0])
    return kind.settings if kind else None


def _of(
    of: TableSchema, path: Path, held: Mapping[str, Any], design: Design, shelf: Shelf,
    assumed: Mapping[Path, Assumption], system: System,
) -> Iterator[Field]:
    inner = {field.data_key or name: field for name, field in of.fields.items()}
    for field in form(of, path):
        key = str(field.path[-1])
        if _is_elsewhere(inner[key]):
            continue
        guess = assumed.get(field.path)
        yield Field(
            form=field, schema=of, text=text_of(field, held.get(key)), assumed=_guessed(guess, system),
            assumed_why=guess.authority if guess else "", pick=has_choices(inner[key]),
            known=_known(design, shelf, field.path),
        )


def _is_elsewhere(inner: fields.Field[Any]) -> bool:
    """Facts have their own rows; settings are fields of their kind's schema."""
    return isinstance(inner, TableOf) and (isinstance(inner.inner, YesNo) or inner.like == "rest_voltage")


def _guessed(guess: Assumption | None, system: System) -> str:
    if guess is None:
        return ""
    return guess.value.text(system) if guess.value else guess.what


def _known(design: Design, shelf: Shelf, path: Path) -> Any:
    """What the schema cannot know of a value: whether the shelf, or the design, has what it names."""

    def known(inner: fields.Field[Any], value: Any) -> None:
        if isinstance(inner, PartField):
            _must_be_on_the_shelf(str(value), shelf)
        elif isinstance(inner, RefField) and value not in getattr(design, inner.collection):
            raise UnknownName(inner.collection.removesuffix("s"), str(value), getattr(design, inner.collection))
        elif isinstance(inner, TerminalField):
            _must_be_a_terminal(str(value), design, shelf)
        elif isinstance(inner, TableOf):
            _keys_must_be_there(path, value, design)

    return known


def _keys_must_be_there(path: Path, value: Any, design: Design) -> None:
    """The keys of some tables are ids: the volts at the start of a state are those of its batteries."""
    for key in reversed(path):
        value = {key: value}
    for named in references(value):
        if named.is_key and named.id not in getattr(design, named.collection):
            raise UnknownName(named.collection.removesuffix("s"), named.id, getattr(design, named.collection))


def _must_be_on_the_shelf(key: str, shelf: Shelf) -> None:
    match = PART_KEY.fullmatch(key)
    if match is None or match["kind"] not in shelf.kinds:
        raise UnknownName("part kind", key.split(":", maxsplit=1)[0], shelf.kinds)
    row = match["row"]
    if row is None:
        shelf.part(key)  # says what is wrong with a bare kind
    elif not any(r.get(match["kind"], row) for f, r in shelf.catalogs() if match["catalog"] in (None, f.name)):
        # the names of ten thousand parts are not compared at every key that is pressed
        raise InputError(say("field.no-part", key=key), remedy=say("field.no-part.do"))


def _must_be_a_terminal(terminal: str, design: Design, shelf: Shelf) -> None:
    node = node_of(terminal)
    if node not in design.nodes:
        raise UnknownName("node", node, design.nodes)
    part = design.nodes[node].part
    names = terminals_of(part, shelf)
    if part != "joint" and names and terminal.partition(".")[2] not in names:
        raise UnknownName(f"terminal of {node}", terminal.partition(".")[2], names)


def _facts(design: Design, path: Path, assessment: Assessment | None) -> Iterator[FactRow]:
    """The questions of all checks on this thing, each once; the answers are those of the design, not of the checks."""
    if assessment is None:
        return
    if assessment not in _asked:
        _asked[assessment] = _questions(assessment)
    plain = _plain(design, path)
    for at, question in _asked[assessment].get(path, {}).items():
        yield FactRow(at, question, _value(plain, at[len(path):]))


# the questions of an assessment, gone through once: a form is filled anew at every edit
_asked: WeakKeyDictionary[Assessment, dict[Path, dict[Path, str]]] = WeakKeyDictionary()


def _questions(assessment: Assessment) -> dict[Path, dict[Path, str]]:
    """Of each thing the questions, by the place of their answer."""
    found: dict[Path, dict[Path, str]] = {}
    for fact in (fact for check in assessment.asked for fact in check.facts):
        for subject in assessment[SUBJECTS].asked(fact):
            at = subject.path / fact.name if fact.about == "end" else subject.path / "facts" / fact.name
            question = f"{subject.title}: {fact.question}" if fact.about == "end" else fact.question
            found.setdefault(Path(*subject.path[:2]), {}).setdefault(at, question)
    return found


def _value(plain: Any, path: Sequence[str | int]) -> Any:
    for key in path:
        if not isinstance(plain, dict) or key not in plain:
            return None
        plain = plain[key]
    return plain


# edits


def filling(field: Field, typed: Typed) -> tuple[Edit, ...]:
    """The edits that put what was typed into a field; none where nothing changes or it has an error."""
    if typed.error or text_of(field.form, typed.value) == field.text:
        return ()
    return (Remove(field.form.path),) if typed.value is None else (Set(field.form.path, typed.value),)


def following(design: Design, field: Field, typed: Typed, shelf: Shelf) -> tuple[Edit, ...]:
    """What must go with a change: another kind of part does not know the settings of the one before."""
    path = field.form.path
    if path[:1] != ("nodes",) or path[2:] != ("part",):
        return ()
    settings = design.nodes[str(path[1])].settings
    schema_of = _settings_of({"part": typed.value or ""}, shelf)
    known = one_of(schema_of).keys_of() if schema_of else {}
    return tuple(Remove(Path(*path[:2], "settings", key)) for key in settings if key not in known)


def answering(design: Design, row: FactRow, answer: bool | None) -> tuple[Edit, ...]:
    """The edits that answer a question, or make it unknown again."""
    thing = selectable(design, row.path)
    given = None if thing is None else _value(_plain(design, thing), row.path[len(thing):])
    if answer is given:
        return ()
    return (Remove(row.path),) if answer is None else (Set(row.path, answer),)


_NUMBERED = {"conductors": "W", "passages": "H", "fuse": "F", "breaker": "F"}
_SINGULAR = {"zones": "zone", "points": "point", "runs": "run", "nodes": "node", "states": "state", "duty": "duty"}


def fresh_id(design: Design, collection: str, like: str = "") -> str:
    """A free id as people would number it: ``W17`` after ``W16``, ``F3`` for a fuse; `like` is the key of a part."""
    taken = {id_.lower() for id_ in getattr(design, collection)}
    if collection in ("nodes", "conductors"):  # they share one set of labels
        taken |= {id_.lower() for id_ in (*design.nodes, *design.conductors)}
    kind = like.split(":", maxsplit=1)[0]
    letter = _NUMBERED.get(kind or collection, "")
    if letter:
        numbers = [int(id_[1:]) for id_ in taken if id_[:1] == letter.lower() and id_[1:].isdecimal()]
        return f"{letter}{max(numbers, default=0) + 1}"
    stem = "".join(c for c in kind if c.isalnum())[:12] or _SINGULAR[collection]
    if stem not in taken:
        return stem
    return next(name for n in range(2, len(taken) + 3) if (name := f"{stem}{n}") not in taken)


@frozen
class Addition:
    """A new thing: the edits that make it and the path to select after them."""

    edits: tuple[Edit, ...]
    path: Path


def adding(design: Design, collection: str, part: str = "", at: str = "") -> Addition:
    """A new thing of a collection with the least that is valid; for a node its part and its point may be given.

    Raises
    ------
    DesignError
        If it cannot stand yet: a run needs two points, a passage a run. The remedy says so.
    """
    value: dict[str, Any] = {}
    if collection == "runs":
        loose = _loose_points(design)
        if len(loose) < 2:
            raise DesignError(say("add.run-needs"), remedy=say("add.run-needs.do"))
        value = {"from": loose[0], "to": loose[1]}
    elif collection == "passages":
        holed = {passage.run for passage in design.passages.values()}
        runs = [run for run in design.runs if run not in holed] or list(design.runs)
        if not runs:
            raise DesignError(say("add.passage-needs"), remedy=say("add.passage-needs.do"))
        value = {"run": runs[0]}
    elif collection == "nodes":
        value = {key: text for key, text in (("part", part), ("at", at)) if text}
    path = Path(collection, fresh_id(design, collection, part if collection == "nodes" else ""))
    return Addition((Add(path, value),), path)


def _loose_points(design: Design) -> list[str]:
    """The points that a new run most likely joins: one that no run reaches yet, after the newest that one does."""
    reached = {point for run in design.runs.values() for point in (run.start, run.end)}
    joined = [point for point in design.points if point in reached]
    loose = [point for point in design.points if point not in reached]
    return [*joined[-1:], *loose, *joined[:-1]] if loose else joined


def removing(design: Design, path: Path) -> tuple[tuple[Edit, ...], Sequence[Path]]:
    """The edit that takes a thing away, and everything that goes with it, to be shown before it is done."""
    edit = Remove(path)
    return (edit,), tuple(other for other in consequences(design, edit) if other != path)


def renaming(design: Design, path: Path, new: str) -> Addition:
    """The edit that gives a thing another id; whether the id is free is seen when it is applied."""
    return Addition((Rename(path, new),), Path(path[0], new))
