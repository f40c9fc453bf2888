"""The paper of fuse ratings: what fits first, then each bound with its reason."""

from __future__ import annotations

import rigfeed
from rigfeed import Path, Set, apply


def test_what_fits_stands_first_and_each_bound_says_why(assessed, rows):
    found = [row for row in rows(assessed("alder").paper("fuse-window")) if row["id"] == "F1"]
    assert (found[0]["rating"], found[0]["reason"]) == (20.0, "20 A or 25 A")
    sides = [row["side"] for row in found]
    assert sides == ["what fits", "at least", "at least", "better from", "at most", "at most"]
    first = {side: next(row for row in found if row["side"] == side) for side in sides}
    assert first["at most"]["about"] == "W1"
    assert "for hours in chassis" in first["at most"]["reason"]
    assert first["at most"]["authority"].startswith("fire-apparatus")
    amps = [row["amps"] for row in found if row["side"] == "at most"]
    assert amps == sorted(amps)


def test_where_nothing_fits_both_ends_are_named(assessed, rows):
    thinner = Set(Path("conductors", "W2", "cable"), "cable:thinwall-2.5")
    design = apply(assessed("alder").installation.design, [thinner])
    row = rows(rigfeed.assess(design, only=[]).paper("fuse-window"))[0]
    assert row["reason"].startswith("nothing: at least 20.")
    assert row["reason"].endswith("(F1), and at most 19.8 A (W2)")
