"""Workbooks, opened again and compared cell by cell."""

from __future__ import annotations

import io
import os
import subprocess
import sys
import time
import xml.etree.ElementTree as ET
import zipfile

import openpyxl
import pytest

from rigfeed.errors import FileProblem
from rigfeed.papers.layout import page_width, text_width
from rigfeed.papers.letters import visible
from rigfeed.papers.sheet import HEADER_ROW, LONGEST_TEXT, sheet_text
from rigfeed.papers.table import Column, Table
from rigfeed.papers.xlsx import sheet_names, workbook_bytes, write_workbook

CAUTIONS = ("Fire hazard: have the work checked.", "Disconnect the battery first.")
X = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"

MAKE_TWO_SHEETS = """
import sys
from rigfeed.papers.table import Column, Table
from rigfeed.papers.xlsx import workbook_bytes
columns = (Column("id", "id"), Column("l", "length", "m"))
tables = [Table(f"t{n}", f"T{n}", columns, (("W1", 1.25 + n), ("=1", None)), ("a note",)) for n in range(2)]
sys.stdout.buffer.write(workbook_bytes(tables, job="job", cautions=("care",)))
"""


def opened(*tables: Table, **options) -> openpyxl.Workbook:
    return openpyxl.load_workbook(io.BytesIO(workbook_bytes(tables, **{"job": "Van 3", **options})))


def one_column(*values, unit: str = "") -> Table:
    return Table("t", "Sheet title", (Column("x", "x", unit),), tuple((value,) for value in values))


def test_a_saved_workbook_has_title_job_headings_rows_notes_and_cautions(tmp_path, cut_table):
    table = cut_table(5)
    write_workbook(tmp_path / "cuts.xlsx", [table], job="Van 3, revision 4", cautions=CAUTIONS)
    sheet = openpyxl.load_workbook(tmp_path / "cuts.xlsx")["Cut list"]
    first = [row[0].value for row in sheet.iter_rows()]
    assert first[:3] == ["Cut list", "Van 3, revision 4", "Read the cautions below the table first."]
    assert [place.value for place in sheet[HEADER_ROW]][4:8] == [
        "colour",
        "net length [m]",
        "slack [m]",
        "cut length [m]",
    ]
    for number, row in enumerate(table.rows, HEADER_ROW + 1):
        # the library writes 16 digits of a number
        assert [place.value for place in sheet[number]] == [
            pytest.approx(value, rel=1e-15) if isinstance(value, float) else value for value in row
        ]
    assert first[HEADER_ROW + 5 :] == [None, "Notes", *table.notes, None, "Cautions", *CAUTIONS]


def test_numbers_are_full_numbers_in_the_units_of_the_heading():
    # 1 ft = 0.3048 m exactly: international yard and pound agreement of 1959 (NIST SP 811)
    sheet = opened(one_column(0.3048, 1 / 3, None, unit="m"), system="us").active
    assert sheet["A4"].value == "x [ft]"
    assert [sheet[f"A{row}"].value for row in (5, 6, 7)] == [pytest.approx(1.0), pytest.approx(1 / 0.9144), None]
    assert [sheet[f"A{row}"].data_type for row in (5, 6)] == ["n", "n"]
    assert sheet["A6"].value == pytest.approx(1 / 0.9144, rel=1e-14)


def test_numbers_stand_right_with_their_decimals_and_counts_have_none():
    columns = (Column("l", "length", "m"), Column("n", "number"))
    sheet = opened(Table("t", "T", columns, ((2.5, 3), (0.05, 12)))).active
    assert [place.number_format for place in sheet[5][:2]] == ["0.00_ ", "0_ "]
    assert {place.alignment.horizontal for row in sheet["A4:B6"] for place in row} == {"right"}
    assert isinstance(sheet["B5"].value, int)


def test_what_is_not_finite_leaves_its_cell_empty():
    assert opened(one_column(float("nan"), float("inf"), 1.0)).active["A5"].value is None


