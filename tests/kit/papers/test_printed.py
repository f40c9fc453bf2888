"""What an office program makes of a workbook: on paper nothing is cut off, and everything can be read back."""

from __future__ import annotations

import copy
import csv
import re
import subprocess
import xml.etree.ElementTree as ET
from dataclasses import replace
from itertools import zip_longest
from pathlib import Path

import openpyxl
import pytest
from openpyxl.styles import Alignment
from openpyxl.utils import get_column_letter

from rigfeed.papers.letters import plain_lines, visible
from rigfeed.papers.sheet import HEADER_ROW
from rigfeed.papers.table import Column, Table, headings
from rigfeed.papers.write import write_papers
from rigfeed.papers.xlsx import write_workbook

pytestmark = pytest.mark.slow

# Fields of the filter: comma, double quote, UTF-8, from line 1, no cell formats, neutral language, quotes where needed,
# numbers in full, and not as shown.
CSV = "csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,true,false"
A4_PT, LETTER_PT = (595.3, 841.9), (612.0, 792.0)  # ISO 216: 210 mm x 297 mm; ANSI/ASME Y14.1: 8.5 in x 11 in
CAUTIONS = ("Wiring work can start a fire: a competent person checks it first. " * 4, "Disconnect the battery first.")


@pytest.fixture
def printed(office, tool, tmp_path):
    """The text of each page of a workbook's PDF, and the sizes of the pages [pt]."""
    pdftotext = Path(tool("pdftotext"))

    def make(*tables: Table, **options) -> tuple[list[str], list[tuple[float, ...]]]:
        write_workbook(tmp_path / "printed.xlsx", tables, job="Van 3, revision 4", **options)
        pdf = office(tmp_path / "printed.xlsx", "pdf") / "printed.pdf"
        text = subprocess.run([pdftotext, "-layout", pdf, "-"], capture_output=True, text=True, check=True).stdout
        info = [pdftotext.with_name("pdfinfo"), "-l", "1000", pdf]
        sizes = subprocess.run(info, capture_output=True, text=True, check=True).stdout
        found = re.findall(r"Page +\d+ size: +([\d.]+) x ([\d.]+) pts", sizes)
        return text.split("\f")[:-1], [tuple(sorted(map(float, size))) for size in found]

    return make


def read_csv(folder: Path) -> list[list[str]]:
    (file,) = folder.iterdir()
    with file.open(encoding="utf-8-sig", newline="") as lines:
        return [*csv.reader(lines)]


def test_every_row_is_read_back(office, tmp_path, cut_table):
    table = cut_table(150)
    write_workbook(tmp_path / "cuts.xlsx", [table], job="Van 3", cautions=CAUTIONS)
    lines = read_csv(office(tmp_path / "cuts.xlsx", CSV))
    assert lines[HEADER_ROW - 1] == headings(table)
    for line, row in zip_longest(lines[HEADER_ROW : HEADER_ROW + 150], table.rows):
        for read, value in zip(line, row, strict=True):
            if isinstance(value, float):
                assert float(read) == pytest.approx(value, rel=1e-12)
            else:
                assert read == (value or "")


def test_hostile_texts_are_read_back_as_they_are(office, tmp_path, hostile_table):
    write_workbook(tmp_path / "hostile.xlsx", [hostile_table], job="=1+1")
    lines = read_csv(office(tmp_path / "hostile.xlsx", CSV))
    assert lines[1][0] == "=1+1"
    read = [(line[1], float(line[2])) for line in lines[HEADER_ROW:] if line[0].startswith("T")]
    assert read == [(plain_lines(visible(text)), -12.5) for _, text, _ in hostile_table.rows]


def test_a_long_list_repeats_its_headings_and_numbers_its_pages_on_a4(printed, cut_table):
    table = cut_table(150)
    pages, sizes = printed(table, cautions=CAUTIONS)
    assert len(pages) >= 4
    assert len(sizes) == len(pages)
    assert all(size == pytest.approx(A4_PT, abs=0.5) for size in sizes)
    for number, page in enumerate(pages, 1):
        assert f"Page {number} of {len(pages)}" in page
    for page in pages[:-1]:
        for word in ("id", "from", "cable", "colour", "slack", "end A", "label"):
            assert re.search(rf"\b{word}\b", page), word
    everything = "\n".join(pages)
    assert "###" not in everything
    assert all(re.search(rf"\bW{number} start-F{number}\b", everything) for number in range(1, 151))
    assert "Read the cautions below the table first." in pages[0]
    assert "Disconnect the battery first." in pages[-1]


