"""A workbook is read as a person sees it: with what its number formats put around the digits."""

from __future__ import annotations

import io
import re
import subprocess

import openpyxl
import pytest
from tests.kit.intake.test_hostile_lists import ods

from rigfeed.intake.looks import PLAIN, look_of
from rigfeed.intake.mapping import Mapping
from rigfeed.intake.reading import read_sheet
from rigfeed.intake.taking import take
from rigfeed.registry import installed_registry

KINDS = installed_registry().kinds
CELLS = [  # the number that a cell holds, its format, what stands in the list
    (0.5, "0%", "50%"), (0.495, "0%", "49.5%"), (0.07, '0.0" %"', "0.07 %"), (0.07, "0.00 %", "7 %"),
    (2.5, '0.0" mm"', "2.5 mm"), (2.5, "0.00\\ \\m\\m", "2.5 mm"), (16, '"AWG "0', "AWG 16"),
    (16, 'General" AWG"', "16 AWG"), (4.95, "[$€-407] #,##0.00", "€ 4.95"),
    (4.95, '_-* #,##0.00\\ "€"_-;\\-* #,##0.00\\ "€"_-', "4.95 €"),
    (1250, "#,##0", "1250"), (1250, '0.0,"k"', "1.25k"), (1.5, "# ?/?", "1.5"), (30, '[>20]0" big";0" small"', "30"),
    (-2.5, '0.0" mm"', "-2.5 mm"), (0.25, "General", "0.25"), (0.25, "[Red]0.00", "0.25"), (5, '0;0" V"', "5"),
    (1250, '0,.00" k"', "1250"), (-40, '+0" degC";-0" degC"', "-40 degC"), (16, '0" mm2"', "16 mm2"),
    (495, '#,##0.00" €/100 m"', "495 €/100 m"), (1.5, '# ?/?" in"', "1.5"),
]


def workbook() -> bytes:
    book = openpyxl.Workbook()
    for at, (number, code, _) in enumerate(CELLS, start=1):
        book.active.cell(at, 1, f"row {at}")
        book.active.cell(at, 2, number).number_format = code
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def test_what_stands_around_a_number_is_read_with_it():
    assert [row[1] for row in read_sheet(workbook()).rows] == [said for _, _, said in CELLS]


OTHERWISE = {  # what an open document of the same says where that is not the same text
    "[$€-407] #,##0.00": "4.95 EUR", '[>20]0" big";0" small"': "30 big", '0.0,"k"': "1250", "0.00 %": "7%",
}


def around(text: str) -> str:
    """A number without its digits."""
    return re.sub(r"-?\d(?:[\d.,]*\d)?", "#", text)


@pytest.mark.slow
def test_an_open_document_of_the_same_says_the_same_and_both_say_what_is_seen(tmp_path, tool):
    """An office program is the judge: it turns the workbook into an open document, and into the text that it shows."""
    (tmp_path / "list.xlsx").write_bytes(workbook())
    begin = [tool("soffice"), f"-env:UserInstallation={(tmp_path / 'profile').as_uri()}", "--headless", "--convert-to"]
    for form in ("ods", "csv:Text - txt - csv (StarCalc):59,34,76,1,,0,false,true"):
        command = [*begin, form, "--outdir", str(tmp_path), str(tmp_path / "list.xlsx")]
        subprocess.run(command, check=True, capture_output=True, timeout=180)
    seen = [line.split(";")[1].strip() for line in (tmp_path / "list.csv").read_text(encoding="utf-8").splitlines()]
    theirs = [row[1] for row in read_sheet((tmp_path / "list.ods").read_bytes()).rows]
    assert theirs == [OTHERWISE.get(code, said) for _, code, said in CELLS]
    # which of two texts, or a fraction: the number alone is read
    plain = {"[>20]0\" big\";0\" small\"", "# ?/?", '# ?/?" in"'}
    for (_, code, said), shown in zip(CELLS, seen, strict=True):
        assert code in plain or around(said) == around(shown)


def test_a_size_in_the_format_of_a_cell_is_no_other_size():
    """A sheet that holds 16 and shows 16 AWG means 1.3 mm2 (ASTM B258), not 16."""
    book = openpyxl.Workbook()
    book.active.append(["code", "description", "size", "od", "ohm/km"])
    book.active.append(["A16", "wire", 16, 2.4, 13.2])
    book.active["C2"].number_format = '0" AWG"'
    out = io.BytesIO()
    book.save(out)
    (outcome,) = take(out.getvalue(), "list.xlsx", KINDS, Mapping(kind="cable")).outcomes
    assert (outcome.state, outcome.cells["gauge"]) == ("taken", "16"), outcome.notes


@pytest.mark.parametrize(("header", "cell", "code", "wanted"), [
    ("efficiency", 0.9, "0%", "90"), ("efficiency (%)", 90, "0", "90"), ("efficiency_percent", 90, "0", "90"),
    ("efficiency", 90, '0" %"', "90"), ("efficiency (%)", 0.9, "0.0 %", "90"), ("efficiency", 0.9, "0.0", None),
])
def test_a_percentage_is_one_however_the_cell_holds_it(header, cell, code, wanted):
    book = openpyxl.Workbook()
    book.active.append(["code", "description", header])
    book.active.append(["C1", "charger", cell])
    book.active["C2"].number_format = code
    out = io.BytesIO()
    book.save(out)
    (outcome,) = take(out.getvalue(), "list.xlsx", KINDS, Mapping(kind="converter")).outcomes
    if wanted is None:
        assert any("a share or a percentage" in str(note) for note in outcome.notes)
    else:
        assert outcome.cells["efficiency_percent"] == wanted, outcome.notes


def test_a_share_of_one_may_be_written_in_percent():
    text = "code,description,velocity_factor\nX1,coax,66 %\nX2,coax,0.66\n"
    first, second = take(text.encode(), "list.csv", KINDS, Mapping(kind="feeder")).outcomes
    assert first.cells["velocity_factor"] == second.cells["velocity_factor"] == "0.66"


@pytest.mark.parametrize("code", ["", "0" * 5000, '"' * 300, "[" * 300, "\\" * 200, "_" * 200, ";" * 200, "@", '"x"'])
def test_a_strange_format_shows_the_bare_number(code):
    assert look_of(code) == PLAIN


def test_an_open_document_whose_text_is_no_number_gives_the_number():
    cell = '<table:table-cell office:value-type="{}" office:value="{}"><text:p>{}</text:p></table:table-cell>'
    cells = [("float", 2.5, "two and a half"), ("percentage", 0.5, "half"), ("float", 7, "№ 7"), ("float", 0.2, "0 mm")]
    row = "".join(cell.format(*one) for one in cells)
    assert read_sheet(ods(f"<table:table-row>{row}</table:table-row>")).rows == [("2.5", "50%", "№ 7", "0.2 mm")]
