"""What is cut from where, what is left, what to buy: for one design, and for many out of one stock."""

from __future__ import annotations

import pytest

import rigfeed
from rigfeed.design.edit import Set
from rigfeed.errors import Place
from rigfeed.load import assess_file
from rigfeed.papers.materials import Need
from rigfeed.papers.stock import lefts, some_of, supplied
from rigfeed.parts.shelf import open_shelf
from rigfeed.path import Path
from rigfeed.quantity import Quantity
from rigfeed.stock.cutting import Cut
from rigfeed.stock.model import Item, Stock
from rigfeed.trials.batch import assess_batch, variants
from rigfeed.trials.batch_papers import batch_papers, merged_bill, stock_papers


def _rows(table) -> list[dict]:
    keys = [column.key for column in table.columns]
    return [dict(zip(keys, row, strict=True)) for row in table.rows]


def test_without_a_stock_file_there_is_nothing_to_print_and_asking_says_how_to_begin(larch):
    assessment = assess_file(larch, only=[])
    assert not {"cutting-plan", "buying-list"} & set(assessment.papers)
    for name in ("cutting-plan", "buying-list"):
        assert "stock.csv" in " ".join(assessment.paper(name).notes)
    bought, needed = (_rows(assessment.paper(name)) for name in ("buying-list", "bill-of-materials"))
    assert bought == needed


@pytest.fixture
def cuts(larch):
    """The cuts of the cable that Larch has most of: its key, and (id, colour, cut length)."""
    installation = assess_file(larch, only=[]).installation
    table = _rows(assess_file(larch, only=[]).paper("cut-list"))
    cables = {}
    for row in table:
        key = installation.conductors[row["id"]].cable.key
        cables.setdefault(key, []).append((row["id"], row["colour"], row["cut"]))
    return max(cables.items(), key=lambda item: (len(item[1]), item[0]))


def test_a_cut_comes_from_the_offcut_that_is_just_long_enough(larch, own, cuts):
    key, found = cuts
    _, colour, cut_m = found[0]
    rows = (f"{key},{cut_m + more:.2f} m,{label},{colour}\n" for more, label in ((30, "spool"), (0.5, "offcut")))
    own.write_text("part,length,label,colour\n" + "".join(rows))
    assessment = assess_file(larch, only=[])
    assert {"cutting-plan", "buying-list"} <= set(assessment.papers)
    rows = _rows(assessment.paper("cutting-plan"))
    assert {row["id"] for row in rows} >= {name for name, _, _ in found}
    pieces = {}
    for row in rows:
        if row["piece"] != "to buy":
            pieces.setdefault(row["piece"], []).append(row)
    assert set(pieces) == {"spool", "offcut"}
    for label, made in pieces.items():
        assert sum(row["cut"] for row in made) <= made[0]["piece-length"] + 1e-9
        assert made[-1]["left"] == pytest.approx(made[0]["piece-length"] - sum(row["cut"] for row in made)), label
        assert {row["colour"] for row in made} == {colour}


def test_what_is_in_stock_is_not_bought(larch, own, cuts):
    key, _ = cuts
    before = {row["part"]: row for row in _rows(assess_file(larch, only=[]).paper("bill-of-materials"))}
    fitting = next(row for row in before.values() if row["sort"] == "end fitting" and row["pieces"] > 1)
    own.write_text(f"part,length,pieces\n{key},500 m,\n{fitting['part']},,1\n")
    table = assess_file(larch, only=[]).paper("buying-list")
    after = {row["part"]: row for row in _rows(table)}
    short = f"{key.split(':')[0]}:{key.split('/')[1]}"
    assert short in before
    assert short not in after
    assert after[fitting["part"]]["pieces"] == fitting["pieces"] - 1
    assert "From stock" in " ".join(table.notes)
    untouched = {name for name in before if name not in (short, fitting["part"])}
    assert all(after[name] == before[name] for name in untouched)


def test_a_spool_of_another_colour_is_left_alone(larch, own, cuts):
    key, _ = cuts
    own.write_text(f"part,length,colour\n{key},500 m,VT\n")
    assessment = assess_file(larch, only=[])
    of_it = [row for row in _rows(assessment.paper("cutting-plan")) if row["piece"] != "to buy"]
    assert [row for row in of_it if row["colour"] not in ("VT", None)] == []


def test_forty_vans_share_one_stock(larch, own, cuts):
    key, found = cuts
    own.write_text(f"part,length,label\n{key},15 m,spool 1\n{key},{found[0][2]:.2f} m,offcut\n")
    design = rigfeed.load(larch)
    longer = [Set(Path("runs", "cabin", "length"), "4.6 m")]
    names = {f"van {number}": longer if number == 3 else [] for number in range(1, 6)}
    batch = assess_batch(variants(design, names), shelf=open_shelf(larch))
    plan, buying = stock_papers(batch)
    assert [table.name for table in batch_papers(batch)][2:4] == ["cutting-plan", "buying-list"]
    title = open_shelf().part(key).title
    rows = [row for row in _rows(plan) if row["part"] == title]
    assert len(rows) == 5 * len(found)
    assert len({row["id"] for row in rows}) == len(rows)
    taken_m = sum(row["cut"] for row in rows if row["piece"] != "to buy")
    assert taken_m <= 15 + found[0][2] + 1e-9
    short = f"{key.split(':')[0]}:{key.split('/')[1]}"
    (needed,) = [row for row in _rows(merged_bill(batch)) if row["part"] == short]
    (bought,) = [row for row in _rows(buying) if row["part"] == short]
    assert bought["length"] == pytest.approx(needed["length"] - taken_m)
    used = {row["piece"] for row in rows} - {"to buy"}
    assert used == {"spool 1", "offcut"}


def test_a_part_that_is_needed_in_two_ways_is_given_once(larch):
    """A holder may be a device of its own, and belong to a fuse: what the one takes the other has not."""
    part = next(node.part for node in assess_file(larch, only=[]).installation.nodes.values() if node.part)
    at = ("stock.csv", 2), ("stock.csv", 3)
    stock = Stock(tuple(Item(part.key, pieces=count, place=Place(*one)) for one, count in zip(at, (1, 2), strict=True)))
    supplies = supplied(stock, [Need("device", part, pieces=2), Need("accessory", part, pieces=2)], {})
    assert [supply.pieces for supply in supplies] == [2, 1]
    assert [supply.to_buy and supply.to_buy.pieces for supply in supplies] == [None, 1]
    assert lefts(stock, supplies) == ({}, {at[0]: 0, at[1]: 0})


def test_cuts_that_were_made_on_another_day_do_not_take_what_is_left_for_the_others(larch):
    """Of 10 m: 3.5 m yesterday, 3.5 m and 3 m today. The plan of today has all three, and 6.5 m for two of them."""
    part = next(iter(assess_file(larch, only=[]).installation.conductors.values())).cable
    cuts = {part.key: [Cut("W1", 3.5), Cut("W2", 3.5), Cut("W3", 3.0)]}
    left_m = 10.0
    for day in (["W1"], ["W2", "W3"]):
        stock = Stock((Item(part.key, length=Quantity.parse(f"{left_m} m", "m"), place=Place("stock.csv", 2)),))
        supplies = supplied(stock, [Need("cable", part, length_m=10.0)], cuts)
        ((_, left_m),) = lefts(stock, some_of(stock, supplies, cuts=day))[0].items()
    assert left_m == 0.0
