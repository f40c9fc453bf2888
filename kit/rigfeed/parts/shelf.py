"""The shelf: all catalogs now in use, and the one way to get a part by its key."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from pathlib import Path as FilePath
from typing import TYPE_CHECKING, TypeVar

from marshmallow import ValidationError

from rigfeed.complaints import complaints
from rigfeed.errors import CatalogError, InputError, InputErrors, Place, RigfeedError, UnknownName
from rigfeed.fields import PART_KEY, one_of
from rigfeed.parts.catalog import CatalogFile, LocalFile, Row
from rigfeed.parts.part import Part, PartKind
from rigfeed.parts.tables import Rows, Want, number_in, open_rows
from rigfeed.practice import practices_beside

if TYPE_CHECKING:
    from rigfeed.registry import Registry
    from rigfeed.stock.model import Stock

T = TypeVar("T")
STOCK = "stock.csv"


class Shelf:
    """Parts by key and by properties. A broken catalog is left out and listed in `troubles`; it stops only who asks for
    its parts. A short key means the catalog `beside` the design before the user's `own`, and that before a plugin's.
    """

    def __init__(
        self, registry: Registry, beside: Iterable[CatalogFile] = (), *, own: Iterable[CatalogFile] = (),
        stock: Iterable[FilePath] = (),
    ) -> None:
        self.registry = registry
        self._beside, self._own = tuple(beside), tuple(own)
        self._open: Mapping[str, tuple[CatalogFile, Rows]] | None = None
        self._parts: dict[tuple[str, str, str], Part] = {}
        self._by_key: dict[str, Part] = {}
        self._left_out: list[tuple[str, RigfeedError]] = []
        self._stock_files, self._stock_troubles = tuple(stock), list[RigfeedError]()
        self._stock: Stock | None = None

    @property
    def kinds(self) -> Mapping[str, PartKind]:
        """The part kinds by name."""
        return self.registry.kinds

    @property
    def troubles(self) -> tuple[RigfeedError, ...]:
        """One error for each catalog that was left out, and for each stock file and row of one."""
        self._tables()
        if self._stock_files:  # most have none: what reads them is not loaded then
            _ = self.stock
        return (*(error for _, error in self._left_out), *self._stock_troubles)

    @property
    def stock(self) -> Stock:
        """What lies in the workshop of the parts of this shelf; a broken file, and a row whose part there is not, are
        left out and listed in `troubles`."""
        if self._stock is None:
            from rigfeed.stock.model import NO_STOCK

            self._stock = NO_STOCK  # while the rows ask for their parts
            self._stock = self._read_stock(NO_STOCK)
        return self._stock

    def _read_stock(self, stock: Stock) -> Stock:
        if not self._stock_files:
            return stock
        from rigfeed.stock.file import read_stock

        for path in self._stock_files:
            try:
                items = read_stock(path)
            except RigfeedError as error:
                self._stock_troubles += error.errors if isinstance(error, InputErrors) else [error]
                continue
            for item in items:
                try:
                    stock = stock.with_part(item, self.part(item.part).key)
                except RigfeedError as error:
                    self._stock_troubles.append(error if error.place.file else error.at(**vars(item.place)))
        return stock

    def part(self, key: str) -> Part:
        """The part of a key, ``kind:row`` or ``kind:catalog/row``.

        Raises
        ------
        UnknownName
            If the kind, the catalog or the row does not exist; the remedy names the nearest.
        CatalogError
            If two catalogs have the row and the key does not say which, or the row is broken.
        """
        if key not in self._by_key:
            self._by_key[key] = self._looked_up(key)
        return self._by_key[key]

    def _looked_up(self, key: str) -> Part:
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

    def find(self, kind: str, *wants: Want, by: str, most: int = 1) -> tuple[Part, ...]:
        """The first parts of a kind that have all that is wanted, by the number in the column `by`; of those with the
        same number one that is in stock comes first.

        The smallest cable of at least 6 mm2 and 105 degC:
        ``shelf.find("cable", Want("area_mm2", least=6), Want("insulation_c", least=105), by="area_mm2")``.

        Raises
        ------
        UnknownName
            If there is no such kind.
        """
        if kind not in self.kinds:
            raise UnknownName("part kind", kind, self.kinds)
        rows = self._asked(lambda table: _first(table.search(kind, wants, by), by, most))
        stock = self.stock if self._stock_files else None

        def order(row: Row) -> tuple[float, bool, str, str]:
            number = number_in(row.cells[by]) or 0.0
            is_there = stock is not None and stock.has(f"{kind}:{row.catalog}/{row.id}")
            return number, not is_there, row.id, row.catalog

        best = sorted((row for _, found in rows for row in found), key=order)
        return tuple(self._built(self.kinds[kind], row) for row in best[:most])

    def catalogs(self) -> tuple[tuple[CatalogFile, Rows], ...]:
        """All catalogs that could be read, with their rows: beside the design, the user's own, those of the plugins."""
        read = {file.name for file, _ in self._asked(lambda table: tuple(table.kinds()))}
        return tuple(pair for name, pair in self._tables().items() if name in read)

    def strange(self) -> tuple[RigfeedError, ...]:
        """What the catalogs of a person hold of kinds that no plugin adds: a misspelt kind would else be lost."""
        own = [pair for pair in self._tables().values() if self._level(pair[0]) < 2]
        return tuple(
            UnknownName("part kind", kind, self.kinds, place=Place(file.where))
            for file, rows in own for kind in rows.kinds() if kind not in self.kinds
        )

    def _find(self, key: str, kind: str, catalog: str | None, row: str) -> Row:
        asked = self._asked(lambda table: table.get(kind, row), catalog)
        found = [(self._level(file), table_row) for file, table_row in asked if table_row is not None]
        # a catalog beside the design stands before the user's own, and that before those of the plugins
        nearest_rows = [r for level, r in found if level == min(level for level, _ in found)]
        if len(nearest_rows) == 1:
            return nearest_rows[0]
        if nearest_rows:
            keys = " or ".join(f"{kind}:{r.catalog}/{r.id}" for r in nearest_rows)
            raise CatalogError(f"{key!r} is in {len(nearest_rows)} catalogs", remedy=f"write {keys}")
        for name, error in self._left_out:
            if name == catalog:
                raise error
        if catalog is not None and catalog not in self._tables():
            holding = self._asked(lambda table: kind in table.kinds())
            raise UnknownName("catalog", catalog, [file.name for file, holds in holding if holds])
        known = self._asked(lambda table: table.ids(kind), catalog)
        unknown = UnknownName(kind, row, {id_ for _, ids in known for id_ in ids})
        if self._left_out:
            unknown.remedy += f"; left out as broken: {', '.join(name for name, _ in self._left_out)}"
        raise unknown

    def _asked(self, ask: Callable[[Rows], T], catalog: str | None = None) -> list[tuple[CatalogFile, T]]:
        """What every catalog (or one) answers; one that turns out to be broken is left out from then on."""
        answers = []
        tables = dict(self._tables())
        for name, (file, table) in tables.items():
            if catalog in (None, name):
                try:
                    answers.append((file, ask(table)))
                except RigfeedError as error:
                    self._left_out.append((name, error))
                    self._open = {n: pair for n, pair in self._tables().items() if n != name}
        return answers

    def _level(self, file: CatalogFile) -> int:
        return 0 if file in self._beside else 1 if file in self._own else 2

    def _tables(self) -> Mapping[str, tuple[CatalogFile, Rows]]:
        if self._open is None:
            tables: dict[str, tuple[CatalogFile, Rows]] = {}
            for file in (*self._beside, *self._own, *self.registry.catalogs):
                try:
                    if file.name in tables:
                        what = f"another catalog has the name {file.name!r}: {tables[file.name][0].where}"
                        raise CatalogError(what, place=Place(file.where), remedy="rename one of the two")
                    is_shipped = self._level(file) == 2
                    tables[file.name] = (file, self.registry.rows(file) if is_shipped else open_rows(file))
                except RigfeedError as error:
                    self._left_out.append((file.name, error))
            self._open = tables
        return self._open

    def _built(self, kind: PartKind, row: Row) -> Part:
        place = (row.where, row.kind, row.id)
        if place not in self._parts:
            self._parts[place] = _build(kind, row)
        return self._parts[place]


