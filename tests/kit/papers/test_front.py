"""The workbook of a design: its first sheet, its other sheets, the same bytes every time."""

from __future__ import annotations

import datetime
import json

import openpyxl
import pytest

from rigfeed.cautions import CAUTIONS
from rigfeed.errors import UnknownName
from rigfeed.papers.sheet import HEADER_ROW
from rigfeed.papers.table import headings
from rigfeed.papers.write import ORDER, job_line, title_block, write_papers

SHEETS = [name for name in ORDER if name not in ("cutting-plan", "buying-list")]  # these want a stock file

JOB = """[job]
customer = "Forest district 7"
vehicle = "HZ-1234"
by = "N. N."
revision = "B"
date = 2026-05-31
note = "=1+1 is no formula"
"""


@pytest.fixture
def workbook(tmp_path):
    def of(assessment, **options):
        (path,) = write_papers(assessment, tmp_path / "out", "x", formats=("xlsx",), **options)
        return openpyxl.load_workbook(path)

    return of


def texts(sheet) -> list[str]:
    return [place.value for row in sheet.iter_rows() for place in row if isinstance(place.value, str)]


def test_the_first_sheet_is_a_title_block_with_the_cautions_and_the_sheets(assessed, workbook):
    book = workbook(assessed("hazel"), file="hazel.toml")
    first = book.worksheets[0]
    assert first.title == "Title block"
    said = texts(first)
    assert said[0] == "Hazel: small hatchback, VHF 25 W"
    assert "Road vehicles" in said
    assert "hazel.toml" in said
    assert all(caution in said for caution in CAUTIONS)
    listed = {row[0].value: row[3].value for row in first.iter_rows() if isinstance(row[3].value, int)}
    assert [*listed] == book.sheetnames[1:]
    assert [*listed.values()] == [len(assessed("hazel").paper(name).rows) for name in SHEETS]
    assert first.page_setup.orientation == "landscape"
    assert first.page_setup.fitToHeight == 1


def test_what_the_design_says_of_the_job_is_on_it(changed, workbook):
    assessment = changed(("[job]\n", JOB))
    said = texts(workbook(assessment).worksheets[0])
    for text in ("Forest district 7", "HZ-1234", "N. N.", "B", "2026-05-31", "=1+1 is no formula"):
        assert text in said
    assert job_line(assessment).endswith(" - revision B - 2026-05-31")


def test_no_date_is_made_up(assessed):
    front = title_block(assessed("hazel"))
    assert dict(front.facts)["Date"] == ""
    year = str(datetime.date.today().year)
    assert not any(year in text for _, text in (*front.facts, *front.long_facts))


def test_formulas_are_texts_on_the_first_sheet_too(changed, workbook):
    first = workbook(changed(("[job]\n", JOB), ("Hazel: small", "=2+2 Hazel: small"))).worksheets[0]
    hostile = [place for row in first.iter_rows() for place in row if str(place.value or "").startswith("=")]
    assert {place.value for place in hostile} >= {"=1+1 is no formula"}
    assert {place.data_type for place in hostile} == {"s"}
    assert all(place.quotePrefix for place in hostile)


def test_every_sheet_has_its_headings_its_rows_and_the_cautions(assessed, workbook):
    assessment = assessed("larch")
    book = workbook(assessment)
    for sheet, name in zip(book.worksheets[1:], SHEETS, strict=True):
        table = assessment.paper(name)
        assert sheet.title == table.title
        head = [place.value for place in sheet[HEADER_ROW]][: len(table.columns)]
        assert head == headings(table)
        first = [sheet.cell(number, 1).value for number in range(HEADER_ROW + 1, HEADER_ROW + 1 + len(table.rows))]
        assert first == [row[0] for row in table.rows]
        assert sheet.print_title_rows == f"${HEADER_ROW}:${HEADER_ROW}"
        assert set(CAUTIONS) <= set(texts(sheet))


def test_a_heavier_rule_parts_the_groups(assessed, workbook):
    sheet = workbook(assessed("hazel"))["Cut list"]
    rules = [sheet.cell(HEADER_ROW + number, 1).border.bottom for number in range(1, 7)]
    assert [(rule.style, rule.color.rgb) for rule in rules] == [
        ("thin", "FF808080"), ("thin", "FF808080"), ("thin", "FF000000"),
        ("thin", "FF808080"), ("thin", "FF000000"), ("medium", "FF000000"),
    ]
    assert sheet.cell(HEADER_ROW + 1, 8).font.bold  # the cut length


def test_lengths_to_cut_have_two_decimals_money_too(assessed, workbook):
    book = workbook(assessed("hazel"))
    assert book["Cut list"].cell(HEADER_ROW + 2, 8).number_format == "0.00_ "
    assert book["Bill of materials"].cell(HEADER_ROW + 1, 4).number_format == "0.00_ "


def test_letter_paper_is_on_every_sheet(assessed, workbook):
    assert {sheet.page_setup.paperSize for sheet in workbook(assessed("hazel"), paper="Letter")} == {1}
    assert {sheet.page_setup.paperSize for sheet in workbook(assessed("hazel"))} == {9}


def test_the_widest_paper_is_printed_with_letters_of_nearly_ten_points(assessed, workbook):
    """What does not fit is shrunk to one page's width; beyond that it could not be read at arm's length."""
    for name in ("hazel", "larch", "alder"):
        for sheet in workbook(assessed(name)):
            width = sum(dimension.width for dimension in sheet.column_dimensions.values())
            assert 11 * min(1.0, 126 / width) >= 9.5, (name, sheet.title, width)


def test_twice_the_same_bytes(assessed, tmp_path):
    every = ("xlsx", "csv", "json")
    one, two = (write_papers(assessed("hazel"), tmp_path / name, "x", formats=every) for name in ("a", "b"))
    assert len(one) == 1 + 2 * len(SHEETS) + 2  # the figures have numbers as well
    assert [path.read_bytes() for path in one] == [path.read_bytes() for path in two]


def test_json_has_numbers_in_base_units_whatever_is_shown(assessed, tmp_path):
    for system in ("metric", "us"):
        paths = write_papers(assessed("hazel"), tmp_path, "x", formats=("json",), system=system)
        data = json.loads(next(path for path in paths if path.name == "x-hole-list.json").read_text())
        assert data["rows"][0]["diameter"] == 12.0
        assert data["job"] == "Hazel: small hatchback, VHF 25 W - practice: Road vehicles"


def test_only_some_papers_are_written(assessed, tmp_path):
    every = ("xlsx", "csv", "svg", "json")
    paths = write_papers(assessed("hazel"), tmp_path, "x", formats=every, only=("cut-list", "circuit"))
    assert [path.name for path in paths] == ["x.xlsx", "x-cut-list.csv", "x-cut-list.json", "x-circuit.svg"]
    paths = write_papers(assessed("hazel"), tmp_path / "drawing", "x", formats=every, only=("circuit",))
    assert [path.name for path in paths] == ["x-circuit.svg"]
    paths = write_papers(assessed("hazel"), tmp_path / "figure", "x", formats=("csv", "json"), only=("time-current",))
    assert [path.name for path in paths] == ["x-time-current-vhf.json"]
    with pytest.raises(UnknownName, match="did you mean 'cut-list'"):
        write_papers(assessed("hazel"), tmp_path / "none", "x", only=("cut-lists",))
    assert not (tmp_path / "none").exists()