def test_no_row_stands_alone_on_the_last_page_of_its_table(printed, cut_table):
    tables = [replace(cut_table(count), name=f"cuts-{count}", title=f"Cuts of {count}") for count in range(8, 40)]
    pages, _ = printed(*tables)
    rows: dict[str, list[int]] = {}
    for page in pages:
        title = re.findall(r"Cuts of \d+", page)[-1]  # the one in the footer
        rows.setdefault(title, []).append(len(re.findall(r"\bW\d+ start-F\d+\b", page)))
    assert len(rows) == len(tables)
    assert sum(map(sum, rows.values())) == sum(range(8, 40))
    assert any(len(counts) > 2 for counts in rows.values())
    assert {title: counts for title, counts in rows.items() if 1 in counts} == {}


def test_notes_and_cautions_are_not_torn_from_their_headings(printed, cut_table):
    notes = tuple(f"Note {number} of this table." for number in range(1, 5))
    tables = [
        replace(cut_table(count), name=f"cuts-{count}", title=f"Cuts of {count}", notes=notes) for count in range(4, 36)
    ]
    pages, _ = printed(*tables, cautions=CAUTIONS)
    words = [" ".join(page.split()) for page in pages]
    assert sum(page.count("Notes Note 1 of") for page in words) == len(tables)
    for page in words:
        assert page.count(" Notes ") == page.count("Note 1 of") == page.count("Note 4 of")
        assert page.count(" Cautions Wiring") == page.count("Disconnect the battery first.") == page.count(" Cautions ")
        assert page.count("Wiring work can start") == 4 * page.count(" Cautions ")


def test_letter_paper(printed):
    table = Table("t", "T", (Column("id", "id"),), (("W1",),))
    _, sizes = printed(table, paper="Letter")
    assert sizes == [pytest.approx(LETTER_PT, abs=0.5)]


WORDY = (
    "fork 4 mm, blade 6.3 mm x 0.8 mm insulated",
    "MMMM WWWW MMMM WWWW @@@@ %%%% MMMM",
    "a-word-of-many-parts/and/slashes-in/it that goes on",
    "x" * 90,
    "one\ntwo\n\nfour words in this line",
    "radio 📻 נחושת 16 mm2 سلك 銅線 十六平方",
    "il, ji; t.f: 'lit' (fit) | jilt " * 4,
    "short",
    "to be wrapped in every column " * 8,
)


@pytest.fixture
def too_low(office, tmp_path):
    """The rows of a workbook that are lower than the program would make them: sheet, row, what it needs and has [pt].

    The program's own best heights are found for the same cells without ours.
    """

    def find(path: Path) -> tuple[list[tuple[str, int, float, float]], float]:
        ours = _without_heights(path, tmp_path / "theirs.xlsx")
        flat = (office(tmp_path / "theirs.xlsx", "fods") / "theirs.fods").read_text("utf-8")
        (tmp_path / "open.fods").write_text(re.sub(r'style:row-height="[^"]*"', "", flat), "utf-8")
        best = _heights_pt(office(tmp_path / "open.fods", "fods") / "open.fods")
        needed = {(sheet, row): best[sheet][row - 1] for sheet, row in ours}
        low = [(sheet, row, needed[sheet, row], ours[sheet, row]) for sheet, row in ours]
        return [line for line in low if line[2] > line[3]], max(needed.values())

    return find


def test_no_row_is_lower_than_its_text_needs(too_low, tmp_path):
    columns = tuple(
        Column(f"c{width}", "a heading of several words", width=width, bold=width == 13) for width in (8, 13, 19, 31)
    )
    rows = tuple((text,) * len(columns) for text in WORDY)
    table = Table("t", "Title " * 30, columns, rows, ("A note that goes on and on. " * 12, *WORDY))
    path = tmp_path / "ours.xlsx"
    write_workbook(path, [table], job="job " * 60, cautions=CAUTIONS)
    low, highest_pt = too_low(path)
    assert highest_pt > 100
    assert low == []