def _first(rows: Iterable[Row], by: str, most: int) -> list[Row]:
    """So many rows in their order, and those behind them with the same number as the last."""
    found: list[Row] = []
    for row in rows:
        if len(found) >= most and row.cells[by] != found[-1].cells[by]:
            break
        found.append(row)
    return found


def _build(kind: PartKind, row: Row) -> Part:
    place = Place(row.where, row.line)
    if kind.row is None:
        remedy = f"write {kind.name!r} alone in the design, and take the row out"
        raise CatalogError(f"parts of kind {kind.name!r} are not bought", place=place, remedy=remedy)
    try:
        part: Part = one_of(kind.row).load(row.cells)
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


def open_shelf(design_file: FilePath | None = None) -> Shelf:
    """The shelf of this installation: its plugins, the user's own catalogs, and the catalogs and practices beside a
    design.
    """
    from rigfeed.registry import installed_registry

    registry = installed_registry()
    if design_file is None:
        return Shelf(registry, own=own_catalogs(), stock=stock_files())
    if practices := practices_beside(design_file):
        registry = replace(registry, practice_files=[*registry.practice_files, *practices])
    return Shelf(registry, catalogs_beside(design_file), own=own_catalogs(), stock=stock_files(design_file))


def own_catalogs() -> tuple[LocalFile, ...]:
    """The user's own catalogs, in the data folder of the platform, by name."""
    import platformdirs

    folder = platformdirs.user_data_path("rigfeed") / "catalogs"
    return tuple(LocalFile(path) for path in sorted(folder.glob("*.csv")))


def stock_files(design_file: FilePath | None = None) -> tuple[FilePath, ...]:
    """The stock files that there are: beside the design, and the user's own."""
    import platformdirs

    own = platformdirs.user_data_path("rigfeed") / STOCK
    beside = [design_file.parent / STOCK] if design_file else []
    return tuple(path for path in (*beside, own) if path.is_file())
