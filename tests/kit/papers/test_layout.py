"""Widths, lines, heights and decimals."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rigfeed.papers.layout import (
    FREE_PT,
    LEAST_TEXT,
    MOST_HEIGHT_PT,
    company,
    grid,
    line_count,
    number_formats,
    row_height_pt,
    shown_number,
    text_width,
    untorn,
)
from rigfeed.papers.table import Column, Table


def table(*columns: Column, rows: tuple = ()) -> Table:
    return Table("t", "T", columns, rows)


@pytest.mark.parametrize(
    ("values", "expected"),
    [
        ([1.2, 12.35, 0.05], ["0.00"] * 3),
        ([11.892], ["0.0"]),
        ([1306.0, 15.0], ["0", "0"]),
        ([3, 4], ["0", "0"]),
        ([30, 7.5], ["0.0", "0.0"]),
        ([0.0, -0.0], ["0", "0"]),
        ([None, "x", 1.25], ["", "", "0.00"]),
        ([0.00125, 1250.0], ["0.00000", "0"]),
        ([2.5e-6, 2.5], ["0.00E+00", "0.0"]),
        ([3.1e10, 1.0], ["0.00E+00", "0"]),
    ],
)
def test_number_formats(values, expected):
    assert number_formats(values) == expected


@given(st.lists(st.floats(allow_nan=False, allow_infinity=False, width=32), min_size=1, max_size=6))
def test_every_number_is_shown_with_three_significant_digits_or_all_it_has(values):
    for value, number_format in zip(values, number_formats(values), strict=True):
        assert float(shown_number(value, number_format)) == pytest.approx(value, rel=0.0051)


def test_a_word_is_counted_in_lines():
    assert line_count("", 10) == 1
    assert line_count("one", 10) == 1
    assert line_count("one\r\ntwo\n\nfour", 20) == 4
    assert line_count("word " * 10, 12) == 5
    assert line_count("x" * 100, 11) >= 10


@given(st.text(max_size=60), st.floats(3, 60), st.floats(0, 30))
def test_a_wider_column_never_needs_more_lines(text, width, more):
    assert line_count(text, width + more) <= line_count(text, width)


def test_bold_is_wider_than_plain_and_wide_scripts_are_wider_than_latin_ones():
    assert text_width("abc", bold=True) > text_width("abc")
    assert text_width("銅線") > text_width("ab")
    assert text_width("e\u0301") == text_width("e")


def test_heights_grow_with_lines_up_to_the_limit():
    assert row_height_pt([]) == row_height_pt([1]) < row_height_pt([1, 2]) < row_height_pt([2], tall=True)
    assert row_height_pt([1000]) == MOST_HEIGHT_PT


def test_columns_grow_for_headings_numbers_and_words_but_not_for_ever():
    narrow = [
        Column("a", "temperature", width=2),
        Column("b", "b", width=2),
        Column("c", "c", width=2),
        Column("d", "d", width=30),
    ]
    widths = grid(table(*narrow, rows=((1, 123456.0, "unbreakable-word", "x" * 300),)), "metric", "A4").widths
    assert widths[0] > text_width("temperature", bold=True)
    assert widths[1] > len("123456")
    assert widths[2] > text_width("unbreakable-word")
    assert widths[3] == 30


@pytest.mark.parametrize("columns", [1, 3, 5])
def test_a_narrow_table_leaves_room_for_its_notes(columns):
    measures = grid(table(*(Column(f"c{n}", "c", width=6) for n in range(columns))), "metric", "A4")
    assert measures.text_width >= LEAST_TEXT
    assert measures.widths[:columns] == (6.0,) * columns


def test_a_page_lies_on_its_side_when_the_table_is_wide():
    wide, slim = (table(Column("a", "a", width=width)) for width in (100, 80))
    assert grid(wide, "metric", "A4").landscape
    assert not grid(slim, "metric", "A4").landscape


def test_a_column_of_numbers_stands_right_and_an_empty_one_as_it_says():
    columns = (Column("a", "a"), Column("b", "b"), Column("c", "c", align="right"), Column("d", "d"))
    measures = grid(table(*columns, rows=((1.0, "x", "y", None), (None, 2.0, "z", None))), "metric", "A4")
    assert measures.right == (True, False, True, False)


def test_layout_is_finite_for_extreme_numbers():
    measures = grid(table(Column("a", "a", "m"), rows=((1e300,), (5e-324,), (10**300,), (-1e15,))), "us", "Letter")
    assert all(math.isfinite(width) and width < 60 for width in measures.widths)


@pytest.mark.parametrize(
    ("rows", "begins"),
    [(8, None), (9, 6), (10, 7), (11, None), (17, 14), (18, 15), (19, None), (2, None)],
)
def test_the_last_rows_keep_each_other_company(rows, begins):
    """Eight rows to the first page, eight to each that follows."""
    assert company([10.0] * rows, 85.0, 89.0) == begins


def test_a_row_higher_than_a_page_does_not_keep_anybody_waiting():
    assert company([500.0, 10.0], 85.0, 89.0) is None


@pytest.mark.parametrize("rows", range(1, 40))
def test_a_block_is_torn_only_if_it_is_higher_than_a_page(rows):
    heights = [20.0] * rows + [15.0] + [18.0] * 4 + [15.0] + [16.0] * 3
    blocks = [(rows + 1, rows + 5), (rows + 6, rows + 9)]
    begins = untorn(heights, blocks, 170.0, 150.0)
    assert set(begins) <= {first for first, _ in blocks}
    page, room, pages = 0, 170.0, []
    for number, height in enumerate(heights):
        if number in begins or height > room:
            page, room = page + 1, 150.0
        room -= height
        pages.append(page)
    for first, end in blocks:
        assert len(set(pages[first:end])) == 1
        if first in begins:  # it would have been torn, or nearly
            assert sum(h for h, p in zip(heights, pages, strict=True) if p == pages[first - 1]) > 60.0 - FREE_PT


def test_a_block_that_is_higher_than_a_page_stays_where_it_is():
    assert untorn([20.0] * 30, [(5, 30)], 200.0, 200.0) == []


def test_a_page_that_begins_anyway_gives_room():
    assert untorn([20.0] * 12, [(8, 12)], 200.0, 200.0) == [8]
    assert untorn([20.0] * 12, [(8, 12)], 200.0, 200.0, [6]) == []
