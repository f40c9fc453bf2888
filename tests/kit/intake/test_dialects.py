"""A catalog written in any dialect and read back gives the same parts."""

from __future__ import annotations

import csv
import io

import openpyxl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rigfeed.intake.mapping import Mapping
from rigfeed.intake.numbers import figure
from rigfeed.intake.taking import take
from rigfeed.registry import make_registry

KINDS = make_registry().kinds
WORDS = st.text(st.sampled_from("abcdefgh ÄöüéØ-/'"), min_size=1, max_size=12).map(lambda text: f"x{text.strip()}")


@st.composite
def cables(draw):
    rows = []
    for number in range(draw(st.integers(1, 6))):
        area_mm2 = draw(st.integers(50, 9000)) / 100
        rows.append({
            "part": f"cable:c-{number}", "title": draw(WORDS), "area_mm2": f"{area_mm2:g}",
            "ohm_per_km": f"{draw(st.integers(175, 200)) / 10 / area_mm2:.5g}",
            "od_mm": f"{draw(st.integers(150, 400)) / 10:g}", "insulation_c": str(draw(st.integers(60, 200))),
            "material": draw(st.sampled_from(["copper", "tinned copper"])), "price": f"{draw(st.integers(1, 999))} EUR",
            "source": "a drum", "confidence": "measured",
        })
    return rows


def written(rows, separator: str, comma: bool, quoting: int) -> str:
    out = io.StringIO()
    writer = csv.writer(out, delimiter=separator, quoting=quoting, lineterminator="\r\n")
    writer.writerow(rows[0])
    numbers = ("area_mm2", "ohm_per_km", "od_mm")
    for row in rows:
        writer.writerow([c.replace(".", ",") if comma and k in numbers else c for k, c in row.items()])
    return out.getvalue()


def same(rows, taken) -> None:
    assert taken.count("refused") == 0, [str(note) for outcome in taken.outcomes for note in outcome.notes]
    for row, outcome in zip(rows, taken.outcomes, strict=True):
        assert outcome.id == row["part"].split(":")[1]
        assert outcome.cells["title"] == " ".join(row["title"].split())
        assert outcome.cells["material"] == row["material"]
        for name in ("area_mm2", "ohm_per_km", "od_mm", "insulation_c"):
            assert float(outcome.cells[name]) == float(row[name])


@settings(deadline=None, max_examples=60)
@given(
    cables(), st.sampled_from(";\t,|"), st.booleans(), st.sampled_from([csv.QUOTE_MINIMAL, csv.QUOTE_ALL]),
    st.sampled_from(["utf-8", "utf-8-sig", "utf-16", "cp1252"]),
)
def test_any_dialect_gives_the_same_parts(rows, separator, comma, quoting, encoding):
    data = written(rows, separator, comma, quoting).encode(encoding)
    same(rows, take(data, "x.csv", KINDS, Mapping(decimal="," if comma else ".")))


@settings(deadline=None, max_examples=15)
@given(cables())
def test_a_workbook_gives_the_same_parts(rows):
    book = openpyxl.Workbook()
    book.active.append(list(rows[0]))
    for row in rows:
        book.active.append([float(c) if c.replace(".", "").isdecimal() else c for c in row.values()])
    out = io.BytesIO()
    book.save(out)
    same(rows, take(out.getvalue(), "x.xlsx", KINDS))


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
