"""The checker of geometry itself: it finds what is covered, and nothing else."""

from __future__ import annotations

import pytest
from tests.kit.drawing.geometry import covered, outside

from rigfeed.drawing.places import Box, Taken, line_boxes
from rigfeed.drawing.scene import Circle, Group, Item, Lettering, Line, Scene, Symbol
from rigfeed.path import Path

PAGE_MM = 100.0


def scene(*items: Item) -> Scene:
    return Scene("trial", "Trial", "", PAGE_MM, PAGE_MM, items)


def of(id_: str, *items: Item) -> Group:
    return Group(Path("nodes", id_), items)


TEXT = Lettering((40.0, 50.0), "W12", 5.0)  # from 40 to some 51 mm, its letters above the base line at 50
THROUGH = Line(((30.0, 48.0), (70.0, 48.0)))
SQUARE = ((38.0, 40.0), (60.0, 40.0), (60.0, 55.0), (38.0, 55.0))


@pytest.mark.parametrize("stranger", [
    THROUGH,
    Line(((35.0, 40.0), (50.0, 55.0))),  # aslant
    Line(((30.0, 51.6), (70.0, 51.6)), width_mm=1.2),  # touches by its thickness
    Line(SQUARE, closed=True, fill="paper"),  # would hide it
    Circle((45.0, 48.0), 1.0),
    Circle((45.0, 48.0), 20.0),  # around it
    Lettering((45.0, 51.0), "12 V", 2.5),
    Symbol("fuse", (45.0, 48.0)),
])
def test_what_a_text_covers_is_found(stranger):
    assert len(covered(scene(of("a", TEXT), of("b", stranger)))) > 0


@pytest.mark.parametrize("stranger", [
    Line(((30.0, 52.0), (70.0, 52.0)), width_mm=0.25),  # below it
    Line(((30.0, 30.0), (60.0, 44.0))),
    Line(SQUARE, closed=True, fill="area"),  # a ground to write on
    Line(SQUARE, closed=True),
    Circle((30.0, 48.0), 5.0),
    Lettering((52.0, 50.0), "12 V", 2.5),
    Symbol("fuse", (70.0, 48.0)),
])
def test_a_near_neighbour_is_none(stranger):
    assert covered(scene(of("a", TEXT), of("b", stranger))) == []


def test_a_text_may_lie_on_what_it_belongs_to():
    assert covered(scene(of("a", TEXT, THROUGH))) == []
    assert covered(scene(of("a", of("b", TEXT), THROUGH))) == []
    assert covered(scene(of("a", TEXT, of("b", THROUGH)))) == []
    assert len(covered(scene(of("a", of("b", TEXT), of("c", THROUGH))))) == 1


def test_what_is_in_no_group_belongs_to_nothing():
    assert len(covered(scene(TEXT, THROUGH))) == 1


def test_two_texts_never_belong_together():
    assert len(covered(scene(of("a", TEXT, Lettering((44.0, 51.0), "x", 5.0))))) == 1


@pytest.mark.parametrize("item", [
    Lettering((96.0, 50.0), "W12", 5.0), Lettering((50.0, 2.0), "W12", 5.0), Line(((50.0, 50.0), (50.0, 100.1))),
    Circle((99.0, 50.0), 1.0, width_mm=0.5), Symbol("fuse", (1.0, 50.0)),
])
def test_what_leaves_the_page_is_found(item):
    assert len(outside(scene(item))) > 0
    assert outside(scene(TEXT, THROUGH)) == []


def test_turned_texts_take_their_room_upright():
    upright = Lettering((48.0, 60.0), "W12", 5.0, turn=270)  # upwards from 60 to some 49 mm
    crossing = Line(((30.0, 52.0), (70.0, 52.0)))
    assert len(covered(scene(of("a", upright), of("b", crossing)))) == 1
    assert covered(scene(of("a", upright), of("b", Line(((55.0, 40.0), (55.0, 70.0)))))) == []


# what is taken of a page


def test_what_is_taken_is_not_free():
    taken = Taken(Box(0.0, 0.0, PAGE_MM, PAGE_MM))
    taken.take(Box(10.0, 10.0, 40.0, 40.0))
    assert not taken.is_free(Box(39.0, 39.0, 60.0, 60.0))
    assert not taken.is_free(Box(20.0, 20.0, 21.0, 21.0))
    assert taken.is_free(Box(40.0, 10.0, 60.0, 40.0))  # side by side
    assert not taken.is_free(Box(90.0, 90.0, 101.0, 95.0))


def test_boxes_along_a_line_cover_it_and_little_more():
    level, aslant = (list(line_boxes(points, 1.0)) for points in (
        ((10.0, 10.0), (50.0, 10.0)), ((10.0, 10.0), (50.0, 40.0)),
    ))
    assert level == [Box(9.5, 9.5, 50.5, 10.5)]
    area_mm2 = sum(box.width * box.height for box in aslant)
    assert area_mm2 < 0.2 * 40.0 * 30.0
    for share in range(11):
        at = Box(10.0 + 4.0 * share, 10.0 + 3.0 * share, 10.0 + 4.0 * share, 10.0 + 3.0 * share)
        assert any(box.holds(at) for box in aslant)
