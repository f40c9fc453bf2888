"""The stock file: read with its errors in their places; what look-up makes of it."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest

from rigfeed.errors import CatalogError, FileProblem, InputErrors
from rigfeed.parts.shelf import open_shelf, stock_files
from rigfeed.parts.tables import Want
from rigfeed.stock.file import read_stock, text_after

GOOD = """# counted on Monday
part,length,pieces,label,colour,note
cable:thinwall-6,41 m,,spool 3,RD,
cable:thinwall-6,7 ft,,,bk,"in the drawer, left"

ring:m8-6,,37,,,
"""


def test_rows_are_lengths_or_pieces(tmp_path):
    path = tmp_path / "stock.csv"
    path.write_text(GOOD)
    spool, offcut, rings = read_stock(path)
    assert (spool.part, spool.length.si, spool.label, spool.colour) == ("cable:thinwall-6", 41.0, "spool 3", "RD")
    assert offcut.length.si == pytest.approx(7 * 0.3048)  # the foot: NIST SP 811, exact
    assert (offcut.note, offcut.shown) == ("in the drawer, left", "line 4")
    assert (rings.length, rings.pieces) == (None, 37)


def test_the_example_of_the_guide_is_a_stock_file_of_parts_that_there_are(tmp_path, own):
    guide = (Path(__file__).parents[3] / "catalogs" / "README.md").read_text(encoding="utf-8")
    own.write_text(re.search(r"```csv\n(part,length.*?)```", guide, re.S)[1])
    shelf = open_shelf()
    assert len(shelf.stock.items) == 3
    assert shelf.troubles == ()


WRONG = {
    "no header": ("", None, "no column 'part'"),
    "no part column": ("length\n1 m\n", 1, "no column 'part'"),
    "unknown column": ("part,lenght\n", 1, "unknown column 'lenght'"),
    "column twice": ("part,length,length\n", 1, "two columns"),
    "no unit": ("part,length\ncable:a,3\n", 2, "no unit"),
    "decimal comma": ('part,length\ncable:a,"2,5 m"\n', 2, "decimal comma"),
    "nothing": ("part,length,pieces\ncable:a,0 m,\n", 2, "length"),
    "no key": ("part,length\nthin wall,3 m\n", 2, "key of a part"),
    "no number": ("part,pieces\nring:a,many\n", 2, "not a number of pieces"),
    "a part of one": ("part,pieces\nring:a,2.5\n", 2, "not a number of pieces"),
    "neither": ("part,length,pieces\nring:a,,\n", 2, "neither a length nor pieces"),
    "both": ("part,length,pieces\nring:a,2 m,3\n", 2, "a length and pieces"),
    "label twice": ("part,length,label\ncable:a,2 m,x\ncable:a,2 m,X\n", 3, "stands on line 2 already"),
    "beyond the header": ("part,length\ncable:a,2 m,more\n", 2, "column without a name"),
    "open quote": ('part,length\ncable:a,"2 m\n', 2, "is not CSV"),
}


@pytest.mark.parametrize("first", ["", "\ufeff"], ids=["plain", "mark in front"])
@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_what_is_left_stands_in_the_file_as_the_editor_keeps_it(tmp_path, first, end):
    path = tmp_path / "stock.csv"
    path.write_bytes((first + GOOD.replace("\n", end)).encode())
    left = GOOD.replace("41 m", "39.50 m").replace(",37,", ",31,")
    assert text_after(path, {3: 39.5}, {6: 31}) == first + left.replace("\n", end)
    gone = [line for line in GOOD.split("\n") if "7 ft" not in line]
    assert text_after(path, {4: 0.0}, {}) == first + end.join(gone)
    path.write_bytes(first.encode() + f"part,pieces{end}ring:a,2{end}ring:b,3".encode())
    assert text_after(path, {}, {3: 1}) == f"{first}part,pieces{end}ring:a,2{end}ring:b,1"


@pytest.mark.parametrize(("text", "line", "says"), WRONG.values(), ids=WRONG)
def test_what_is_wrong_has_its_line(tmp_path, text, line, says):
    path = tmp_path / "stock.csv"
    path.write_text(text)
    with pytest.raises(CatalogError) as caught:
        read_stock(path)
    error = caught.value
    assert (error.place.file, error.place.line) == (str(path), line)
    assert says in f"{error.what} {error.remedy}"
    assert error.remedy


def test_all_errors_are_told_together_with_their_columns(tmp_path):
    path = tmp_path / "stock.csv"
    path.write_text("part,length,pieces\ncable:a,3,\nring:b,,x\n")
    with pytest.raises(InputErrors) as caught:
        read_stock(path)
    assert [(error.place.line, error.place.column) for error in caught.value.errors] == [(2, 2), (3, 3)]


def test_a_file_that_is_no_text_or_too_large_is_refused(tmp_path):
    path = tmp_path / "stock.csv"
    path.write_bytes(b"part\xff\n")
    with pytest.raises(CatalogError, match="UTF-8"):
        read_stock(path)
    path.write_bytes(b"#" * (4 * 2**20 + 1))
    with pytest.raises(FileProblem, match="larger"):
        read_stock(path)


def test_the_stock_beside_a_design_and_the_workshops_own_are_one(own, larch):
    assert stock_files(larch) == ()
    own.write_text("part,length\ncable:thinwall-6,41 m\n")
    beside = larch.parent / "stock.csv"
    beside.write_text("part,length\ncable:demo-cables/thinwall-6,2 m\n")
    assert stock_files(larch) == (beside, own)
    lengths = open_shelf(larch).stock.lengths("cable:demo-cables/thinwall-6")
    assert [length.length_m for length in lengths] == [2.0, 41.0]
    assert open_shelf().stock.lengths("cable:demo-cables/thinwall-6")[0].length_m == 41.0


def test_a_part_that_there_is_not_is_told_with_its_line_and_the_rest_counts(own):
    own.write_text("part,length\ncable:thinwal-6,41 m\ncable:thinwall-6,2 m\n")
    shelf = open_shelf()
    assert shelf.stock.has("cable:demo-cables/thinwall-6")
    (trouble,) = shelf.troubles
    assert (trouble.place.file, trouble.place.line) == (str(own), 2)
    assert "thinwall-6" in trouble.remedy


def test_a_broken_stock_file_is_told_and_stops_nothing(own, larch):
    own.write_text("part,length\ncable:thinwall-6,long\n")
    from rigfeed.load import assess_file

    assessment = assess_file(larch, only=[])
    assert any("stock.csv:2:2" in trouble for trouble in assessment.troubles)
    assert "cutting-plan" not in assessment.papers


def test_of_parts_that_are_as_good_the_one_in_stock_comes_first(own):
    wanted = Want("rated_a", least=10, most=10)
    first, *others = [part.key for part in open_shelf().find("fuse", wanted, by="rated_a", most=20)]
    assert others
    own.write_text(f"part,pieces\n{others[-1]},3\n")
    assert open_shelf().find("fuse", wanted, by="rated_a", most=20)[0].key == others[-1]
    assert open_shelf().find("fuse", wanted, by="rated_a")[0].key == others[-1]
    larger = Want("rated_a", least=5)
    assert open_shelf().find("fuse", larger, by="rated_a")[0].rated_a == 5.0, "what is wanted goes before what is there"
    assert first != others[-1]


def test_without_a_stock_nothing_of_it_is_loaded(larch, own):
    code = (
        "import sys; from rigfeed.load import assess_file\n"
        "assess_file(sys.argv[1]).troubles; print([name for name in sys.modules if name.startswith('rigfeed.stock')])"
    )
    command = [sys.executable, "-c", code, str(larch)]
    assert subprocess.run(command, check=True, capture_output=True, text=True).stdout == "[]\n"
