"""Names in the order of people, and the way round the vehicle."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

import rigfeed
from rigfeed.assess import assess
from rigfeed.design.file import parse
from rigfeed.papers.places import natural, subject_title, walk
from rigfeed.path import Path


def points(text: str) -> tuple[str, ...]:
    return walk(assess(parse(f"format = 1\n{text}")).installation)


STAR = """
[points]
hub = {}
near = {}
far = {}
beyond = {}
alone = {}
[runs]
a = { from = "far", to = "hub", length = "3 m" }
b = { from = "hub", to = "near", length = "1 m" }
c = { from = "beyond", to = "far", length = "0.1 m" }
[nodes]
start = { part = "battery:flooded-45", at = "hub" }
"""


def test_one_branch_after_the_other_the_nearer_first():
    assert points(STAR) == ("hub", "near", "far", "beyond", "alone")


def test_the_walk_begins_at_the_battery_of_the_vehicle(assessed):
    assert walk(assessed("hazel").installation) == ("battery", "firewall", "seat", "roof")
    # the auxiliary battery comes first by name, and stands at the other end
    assert walk(assessed("larch").installation)[:3] == ("battery", "firewall", "rear")


def test_a_ring_and_a_design_without_a_battery_are_walked_too():
    ring = """
    [points]
    p1 = {}
    p2 = {}
    p10 = {}
    [runs]
    a = { from = "p1", to = "p2", length = "1 m" }
    b = { from = "p2", to = "p10", length = "1 m" }
    c = { from = "p10", to = "p1" }
    """
    assert points(ring) == ("p1", "p10", "p2")  # a run without a length is no way at all
    assert points("") == ()


def test_every_point_once_whatever_the_order_in_the_file(assessed):
    design = rigfeed.load(rigfeed.example("larch"))
    assert sorted(walk(assessed("larch").installation)) == sorted(design.points)


@given(st.lists(st.from_regex(r"[A-Za-z][A-Za-z0-9_-]{0,8}", fullmatch=True)))
def test_natural_order_is_one(names):
    one, other = (sorted(order, key=natural) for order in (names, names[::-1]))
    assert [*map(natural, one)] == [*map(natural, other)]
    assert sorted([*(f"W{number}" for number in range(12, 0, -1)), "F1"], key=natural)[:3] == ["F1", "W1", "W2"]


@pytest.mark.parametrize(
    ("path", "expected"),
    [
        (Path("nodes", "vhf"), "vhf"),
        (Path("conductors", "W1", "from_facts"), "W1, end from"),
        (Path("conductors", "W1", "ends", 1), "W1, end to"),
        (Path("runs", "sill"), "run sill"),
        (Path("zones", "bay", "warmest"), "zone bay: warmest"),
        (Path("vehicle"), "vehicle"),
        (Path("deviations", 0), "deviations 0"),
        (Path(), ""),
    ],
)
def test_subjects_are_called_what_they_are_called_on_the_vehicle(path, expected):
    assert subject_title(path) == expected
