"""What is shrunk over ends, what lies around a run, what is left of a hole: chosen in the design, found in place."""

from __future__ import annotations

import pytest

import rigfeed
from rigfeed import Path, Remove, Set
from rigfeed.errors import DesignError, InputErrors, UnknownName
from rigfeed.parts.shelf import open_shelf
from rigfeed.registry import installed_registry
from rigfeed.resolve import resolve

CHOSEN = ("conductors.W1.sleeves", "conductors.W2.sleeves", "runs.sill.loom")
HAZEL = rigfeed.apply(rigfeed.load(rigfeed.example("hazel")), [Remove(Path.parse(path)) for path in CHOSEN])
ROAD = installed_registry().practices.get("road")
SHELF = open_shelf()


def installed(**values: object):
    edits = [Set(Path.parse(path.replace("__", ".")), value) for path, value in values.items()]
    return resolve(rigfeed.apply(HAZEL, edits), SHELF, ROAD)


def sleeves(*written: object, conductor: str = "W1"):
    laid = installed(**{f"conductors__{conductor}__sleeves": list(written)}).conductors[conductor]
    return [end.sleeve.short_key if end.sleeve else None for end in laid.ends]


def test_a_sleeve_sits_at_its_end_and_an_empty_text_means_none():
    assert sleeves("sleeve:lined-9", "") == ["sleeve:lined-9", None]
    assert sleeves("", "sleeve:lined-9") == [None, "sleeve:lined-9"]
    assert [end.sleeve for end in installed().conductors["W1"].ends] == [None, None]


def test_one_sleeve_serves_all_cores_of_an_end_or_each_has_its_own():
    own = ["sleeve:thin-9.5", ""]
    assert sleeves("sleeve:lined-9", own, conductor="W6") == [
        "sleeve:lined-9", "sleeve:thin-9.5", "sleeve:lined-9", None,
    ]
    with pytest.raises(DesignError, match=r"W1\.sleeves\.1: 2 sleeves for 1 core \("):
        sleeves("", own)


def test_an_unknown_cover_is_told_where_it_stands():
    with pytest.raises(UnknownName, match=r"conductors\.W1\.sleeves\.1: there is no sleeve 'lined-99'"):
        sleeves("", "sleeve:lined-99")
    with pytest.raises(UnknownName, match=r"runs\.bay\.loom: there is no loom 'split-10'"):
        installed(runs__bay__loom="loom:split-10")


def test_a_loom_lies_around_its_run():
    assert list(installed().looms) == []
    laid = installed(runs__bay__loom="loom:slit-10")
    assert {run: loom.short_key for run, loom in laid.looms.items()} == {"bay": "loom:slit-10"}


def test_what_is_stiff_has_the_bore_to_pass_and_the_fill_is_that_of_the_hole():
    hole = installed().passages["H1"]
    assert (hole.bore_mm, hole.clear_mm) == (None, pytest.approx(12))
    narrow = installed(passages__H1__bore="0.25 in").passages["H1"]
    assert narrow.bore_mm == narrow.clear_mm == pytest.approx(6.35)
    assert narrow.fill == hole.fill


def test_a_bore_is_no_wider_than_its_hole():
    assert installed(passages__H1__bore="12 mm").passages["H1"].bore_mm == pytest.approx(12)
    with pytest.raises((DesignError, InputErrors), match=r"passages\.H1\.bore: a bore of 12\.1 mm in a hole of 12 mm"):
        installed(passages__H1__bore="12.1 mm")


@pytest.mark.parametrize("node", ["start", "alt", "F1", "strap"])
def test_a_node_with_studs_tells_their_size_and_their_torque(node):
    settings = HAZEL.nodes[node].settings
    path = f"nodes__{node}__settings"
    placed = installed(**{path: {**settings, "stud": "8 mm", "torque": "9 N m"}}).nodes[node]
    assert placed.settings.stud.to("mm") == pytest.approx(8)
    assert placed.settings.torque.si == pytest.approx(9)


def test_a_place_in_a_sentence():
    zone = installed().zones["bay"]
    assert zone.within == "in engine bay"
    assert installed(zones__bay__title="under the bonnet").zones["bay"].within == "under the bonnet"
