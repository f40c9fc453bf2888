"""A catalog written in any dialect and read back gives the same parts."""

from __future__ import annotations

import csv
import io
import zipfile
from xml.sax.saxutils import escape

import openpyxl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rigfeed.intake.keeping import catalog_text
from rigfeed.intake.mapping import Mapping
from rigfeed.intake.numbers import figure
from rigfeed.intake.reading import read_text
from rigfeed.intake.taking import take
from rigfeed.registry import make_registry

KINDS = make_registry().kinds
WORDS = st.text(st.sampled_from("abcdefgh ÄöüéØ-/'"), min_size=1, max_size=12).map(lambda text: f"x{text.strip()}")

AMPS = st.sampled_from(["", "12", "99.5"])


@st.composite
def cables(draw):
    rows = []
    for number in range(draw(st.integers(1, 6))):
        area_mm2 = draw(st.integers(50, 9000)) / 100
        rows.append({
            "part": f"cable:c-{number}", "title": draw(WORDS), "area_mm2": f"{area_mm2:g}",
            "ohm_per_km": f"{draw(st.integers(175, 200)) / 10 / area_mm2:.5g}",
            "od_mm": f"{draw(st.integers(150, 400)) / 10:g}", "height_mm": draw(st.sampled_from(["", "14.5"])),
            "core_count": draw(st.sampled_from(["1", "2", "7"])), "insulation_c": str(draw(st.integers(60, 200))),
            "material": draw(st.sampled_from(["copper", "tinned copper"])), "strands": str(draw(st.integers(1, 900))),
            "insulation": draw(st.sampled_from(["", "pvc", "xlpe", "silicone"])), "amps_30c": draw(AMPS),
            "bend_mm": draw(st.sampled_from(["", "25"])), "colours": draw(st.sampled_from(["", "RD", "RD BK", "GNYE"])),
            "sold": draw(st.sampled_from(["", "length 30 m", "per metre"])), "source": "a drum",
            "price": f"{draw(st.integers(1, 999))} EUR", "confidence": "measured",
        })
    return rows


def written(rows, separator: str, comma: bool, quoting: int) -> str:
    out = io.StringIO()
    writer = csv.writer(out, delimiter=separator, quoting=quoting, lineterminator="\r\n")
    writer.writerow(rows[0])
    for row in rows:
        writer.writerow([c.replace(".", ",") if comma and k in NUMBERS else c for k, c in row.items()])
    return out.getvalue()


NUMBERS = (
    "area_mm2", "ohm_per_km", "od_mm", "height_mm", "core_count", "insulation_c", "strands", "amps_30c", "bend_mm",
)
TEXTS = ("material", "insulation", "colours", "sold", "price", "confidence")


def same(rows, taken) -> None:
    assert taken.count("refused") == 0, [str(note) for outcome in taken.outcomes for note in outcome.notes]
    for row, outcome in zip(rows, taken.outcomes, strict=True):
        assert outcome.id == row["part"].split(":")[1]
        assert outcome.cells["title"] == " ".join(row["title"].split())
        assert {name: outcome.cells.get(name, "") for name in TEXTS} == {name: row[name] for name in TEXTS}
        for name in NUMBERS:
            assert float(outcome.cells.get(name) or 0) == float(row[name] or 0), name


