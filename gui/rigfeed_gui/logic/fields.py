"""A field of a form: the text in it, what that means, what is wrong with it, and what could be chosen instead."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any

from marshmallow import Schema, ValidationError, fields

from rigfeed.complaints import Complaint
from rigfeed.complaints import complaints as flattened
from rigfeed.design.edit import COLLECTIONS
from rigfeed.design.model import Design
from rigfeed.errors import InputError
from rigfeed.fields import COLOURS, ColourField, PartField, RefField, Series, TableOf, TerminalField
from rigfeed.forms import FormField
from rigfeed.frozen import frozen
from rigfeed.parts.interfaces import ConductorType, Device, EndFitting, Joint
from rigfeed.parts.part import PartKind
from rigfeed.parts.shelf import Shelf
from rigfeed_gui.logic.words import say

NOTHING = "-"  # at its place in a list: there is none here
YES, NO = ("yes", "true", "y"), ("no", "false", "n")
MOST_READ = 5000  # rows of a kind in one catalog whose titles are looked through; of larger ones the keys only


@frozen
class Typed:
    """What a text means: plain data for an edit (None: the field is empty), or what is wrong and what to do."""

    value: Any = None
    error: str = ""
    remedy: str = ""


@frozen
class Choice:
    """One thing to choose: what the field then holds, and what it is, for people."""

    value: str
    words: str


@frozen
class Field:
    """A field with what it holds. `text` is empty where nothing is given; `assumed` is what is used instead, to be
    shown in grey, with its authority in `assumed_why`. `pick` tells whether `choices_for` has anything to offer.

    `known` finds what the schema cannot: a part, or a thing of the design, that is not there.
    """

    form: FormField
    schema: Schema
    text: str
    assumed: str = ""
    assumed_why: str = ""
    pick: bool = False
    known: Callable[[fields.Field[Any], Any], None] | None = None

    @property
    def inner(self) -> fields.Field[Any]:
        """The field of the schema."""
        key = self.form.path[-1]
        return next(field for name, field in self.schema.fields.items() if (field.data_key or name) == key)

    def typed(self, text: str) -> Typed:
        """What a text in this field means; called at every key, never raises."""
        bare = text.strip()
        if not bare:
            needed = self.form.required
            return Typed(error=say("field.missing"), remedy=say("field.missing.do")) if needed else Typed()
        try:
            value = plain(self.inner, bare)
            self.inner.deserialize(value)
            for inner, item in leaves(self.inner, value):
                if self.known is not None and item != "":
                    self.known(inner, item)
        except ValidationError as error:
            return _wrong(error)
        except InputError as error:
            return Typed(error=error.what, remedy=error.remedy)
        return Typed(value)


def _wrong(error: ValidationError) -> Typed:
    """The first complaint, with the place inside of a list or table where there is one."""
    path, complaint = next(flattened(error.messages), ((), Complaint(say("field.wrong"))))
    what = str(complaint) if not path else f"{path[-1] if isinstance(path[-1], str) else path[-1] + 1}: {complaint}"
    return Typed(error=what, remedy=complaint.remedy)


# text to plain data and back


def plain(inner: fields.Field[Any], text: str) -> Any:
    """The plain data that a text stands for; of what cannot be told apart the text itself, for the field to refuse."""
    if isinstance(inner, fields.Boolean) or type(inner).__name__ == "YesNo":
        return True if text.lower() in YES else False if text.lower() in NO else text
    if isinstance(inner, fields.Number):
        return _number(text)
    if isinstance(inner, Series):
        return _listed(inner, text)
    if isinstance(inner, TableOf):
        return _tabled(inner, text)
    return text


def _number(text: str) -> Any:
    try:
        return float(text) if not text.lstrip("+-").isdigit() else int(text)
    except ValueError:
        return text


def _listed(inner: Series, text: str) -> Any:
    items = [item.strip() for item in text.split(",")]
    if items and not items[-1]:
        items.pop()  # a comma just typed: the next item is about to come
    if isinstance(inner.inner, Series):
        return [_side(item) for item in items]
    if isinstance(inner.inner, fields.Nested):
        return [_row(inner.inner, item) for item in items]
    values = ["" if item == NOTHING else plain(inner.inner, item) for item in items]
    return values[0] if inner.or_one and len(values) == 1 else values


def _side(text: str) -> Any:
    """One item of a list of lists: ``ring:m8-6 + ring:m6-6`` for more than one."""
    parts = ["" if part.strip() == NOTHING else part.strip() for part in text.split("+")]
    return parts if len(parts) > 1 else parts[0]


def _row(inner: fields.Nested, text: str) -> dict[str, Any]:
    """One row of a list of tables, its values in the order of the keys: ``sending 10 min``."""
    keys = [field.data_key or name for name, field in inner.schema.fields.items()]
    return dict(zip(keys, text.split(maxsplit=len(keys) - 1), strict=False))


def _tabled(inner: TableOf, text: str) -> Any:
    pairs: dict[str, Any] = {}
    for item in text.split(","):
        key, _, value = (piece.strip() for piece in item.partition("="))
        if not (key or value):
            continue
        pairs[key] = plain(inner.inner, value) if isinstance(inner.inner, fields.Field) else value
    return pairs


def text_of(form: FormField, value: Any) -> str:
    """How a value of plain data stands in its field: a list with commas, a table as ``exhaust = 300 mm``."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return YES[0] if value else NO[0]
    if isinstance(value, float):
        return f"{value:g}"
    if isinstance(value, Mapping):
        return ", ".join(f"{key} = {text_of(form, item)}" for key, item in value.items())
    if isinstance(value, list | tuple):
        return ", ".join(_item_text(form, item) for item in value)
    return str(value)


