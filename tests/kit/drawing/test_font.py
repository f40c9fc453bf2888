"""The widths of letters, held against the font itself; cutting and wrapping."""

from __future__ import annotations

import os
import subprocess

import pytest
from fontTools.ttLib import TTFont
from hypothesis import given
from hypothesis import strategies as st

from rigfeed.drawing.font import ASCENT, CAPITAL, CUT, DESCENT, cut, is_known, plain, width_mm, wrap
from rigfeed.drawing.letterwidths import BOLD, REGULAR, UNITS

TEXTS = st.text(st.characters(min_codepoint=0x20, max_codepoint=0x17F, exclude_categories=["Cc", "Cf"]), max_size=60)


@pytest.fixture(params=["Regular", "Bold"])
def font(request, tool):
    """The font as installed, and its table here. Missing: as for a program that is missing."""
    wanted = f"Liberation Sans:style={request.param}"
    command = [tool("fc-match"), "-f", "%{file}", wanted]
    path = subprocess.run(command, capture_output=True, text=True, check=True).stdout
    if "Liberation" not in path:
        reason = "Liberation Sans is missing; Debian package fonts-liberation"
        if os.environ.get("CI") == "true":
            pytest.fail(reason)
        pytest.skip(reason)
    with TTFont(path) as opened:
        yield opened, REGULAR if request.param == "Regular" else BOLD


def test_every_width_is_that_of_the_font(font):
    opened, table = font
    glyphs, widths = opened.getBestCmap(), opened["hmtx"]
    found = {letter: units for units, letters in table.items() for letter in letters}
    assert len(found) > 400
    assert found == {letter: widths[glyphs[ord(letter)]][0] for letter in found}


def test_heights_are_those_of_the_font(font):
    opened, _ = font
    assert opened["head"].unitsPerEm == UNITS
    assert pytest.approx(opened["hhea"].ascent / UNITS, abs=1e-3) == ASCENT
    assert pytest.approx(-opened["hhea"].descent / UNITS, abs=1e-3) == DESCENT
    assert pytest.approx(opened["OS/2"].sCapHeight / UNITS, abs=1e-3) == CAPITAL


def test_all_letters_that_drawings_use_are_known():
    assert is_known("The quick 0123456789 µ ² ° Ω → ← − × … + - , . : ; ' \" & < > ÄÖÜäöüß éèçñøåł")


@given(TEXTS, st.floats(2.0, 60.0))
def test_what_is_cut_fits(text, room_mm):
    shown = cut(text, room_mm, 2.5)
    assert width_mm(shown, 2.5) <= max(room_mm, width_mm(CUT, 2.5)) + 1e-9
    assert shown == text or text.startswith(shown.removesuffix(CUT))


@given(TEXTS, st.floats(5.0, 60.0), st.integers(1, 5))
def test_what_is_wrapped_fits_and_nothing_is_lost(text, room_mm, most):
    lines = wrap(text, room_mm, 2.5, most=most)
    assert len(lines) <= most
    assert all(width_mm(line, 2.5) <= room_mm + 1e-9 for line in lines)
    whole = "".join("".join(wrap(text, room_mm, 2.5)).split())
    assert whole == "".join(text.split())


def test_a_number_keeps_its_unit():
    assert wrap("blade fuse C 10 A", 17.0, 2.5) == ("blade fuse C", "10\xa0A")


@pytest.mark.parametrize(("given", "shown"), [
    ("a\tb\nc", "a b c"), ("x\x00y", "x␀y"), ("a\u202eb\u202c", "ab"), ("  ", ""), ("\u200b", ""),
    ("a" * 9000, "a" * 1000),
])
def test_plain(given, shown):
    assert plain(given) == shown
