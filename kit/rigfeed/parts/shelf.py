"""The shelf: all catalogs now in use, and the one way to get a part by its key."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from pathlib import Path as FilePath
from typing import TYPE_CHECKING

from marshmallow import ValidationError

from rigfeed.errors import CatalogError, InputError, Place, RigfeedError, UnknownName
from rigfeed.fields import PART_KEY, complaints
from rigfeed.parts.catalog import CatalogFile, LocalFile, Row, read_rows
from rigfeed.parts.part import Part, PartKind

if TYPE_CHECKING:
    from rigfeed.registry import Registry


class Shelf:
    """Parts by key. A broken catalog is left out and listed in `troubles`; it stops only who asks for its parts."""

    def __init__(self, registry: Registry, files: Iterable[CatalogFile] = ()) -> None:
        self.registry = registry
        self._files = (*registry.catalogs, *files)
        self._rows: Mapping[tuple[str, str], tuple[Row, ...]] | None = None
        self._parts: dict[tuple[str, str, str], Part] = {}
        self._left_out: list[tuple[str, RigfeedError]] = []

    @property
    def kinds(self) -> Mapping[str, PartKind]:
        """The part kinds by name."""
        return self.registry.kinds

    @property
    def troubles(self) -> tuple[RigfeedError, ...]:
        """One error for each catalog that was left out."""
        self._index()
        return tuple(error for _, error in self._left_out)

    def part(self, key: str) -> Part:
        """The part of a key, ``kind:row`` or ``kind:catalog/row``.

        Raises
        ------
        UnknownName
            If the kind, the catalog or the row does not exist; the remedy names the nearest.
        CatalogError
            If two catalogs have the row and the key does not say which, or the row is broken.
        """
        match = PART_KEY.fullmatch(key)
        if not match:
            raise InputError(f"{key!r} is not the key of a part", remedy="write it like 'cable:thinwall-2.5'")
        kind = self.kinds.get(match["kind"])
        if kind is None:
            raise UnknownName("part kind", match["kind"], self.kinds)
        if match["row"] is None:
            return self._standard(kind)
        return self._built(kind, self._find(key, match["kind"], match["catalog"], match["row"]))

    def _standard(self, kind: PartKind) -> Part:
        if kind.standard is None:
            remedy = f"write '{kind.name}:' and the name of a row of a catalog"
            raise InputError(f"{kind.name!r} alone is not a part", remedy=remedy)
        return replace(kind.standard, key=kind.name)

    def _find(self, key: str, kind: str, catalog: str | None, row: str) -> Row:
        here = self._index().get((kind, row.lower()), ())
        found = [r for r in here if catalog in (None, r.catalog)]
        if len(found) == 1:
            return found[0]
        if found:
            keys = " or ".join(f"{kind}:{row.catalog}/{row.id}" for row in found)
            raise CatalogError(f"{key!r} is in {len(found)} catalogs", remedy=f"write {keys}")
        for name, error in self._left_out:
            if name == catalog:
                raise error
        rows = [r for (of, _), rows in self._index().items() if of == kind for r in rows]
        if catalog is not None and catalog not in self._names:
            raise UnknownName("catalog", catalog, {r.catalog for r in rows})
        unknown = UnknownName(kind, row, {r.id for r in rows if catalog in (None, r.catalog)})
        if self._left_out:
            unknown.remedy += f"; left out as broken: {', '.join(name for name, _ in self._left_out)}"
        raise unknown

    @property
    def _names(self) -> set[str]:
        return {file.name for file in self._files}

    def _index(self) -> Mapping[tuple[str, str], tuple[Row, ...]]:
        if self._rows is None:
            rows: dict[tuple[str, str], tuple[Row, ...]] = {}
            taken: dict[str, CatalogFile] = {}
            for file in self._files:
                try:
                    self._must_be_new(file, taken)
                    for row in read_rows(file):
                        key = (row.kind, row.id.lower())
                        rows[key] = (*rows.get(key, ()), row)
                except RigfeedError as error:
                    self._left_out.append((file.name, error))
            self._rows = rows
        return self._rows

    @staticmethod
    def _must_be_new(file: CatalogFile, taken: dict[str, CatalogFile]) -> None:
        """Two catalogs of one name would give two parts one key."""
        first = taken.setdefault(file.name, file)
        if first is not file:
            what = f"another catalog has the name {file.name!r}: {first.where}"
            raise CatalogError(what, place=Place(file.where), remedy="rename the file")

    def _built(self, kind: PartKind, row: Row) -> Part:
        place = (row.where, row.kind, row.id)
        if place not in self._parts:
            self._parts[place] = _build(kind, row)
        return self._parts[place]


def _build(kind: PartKind, row: Row) -> Part:
    place = Place(row.where, row.line)
    if kind.row is None:
        remedy = f"write {kind.name!r} alone in the design, and take the row out"
        raise CatalogError(f"parts of kind {kind.name!r} are not bought", place=place, remedy=remedy)
    try:
        part: Part = kind.row().load(row.cells)
    except ValidationError as error:
        path, complaint = next(complaints(error.messages))
        what = f"{kind.name}:{row.id}: {path}: {complaint}"
        raise CatalogError(what, place=place, remedy=complaint.remedy) from None
    except Exception as error:
        what = f"{kind.name}:{row.id}: the part kind failed: {type(error).__name__}: {error}"
        raise CatalogError(what, place=place, remedy="tell whoever made the plugin of this kind") from error
    origin = replace(part.provenance, catalog=row.catalog, line=row.line)
    return replace(part, key=f"{kind.name}:{row.catalog}/{row.id}", provenance=origin)


def catalogs_beside(design_file: FilePath) -> tuple[LocalFile, ...]:
    """The catalogs in the folder ``catalogs`` beside a design, by name."""
    return tuple(LocalFile(path) for path in sorted((design_file.parent / "catalogs").glob("*.csv")))