def _item_text(form: FormField, item: Any) -> str:
    if isinstance(item, Mapping):
        return " ".join(str(part) for part in item.values())
    if isinstance(item, list | tuple):
        return " + ".join(str(part) or NOTHING for part in item)
    return text_of(form, item) or NOTHING


def leaves(inner: fields.Field[Any], value: Any) -> Iterator[tuple[fields.Field[Any], Any]]:
    """Every single value in a list or a table, with the field that it belongs to; a table itself too, for its keys."""
    if isinstance(inner, Series):
        for item in value if isinstance(value, list) else [value]:
            yield from leaves(inner.inner, item)
    elif isinstance(inner, TableOf):
        yield inner, value
        if isinstance(inner.inner, fields.Field) and isinstance(value, dict):
            for item in value.values():
                yield from leaves(inner.inner, item)
    elif isinstance(inner, fields.Nested):
        for name, field in inner.schema.fields.items():
            if isinstance(value, dict) and (field.data_key or name) in value:
                yield from leaves(field, value[field.data_key or name])
    else:
        yield inner, value


# what can be chosen


def has_choices(inner: fields.Field[Any]) -> bool:
    """Whether there is anything to choose for a field of this sort."""
    lowest = _lowest(inner)
    known = isinstance(lowest, PartField | RefField | TerminalField | ColourField)
    return known or bool(getattr(lowest, "choices", ())) or getattr(lowest, "like", "") == "road"


def _lowest(inner: fields.Field[Any]) -> fields.Field[Any]:
    while isinstance(inner, Series):
        inner = inner.inner
    return inner


def choices_for(field: Field, typed: str, design: Design, shelf: Shelf, most: int = 50) -> Sequence[Choice]:
    """What fits what has been typed so far: words of a choice, parts of the shelf by key and title, things of the
    design by id and title. In a list it is the last item that is being typed; a choice then holds the whole list."""
    inner = field.inner
    before, word = "", typed.strip()
    if isinstance(inner, Series):
        head, comma, word = typed.rpartition(",")
        before, word = f"{head.strip()}, " if comma else "", word.strip()
    found = list(_offered(_lowest(inner), field.form, word, design, shelf, most))
    return tuple(Choice(before + choice.value, choice.words) for choice in found[:most])


def likes_of(field: Field, text: str, design: Design, shelf: Shelf) -> Sequence[Choice]:
    """What could stand in the place of a text that stands there: of a part its family first, then its kind, then the
    rest of the shelf; of all else everything."""
    if isinstance(field.inner, Series):
        return choices_for(field, "".join(text.rpartition(",")[:2]), design, shelf)
    if not isinstance(field.inner, PartField) or ":" not in text:
        return choices_for(field, "", design, shelf)
    kind, _, row = text.partition(":")
    family = row.rpartition("/")[2].rpartition("-")[0]
    found: dict[str, Choice] = {}
    for word in (*([f"{kind}:{family}-"] if family else []), f"{kind}:", ""):
        for choice in choices_for(field, word, design, shelf):
            found.setdefault(choice.value, choice)
    return tuple(found.values())


