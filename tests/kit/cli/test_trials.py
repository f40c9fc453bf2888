"""The commands whatif, return and compare."""

from __future__ import annotations

import json

import openpyxl
import pytest

from rigfeed.examples import example

HAZEL, LARCH = example("hazel"), example("larch")


@pytest.mark.parametrize("command", [("whatif", HAZEL), ("return", HAZEL), ("compare", HAZEL, LARCH)])
def test_each_prints_text_with_the_cautions(run, command):
    code, out, _ = run(*command)
    assert code == 0
    assert "Disconnect the battery" in out
    assert max(map(len, out.splitlines())) <= 79


def test_return_gives_the_advice_first_and_the_other_rules_too(run):
    _, out, _ = run("return", HAZEL)
    assert out.startswith("vhf: body point near the set, no fuse")
    assert "Caltrans vehicle equipment guide" in " ".join(out.split())


def test_return_of_one_equipment_and_of_none_that_exists(run):
    code, out, _ = run("return", LARCH, "--node", "dcdc", "--json")
    assert code == 0
    assert {row["set"] for row in json.loads(out)["rows"]} == {"dcdc"}
    code, _, err = run("return", LARCH, "--node", "dcdx")
    assert code == 2
    assert "dcdc" in err


def test_compare_with_itself(run):
    code, out, _ = run("compare", HAZEL, HAZEL)
    assert code == 0
    assert out.startswith("nothing differs")


def test_data_and_papers(run, tmp_path):
    book = tmp_path / "what.xlsx"
    code, out, _ = run("whatif", HAZEL, "--json", "--out", book)
    assert code == 0
    data = json.loads(out)
    assert data["name"] == "what-if"
    assert data["cautions"]
    assert "What if" in openpyxl.load_workbook(book).sheetnames
    code, _, _ = run("compare", HAZEL, LARCH, "--out", tmp_path / "two.csv")
    assert code == 0
    assert (tmp_path / "two.csv").read_text().startswith("what,about")
    code, _, err = run("whatif", HAZEL, "--out", tmp_path / "what.pdf")
    assert code == 2
    assert ".xlsx" in err
