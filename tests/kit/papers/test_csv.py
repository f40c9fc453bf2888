"""Comma-separated values: the form of RFC 4180, exact numbers, and texts that stay texts."""

from __future__ import annotations

import csv
import io
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rigfeed.errors import FileProblem
from rigfeed.papers.csv import csv_text, guarded, unguarded, write_csv
from rigfeed.papers.letters import visible
from rigfeed.papers.table import Column, Table

TRICKY = st.text("=+-@'\";,\t\r\n 1aW＝", max_size=12)


def one_column(*values, unit: str = "") -> Table:
    return Table("t", "T", (Column("x", "x", unit),), tuple((value,) for value in values))


def read_back(text: str, delimiter: str = ",") -> list[list[str]]:
    return [*csv.reader(io.StringIO(text, newline=""), delimiter=delimiter)]


def test_lines_end_with_cr_lf_and_fields_are_quoted_as_rfc_4180_says():
    # RFC 4180, section 2: rules 1 (CRLF), 6 (quotes around commas and line breaks), 7 (a quote is doubled)
    table = Table("t", "T", (Column("a", "a"), Column("b", "b")), (('say "go"', "x, y"), ("two\nlines", None)))
    assert csv_text(table) == 'a,b\r\n"say ""go""","x, y"\r\n"two\nlines",\r\n'


@pytest.mark.parametrize(
    ("value", "expected"),
    [
        (2.5, "2.5"),
        (-12.5, "-12.5"),
        (3, "3"),
        (3.0, "3"),
        (0.1 + 0.2, "0.3"),
        (math.pi, "3.14159265"),
        (1234567890.0, "1234567890"),
        (1e-7, "1e-07"),
        (-0.0, "0"),
    ],
)
def test_numbers_have_nine_digits_and_a_point(value, expected):
    assert csv_text(one_column(value)) == f"x\r\n{expected}\r\n"


def test_what_is_missing_or_not_finite_is_empty():
    table = Table("t", "T", (Column("a", "a", "m"), Column("b", "b")), ((math.nan, 1), (math.inf, 2), (None, 3)))
    assert csv_text(table) == "a [m],b\r\n,1\r\n,2\r\n,3\r\n"


def test_units_follow_the_system():
    # 1 ft = 0.3048 m exactly: international yard and pound agreement of 1959 (NIST SP 811)
    assert csv_text(one_column(3.048, unit="m"), system="us") == "x [ft]\r\n10\r\n"


def test_hostile_texts_come_back_and_the_numbers_beside_them_are_numbers(hostile_table):
    rows = read_back(csv_text(hostile_table))[1:]
    assert [unguarded(row[1]) for row in rows] == [visible(row[1]) for row in hostile_table.rows]
    assert {row[2] for row in rows} == {"-12.5"}


@pytest.mark.parametrize("text", ["=1+1", "+12 V", "-x", "-12.5", "@x", "\tx", "\rx", " =1", "＝1", '"=1', "-"])
def test_a_text_that_could_calculate_begins_with_an_apostrophe(text):
    assert guarded(text) == "'" + text


@pytest.mark.parametrize("text", ["", "W1", "F1 - F2", "a+b", "16 mm2", "a\r\n\nb", "x; y"])
def test_an_ordinary_text_is_left_alone(text):
    assert guarded(text) == text


@given(TRICKY)
def test_the_guard_can_be_taken_off(text):
    assert unguarded(guarded(text)) == text


@pytest.mark.parametrize("delimiter", [",", ";", "\t"])
@given(texts=st.lists(TRICKY, min_size=3, max_size=3))
def test_no_field_begins_as_a_formula_wherever_a_program_splits(delimiter, texts):
    table = Table("t", "T", tuple(Column(key, key) for key in "abc"), (tuple(texts),))
    for row in read_back(csv_text(table), delimiter):
        for field in row:
            assert not field.strip().startswith(("=", "+", "-", "@", "＝")), texts


def test_the_file_is_utf_8_without_a_byte_order_mark(tmp_path):
    write_csv(tmp_path / "t.csv", one_column("16 mm², 4 Ω"))
    assert (tmp_path / "t.csv").read_bytes() == 'x\r\n"16 mm², 4 Ω"\r\n'.encode()


def test_a_text_that_utf_8_cannot_hold_is_made_visible(tmp_path):
    write_csv(tmp_path / "t.csv", one_column("half \ud83d", "nul \x00"))
    assert read_back((tmp_path / "t.csv").read_text("utf-8")) == [["x"], ["half �"], ["nul ␀"]]


def test_a_file_that_cannot_be_written_is_named(tmp_path):
    with pytest.raises(FileProblem) as caught:
        write_csv(tmp_path / "none" / "t.csv", one_column(1))
    assert caught.value.place.file == str(tmp_path / "none" / "t.csv")
    assert "folder" in caught.value.remedy
