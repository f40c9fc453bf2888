"""One kit in many vehicles: what is merged adds up, and what is found stands in the vehicle that has it."""

from __future__ import annotations

import io
import itertools
import json
from collections import Counter

import openpyxl
import pytest

import rigfeed
from rigfeed import Add, Path, Remove, Rename, Set
from rigfeed.design.edit import apply
from rigfeed.errors import Cancelled, DesignError, InputErrors, UnknownName
from rigfeed.parts.shelf import open_shelf
from rigfeed.trials.batch import Batch, assess_batch, variants
from rigfeed.trials.batch_json import batch_json
from rigfeed.trials.batch_papers import (
    batch_papers,
    batch_workbook,
    findings_list,
    merged_bill,
    merged_cut_list,
    not_checked_list,
    vehicle_list,
)

LONGER = Set(Path("runs", "cabin", "length"), "4.6 m")
SMALLER_HOLE = Set(Path("passages", "H1", "diameter"), "18 mm")
THINNER = Set(Path("conductors", "W2", "cable"), "cable:thinwall-10")
VANS = 40
CHANGES = {
    **{f"van {number}": [] for number in range(1, VANS + 1)},
    "van 7": [LONGER],
    "van 12": [SMALLER_HOLE],
    "van 21": [THINNER],
    "van 30": [LONGER, SMALLER_HOLE],
}


@pytest.fixture(scope="module")
def larch():
    return rigfeed.load(rigfeed.example("larch"))


@pytest.fixture(scope="module")
def fleet(larch) -> Batch:
    return assess_batch(variants(larch, CHANGES), shelf=open_shelf())


def column(table, key):
    place = [column.key for column in table.columns].index(key)
    return [row[place] for row in table.rows]


def test_each_vehicle_is_assessed_as_it_would_be_alone(larch, fleet):
    assert list(fleet.assessments) == list(CHANGES)
    for name in ("van 1", "van 7", "van 12", "van 30"):
        alone = rigfeed.assess(apply(larch, CHANGES[name]))
        assert [f.text() for f in fleet.assessments[name].findings] == [f.text() for f in alone.findings]


def test_the_matrix_holds_every_finding_once_and_in_its_vehicle(fleet):
    in_lines = Counter((name, f) for line in fleet.lines for name, f in line.findings.items())
    alone = Counter((name, f) for name, a in fleet.assessments.items() for f in a.findings)
    assert in_lines == alone
    overfull = [line for line in fleet.lines if (line.check, line.subject) == ("hole-overfull", ("passages", "H1"))]
    assert len(overfull) == 1
    assert len(overfull[0].findings) == VANS - 1  # a little in all but that with the thin cable, a lot in two
    assert overfull[0].worst in (overfull[0].findings["van 12"], overfull[0].findings["van 30"])
    thin = next(line for line in fleet.lines if line.check == "fuse-above-ampacity")  # 10 mm2 behind 40 A, in the bay
    assert list(thin.findings) == ["van 21"]


def test_counts_are_those_of_all_vehicles(fleet):
    assert fleet.count("error") == sum(a.count("error") for a in fleet.assessments.values()) > VANS
    table = vehicle_list(fleet)
    assert sum(column(table, "error")) == fleet.count("error")
    assert column(table, "vehicle") == list(CHANGES)


def test_the_cut_list_has_each_different_piece_once(fleet):
    table = merged_cut_list(fleet)
    found = {(row[0], row[5]): row[-2:] for row in table.rows if "10 mm2" not in row[1]}
    # by hand: 1.2 m of bay and 4.0 m (or 4.6 m) of cabin, with the slack of the practice
    ordinary, longer = sorted(length for id_, length in found if id_ == "W2")
    assert longer == pytest.approx(ordinary + 0.6)
    assert found["W2", ordinary] == (VANS - 3, "all but van 7, van 21, van 30")
    assert found["W2", longer] == (2, "van 7, van 30")
    assert found["W8", 1.35] == (VANS, "all 40")
    single = fleet.assessments["van 1"].paper("cut-list")
    assert sum(column(table, "pieces")) == VANS * len(single.rows)
    assert f"{VANS * len(single.rows)} pieces in all, for 40 vehicles." in table.notes
    cables = column(table, "cable")
    assert sum(a != b for a, b in itertools.pairwise(cables)) + 1 == len(set(cables))  # one spool at a time


def test_metres_of_the_bill_are_those_of_the_cut_list(fleet):
    cuts = merged_cut_list(fleet)
    metres: Counter[str] = Counter()
    for cable, cut, pieces in zip(column(cuts, "cable"), column(cuts, "cut"), column(cuts, "pieces"), strict=True):
        metres[cable] += cut * pieces
    bill = merged_bill(fleet)
    bought = {
        title: length
        for sort, title, length in zip(column(bill, "sort"), column(bill, "title"), column(bill, "length"), strict=True)
        if sort == "cable"
    }
    assert bought == pytest.approx(dict(metres))


def test_pieces_of_the_bill_are_those_of_all_bills(fleet):
    each: Counter[str] = Counter()
    for assessment in fleet.assessments.values():
        bill = assessment.paper("bill-of-materials")
        each.update(
            {part: n for part, n in zip(column(bill, "part"), column(bill, "pieces"), strict=True) if n is not None}
        )
    merged = merged_bill(fleet)
    pieces = zip(column(merged, "part"), column(merged, "pieces"), strict=True)
    assert {part: n for part, n in pieces if n is not None} == each
    assert each["radio:hf-100"] == VANS


