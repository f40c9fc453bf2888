"""A supplier's list on its way to become a catalog: how it is read, what became of each row, what would change."""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Mapping
from dataclasses import replace
from itertools import count
from pathlib import Path as FilePath

from rigfeed.errors import InputError
from rigfeed.fields import one_of
from rigfeed.files import read_bytes
from rigfeed.frozen import frozen
from rigfeed.intake.adding import Prepared, catalog_path, catalog_there, prepare, settled
from rigfeed.intake.columns import meanings_of
from rigfeed.intake.keeping import catalog_name, user_folder
from rigfeed.intake.mapping import Mapping as HowToRead
from rigfeed.intake.mapping import mapping_file
from rigfeed.intake.reading import MOST_BYTES
from rigfeed.intake.taking import STATES, Outcome, State, Taken
from rigfeed.parts.part import PartKind
from rigfeed.registry import Registry
from rigfeed.view import Tell
from rigfeed_gui.logic.fields import Choice
from rigfeed_gui.logic.words import say

MOST_SHOWN = 400  # rows; the rest is counted
SHAPES: Mapping[State, str] = {"taken": "○", "taken with a mark": "▲", "refused": "■"}
# what a column may be taken as where neither cell nor header says; a person may write something else
TAKEN_AS: Mapping[str, tuple[str, ...]] = {
    "size": ("awg", "mm2", "auto mm"), "ohm": ("ohm/km", "ohm/1000 ft", "mohm/m"), "od": ("mm", "in"),
    "price": ("EUR per m", "USD per ft", "GBP per m"),
}


@frozen
class Listed:
    """A list in hand: its file and content, the name and the folder of its catalog, and how it is to be read."""

    file: str
    content: bytes
    name: str
    folder: FilePath
    mapping: HowToRead

    def read(self, registry: Registry, tell: Tell) -> Prepared:
        """What it would become; raises as `rigfeed.intake.adding.prepare` does, and names the file."""
        try:
            return prepare(
                self.content, self.file, self.name, folder=self.folder, registry=registry, mapping=self.mapping,
                day=datetime.date.today().isoformat(), tell=tell,
            )
        except InputError as error:
            raise error if error.place.file else error.at(file=self.file) from None

    def named(self, name: str) -> Listed:
        """Under another name; raises InputError if that cannot be one."""
        return replace(self, name=catalog_name(name.strip(), self.file))

    def of_kind(self, kind: str, registry: Registry) -> Listed:
        """Its parts are of this kind; empty: as the list seems to say. What was said of columns that such parts do not
        have is forgotten: with it no list would be read."""
        before = self.mapping
        known = {"", *(meaning.name for meaning in meanings_of(registry.kinds[kind]))} if kind else {""}
        return replace(self, mapping=replace(
            before, kind=kind, columns={header: name for header, name in before.columns.items() if name in known},
            treat={name: text for name, text in before.treat.items() if name in known},
            set={name: text for name, text in before.set.items() if name in known},
        ))

    def meaning(self, header: str, meaning: str) -> Listed:
        """A column means something else; empty: it is not read."""
        return replace(self, mapping=replace(self.mapping, columns={**self.mapping.columns, header: meaning}))

    def every(self, column: str, text: str) -> Listed:
        """What every row has in a column that the list does not have; empty: nothing."""
        others = {name: said for name, said in self.mapping.set.items() if name != column}
        return replace(self, mapping=replace(self.mapping, set=others | ({column: text} if text else {})))

    def taken_as(self, meaning: str, text: str) -> Listed:
        """All of a column is taken as something; empty: as its cells and its header say."""
        treat = {name: said for name, said in self.mapping.treat.items() if name != meaning}
        return replace(self, mapping=replace(self.mapping, treat=treat | ({meaning: text} if text else {})))


def listed(path: FilePath, beside: FilePath | None = None) -> Listed:
    """The list in a file, read as the last one of its name was; its catalog is to be one of the user's own, or to lie
    `beside` a design.

    Raises
    ------
    FileProblem, InputError
        If the file cannot be read, or no catalog can have its name.
    """
    name = catalog_name("", path.name)
    folder = beside.parent / "catalogs" if beside else user_folder()
    return Listed(path.name, read_bytes(path, most=MOST_BYTES), name, folder, settled(name))


def pasted(text: str) -> Listed:
    """The list in a text from the clipboard. Its catalog is to be one of the user's own, under a name that none has:
    what was pasted before may be of another supplier.

    Raises
    ------
    InputError
        If there is nothing in it.
    """
    if not text.strip():
        raise InputError(say("intake.no-clipboard"), remedy=say("intake.no-clipboard.do"))
    folder, word = user_folder(), say("intake.pasted")
    names = (word if number == 1 else f"{word}-{number}" for number in count(1))
    name = next(n for n in names if not catalog_path(folder, n).exists() and not mapping_file(n).exists())
    return Listed(say("intake.clipboard"), text.encode("utf-8", "replace"), name, folder, HowToRead())


@frozen
class RowShown:
    """A row of the preview: what became of it by shape and word, its line, its id, and what there is to say."""

    state: str
    line: str
    id: str
    says: str


def rows(taken: Taken, state: str = "") -> tuple[tuple[RowShown, ...], int]:
    """The rows that came out so (all if empty), at most `MOST_SHOWN`, and how many more there are."""
    wanted = [outcome for outcome in taken.outcomes if state in ("", outcome.state)]
    return tuple(map(_row, wanted[:MOST_SHOWN])), max(0, len(wanted) - MOST_SHOWN)