def test_no_row_of_any_paper_is_lower_than_its_text_needs(too_low, assessed, tmp_path):
    (path,) = write_papers(assessed("larch"), tmp_path / "out", "larch", formats=("xlsx",), file="larch.toml")
    low, highest_pt = too_low(path)
    assert highest_pt > 40
    assert low == []


@pytest.mark.parametrize("name", ["hazel", "larch", "alder"])
def test_every_row_of_the_cut_list_is_read_back_from_the_workbook_of_a_design(office, assessed, tmp_path, name):
    (path,) = write_papers(assessed(name), tmp_path / "out", name, formats=("xlsx",))
    folder = office(path, CSV.removesuffix(",false") + ",false,false,false,2")  # the second sheet
    lines = read_csv(folder)
    table = assessed(name).paper("cut-list")
    assert lines[0][0] == "Cut list"
    assert lines[HEADER_ROW - 1] == headings(table)
    read = {line[0]: float(line[7]) for line in lines[HEADER_ROW : HEADER_ROW + len(table.rows)]}
    assert read == {row[0]: pytest.approx(row[7], abs=1e-12) for row in table.rows}


def test_letter_is_the_size_of_every_page_of_a_design(office, tool, assessed, tmp_path):
    (path,) = write_papers(assessed("hazel"), tmp_path / "out", "hazel", formats=("xlsx",), paper="Letter")
    pdf = office(path, "pdf") / "hazel.pdf"
    info = subprocess.run(
        [Path(tool("pdftotext")).with_name("pdfinfo"), "-l", "1000", pdf], capture_output=True, text=True, check=True
    ).stdout
    sizes = re.findall(r"Page +\d+ size: +([\d.]+) x ([\d.]+) pts", info)
    assert len(sizes) >= 12
    assert all(sorted(map(float, size)) == pytest.approx(LETTER_PT, abs=0.5) for size in sizes)


def _without_heights(path: Path, saved: Path) -> dict[tuple[str, int], float]:
    """Save a copy in which the program finds the heights, also of what was merged; gives the heights it had [pt]."""
    book = openpyxl.load_workbook(path)
    ours: dict[tuple[str, int], float] = {}
    for sheet in book:
        ours |= {(sheet.title, number): row.height for number, row in sheet.row_dimensions.items() if row.height}
        for area in [*sheet.merged_cells.ranges]:
            _apart(sheet, area)
        for row in sheet.row_dimensions.values():
            row.height = None
    book.save(saved)
    return ours


def _apart(sheet, area) -> None:
    """Move the text of a merged area into a column far to the right that is as wide as the area."""
    letters = [get_column_letter(number) for number in range(area.min_col, area.max_col + 1)]
    width = sum(sheet.column_dimensions[letter].width for letter in letters)
    row, first = area.min_row, area.min_col
    sheet.unmerge_cells(str(area))
    far = next(
        number for number in range(40, 60)
        if sheet.column_dimensions[get_column_letter(number)].width in (width, 13)  # 13: not set yet
    )
    sheet.column_dimensions[get_column_letter(far)].width = width
    source, target = sheet.cell(row, first), sheet.cell(row, far)
    target.value, target.data_type, target.font = source.value, "s", copy.copy(source.font)
    target.alignment = Alignment(wrap_text=True)
    source.value = None


def _heights_pt(path: Path) -> dict[str, list[float]]:
    office = "{urn:oasis:names:tc:opendocument:xmlns:%s:1.0}"
    tree = ET.parse(path).getroot()
    styles = {
        style.get(office % "style" + "name"): float(
            found.get(office % "style" + "row-height", "0in").removesuffix("in")
        )
        for style in tree.iter(office % "style" + "style")
        if (found := style.find(office % "style" + "table-row-properties")) is not None
    }
    found: dict[str, list[float]] = {}
    for table in tree.iter(office % "table" + "table"):
        heights = found.setdefault(table.get(office % "table" + "name"), [])
        for row in table.iter(office % "table" + "table-row"):
            times = int(row.get(office % "table" + "number-rows-repeated", "1"))
            heights += [72 * styles[row.get(office % "table" + "style-name")]] * min(times, 1000)
    return found
