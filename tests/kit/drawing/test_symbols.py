"""The library of symbols: on the grid, turned, and all of it in use."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import rigfeed.drawing
from rigfeed.drawing.boxes import item_box, symbol_box, turned
from rigfeed.drawing.places import Box
from rigfeed.drawing.scene import Circle, Lettering, Line, Symbol
from rigfeed.drawing.symbols import SYMBOLS, ends, strokes

TURNS = (0, 90, 180, 270)


@pytest.mark.parametrize("name", SYMBOLS)
def test_a_symbol_is_drawn_and_said_what_it_is(name):
    assert SYMBOLS[name].meaning
    assert strokes(Symbol(name, (0.0, 0.0)))
    assert SYMBOLS[name].box.width < 12
    assert SYMBOLS[name].box.height < 12


@pytest.mark.parametrize("turn", TURNS)
@pytest.mark.parametrize("name", SYMBOLS)
def test_turned_and_scaled_it_is_the_same_symbol_elsewhere(name, turn):
    drawn = strokes(Symbol(name, (100.0, 50.0), turn, scale=0.5))
    for stroke, original in zip(drawn, SYMBOLS[name].strokes, strict=True):
        assert type(stroke) is type(original)
        if isinstance(stroke, Line):
            there = [turned((x * 0.5, y * 0.5), turn) for x, y in original.points]
            expected = [(100.0 + x, 50.0 + y) for x, y in there]
            assert all(a == pytest.approx(b) for a, b in zip(stroke.points, expected, strict=True))
            assert stroke.width_mm == pytest.approx(original.width_mm * 0.5)
        elif isinstance(stroke, Circle):
            assert stroke.radius_mm == pytest.approx(original.radius_mm * 0.5)
        else:
            assert isinstance(stroke, Lettering)
            assert stroke.turn == 0
    for end, original in zip(ends(Symbol(name, (100.0, 50.0), turn)), SYMBOLS[name].ends, strict=True):
        x, y = turned(original, turn)
        assert end == pytest.approx((100.0 + x, 50.0 + y))


def test_letters_stay_in_the_middle_of_what_is_turned():
    for turn in TURNS:
        symbol = Symbol("generator", (0.0, 0.0), turn)
        circle = next(item_box(stroke) for stroke in strokes(symbol) if isinstance(stroke, Circle))
        letter = next(item_box(stroke) for stroke in strokes(symbol) if isinstance(stroke, Lettering))
        assert circle.holds(letter.grown(-0.4))


def test_two_poles_lie_on_one_line():
    for shape in SYMBOLS.values():
        if len(shape.ends) == 2:
            (left, y), (right, other) = shape.ends
            assert (y, other) == (0.0, 0.0)
            assert left == -right


def test_the_box_of_a_symbol_holds_its_strokes():
    assert symbol_box(Symbol("fuse", (10.0, 20.0), 90)) == Box(8.75, 15.0, 11.25, 25.0)


def test_every_symbol_of_the_library_is_drawn_somewhere():
    folder = Path(rigfeed.drawing.__file__).parent
    sources = "".join(file.read_text() for file in folder.glob("*.py") if file.name != "symbols.py")
    used = {name for name in SYMBOLS if re.search(f'"{name}"', sources)}
    assert set(SYMBOLS) == used
