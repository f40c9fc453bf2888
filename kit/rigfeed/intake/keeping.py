"""A list that was read becomes a catalog of the user's: its text, where it is kept, what a new list changes in it."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from rigfeed.errors import InputError, Place
from rigfeed.files import replace_file
from rigfeed.intake.plain import id_of
from rigfeed.intake.taking import Outcome, Taken
from rigfeed.parts.catalog import LocalFile, Row, read_rows

NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]{0,63}")
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
    if not NAME.fullmatch(name):
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


@dataclass(frozen=True)
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
    before = _by_id(read_rows(LocalFile(old))) if old.exists() else {}
    after = _by_id(read_rows(_Text(old.stem, text)))  # type: ignore[arg-type]
    return tuple(_compared(before, after))


def _compared(before: dict[str, Row], after: dict[str, Row]) -> Iterator[Change]:
    for key, row in after.items():
        if key not in before:
            yield Change(row.id, "added", {})
        elif cells := _differing(before[key].cells, row.cells):
            yield Change(row.id, "changed", cells)
    yield from (Change(row.id, "removed", {}) for key, row in before.items() if key not in after)


def _differing(old: dict[str, str], new: dict[str, str]) -> dict[str, tuple[str, str]]:
    names = [name for name in dict.fromkeys((*old, *new)) if name != "source"]
    return {name: (old.get(name, ""), new.get(name, "")) for name in names if old.get(name) != new.get(name)}


def _by_id(rows: list[Row]) -> dict[str, Row]:
    return {f"{row.kind}:{row.id.lower()}": row for row in rows}


@dataclass(frozen=True)
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
