"""The stock from the command line: listed, planned for one design or several, and taken from."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import click
import openpyxl
import pytest

from rigfeed.examples import example

STOCK = (
    "part,length,pieces,label,colour\n# counted on Monday\ncable:thinwall-6,2.5 m,,offcut,RD\n"
    "cable:thinwall-6,30 m,,spool 1,\ncable:thinwall-4,2.20 m,,just enough,BK\nblade:6.3-1,,5,,\nplug:pin-1,,1,,\n"
)


@pytest.fixture
def own(tmp_path, monkeypatch) -> Path:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    path = tmp_path / "data" / "rigfeed" / "stock.csv"
    path.parent.mkdir(parents=True)
    path.write_text(STOCK)
    return path


@pytest.fixture
def larch(tmp_path) -> Path:
    return Path(shutil.copy(example("larch"), tmp_path / "larch.toml"))


def test_what_there_is_is_listed_with_its_files_and_what_is_wrong(run, own):
    own.write_text(STOCK + "cable:nonsense,2 m,,,\n")
    code, out, _ = run("stock", "list")
    assert code == 0
    assert str(own) in out
    assert "2.5 m, RD, offcut" in out
    assert "left out: " in out
    data = json.loads(run("stock", "list", "--json")[1])
    assert [row["line"] for row in data["stock"]] == [3, 4, 5, 6, 7]
    assert len(data["left_out"]) == 1


def test_without_a_file_the_list_says_how_to_begin(run, own):
    own.unlink()
    assert "stock.csv" in run("stock", "list")[1]


def test_a_plan_says_where_each_cut_comes_from_and_what_is_bought(run, own, larch, tmp_path):
    code, out, _ = run("stock", "plan", larch, "--out", tmp_path / "plan.xlsx")
    assert code == 0
    assert "from offcut (2.5 m): W8 RD 1.35 m, W4 RD 0.6 m" in out
    assert "from just enough (2.2 m): W12 BK 2.2 m; left 0 m" in out
    assert "to buy: W2 RD 5.5 m" in out
    assert "Disconnect the battery" in " ".join(out.split())
    assert openpyxl.load_workbook(tmp_path / "plan.xlsx").sheetnames == ["Cutting plan", "Buying list"]
    data = json.loads(run("stock", "plan", larch, "--json")[1])
    assert {row["id"]: row["piece"] for row in data["cutting-plan"]["rows"]}["W12"] == "just enough"
    assert "plug:pin-1" not in {row["part"] for row in data["buying-list"]["rows"]}
    assert run("stock", "plan", larch, "--out", tmp_path / "plan.csv")[0] == 2


def test_two_vehicles_share_the_stock_and_name_themselves(run, own, larch, tmp_path):
    other = Path(shutil.copy(larch, tmp_path / "second.toml"))
    data = json.loads(run("stock", "plan", larch, other, "--json")[1])
    rows = data["cutting-plan"]["rows"]
    enough = [row["id"] for row in rows if row["piece"] == "just enough"]
    assert enough == ["larch: W12"]
    assert any(row["id"] == "second: W12" and row["piece"] == "to buy" for row in rows)
    assert run("stock", "plan", larch, larch)[0] == 2


def test_what_is_taken_is_asked_for_and_the_rest_of_the_file_stays(run, own, larch, monkeypatch):
    monkeypatch.setattr(click, "confirm", lambda *_, **__: (_ for _ in ()).throw(click.Abort()))
    assert run("stock", "take", larch)[0] == 2
    assert own.read_text() == STOCK
    code, out, _ = run("stock", "take", larch, "--yes")
    assert code == 0
    assert "30 m -> 27.90 m" in out
    assert own.read_text() == (
        "part,length,pieces,label,colour\n# counted on Monday\ncable:thinwall-6,0.25 m,,offcut,RD\n"
        "cable:thinwall-6,27.90 m,,spool 1,\nblade:6.3-1,,2,,\n"
    )
    assert "from offcut (0.25 m): W5" in run("stock", "plan", larch)[1], "the next vehicle is cut from what is left"


def test_what_was_cut_today_is_taken_alone_and_from_the_piece_that_the_plan_names(run, own, larch):
    """Larch cuts W8 1.35 m, W4 0.60 m and others of one cable from the offcut of 2.5 m, and W12 of another cable."""
    assert run("stock", "take", larch, "--cut", "W8", "--yes")[0] == 0
    assert own.read_text() == STOCK.replace("2.5 m", "1.15 m")
    assert run("stock", "take", larch, "--cut", "W4", "--yes")[0] == 0
    assert own.read_text() == STOCK.replace("2.5 m", "0.55 m")
    code, out, _ = run("stock", "take", larch, "--part", "cable:thinwall-4", "--yes")
    assert (code, out.count("->")) == (0, 1)
    assert own.read_text() == STOCK.replace("2.5 m", "0.55 m").replace("cable:thinwall-4,2.20 m,,just enough,BK\n", "")
    both = ("--part", "cable:thinwall-6", "--part", "plug:pin-1", "--cut", "W5")
    assert run("stock", "take", larch, *both, "--yes")[0] == 0
    assert "plug:pin-1,,1,," in own.read_text(), "where cuts are named nothing is counted off"
    assert run("stock", "take", larch, "--part", "plug:pin-1", "--yes")[0] == 0
    assert "plug:pin-1" not in own.read_text()


@pytest.mark.parametrize(("asked", "says"), [
    (("--part", "cable:thinwal-6"), "cable:thinwall-6"), (("--cut", "W99"), "no cut in the plan 'W99'"),
    (("--part", "cable:thinwall-4", "--cut", "W8"), "W12"), (("--cut", "W2"), "no piece of the stock gives W2"),
])
def test_what_is_not_in_the_plan_or_not_in_stock_is_not_taken(run, own, larch, asked, says):
    code, _, err = run("stock", "take", larch, *asked, "--yes")
    assert code == 2
    assert says in err
    assert own.read_text() == STOCK


def test_where_nothing_of_it_is_in_stock_nothing_is_written(run, own, larch):
    own.write_text("part,pieces\nbattery:agm-80,1\n")
    before = own.stat().st_mtime_ns
    assert "nothing of it" in run("stock", "take", larch, "--yes")[1]
    assert own.stat().st_mtime_ns == before
