"""A list that was read becomes a catalog of the user's: its text, where it is kept, what a new list changes in it."""

from __future__ import annotations

import csv
import io
import json
import re
from collections.abc import Iterator
from pathlib import Path

from rigfeed.errors import InputError, Place
from rigfeed.files import replace_file
from rigfeed.frozen import frozen
from rigfeed.intake.plain import id_of
from rigfeed.intake.taking import Outcome, Taken
from rigfeed.parts.catalog import LocalFile, Row, each_row

NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]{0,63}")
DEVICES = frozenset({"con", "prn", "aux", "nul", *(f"{port}{n}" for port in ("com", "lpt") for n in range(1, 10))})
FIRST = ("part", "title")
LAST = ("source", "confidence")


def catalog_name(wanted: str, file: str = "") -> str:
    """The name of a catalog: as wanted, or after its file.

    Raises
    ------
    InputError
        If it is none that a catalog can have.
    """
    name = wanted or id_of(Path(file).stem).replace(".", "-")
    if not NAME.fullmatch(name) or name.lower() in DEVICES:  # some systems take these for no files
        remedy = "letters, digits, - and _ only, 64 at most"
        raise InputError(f"{name!r} cannot be the name of a catalog", remedy=remedy)
    return name


def user_folder() -> Path:
    """Where the user's own catalogs are kept on this platform."""
    import platformdirs

    return platformdirs.user_data_path("rigfeed") / "catalogs"


def catalog_text(taken: Taken, day: str) -> str:
    """The catalog of all rows that were taken; `day` (ISO 8601) and the hash of the list stand at its head."""
    rows = [outcome for outcome in taken.outcomes if outcome.state != "refused"]
    columns = list(dict.fromkeys(name for outcome in rows for name in outcome.cells if name not in (*FIRST, *LAST)))
    out = io.StringIO()
    file = re.sub(r"[\x00-\x1f\x7f-\x9f]", "", taken.file)
    out.write(f"# From {file}, read on {day} as {taken.how}.\n# sha256 {taken.sha256}\n")
    out.write(f"# {len(rows)} of {len(taken.outcomes)} rows were taken.\n")
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow([*FIRST, *columns, *LAST])
    for outcome in rows:
        cells = outcome.cells | {"part": f"{taken.kind}:{outcome.id}", "source": _source(taken, outcome, file, day)}
        writer.writerow([cells.get(name, "") for name in (*FIRST, *columns, *LAST)])
    return out.getvalue()


def _source(taken: Taken, outcome: Outcome, file: str, day: str) -> str:
    """File, row, hash and day; the remarks that a person saw stay with the part."""
    given = outcome.cells["source"]
    marks = "".join(f"; {note}" for note in outcome.notes if note.level == "mark")
    before = f"{given}; " if given != "-" else ""
    return f"{before}{file} row {outcome.line}, sha256 {taken.sha256[:12]}, read {day}{marks}"


@frozen
class Change:
    """A part that a new list adds, removes or changes; `cells` maps a column to (old, new)."""

    id: str
    what: str  # added, removed, changed
    cells: dict[str, tuple[str, str]]

    def __str__(self) -> str:
        told = ", ".join(f"{name} {old or '-'} -> {new or '-'}" for name, (old, new) in self.cells.items())
        return f"{self.what} {self.id}{f': {told}' if told else ''}"


def changes(old: Path, text: str) -> tuple[Change, ...]:
    """What a new text changes in a catalog; sources, which always differ, do not count.

    Raises
    ------
    InputError
        If the old catalog cannot be read.
    """
    before = {_key(row): _packed(row) for row in each_row(LocalFile(old))} if old.exists() else {}
    return tuple(_compared(before, each_row(_Text(old.stem, text))))  # type: ignore[arg-type]


def _compared(before: dict[str, str], after: Iterator[Row]) -> Iterator[Change]:
    for row in after:
        was, now = before.pop(_key(row), ""), _packed(row)
        if not was:
            yield Change(row.id, "added", {})
        elif was != now:
            yield Change(row.id, "changed", _differing(json.loads(was)[1], json.loads(now)[1]))
    yield from (Change(json.loads(was)[0], "removed", {}) for was in before.values())


def _packed(row: Row) -> str:
    """A row without its source as one text: a hundred thousand of them are held."""
    cells = {name: cell for name, cell in row.cells.items() if name != "source"}
    return json.dumps([row.id, cells], ensure_ascii=False, sort_keys=True)


def _differing(old: dict[str, str], new: dict[str, str]) -> dict[str, tuple[str, str]]:
    names = dict.fromkeys((*old, *new))
    return {name: (old.get(name, ""), new.get(name, "")) for name in names if old.get(name) != new.get(name)}


def _key(row: Row) -> str:
    return f"{row.kind}:{row.id.lower()}"


@frozen
class _Text:
    """A catalog that is not written yet."""

    name: str
    content: str

    @property
    def where(self) -> str:
        return self.name

    def text(self) -> str:
        return self.content


def keep(folder: Path, name: str, text: str) -> Path:
    """Write a catalog into a folder, which is made where it is missing; the name was checked by `catalog_name`."""
    path = folder / f"{catalog_name(name)}.csv"
    folder.mkdir(parents=True, exist_ok=True)
    if path.is_symlink():
        raise InputError("is a link to another file", place=Place(str(path)), remedy="remove the link first")
    replace_file(path, text.encode())
    return path
