"""Catalog files: what is read, and where and how a fault in one is told."""

from __future__ import annotations

import pytest
from tests.kit.resolve.bench import TextFile

from rigfeed.errors import CatalogError, FileProblem
from rigfeed.parts.catalog import LocalFile, Resource, read_rows

GOOD = "part,title\nwire:a,A\n"

BROKEN = {
    "empty": ("", None, "is empty", "first line names the columns"),
    "remarks only": ("# nothing\n\n  \n", None, "is empty", "first line"),
    "no header": ("wire:a,A\nwire:b,B\n", 1, "has no column 'part'", "keys such as cable:"),
    "no part column": ("# list\nname,title\nwire:a,A\n", 2, "has no column 'part'", "keys such as cable:"),
    "semicolons": ("part;title\nwire:a;A\n", 1, "has no column 'part'", "by commas"),
    "two columns of one name": ("part,title,title\nwire:a,A,B\n", 1, "has two columns 'title'", "rename"),
    "short row": ("part,title,source\nwire:a,A,x\nwire:b,B\n", 3, "has 2 cells, the header 3", "double quotes"),
    "long row": ("part,title\nwire:a,A,2,5\n", 2, "has 4 cells, the header 2", "double quotes"),
    "cell without a column": ("part,title,\nwire:a,A,lost\n", 2, "has a cell 'lost' in a column without", "name the"),
    "no key": ("part,title\n,A\n", 2, "has no part key", "kind:row"),
    "key without a row": ("part,title\nwire,A\n", 2, "has no part key, but 'wire'", "kind:row"),
    "key with a catalog": ("part,title\nwire:list/a,A\n", 2, "but 'wire:list/a'", "kind:row"),
    "key that no design can hold": ("part,title\nwire:a b,A\n", 2, "but 'wire:a b'", "kind:row"),
    "kind in capitals": ("part,title\nWire:a,A\n", 2, "but 'Wire:a'", "kind:row"),
    "key twice": ("part,title\nwire:a,A\n\n# x\nwire:A,B\n", 5, "wire:A stands twice, first on line 2", "another name"),
    "open quote": ('part,title\nwire:a,"A\nwire:b,B\n', 2, "is not CSV", "close the double quotes"),
    "text behind a quote": ('part,title\nwire:a,"A"b\n', 2, "is not CSV", "close the double quotes"),
}


@pytest.mark.parametrize("case", BROKEN.values(), ids=BROKEN)
def test_a_fault_of_the_file_has_its_line_and_says_what_to_do(case):
    text, line, what, remedy = case
    with pytest.raises(CatalogError) as caught:
        read_rows(TextFile("list", text))
    assert (caught.value.place.file, caught.value.place.line) == ("list.csv", line)
    assert what in caught.value.what
    assert remedy in caught.value.remedy


def test_rows_have_their_cells_without_blanks_and_their_line():
    text = '# remark\r\npart , title,note\r\n\r\nwire:a, "A, or a" ,\r\n# more\r\nwire:b,B,""""\r\n'
    first, second = read_rows(TextFile("list", text.replace(', "A, or a" ', ',"A, or a"')))
    assert (first.kind, first.id, first.cells, first.line) == ("wire", "a", {"title": "A, or a"}, 4)
    assert (second.cells, second.line, second.catalog) == ({"title": "B", "note": '"'}, 6, "list")


@pytest.mark.parametrize("odd", ["\x0c", "\x1c", "\u2028", "\x85", "\x0b"])
def test_only_a_line_end_ends_a_line(odd):
    (row,) = read_rows(TextFile("list", f"part,title\nwire:a,A{odd}B\n"))
    assert row.cells == {"title": f"A{odd}B"}


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_every_line_end_is_taken(end):
    assert [row.line for row in read_rows(TextFile("list", f"part,title{end}wire:a,A{end}{end}wire:b,B"))] == [2, 4]


def test_an_unnamed_column_without_cells_is_nothing():
    assert read_rows(TextFile("list", "part,title,\nwire:a,A,\n"))[0].cells == {"title": "A"}


@pytest.mark.parametrize("name", ["my list", "list.2024", "läste", ""])
def test_a_name_that_no_key_can_hold_is_refused(name):
    with pytest.raises(CatalogError, match="rename it"):
        read_rows(TextFile(name, GOOD))


def test_a_byte_order_mark_is_no_part_of_the_header(tmp_path):
    file = tmp_path / "list.csv"
    file.write_bytes(b"\xef\xbb\xbf" + GOOD.encode())
    assert read_rows(LocalFile(file))[0].id == "a"


def test_what_is_not_utf8_names_the_line(tmp_path):
    file = tmp_path / "list.csv"
    file.write_bytes("part,title\nwire:a,A\nwire:b,Größe\n".encode("latin-1"))
    with pytest.raises(CatalogError, match="not UTF-8") as caught:
        read_rows(LocalFile(file))
    assert (caught.value.place.file, caught.value.place.line) == (str(file), 3)
    assert "save it as UTF-8" in caught.value.remedy


@pytest.mark.parametrize("path", ["cables/none.csv", "no/folder.csv"])
def test_a_resource_that_is_not_there(path):
    with pytest.raises(FileProblem) as caught:
        read_rows(Resource("rigfeed_catalogs", path))
    assert caught.value.place.file == f"rigfeed_catalogs/{path}"


def test_a_package_that_is_not_there():
    with pytest.raises(FileProblem, match="cannot be read"):
        read_rows(Resource("rigfeed_nowhere", "cables/list.csv"))


def test_a_file_that_is_not_there_or_is_a_folder(tmp_path):
    for path in (tmp_path / "none.csv", tmp_path):
        with pytest.raises(FileProblem):
            LocalFile(path).text()
