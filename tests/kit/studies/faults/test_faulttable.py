"""The fault table of the demonstration pickup: what ends a short on each cable, and what does not."""

from __future__ import annotations

import pytest

import rigfeed
from rigfeed import Path, Set, apply


def rows_of(design):
    table = rigfeed.assess(design, only=[]).paper("fault-table")
    keys = [column.key for column in table.columns]
    return [dict(zip(keys, row, strict=True)) for row in table.rows]


@pytest.fixture(scope="module")
def larch():
    return rigfeed.load(rigfeed.example("larch"))


def test_a_fed_cable_names_its_fuse_its_time_and_its_margin(larch):
    row = next(row for row in rows_of(larch) if row["id"] == "W2")
    assert (row["from"], row["by"], row["left"]) == ("F1.b", "F1", "nothing")
    assert 0.0 < row["time"] < 5.0
    assert 0.0 < row["through"] < row["bears"]


def test_a_link_has_a_row_for_each_side(larch):
    sides = [(row["from"], row["by"]) for row in rows_of(larch) if row["id"] == "W4"]
    assert sides == [("dcdc.out-pos", "nothing"), ("F2.a", "F2")]


def test_what_a_limited_source_goes_on_feeding_is_said(larch):
    row = next(row for row in rows_of(larch) if row["id"] == "W4")
    assert row["left"] == "no more than 20 A, which the cable carries for hours"
    assert row["time"] is None


def test_a_return_stands_with_the_worst_short_for_it(larch):
    row = next(row for row in rows_of(larch) if row["id"] == "W9")
    assert (row["from"], row["by"], row["place"]) == ("as a return", "F3", "hf.pos to hf.neg")


def test_without_its_far_fuse_the_link_stays_fed_and_the_time_to_its_limit_is_said(larch):
    bare = apply(larch, [Set(Path("conductors", "W4", "to"), "aux.pos")])
    row = next(row for row in rows_of(bare) if row["id"] == "W4" and row["from"] == "aux.pos")
    assert row["by"] == "nothing"
    assert row["left"].startswith("still fed by aux and dcdc, past its limit after 0.")
    assert row["through"] is None


def test_every_added_core_but_feeders_has_a_row(larch):
    ids = {row["id"] for row in rows_of(larch)}
    assert ids == {f"W{number}" for number in range(1, 15)}
