"""Positions of a person: what is read, what is left alone, and the way there and back."""

from __future__ import annotations

import pytest

import rigfeed
from rigfeed.design.edit import Remove, Rename, Set, apply
from rigfeed.design.file import parse
from rigfeed.drawing.places import Box
from rigfeed.drawing.positions import as_written, positions
from rigfeed.path import Path

ROOM = Box(10.0, 20.0, 210.0, 120.0)


def hazel_with(table: str):
    return parse(rigfeed.example("hazel").read_text() + f"\n[drawing.points]\n{table}\n")


def test_positions_are_shares_of_the_room():
    found = positions(hazel_with("battery = [25, 50.0]"), "points")
    assert found.at("battery", ROOM) == (60.0, 70.0)
    assert found.at("seat", ROOM) is None


def test_what_is_written_is_read_as_the_same_place():
    x, y = as_written((60.04, 69.96), ROOM)
    at = positions(hazel_with(f"battery = [{x}, {y}]"), "points").at("battery", ROOM)
    assert at == pytest.approx((60.0, 70.0), abs=0.2)  # a tenth of a percent of 200 mm


@pytest.mark.parametrize(
    "value", ["[1]", "[1, 2, 3]", "[]", "12", '"left"', "[true, false]", '["1", "2"]', "[[1], 2]", "{ x = 1, y = 2 }"],
)
def test_what_is_no_position_is_left_alone_and_told(value):
    found = positions(hazel_with(f"battery = {value}\nseat = [10, 20]"), "points")
    assert found.unread == ("battery",)
    assert set(found.shares) == {"seat"}


def test_a_number_beyond_the_room_is_taken_as_its_edge():
    found = positions(hazel_with("battery = [-5, 1e300]"), "points")
    assert found.at("battery", ROOM) == (10.0, 120.0)
    assert as_written((-1e9, 1e9), ROOM) == [0.0, 100.0]


def test_names_that_the_design_does_not_have_are_left_out():
    found = positions(hazel_with("nowhere = [1, 2]"), "points")
    assert (found.shares, found.unread) == ({}, ())


def test_a_table_that_is_none_is_told():
    design = parse(rigfeed.example("hazel").read_text() + "\n[drawing]\npoints = 3\n")
    assert positions(design, "points").unread == ("points",)
    assert positions(design, "nodes").shares == {}


def test_a_position_goes_with_its_point():
    design = apply(hazel_with("seat = [30, 40]"), [Rename(Path("points", "seat"), "bench")])
    assert positions(design, "points").shares == {"bench": (0.3, 0.4)}
    bare = apply(design, [Set(Path("nodes", "vhf", "at"), "roof"), Remove(Path("points", "bench"))])
    assert positions(bare, "points").shares == {}