def _row(outcome: Outcome) -> RowShown:
    notes = "; ".join(str(note) for note in outcome.notes)
    return RowShown(state_words(outcome.state), str(outcome.line), outcome.id, notes or outcome.cells.get("title", ""))


def state_words(state: State) -> str:
    """What became of a row, by shape and word."""
    return f"{SHAPES[state]} {say(f'outcome.{state}')}"


def about(outcome: Outcome, headers: tuple[str, ...]) -> Iterator[tuple[str, str]]:
    """Everything about one row, as texts with a tag: what there is to say, what is given, what the catalog gets."""
    yield f"{state_words(outcome.state)}\n", "heading"
    for note in outcome.notes:
        yield f"{say(f'remark.{note.level}')}: {note}\n", ""
    given = [f"{header or '-'}: {cell}" for header, cell in zip(headers, outcome.given, strict=False) if cell]
    yield f"{say('intake.given')}: {'; '.join(given)}\n", "quiet"
    if outcome.state != "refused":
        cells = [f"{name.replace('_', ' ')}: {cell}" for name, cell in outcome.cells.items() if cell not in ("", "-")]
        yield f"{say('intake.becomes')}: {'; '.join(cells)}", ""


def counted(taken: Taken) -> str:
    """How many rows came out how."""
    return ", ".join(f"{taken.count(state)} {say(f'outcome.{state}')}" for state in STATES)


def summary(prepared: Prepared, registry: Registry, *, short: bool = False) -> str:
    """How many rows came out how, how the list was read, and what keeping it would do; `short`: without the middle."""
    taken = prepared.taken
    mark = say("intake.comma") if taken.comma else say("intake.point")
    how = say("intake.how", how=taken.how, mark=mark, kind=registry.kinds[taken.kind].title)
    there = say("intake.there", name=prepared.name, changes=len(prepared.changes))
    parts = (say("intake.counted", counted=counted(taken)), "" if short else how, "" if prepared.is_new else there)
    return " ".join(part for part in (*parts, say("intake.not-kept")) if part)


def may_be_kept(taken: Taken) -> bool:
    """Whether there is a row to keep."""
    return taken.count("refused") < len(taken.outcomes)


@frozen
class ColumnShown:
    """A column of the list: its header, what it means (empty: it is not read), what it is taken as, its first cell.

    One without a header is a column that the list does not have: what it is taken as goes into every row.
    """

    header: str
    meaning: str
    taken_as: str
    first: str


def columns(prepared: Prepared, kind: PartKind) -> tuple[ColumnShown, ...]:
    """The columns that have a header, from left to right, then those that every part must have and the list has not."""
    taken = prepared.taken
    found = []
    for number, (header, meaning) in enumerate(zip(taken.columns.headers, taken.columns.meanings, strict=True)):
        cells = (row.given[number] for row in taken.outcomes if number < len(row.given))
        if header:
            treat = taken.mapping.treat.get(meaning, "") if meaning else ""
            found.append(ColumnShown(header, meaning, treat, next(filter(None, cells), "")))
    lacking = [name for name in _needed(kind) if name not in taken.columns.meanings]
    return (*found, *(ColumnShown("", name, taken.mapping.set.get(name, ""), "") for name in lacking))


def _needed(kind: PartKind) -> list[str]:
    """The columns that every row of a kind must have; a kind that reads its lists itself finds them by itself."""
    if kind.intake is not None or kind.row is None:
        return []
    schema = one_of(kind.row)
    needed = [key for key, name in schema.keys_of().items() if schema.fields[name].required]
    return [name for name in needed if name not in ("title", "source", "confidence")]


def meanings(registry: Registry, kind: str) -> tuple[tuple[str, str], ...]:
    """What a column of a list of a kind can mean, each with its words; the first is that it is not read."""
    known = (meaning.name for meaning in meanings_of(registry.kinds[kind]))
    return (("", say("intake.not-read")), *((name, name.replace("_", " ")) for name in dict.fromkeys(known)))


def kinds(registry: Registry) -> tuple[tuple[str, str], ...]:
    """The kinds of parts of which there can be a list; the first leaves it to the list."""
    bought = sorted((kind.title, name) for name, kind in registry.kinds.items() if kind.row is not None)
    return (("", say("intake.any-kind")), *((name, title) for title, name in bought))


def offered(meaning: str, typed: str, kind: PartKind | None = None) -> tuple[Choice, ...]:
    """What a column of a meaning is usually taken as; of a column of the kind with choices, these."""
    texts = TAKEN_AS.get(meaning, ())
    if kind is not None and kind.row is not None and not texts:
        schema = one_of(kind.row)
        name = schema.keys_of().get(meaning)
        texts = tuple(getattr(schema.fields[name], "choices", ())) if name else ()
    return tuple(Choice(text, "") for text in texts if typed.strip().lower() in text.lower())


def changes(prepared: Prepared) -> tuple[tuple[str, str, str], ...]:
    """What the catalog that is there would lose, gain and change: what, which part, which cells."""
    return tuple(
        (say(f"difference.{change.what}"), change.id, _cells(change.cells)) for change in prepared.changes[:MOST_SHOWN]
    )


def _cells(cells: Mapping[str, tuple[str, str]]) -> str:
    return "; ".join(f"{name.replace('_', ' ')}: {old or '-'} → {new or '-'}" for name, (old, new) in cells.items())


def is_own(name: str) -> bool:
    """Whether a catalog is one of the user's own, which can be removed."""
    return (user_folder() / f"{name}.csv").exists()


def remove(name: str) -> None:
    """Remove a catalog of the user's own; raises UnknownName where there is none."""
    catalog_there(user_folder(), name).unlink()
