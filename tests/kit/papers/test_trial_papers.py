"""The papers of what-if, return question and comparison, as a person gets them."""

from __future__ import annotations

import subprocess

import pytest

import rigfeed
from rigfeed import Path, Set, apply
from rigfeed.cautions import CAUTIONS
from rigfeed.papers.comparison import comparison_table
from rigfeed.papers.xlsx import workbook_bytes
from rigfeed.trials.compare import compare


def design(name: str, **changes: object):
    edits = [Set(Path.parse(path.replace("__", ".")), value) for path, value in changes.items()]
    return apply(rigfeed.load(rigfeed.example(name)), edits)


@pytest.mark.parametrize("name", ["hazel", "larch", "alder", "wren", "tern", "juniper"])
def test_the_return_question_fits_one_page(name, office, tool, tmp_path):
    table = rigfeed.assess(design(name), only=[]).paper("return-question")
    book = tmp_path / f"{name}.xlsx"
    book.write_bytes(workbook_bytes([table], job=name, cautions=CAUTIONS))
    (pdf,) = office(book, "pdf").glob("*.pdf")
    command = [tool("pdftotext"), "-layout", str(pdf), "-"]
    text = subprocess.run(command, capture_output=True, text=True, check=True).stdout
    pages = text.rstrip("\f\n").split("\f")
    assert len(pages) == 1
    said = " ".join(pages[0].split())
    for authority in ("FCS 1362:2010 4.6.4", "Caltrans vehicle equipment guide", "33 CFR 183.455(a)"):
        assert authority in said
    assert "advised" in said


def rows(assessment, sort: str):
    return [row for row in assessment.paper("what-if").rows if row[0] == sort]


def test_a_plug_the_wrong_way_round_says_which_fuse_opens():
    (row,) = rows(rigfeed.assess(design("hazel"), only=[]), "plug")
    _, question, stops, _, wire, amps, carries, opens, time_s, says = row
    assert "swapped" in question
    assert (stops, opens) == ("vhf", "F1")
    assert amps > carries
    assert time_s < 0.1
    assert wire in says


def test_a_set_between_the_batteries_sees_reverse_volts():
    tapped = design("alder", conductors__W6__from="b1.pos", conductors__W8__to="strap.stud")
    ((*_, says),) = rows(rigfeed.assess(tapped, only=[]), "switch")
    assert "vhf sees" in says
    assert "the wrong way round" in says


def test_every_device_is_out_in_turn():
    assessment = rigfeed.assess(design("alder"), only=[])
    said = " ".join(str(row[1]) for row in rows(assessment, "out"))
    ends = {end.node for c in assessment.installation.conductors.values() for end in c.ends}
    assert all(device in said for device in ends)


def test_a_comparison_names_each_difference_once():
    comparison = compare(design("hazel"), design("hazel", conductors__W3__to="start.neg"))
    table = comparison_table(comparison)
    sorts = [row[0] for row in table.rows]
    assert sorts.count("written") == 1
    assert ("written", "conductors.W3.to", "stud.stud", "start.neg") in table.rows
    assert any(row[0] == "new finding" and "sensor-bypassed at conductors.W3" in str(row[1]) for row in table.rows)
    assert "finding gone" not in sorts


def test_what_burns_stands_before_what_nobody_notices():
    """Hazel with its negative on the post, unfused: the open strap burns it, and that is told first."""
    table = rigfeed.assess(design("hazel", conductors__W3__to="start.neg"), only=[]).paper("what-if")
    first, *_ = table.rows
    assert first[0] == "strap"
    assert "nothing opens: it overheats" in str(first[-1])
    sorts = [row[0] for row in table.rows]
    assert sorts == sorted(sorts, key=sorts.index)  # each sort together


def test_devices_without_which_the_same_stops_share_a_row():
    found = rows(rigfeed.assess(design("alder"), only=[]), "out")
    assert [row[2] for row in found] == ["tablet, vhf", "vhf", "tablet", "nothing"]
    assert "F2 (VHF set), vhf" in str(found[1][1])


def test_a_few_joints_stand_for_all():
    found = rows(rigfeed.assess(design("hazel"), only=[]), "joint")
    assert len(found) == 5
    assert "any other joint" in str(found[-1][1])