def _offered(
    inner: fields.Field[Any], form: FormField, word: str, design: Design, shelf: Shelf, most: int
) -> Iterator[Choice]:
    if isinstance(inner, PartField):
        wanted = [inner.kind] if inner.kind else _kinds_for(form, shelf)
        found = [choice for kind in wanted for choice in parts(shelf, kind, word, most)]
        yield from sorted(found, key=lambda choice: _rank(choice, word))
    elif isinstance(inner, RefField):
        yield from _fitting(_things(design, inner.collection), word)
    elif isinstance(inner, TerminalField):
        yield from _fitting(_terminals(design, shelf), word)
    elif isinstance(inner, ColourField):
        yield from _fitting((Choice(code, name) for code, name in COLOURS.items()), word)
    elif getattr(inner, "choices", ()):
        yield from _fitting((Choice(str(c), str(c)) for c in getattr(inner, "choices", ())), word)
    elif getattr(inner, "like", "") == "road":
        practices = shelf.registry.practices
        yield from _fitting((Choice(name, practices.get(name).title) for name in practices.names()), word)


def _fitting(choices: Iterator[Choice], word: str) -> Iterator[Choice]:
    return (choice for choice in choices if _fits(word, choice.value, choice.words))


def _fits(word: str, *texts: str) -> bool:
    """Whether every word that was typed stands somewhere in the texts."""
    whole = " ".join(texts).lower()
    return all(piece in whole for piece in word.lower().split())


def _rank(choice: Choice, word: str) -> tuple[int, int]:
    """What begins with what was typed stands before what holds it somewhere, and the shorter key before the longer."""
    row = choice.value.partition(":")[2] or choice.value
    typed = word.lower().partition(":")[2] or word.lower()
    begins = row.lower().startswith(typed.replace(" ", "-")) or choice.value.lower().startswith(word.lower())
    return (0, len(row)) if word and begins else (1, 0)


def _things(design: Design, collection: str) -> Iterator[Choice]:
    assert collection in COLLECTIONS
    for id_, item in getattr(design, collection).items():
        yield Choice(id_, getattr(item, "title", None) or "")


def _terminals(design: Design, shelf: Shelf) -> Iterator[Choice]:
    for id_, node in design.nodes.items():
        for name in terminals_of(node.part, shelf):
            yield Choice(f"{id_}.{name}", node.title or node.part or "")


def terminals_of(key: str | None, shelf: Shelf) -> tuple[str, ...]:
    """The names of the terminals of a part; of a joint, which takes any name, one to begin with; none of no part."""
    try:
        part = shelf.part(key) if key else None
    except InputError:
        return ()
    if isinstance(part, Joint):
        return ("in",)
    return tuple(terminal.name for terminal in part.terminals) if isinstance(part, Device) else ()


def _kinds_for(form: FormField, shelf: Shelf) -> list[str]:
    """The kinds that can stand where no kind is named: a device as the part of a node, a cable, an end fitting."""
    wanted: type[Any] = {"cable": ConductorType, "ends": EndFitting}.get(str(form.path[-1]), Device)
    return [name for name, kind in sorted(shelf.kinds.items()) if issubclass(builds(kind), wanted)]


def builds(kind: PartKind) -> type[Any]:
    """The class of the parts of a kind."""
    return type(kind.standard) if kind.row is None else kind.row.builds


def parts(shelf: Shelf, kind: str, word: str, most: int) -> Iterator[Choice]:
    """The parts of a kind that fit a word, by catalog and row, at most so many."""
    if shelf.kinds[kind].standard is not None and _fits(word, kind, shelf.kinds[kind].title):
        yield Choice(kind, shelf.kinds[kind].title)
    count = 0
    for _, rows in shelf.catalogs():
        ids = list(rows.ids(kind))
        for id_ in ids:
            key = f"{kind}:{id_}"
            if len(ids) > MOST_READ and not _fits(word, key):
                continue
            row = rows.get(kind, id_)
            title = row.cells.get("title", "") if row else ""
            if _fits(word, key, title):
                yield Choice(key, title)
                count += 1
                if count >= most:
                    return