def test_hostile_texts_are_texts(hostile_table):
    sheet = opened(hostile_table).active
    for number, (name, text, _) in enumerate(hostile_table.rows, HEADER_ROW + 1):
        place = sheet.cell(number, 2)
        assert (place.data_type, place.value) == ("s", sheet_text(text)), name
        assert sheet.cell(number, 3).value == -12.5
        assert bool(place.quotePrefix) == text.lstrip().startswith(tuple("=+-@'#")), name


def test_no_part_of_a_workbook_has_a_formula(hostile_table):
    hostile = Table("=n", "=1+1", (Column("k", "=2+2", "=3"),), (("=4",),), ("=5+5", "@note"))
    data = workbook_bytes([hostile_table, hostile], job="=6+6", cautions=("=7+7",))
    with zipfile.ZipFile(io.BytesIO(data)) as parts:
        for name in ("xl/worksheets/sheet1.xml", "xl/worksheets/sheet2.xml"):
            places = [*ET.fromstring(parts.read(name)).iter(f"{X}c")]
            assert len(places) > 5
            assert {place.get("t") for place in places} <= {"inlineStr", "n", None}
            assert not [place for place in places if place.find(f"{X}f") is not None]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("bell\x07", "bell␇"),
        ("half \ud83d", "half �"),
        ("one\r\ntwo\rthree\x85four", "one\ntwo\nthree\nfour"),
        ("a tab\tand", "a tab and"),
        ("_x0041_", "_x005F_x0041_"),
        ("_x41_", "_x41_"),
        ("נחושת", "נחושת"),
        ("📻", "📻"),
    ],
)
def test_text_of_a_sheet(text, expected):
    assert sheet_text(text) == expected


@pytest.mark.parametrize("letter", ["x", "📻", "\x07"])
def test_a_text_too_long_for_a_cell_is_shortened_and_says_so(letter):
    value = opened(one_column(letter * 40000)).active["A5"].value
    assert value.endswith(" ... (shortened)")
    assert LONGEST_TEXT - 2 < len(value.encode("utf-16-le")) / 2 <= LONGEST_TEXT
    assert set(value[:1000]) == set(visible(letter))
    assert opened(one_column("x" * LONGEST_TEXT)).active["A5"].value == "x" * LONGEST_TEXT


def test_one_sheet_each_with_legal_and_different_names():
    titles = [
        "Cut list",
        "CUT LIST",
        "a" * 40,
        "a" * 41,
        "W1/W2: [ends] *?\\",
        "'quoted'",
        "",
        "History",
        "📻" * 20,
        "x\x07",
    ]
    book = opened(*(Table("t", title, (Column("x", "x"),), ()) for title in titles))
    assert book.sheetnames == sheet_names(titles)
    assert len({name.casefold() for name in book.sheetnames}) == len(titles)
    for name in book.sheetnames:
        assert 1 <= len(name.encode("utf-16-le")) / 2 <= 31
        assert not set(name) & set("[]:*?/\\")
        assert name.strip("'") == name
    assert book.sheetnames[:2] == ["Cut list", "CUT LIST (2)"]
    assert book.sheetnames[3] == "a" * 27 + " (2)"
    assert "History" not in book.sheetnames


def test_a_table_without_rows_says_that_there_is_nothing_to_list():
    assert opened(one_column()).active["A5"].value == "nothing to list"


def test_a_workbook_needs_a_table():
    with pytest.raises(ValueError, match="needs a table"):
        workbook_bytes([], job="Van 3")


def test_print_setup(cut_table):
    book = opened(cut_table(3), one_column(1), paper="A4")
    wide, slim = book.worksheets
    assert (wide.page_setup.orientation, slim.page_setup.orientation) == ("landscape", "portrait")
    for sheet in (wide, slim):
        assert sheet.print_title_rows == "$4:$4"
        assert sheet.freeze_panes == "A5"
        assert sheet.page_setup.paperSize == 9  # A4; test_printed measures the page
        assert sheet.sheet_properties.pageSetUpPr.fitToPage
        assert (sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight) == (1, 0)
    assert opened(one_column(1), paper="Letter").active.page_setup.paperSize == 1


