"""Words that fit: an ellipsis where something is cut off, and no line end between a number and its unit."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rigfeed_gui.logic.cutting import BOUND, ELLIPSIS, bound, cut, loose

WIDE = {ELLIPSIS: 9, "i": 3, "W": 13, " ": 4, "e": 8}


@given(st.text("iWe "), st.integers(9, 200))
def test_what_is_shown_fits_and_is_the_beginning_of_the_words(words, room):
    shown = cut(words, room, WIDE)
    assert sum(map(WIDE.__getitem__, shown)) <= room
    if shown != words:
        kept = shown.removesuffix(ELLIPSIS)
        assert shown.endswith(ELLIPSIS)
        assert words.startswith(kept)
        assert sum(map(WIDE.__getitem__, words)) > room
        longer = words[: len(kept) + 1]
        rest = words[len(kept) :].lstrip()
        blank = words[len(kept)] == " "
        assert blank or not rest or sum(map(WIDE.__getitem__, longer)) + WIDE[ELLIPSIS] > room, "more would fit"


@pytest.mark.parametrize(("text", "said"), [
    ("fills 42.4 % of it", "fills 42.4_% of it"), ("a 6 AWG wire", "a 6_AWG wire"), ("9 N m at most", "9_N_m at most"),
    ("of 85 degC.", "of 85_degC."), ("12/4 mm, 2.5 mm2", "12/4_mm, 2.5_mm2"), ("F4 and 3 more", "F4 and 3 more"),
    ("0.4 ohm/km", "0.4_ohm/km"), ("", ""), ("W2 Vehicle", "W2 Vehicle"),
])
def test_a_number_and_its_unit_stay_together(text, said):
    assert bound(text).replace(BOUND, "_") == said


@given(st.text("0123456789. AVmd%ohkN"))
def test_nothing_of_a_text_is_lost(text):
    assert loose(bound(text)) == text