def test_a_note_of_some_vehicles_names_them(larch):
    unfitted = Remove(Path("conductors", "W1", "ends"))
    batch = assess_batch(variants(larch, {"old": [], "new": [unfitted], "third": [], "fourth": []}))
    notes = merged_bill(batch).notes
    assert "new: Not chosen yet, and not counted: fittings of 2 ends." in notes
    assert any(note.startswith("Lengths are those of the cut list") for note in notes)


def test_an_accepted_finding_stays_in_the_matrix_and_is_no_longer_open(larch):
    accept = Add(
        Path("deviations", 0), {"check": "hole-overfull", "subject": "passages.H1", "reason": "as built", "by": "shop"}
    )
    batch = assess_batch(variants(larch, {"a": [accept], "b": [], "c": []}))
    line = next(line for line in batch.lines if line.check == "hole-overfull")
    assert list(line.findings) == ["a", "b", "c"]
    assert line.open == ("b", "c")
    table = findings_list(batch)
    row = next(row for row in table.rows if row[1] == "hole-overfull")
    assert row[-3:] == (3, "all 3", "a")


def test_what_was_not_checked_is_told_once_with_its_vehicles(fleet):
    told = {(item.check, item.subject, item.why) for item, _ in fleet.not_checked}
    every = {(i.check, i.subject, i.why) for a in fleet.assessments.values() for i in a.not_checked}
    assert told == every
    assert len(not_checked_list(fleet).rows) == len(fleet.not_checked) == len(told)
    assert all(names == tuple(CHANGES) for _, names in fleet.assumptions)


def test_json_is_the_same_matrix(fleet):
    data = json.loads(json.dumps(batch_json(fleet), allow_nan=False))
    assert list(data["vehicles"]) == list(CHANGES)
    assert sum(vehicle["counts"]["error"] for vehicle in data["vehicles"].values()) == data["counts"]["error"]
    cells = {(line["check"], line["subject"], name) for line in data["findings"] for name in line["in"]}
    assert cells == {(f.check, str(f.subject), n) for n, a in fleet.assessments.items() for f in a.findings}
    assert data["cut_list"]["rows"][0]["pieces"] == VANS
    assert data["cautions"]


def test_the_workbook_is_the_same_papers_and_the_same_bytes(fleet):
    content = batch_workbook(fleet, "Depot")
    assert content == batch_workbook(fleet, "Depot")
    book = openpyxl.load_workbook(io.BytesIO(content))
    assert book.sheetnames == ["Title block", "Cut list", "Bill of materials", "Vehicles", "Findings", "Not checked"]
    assert book["Title block"]["A1"].value == "Depot"
    for table in batch_papers(fleet):
        first = {cell.value for cell in next(iter(zip(*book[table.title].iter_rows(), strict=True)))}
        assert {row[0] for row in table.rows} <= first
    us = openpyxl.load_workbook(io.BytesIO(batch_workbook(fleet, system="us", paper="Letter")))
    assert "cut length [in]" in [cell.value for row in us["Cut list"].iter_rows() for cell in row]


def test_names_of_vehicles_are_only_names(larch):
    names = ["=1+1", "../../etc", "a, b", "银 7", "x" * 200]
    batch = assess_batch(variants(larch, {name: [] for name in names}))
    book = openpyxl.load_workbook(io.BytesIO(batch_workbook(batch)))
    cells = [cell for row in book["Vehicles"].iter_rows() for cell in row if cell.value in names]
    assert [cell.value for cell in cells] == names
    assert all(cell.data_type == "s" for cell in cells)


def test_everything_wrong_is_told_with_its_vehicle(larch):
    missing, taken = Path("runs", "attic", "length"), Path("nodes", "F1")
    with pytest.raises(InputErrors) as caught:
        variants(larch, {"a": [Set(missing, "1 m")], "b": [], "c": [Rename(taken, "F2")]})
    assert [str(error.place.path) for error in caught.value.errors] == ["a.runs.attic", "c.nodes.F1"]
    unknown = Set(Path("nodes", "hf", "part"), "radio:hf-1000")
    with pytest.raises(UnknownName) as alone:
        assess_batch(variants(larch, {"a": [], "van 2": [unknown]}))
    assert alone.value.place.path == ("van 2", "nodes", "hf", "part")


def test_an_error_that_is_about_no_design_is_raised_once(larch):
    with pytest.raises(UnknownName, match="practice") as caught:
        assess_batch({"a": larch, "b": larch}, practice="nowhere")
    assert caught.value.place.path is None


def test_errors_of_thousands_of_vehicles_are_not_all_looked_for(larch):
    broken = apply(larch, [Set(Path("nodes", "hf", "part"), "radio:hf-1000")])
    seen: list[str] = []
    with pytest.raises(InputErrors) as caught:
        assess_batch({f"v{n}": broken for n in range(60)}, tell=lambda done, text: seen.append(text))
    assert len(caught.value.errors) == len({text.split(":")[0] for text in seen}) == 20


def test_a_batch_of_nothing_is_refused():
    with pytest.raises(DesignError, match="no vehicle"):
        assess_batch({})


def test_progress_is_told_and_can_be_stopped(larch):
    told: list[tuple[float, str]] = []
    assess_batch({"a": larch, "b": larch}, tell=lambda done, text: told.append((done, text)))
    assert [said for said in told if said[1] in "ab"] == [(0.0, "a"), (0.5, "b")]
    assert all(0.5 * "ab".index(text[0]) <= done <= 0.5 * "ab".index(text[0]) + 0.5 for done, text in told)

    def stop(done: float, text: str) -> None:
        raise Cancelled("enough")

    with pytest.raises(Cancelled):
        assess_batch({"a": larch}, tell=stop)