@settings(max_examples=60)
@given(
    cables(), st.sampled_from(";\t,|"), st.booleans(), st.sampled_from([csv.QUOTE_MINIMAL, csv.QUOTE_ALL]),
    st.sampled_from(["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "cp1252"]),
    st.sampled_from(["\r\n", "\n", "\r"]), st.sampled_from(["", "Drums of the season\n\n"]),
)
def test_any_dialect_gives_the_same_parts(rows, separator, comma, quoting, encoding, end, above):
    text = above + written(rows, separator, comma, quoting)
    data = text.replace("\r\n", "\n").replace("\n", end).encode(encoding)
    taken = take(data, "x.csv", KINDS, Mapping(decimal="," if comma else "."))
    same(rows, taken)
    again = take(catalog_text(taken, "2020-01-01").encode(), "x.csv", KINDS)
    assert [kept(outcome) for outcome in again.outcomes] == [kept(outcome) for outcome in taken.outcomes]


def kept(outcome) -> tuple[str, dict[str, str]]:
    """A part as its catalog has it, but for where it comes from."""
    return outcome.id, {name: cell for name, cell in outcome.cells.items() if name != "source"}


def as_number(cell: str) -> float | str:
    return float(cell) if cell.replace(".", "").isdecimal() else cell


@settings(max_examples=15)
@given(cables())
def test_a_workbook_gives_the_same_parts(rows):
    book = openpyxl.Workbook()
    book.active.append(list(rows[0]))
    for row in rows:
        book.active.append([as_number(cell) for cell in row.values()])
    out = io.BytesIO()
    book.save(out)
    same(rows, take(out.getvalue(), "x.xlsx", KINDS))


NAMES = " ".join(f'xmlns:{n}="urn:oasis:names:tc:opendocument:xmlns:{n}:1.0"' for n in ("office", "table", "text"))


def ods_cell(cell: float | str) -> str:
    value = f'"float" office:value="{cell}"' if isinstance(cell, float) else '"string"'
    return f"<table:table-cell office:value-type={value}><text:p>{escape(str(cell))}</text:p></table:table-cell>"


def as_ods(rows: list[list[float | str]]) -> bytes:
    """A workbook of one table (OASIS OpenDocument 1.3, part 3, chapter 9), with empty cells and rows all around."""
    table = "".join(
        f'<table:table-row>{"".join(map(ods_cell, row))}<table:table-cell table:number-columns-repeated="900"/>'
        "</table:table-row>" for row in rows
    )
    far = '<table:table-row table:number-rows-repeated="1048000"><table:table-cell/></table:table-row>'
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
        archive.writestr(
            "content.xml",
            f"<office:document-content {NAMES}><office:body><office:spreadsheet><table:table>{table}{far}</table:table>"
            "</office:spreadsheet></office:body></office:document-content>",
        )
    return out.getvalue()


@settings(max_examples=15)
@given(cables())
def test_an_open_document_gives_the_same_parts(rows):
    cells = [list(rows[0]), *([as_number(cell) for cell in row.values()] for row in rows)]
    same(rows, take(as_ods(cells), "x.ods", KINDS))


def test_what_a_workbook_shows_is_not_always_what_it_holds():
    book = openpyxl.Workbook()
    sheet = book.active
    sheet.append(["code", "description", "size mm2", "od", "ohm/km", "strands", "price EUR/m"])
    sheet.append(["K1", "plain", 2.5, 3.0, 0.1 + 0.2 + 7.3, "50/0.25", 0.8])
    sheet.append(["K2", "shown with fewer digits", 4, 3.6, 4.95, None, 1.125])
    sheet["E3"].number_format = "0"
    sheet.append(["K3", "shown as money", 4, 3.6, 4.95, None, 1.5])
    sheet["G4"].number_format = '[$EUR-2] #,##0.00;[Red]"day" 0'
    sheet.append(["K4", "took a gauge for a day", 4, 3.6, 4.95, 46038, 1])
    sheet["F5"].number_format = "dd/mm"
    out = io.BytesIO()
    book.save(out)
    first, second, third, fourth = take(out.getvalue(), "x.xlsx", KINDS, Mapping(kind="cable")).outcomes
    assert first.cells["ohm_per_km"] == "7.6"
    assert (second.cells["ohm_per_km"], second.cells["price"]) == ("4.95", "1.125 EUR")
    assert third.cells["price"] == "1.5 EUR"
    assert "refused strands: is the date 2026-01-16" in f"refused {fourth.notes[0]}"


@pytest.mark.parametrize(
    ("text", "comma", "value"),
    [
        ("2,5", False, 2.5), ("0.170", True, 0.17), ("1.234,5", False, 1234.5), ("1,234.5", True, 1234.5),
        (".30", False, 0.3), ("1.234.567", False, 1234567.0), ("1'200", False, 1200.0), ("12,5000", False, 12.5),
    ],
)
def test_a_number_with_one_meaning_has_it_whatever_the_list_does(text, comma, value):
    number = figure(text, comma)
    assert number.value == value
    assert number.other is None


def test_a_number_with_two_meanings_keeps_both():
    assert (figure("1,234").value, figure("1,234").other) == (1234.0, 1.234)
    assert (figure("1.234", comma=True).value, figure("1.234", comma=True).other) == (1234.0, 1.234)


def test_a_kind_without_words_of_its_own_is_read_by_its_schema():
    text = "Code,Title,Family,Rated A,Rated V,Drop mV,Breaking A\n"
    text += "B1,blade 30,C,30 A,32 V,0.1 V,1000\nB2,x,C,many,32,100,1000\n"
    taken = take(text.encode(), "fuses.csv", KINDS, Mapping(kind="fuse"))
    good, bad = taken.outcomes
    assert bad.state == "refused"
    assert "rated_a" in str(bad.notes[0])
    assert good.cells["rated_a"] == "30"
    assert good.cells["drop_mv"] == "100"


def test_quotes_enclose_cells_however_far_below_the_first_one_stands():
    many = "".join(f"A{n},wire,2.5 mm2,3,\n" for n in range(400))
    text = f'Code,Text,Size,OD,Colour\n{many}B1,"thin wall, red","4 mm2",3,\n'
    sheet = read_text(text)
    assert sheet.rows[-1] == ("B1", "thin wall, red", "4 mm2", "3", "")
    assert "quotes" not in sheet.how
