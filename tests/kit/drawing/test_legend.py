"""The legend says whole sentences; the page is the first on which what is drawn can be read with ease."""

from __future__ import annotations

from itertools import combinations, pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.kit.drawing.geometry import least_size_mm, texts_of

import rigfeed
from rigfeed.drawing.font import CUT, width_mm
from rigfeed.drawing.frame import EASY_TEXT_MM
from rigfeed.drawing.legend import TEXT_MM, least_height_mm, whole_sentences
from rigfeed.examples import examples

WORDS = st.lists(st.text("abcdefgh ", min_size=1, max_size=30), min_size=1, max_size=6)


@pytest.mark.parametrize("kind", ["circuit", "routes"])
@pytest.mark.parametrize("name", examples())
def test_a_demonstration_is_told_without_a_cut_on_a_page_on_which_it_is_read_with_ease(name, kind):
    scene = rigfeed.assess_file(rigfeed.example(name)).drawing(kind)
    assert [text.text for text in texts_of(scene) if CUT in text.text] == []
    assert least_size_mm(scene) >= EASY_TEXT_MM


@given(WORDS, st.floats(20.0, 90.0), st.integers(1, 6))
def test_what_is_told_fits_and_ends_with_a_sentence_where_one_fits(words, room_mm, most):
    sentences = [f"A{' '.join(word.split())}." for word in words]
    lines = whole_sentences(" ".join(sentences), room_mm, most)
    assert 1 <= len(lines) <= most
    assert all(width_mm(line, TEXT_MM) <= room_mm + 1e-9 for line in lines)
    told = "".join("".join(lines).split())
    wholes = ["".join(" ".join(sentences[:count]).split()) for count in range(1, len(sentences) + 1)]
    if told not in wholes:
        assert told.endswith(CUT)
        assert wholes[0].startswith(told.removesuffix(CUT))


def test_what_does_not_fit_is_left_out_sentence_by_sentence():
    text = "It opens late. It may burn. Nobody knows."
    assert whole_sentences(text, 200.0, 1) == (text,)
    assert whole_sentences(text, 32.0, 1) == ("It opens late. It may burn.",)
    assert whole_sentences(text, 20.0, 1) == ("It opens late.",)
    assert whole_sentences(text, 10.0, 1)[0].endswith(CUT)


@given(st.lists(st.integers(1, 9), min_size=1, max_size=9), st.integers(1, 5))
def test_columns_are_no_higher_than_need_be(heights, columns):
    """Held against every way to part them."""
    ways = [
        max(sum(heights[first:end]) for first, end in pairwise([0, *cuts, len(heights)]))
        for number in range(min(columns, len(heights)))
        for cuts in combinations(range(1, len(heights)), number)
    ]
    assert least_height_mm([float(high) for high in heights], columns) == min(ways)
