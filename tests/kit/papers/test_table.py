"""Columns, cells and the plain form of a table."""

from __future__ import annotations

import json
import math

import pytest

from rigfeed.papers.table import Column, Table, cell, cells, heading, headings, nine_digits, table_json

LENGTH = Column("length", "length", "m")


@pytest.mark.parametrize(
    ("unit", "system", "expected"),
    [
        ("m", "metric", "x [m]"),
        ("m", "us", "x [ft]"),
        ("mm", "us", "x [in]"),
        ("degC", "us", "x [degF]"),
        ("V", "us", "x [V]"),
        ("mm2", "us", "x [mm2]"),
        ("%", "metric", "x [%]"),
        ("", "us", "x"),
        ("pieces", "us", "x [pieces]"),
        ("temperature difference", "metric", "x [K]"),
    ],
)
def test_heading_names_the_unit_that_is_shown(unit, system, expected):
    assert heading(Column("x", "x", unit), system) == expected


def test_cell_converts_without_rounding():
    # 1 ft = 0.3048 m exactly: international yard and pound agreement of 1959 (NIST SP 811)
    assert cell(0.3048, LENGTH, "us") == pytest.approx(1.0, rel=1e-15)
    assert cell(1.0, LENGTH, "us") == pytest.approx(1 / 0.3048, rel=1e-15)
    assert cell(0.1 + 0.2, LENGTH) == 0.1 + 0.2
    # 0 degC = 32 degF (NIST SP 811)
    assert cell(0, Column("t", "t", "degC"), "us") == pytest.approx(32.0)


def test_cell_leaves_texts_counts_and_unknown_units_alone():
    assert cell("2.5 m", LENGTH, "us") == "2.5 m"
    assert cell(None, LENGTH, "us") is None
    count = cell(3, Column("n", "number"), "us")
    assert count == 3
    assert isinstance(count, int)
    assert cell(4.5, Column("n", "price", "EUR"), "us") == 4.5
    assert [cell(value, Column("q", "q")) for value in (True, False)] == ["yes", "no"]


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf, 10**400])
def test_what_is_not_finite_is_an_empty_cell(value):
    assert cell(value, LENGTH) is None
    assert cell(value, LENGTH, "us") is None
    assert table_json(Table("t", "T", (LENGTH,), ((value,),)))["rows"] == [{"length": None}]


def test_a_conversion_that_overflows_is_an_empty_cell():
    assert cell(1.7e308, LENGTH, "us") is None


def test_a_cell_of_another_type_is_a_fault_of_the_maker():
    with pytest.raises(TypeError, match="column 'length' holds a list"):
        cell([], LENGTH)  # type: ignore[arg-type]


@pytest.mark.parametrize("row", [(), (1.0, 2.0)])
def test_a_row_of_the_wrong_length_is_refused(row):
    with pytest.raises(ValueError, match=f"row 0 has {len(row)} cells for 1 columns"):
        Table("t", "T", (LENGTH,), (row,))


def test_columns_have_different_keys_and_there_is_one():
    with pytest.raises(ValueError, match="different keys"):
        Table("t", "T", (LENGTH, LENGTH), ())
    with pytest.raises(ValueError, match="needs columns"):
        Table("t", "T", (), ())


def test_headings_and_cells_go_left_to_right():
    table = Table("t", "T", (Column("id", "id"), LENGTH), (("W1", 0.3048), ("W2", None)))
    assert headings(table, "us") == ["id", "length [ft]"]
    assert [*cells(table, "us")] == [["W1", pytest.approx(1.0)], ["W2", None]]


def test_nine_digits():
    assert nine_digits(math.pi) == 3.14159265
    assert nine_digits(123456789012.0) == 123456789000.0
    assert math.copysign(1.0, nine_digits(-0.0)) == 1.0


def test_json_form_is_plain_strict_and_in_base_units():
    columns = (Column("id", "id"), LENGTH, Column("n", "number"))
    table = Table("cuts", "Cuts", columns, (("W1", math.pi, 12345678901), ("=1+1", math.nan, None)), ("a note",))
    plain = table_json(table)
    assert (
        json.loads(json.dumps(plain, allow_nan=False))
        == plain
        == {
            "name": "cuts",
            "title": "Cuts",
            "columns": [
                {"key": "id", "heading": "id", "unit": ""},
                {"key": "length", "heading": "length", "unit": "m"},
                {"key": "n", "heading": "number", "unit": ""},
            ],
            "rows": [{"id": "W1", "length": 3.14159265, "n": 12345678901}, {"id": "=1+1", "length": None, "n": None}],
            "notes": ["a note"],
        }
    )