def test_a_footer_names_paper_job_and_page_and_an_ampersand_is_no_code():
    sheet = opened(one_column(1), job="HF &D & VHF" + " long" * 50).active
    assert sheet.oddFooter.left.text == "Sheet title"
    assert sheet.oddFooter.center.text.startswith("HF &&D && VHF long")
    assert sheet.oddFooter.center.text.endswith(" ...")
    assert text_width(sheet.oddFooter.center.text) < 0.5 * page_width("A4", landscape=False)
    assert sheet.oddFooter.right.text == "Page &P of &N"
    assert len(str(sheet.oddFooter)) < 255  # what spreadsheet programs accept


def test_a_footer_ends_with_a_whole_word():
    job = "Larch: pickup, HF 100 W and VHF 50 W, auxiliary LiFePO4 - practice: Road vehicles"
    shown = opened(one_column(1), job=job).active.oddFooter.center.text.removesuffix(" ...")
    assert shown != job
    assert set(shown.split()) <= set(job.replace(",", "").replace(":", "").split()) | set(job.split())
    assert shown[-1].isalnum()


def test_emphasis_is_bold_and_rules_never_colour(cut_table):
    book = opened(cut_table(3), cautions=CAUTIONS)
    for row in book.active.iter_rows():
        for place in row:
            assert place.fill.fill_type is None
            assert place.font.color is None or place.value is None
            rules = (place.border.top, place.border.bottom, place.border.left)
            assert {rule.color.rgb for rule in rules if rule and rule.color} <= {"FF000000", "FF808080"}
    head = book.active["A4"]
    assert head.font.bold
    assert head.border.top.style == head.border.bottom.style == "medium"


def test_two_processes_write_the_same_bytes():
    written = []
    for zone, seed, pause_s in (("UTC-14", "1", 0.0), ("UTC+11", "4242", 1.1)):  # pause: stamps count whole seconds
        time.sleep(pause_s)
        surroundings = {**os.environ, "TZ": zone, "PYTHONHASHSEED": seed}
        done = subprocess.run(
            [sys.executable, "-c", MAKE_TWO_SHEETS], env=surroundings, capture_output=True, check=True
        )
        written.append(done.stdout)
    assert written[0] == written[1]
    assert written[0][:2] == b"PK"


def test_nothing_in_a_workbook_tells_the_time_or_the_machine():
    data = workbook_bytes([one_column(1)], job="Van 3")
    with zipfile.ZipFile(io.BytesIO(data)) as parts:
        assert {part.date_time for part in parts.infolist()} == {(1980, 1, 1, 0, 0, 0)}
        assert parts.namelist() == ["[Content_Types].xml", *sorted(parts.namelist()[1:])]
        assert time.strftime("%Y-").encode() not in b"".join(parts.read(name) for name in parts.namelist())
    properties = openpyxl.load_workbook(io.BytesIO(data)).properties
    assert (properties.creator, properties.title) == ("rigfeed", "Van 3")


def test_importing_papers_loads_no_spreadsheet_library():
    modules = ["table", "csv", "xlsx", "sheet", "look", "layout", "letters", "front", "write"]
    code = f"import sys, {', '.join('rigfeed.papers.' + name for name in modules)}; print(*sys.modules)"
    loaded = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout.split()
    assert "rigfeed.papers.xlsx" in loaded
    assert not {name.partition(".")[0] for name in loaded} & {"openpyxl", "tkinter", "flask", "matplotlib", "scipy"}


def test_a_workbook_that_cannot_be_written_is_named(tmp_path):
    with pytest.raises(FileProblem) as caught:
        write_workbook(tmp_path, [one_column(1)], job="Van 3")
    assert caught.value.place.file == str(tmp_path)
    assert caught.value.remedy == "name a file, not a folder"
