"""Adding a list to the user's catalogs, as every face does it: read it, show what would change, then keep it or not."""

from __future__ import annotations

from collections.abc import Mapping as Table
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from rigfeed.errors import InputError, UnknownName
from rigfeed.frozen import frozen
from rigfeed.intake.keeping import Change, catalog_name, catalog_text, changes, keep
from rigfeed.intake.mapping import Mapping, mapping_file, read_mapping, save_mapping
from rigfeed.intake.reading import Tell
from rigfeed.intake.taking import Taken, take

if TYPE_CHECKING:
    from rigfeed.registry import Registry


@frozen
class Prepared:
    """A list that was read, the text of the catalog that it would become, and what this changes in the one that is
    there. Nothing is written yet.

    `is_new` tells that there is none of this name; `changes` are empty then.
    """

    name: str
    folder: Path
    taken: Taken
    text: str
    changes: tuple[Change, ...]
    is_new: bool

    @property
    def path(self) -> Path:
        """Where the catalog is, or would be."""
        return catalog_path(self.folder, self.name)

    def keep(self, *, how: bool = True) -> Path:
        """Write the catalog, and remember (`how`) under its name how the list was read.

        Raises
        ------
        InputError
            If no row can be taken.
        FileProblem
            If it cannot be written; what was there stays.
        """
        if all(outcome.state == "refused" for outcome in self.taken.outcomes):
            raise InputError("no row can be taken", remedy="see the reasons at the rows")
        path = keep(self.folder, self.name, self.text)
        if how:
            save_mapping(mapping_file(self.name), self.taken.mapping)
        return path


def prepare(
    data: bytes, file: str, name: str, *, folder: Path, registry: Registry, mapping: Mapping, day: str,
    tell: Tell | None = None,
) -> Prepared:
    """Read a list as a catalog of a name in a folder; nothing is written.

    Raises
    ------
    InputError, UnknownName
        If the name is none, or one of those that come with the program; if it cannot be read as a list.
    Cancelled
        If `tell` raises it.
    """
    name = catalog_name(name, file)
    if name in {shipped.name for shipped in registry.catalogs}:
        raise InputError(f"a catalog {name!r} comes with the program", remedy="choose another name")
    taken = take(data, file, registry.kinds, mapping, tell=tell)
    text = catalog_text(taken, day)
    path = catalog_path(folder, name)
    is_new = not path.exists()
    return Prepared(name, folder, taken, text, () if is_new else changes(path, text), is_new)


def catalog_path(folder: Path, name: str) -> Path:
    """The file of a catalog in a folder."""
    return folder / f"{catalog_name(name)}.csv"


def catalog_there(folder: Path, name: str) -> Path:
    """The file of a catalog that is there.

    Raises
    ------
    UnknownName
        If it is not; the remedy names those that are.
    """
    path = catalog_path(folder, name)
    if not path.exists():
        raise UnknownName("catalog of yours", name, [other.stem for other in folder.glob("*.csv")])
    return path


def settled(
    name: str, given: Path | None = None, *, kind: str = "", currency: str = "", treat: Table[str, str] | None = None,
    columns: Table[str, str] | None = None, every: Table[str, str] | None = None,
) -> Mapping:
    """How to read a list: by the file that is given, else as settled the last time under its name; what is said here
    goes before both. `columns` are meanings by header, `every` what goes into every row.
    """
    kept = mapping_file(name)
    mapping = read_mapping(given) if given else read_mapping(kept) if kept.exists() else Mapping()
    return replace(
        mapping, treat={**mapping.treat, **(treat or {})}, columns={**mapping.columns, **(columns or {})},
        set={**mapping.set, **(every or {})}, kind=kind or mapping.kind, currency=currency or mapping.currency,
    )
