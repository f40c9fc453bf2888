"""The one door: a list, read row by row, each taken, taken with a mark, or refused with reason and cell."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Hashable, Iterator
from collections.abc import Mapping as Table
from dataclasses import dataclass, field
from typing import Any, Literal, TypeVar, get_args

from rigfeed.errors import InputError, UnknownName
from rigfeed.fields import PART_KEY
from rigfeed.frozen import frozen
from rigfeed.intake.columns import COMMON, Columns, find_columns, meanings_of
from rigfeed.intake.declare import Given, Note, Reading
from rigfeed.intake.mapping import Mapping
from rigfeed.intake.numbers import decimal_mark
from rigfeed.intake.plain import chosen_words, fault, id_of, is_empty, read_plain
from rigfeed.intake.reading import Sheet, Tell, read_sheet
from rigfeed.parts.part import PartKind

State = Literal["taken", "taken with a mark", "refused"]
STATES: tuple[State, ...] = get_args(State)
WORDS = ("code", "title", "part", "source")  # meanings whose texts may hold any sign
_FORMULA = re.compile(r"[=@]|[+-](?![\d.,])")
_FOOTNOTE = re.compile(r"[*†‡]\)?$|\d\s?[¹²³]\)?$")
MOST_KNOWN = 50_000
T = TypeVar("T", bound=Hashable)
TOLD_EVERY = 1000  # rows


@dataclass(frozen=True, slots=True)
class Outcome:
    """What became of one row: its part as the catalog will have it (none if refused), and what there is to say."""

    line: int
    given: tuple[str, ...]
    id: str
    cells: dict[str, str]
    notes: tuple[Note, ...]

    @property
    def state(self) -> State:
        """The worst of its notes."""
        levels = {note.level for note in self.notes}
        return "refused" if "refused" in levels else "taken with a mark" if "mark" in levels else "taken"


@frozen
class Taken:
    """A whole list as read: how, what its columns were taken for, and what became of each row."""

    file: str
    sha256: str
    kind: str
    how: str
    comma: bool
    columns: Columns
    outcomes: tuple[Outcome, ...]
    passed_over: tuple[tuple[int, str], ...] = ()
    mapping: Mapping = field(default_factory=Mapping)

    def count(self, state: State) -> int:
        """How many rows came out so."""
        return sum(1 for outcome in self.outcomes if outcome.state == state)


def take(
    data: bytes, file: str, kinds: Table[str, PartKind], mapping: Mapping | None = None, *, tell: Tell | None = None
) -> Taken:
    """Read a supplier's list; nothing is written.

    Raises
    ------
    InputError
        If it cannot be read as a list, or it is not clear of what kind its parts are.
    Cancelled
        If `tell` raises it.
    """
    mapping = mapping or Mapping()
    sheet = read_sheet(data, encoding=mapping.encoding, tell=tell)
    kind, columns = _kind(sheet, kinds, mapping)
    _must_know(mapping, kind)
    body = sheet.rows[columns.first :]
    comma, is_sure = decimal_mark(cell for row in body[:5000] for cell in row)
    if mapping.decimal:
        comma, is_sure = mapping.decimal == ",", True
    reader = _Reader(kind, columns, mapping, (comma, is_sure))
    above = zip(sheet.rows[: columns.first - 1], sheet.lines, strict=False)
    passed = [(line, " | ".join(filter(None, row))) for row, line in above]
    outcomes = []
    for number, (row, line) in enumerate(zip(body, sheet.lines[columns.first :], strict=True)):
        if tell and number % TOLD_EVERY == 0:
            tell(number / len(body), f"row {number} of {len(body)}")
        if reader.is_no_part(row):
            passed.append((line, " | ".join(filter(None, row))))
        else:
            outcomes.append(reader.outcome(row, line))
    digest = hashlib.sha256(data).hexdigest()
    return Taken(file, digest, kind.name, sheet.how, comma, columns, tuple(outcomes), tuple(passed), mapping)


def _kind(sheet: Sheet, kinds: Table[str, PartKind], mapping: Mapping) -> tuple[PartKind, Columns]:
    """The kind of part and its columns: as told, as the keys say, or the one whose words fit clearly best."""
    if mapping.kind:
        if mapping.kind not in kinds or kinds[mapping.kind].row is None:
            raise UnknownName("part kind with a catalog", mapping.kind, [k for k in kinds if kinds[k].row])
        kind = kinds[mapping.kind]
        return kind, find_columns(sheet, meanings_of(kind), dict(mapping.columns))
    found: list[tuple[int, PartKind, Columns]] = []
    for kind in kinds.values():
        if kind.row is None:
            continue
        try:
            columns = find_columns(sheet, meanings_of(kind), dict(mapping.columns))
        except InputError:
            continue
        if "part" in columns.meanings and (named := _named(sheet, columns)) in kinds:
            return kinds[named], find_columns(sheet, meanings_of(kinds[named]), dict(mapping.columns))
        found.append((sum(1 for meaning in columns.meanings if meaning), kind, columns))
    found.sort(key=lambda item: -item[0])
    if not found or found[0][0] < 3 or (len(found) > 1 and found[1][0] == found[0][0]):
        likely = ", ".join(kind.name for score, kind, _ in found if score == found[0][0])
        raise InputError(
            f"does not say of what kind its parts are{f'; it could be {likely}' if likely else ''}",
            remedy="say of what kind they are, for instance cable",
        )
    return found[0][1], found[0][2]


def _must_know(mapping: Mapping, kind: PartKind) -> None:
    """Refuse a mapping that names columns which the kind does not have: they would be lost in silence."""
    known = [meaning.name for meaning in meanings_of(kind)]
    for name in (*mapping.columns.values(), *mapping.treat, *mapping.set):
        if name and name not in known:
            raise UnknownName(f"column of a {kind.name}", name, known)


def _named(sheet: Sheet, columns: Columns) -> str:
    at = columns.meanings.index("part")
    for row in sheet.rows[columns.first : columns.first + 1]:
        if at < len(row) and (match := PART_KEY.fullmatch(row[at])):
            return match["kind"]
    return ""


class _Reader:
    """Reads the rows of one list; remembers which ids are taken."""

    def __init__(self, kind: PartKind, columns: Columns, mapping: Mapping, mark: tuple[bool, bool]) -> None:
        self.kind, self.columns, self.mapping, self.mark = kind, columns, mapping, mark
        self.intake = kind.intake() if kind.intake else None
        self._own = frozenset(meaning.name for meaning in self.intake.meanings) if self.intake else frozenset[str]()
        self.headers = {
            meaning: self._said(header, meaning).strip().lower()
            for meaning, header in zip(columns.meanings, columns.headers, strict=True) if meaning
        }
        self._words = chosen_words(kind)
        self._ids: dict[str, int] = {}
        self._known: dict[Any, Any] = {}
        self._titled = tuple(cell.lower() for cell in columns.headers)

    def _said(self, header: str, meaning: str) -> str:
        """What a header says, with what its column is to be taken as: the unit, where the kind does not read it."""
        treat = self.mapping.treat.get(meaning, "")
        plain = treat and meaning not in self._own and meaning not in {common.name for common in COMMON}
        return f"{_BRACKETS.sub(' ', header)} [{treat}]" if plain else f"{header} {treat}"

    def is_no_part(self, row: tuple[str, ...]) -> bool:
        """A heading between rows, a remark below them, or the headers once more."""
        filled = [cell for cell in row if cell]
        again = tuple(cell.lower() for cell in row) == self._titled
        return again or len(filled) < 2 or bool(re.match(r"(?i)(sub)?total\b|summe\b|page \d|seite \d", filled[0]))

    def outcome(self, row: tuple[str, ...], line: int) -> Outcome:
        texts = {
            meaning: cell for meaning, cell in zip(self.columns.meanings, row, strict=False)
            if meaning and (not is_empty(cell) or cell.lower() in self._words.get(meaning, ()))
        }
        texts |= {name: text for name, text in self.mapping.set.items() if name not in texts}
        given = Given(texts, self.headers, *self.mark, self.mapping.currency)
        notes = [*_odd(texts), *self._beyond(row)]
        reading = read_plain(self.kind, given, self._own)
        if self.intake and "refused" not in {note.level for note in (*notes, *reading.notes)}:
            reading = self._read(given, reading)
        id_, more = self._id(texts, line)
        notes += [*reading.notes, *more]
        title = texts.get("title") or texts.get("code") or id_
        cells = {"title": _plain_text(title), "confidence": texts.get("confidence") or self.mapping.confidence}
        cells |= {name: self._once(_plain_text(text)) for name, text in reading.cells.items() if text}
        cells["source"] = texts.get("source", "-")
        if not any(note.level == "refused" for note in notes) and (wrong := fault(self.kind, cells)):
            notes.append(wrong)
        return Outcome(line, row, id_, cells, tuple(map(self._once, notes)))

    def _once(self, value: T) -> T:
        """The same value as an equal one before it: rows say the same again and again, and all of them are held."""
        known: dict[T, T] = self._known
        return known.get(value, value) if len(known) > MOST_KNOWN else known.setdefault(value, value)

    def _read(self, given: Given, reading: Reading) -> Reading:
        assert self.intake
        try:
            return self.intake.read(given, reading)
        except Exception as error:  # a plugin's; one row, not the list
            note = Note("refused", "row", f"the part kind failed: {type(error).__name__}: {error}")
            return Reading(reading.cells, (*reading.notes, note))

    def _beyond(self, row: tuple[str, ...]) -> Iterator[Note]:
        if extra := [cell for cell in row[len(self.columns.headers) :] if cell]:
            yield Note("refused", "row", f"has cells beyond the headers: {' | '.join(extra[:5])}")

    def _id(self, texts: Table[str, str], line: int) -> tuple[str, list[Note]]:
        if match := PART_KEY.fullmatch(texts.get("part", "")):
            id_ = match["row"] or ""
            if match["kind"] != self.kind.name:
                return id_, [Note("refused", "part", f"is a {match['kind']} in a list of kind {self.kind.name}")]
        else:
            name = " ".join(texts[column] for column in ("title", "size", "colours") if column in texts)
            id_ = id_of(texts.get("part") or texts.get("code") or name)
        if not id_:
            return "", [Note("refused", "code", "has neither a code nor a name")]
        first = self._ids.setdefault(id_.lower(), line)
        if first != line:
            return id_, [Note("refused", "code", f"{id_!r} stands on line {first} already")]
        return id_, []


def _odd(texts: Table[str, str]) -> Iterator[Note]:
    for meaning, text in texts.items():
        if text == "=":
            yield Note("refused", meaning, "is a formula, and the file does not hold its value: open and save it anew")
        elif _FORMULA.match(text):
            yield Note("refused", meaning, f"{text[:40]!r} is a formula, not a value")
        elif text.startswith("date "):
            yield Note("refused", meaning, f"is the {text}: a program took a size for a day; make the column text")
        elif meaning not in WORDS and _FOOTNOTE.search(text):
            yield Note("mark", meaning, f"{text!r} has a footnote: read in the list what it says")
        elif text.startswith("#") and text.rstrip("!?").isupper():
            yield Note("refused", meaning, f"{text!r} is the error of a formula")


_BRACKETS = re.compile(r"[\[(].*?[\])]")
_CONTROLS = re.compile("[\x00-\x1f\x7f-\x9f\ud800-\udfff]")


def _plain_text(text: str) -> str:
    return _CONTROLS.sub("", text).lstrip("=@+").strip() if not re.match(r"[-+]?\d", text) else text


def unknown_columns(taken: Taken) -> tuple[str, ...]:
    """The headers whose columns were not read."""
    return tuple(
        header for header, meaning in zip(taken.columns.headers, taken.columns.meanings, strict=True)
        if header and not meaning
    )
