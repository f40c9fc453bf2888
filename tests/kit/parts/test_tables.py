"""Rows by key and by properties, read whole or by way of an index on the disk: the answers are the same."""

from __future__ import annotations

import os

import pytest

from rigfeed.errors import CatalogError
from rigfeed.parts import tables
from rigfeed.parts.catalog import LocalFile
from rigfeed.parts.shelf import Shelf, own_catalogs
from rigfeed.parts.tables import IndexedRows, ReadRows, Want, open_rows
from rigfeed.registry import installed_registry

HEADER = "part,title,area_mm2,ohm_per_km,od_mm,insulation_c,material,source,confidence\n"


def line(number: int, area_mm2: float, class_c: int = 105, kind: str = "cable") -> str:
    ohm, material = 18.0 / area_mm2, "tinned copper" if number % 2 else "copper"
    figures = f"{area_mm2},{ohm:.6g},{area_mm2**0.5 + 2:.4g},{class_c}"
    return f"{kind}:Row-{number},cable {number},{figures},{material},x,invented\n"


@pytest.fixture
def cache(tmp_path, monkeypatch):
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    return tmp_path / "cache" / "rigfeed" / "catalogs"


@pytest.fixture
def file(tmp_path):
    areas = [6.0, 2.5, 10.0, 4.0, 2.5, 16.0]
    classes = [105, 105, 125, 90, 125, 105]
    path = tmp_path / "list.csv"
    path.write_text(HEADER + "".join(line(n, a, c) for n, (a, c) in enumerate(zip(areas, classes, strict=True))))
    return LocalFile(path)


@pytest.fixture(params=["read whole", "indexed"])
def rows(request, file, cache, monkeypatch):
    if request.param == "indexed":
        monkeypatch.setattr(tables, "INDEX_FROM_BYTES", 0)
    opened = open_rows(file)
    assert isinstance(opened, IndexedRows if request.param == "indexed" else ReadRows)
    return opened


def found(rows, *wants, by="area_mm2"):
    return [row.id for row in rows.search("cable", wants, by)]


def test_by_key_whatever_its_capitals(rows):
    row = rows.get("cable", "ROW-3")
    assert (row.id, row.line, row.cells["area_mm2"]) == ("Row-3", 5, "4.0")
    assert rows.get("cable", "Row-9") is None
    assert rows.get("fuse", "Row-3") is None


def test_by_properties_the_smallest_first(rows):
    assert found(rows) == ["Row-1", "Row-4", "Row-3", "Row-0", "Row-2", "Row-5"]
    assert found(rows, Want("area_mm2", least=4)) == ["Row-3", "Row-0", "Row-2", "Row-5"]
    assert found(rows, Want("area_mm2", least=4), Want("insulation_c", least=105)) == ["Row-0", "Row-2", "Row-5"]
    assert found(rows, Want("area_mm2", least=4, most=6)) == ["Row-3", "Row-0"]
    assert found(rows, Want("material", equal="tinned copper")) == ["Row-1", "Row-3", "Row-5"]
    assert found(rows, Want("od_mm", least=99)) == []
    assert found(rows, Want("title", least=0)) == []  # a text is no number
    assert found(rows, by="ohm_per_km")[0] == "Row-5"
    assert found(rows, by="none") == []


def test_kinds_and_ids(rows):
    assert list(rows.kinds()) == ["cable"]
    assert sorted(rows.ids("cable")) == [f"Row-{number}" for number in range(6)]


def test_an_index_is_used_again_and_made_anew_when_the_file_changes(file, cache, monkeypatch):
    monkeypatch.setattr(tables, "INDEX_FROM_BYTES", 0)
    open_rows(file)
    (first,) = cache.iterdir()
    monkeypatch.setattr(tables, "read_rows", lambda _: pytest.fail("read again"))
    assert open_rows(file).get("cable", "Row-1")
    monkeypatch.undo()
    monkeypatch.setenv("XDG_CACHE_HOME", str(cache.parents[1]))
    monkeypatch.setattr(tables, "INDEX_FROM_BYTES", 0)
    file.path.write_text(HEADER + line(7, 35))
    assert open_rows(file).get("cable", "Row-1") is None
    (second,) = cache.iterdir()  # the old one is gone
    assert second != first


def test_nowhere_to_keep_an_index_is_slower_but_not_wrong(file, tmp_path, monkeypatch):
    (tmp_path / "blocked").write_text("a file where the folder should be")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "blocked"))
    monkeypatch.setattr(tables, "INDEX_FROM_BYTES", 0)
    assert isinstance(open_rows(file), ReadRows)


def test_the_shelf_finds_over_all_catalogs(file):
    shelf = Shelf(installed_registry(), [file])
    (part,) = shelf.find("cable", Want("title", equal="thin-wall 25 mm2 105 degC"), by="area_mm2")
    assert part.key == "cable:demo-cables/thinwall-25"  # of a shipped list
    two = shelf.find("cable", Want("area_mm2", least=3.99), Want("title", equal="cable 3"), by="area_mm2", most=9)
    assert [part.key for part in two] == ["cable:list/Row-3"]
    (part,) = shelf.find("cable", Want("title", equal="cable 5"), by="area_mm2")
    assert part.key == "cable:list/Row-5"


def test_the_catalog_beside_the_design_stands_before_the_users_own_and_that_before_a_plugins(tmp_path):
    def catalog(folder: str, title: str) -> LocalFile:
        (tmp_path / folder).mkdir()
        path = tmp_path / folder / f"{folder}.csv"
        path.write_text(HEADER + line(1, 2.5).replace("Row-1", "thinwall-2.5").replace("cable 1", title))
        return LocalFile(path)

    beside, own = catalog("beside", "beside"), catalog("own", "own")
    registry = installed_registry()
    assert Shelf(registry).part("cable:thinwall-2.5").provenance.catalog == "demo-cables"
    assert Shelf(registry, own=[own]).part("cable:thinwall-2.5").title == "own"
    shelf = Shelf(registry, [beside], own=[own])
    assert shelf.part("cable:thinwall-2.5").title == "beside"
    assert shelf.part("cable:own/thinwall-2.5").title == "own"
    second = LocalFile(tmp_path / "beside" / "second.csv")
    second.path.write_bytes(beside.path.read_bytes())
    with pytest.raises(CatalogError, match="is in 2 catalogs"):
        Shelf(registry, [beside, second], own=[own]).part("cable:thinwall-2.5")


def test_the_users_own_catalogs_lie_in_the_data_folder(tmp_path, monkeypatch):
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    assert own_catalogs() == ()
    folder = tmp_path / "rigfeed" / "catalogs"
    os.makedirs(folder)
    (folder / "mine.csv").write_text(HEADER)
    assert [file.name for file in own_catalogs()] == ["mine"]
