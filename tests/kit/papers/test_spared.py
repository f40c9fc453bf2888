"""A paper, drawing or figure that fails is named and left out; the others are written to the byte as without it."""

from __future__ import annotations

import openpyxl
import pytest

import rigfeed
from rigfeed.errors import Cancelled
from rigfeed.hooks import hookimpl
from rigfeed.papers.paper import Drawing, Paper, Plot
from rigfeed.papers.spared import spared
from rigfeed.papers.table import Column, Table
from rigfeed.papers.write import write_papers
from rigfeed.parts.shelf import Shelf
from rigfeed.registry import make_registry


def raising(*_):
    raise KeyError("battery")


def table(name: str, *row: object, notes: tuple = ()) -> Paper:
    columns = tuple(Column(f"c{number}", "c") for number in range(len(row)))
    return Paper(name, name, lambda *_: Table(name, name, columns, (row,), notes))


BROKEN = {
    "raises": (Paper("raises", "raises", raising), "the paper 'raises' failed: KeyError: 'battery'"),
    "wrong-cell": (table("wrong-cell", object()), "the paper 'wrong-cell' failed: TypeError"),
    "no-table": (Paper("no-table", "no table", lambda *_: "text"), "the paper 'no-table' failed: "),
    "wrong-note": (table("wrong-note", 1, notes=(1,)), "the sheet 'wrong-note' failed: "),
    "picture": (Drawing("picture", "picture", raising), "the drawing 'picture' failed: KeyError"),
    "figure": (Plot("figure", "figure", raising), "the figure 'figure' failed: KeyError"),
    "no-figure": (Plot("no-figure", "none", lambda *_: "text"), "the figure 'no-figure' failed: "),
    "subjects": (Plot("subjects", "none", raising, subjects=raising), "the figure 'subjects' failed: KeyError"),
    "no-picture": (Drawing("no-picture", "none", lambda *_: None), "the drawing 'no-picture' failed: "),
}


class Plugin:
    @staticmethod
    @hookimpl
    def register_papers():
        return [made for made, _ in BROKEN.values() if isinstance(made, Paper)]

    @staticmethod
    @hookimpl
    def register_drawings():
        return [made for made, _ in BROKEN.values() if isinstance(made, Drawing)]

    @staticmethod
    @hookimpl
    def register_figures():
        return [made for made, _ in BROKEN.values() if isinstance(made, Plot)]


def assessed(plugins):
    design = rigfeed.load(rigfeed.example("hazel"))
    return rigfeed.assess(design, shelf=Shelf(make_registry(plugins)))


def written(assessment, folder, **options):
    paths = write_papers(assessment, folder, "x", formats=("xlsx", "csv", "json", "svg"), **options)
    return {path.name: path.read_bytes() for path in paths}


def test_the_others_are_written_as_without_it_and_each_is_named(tmp_path):
    left_out: list[str] = []
    whole = written(assessed({}), tmp_path / "whole")
    found = written(assessed({"broken": Plugin}), tmp_path / "found", left_out=left_out)
    extra = {"x-wrong-note.csv", "x-wrong-note.json"}  # which can be written: only a sheet of it cannot
    assert set(found) == set(whole) | extra
    assert all(found[name] == whole[name] for name in whole if name != "x.xlsx")
    assert len(left_out) == len(BROKEN)
    for _, said in BROKEN.values():
        assert sum(line.startswith(said) for line in left_out) == 1, said


def test_the_first_sheet_of_the_workbook_names_them(tmp_path):
    written(assessed({"broken": Plugin}), tmp_path, left_out=[])
    book = openpyxl.load_workbook(tmp_path / "x.xlsx")
    texts = [str(place.value) for row in book.worksheets[0].iter_rows() for place in row]
    assert any("the paper 'raises' failed" in text and "the drawing 'picture' failed" in text for text in texts)
    assert "wrong-note" not in book.sheetnames


def test_one_that_is_wanted_alone_is_told_and_nothing_is_written(tmp_path):
    left_out: list[str] = []
    assert written(assessed({"broken": Plugin}), tmp_path, only=["raises"], left_out=left_out) == {}
    assert left_out == ["the paper 'raises' failed: KeyError: 'battery'"]


def test_without_a_place_to_name_it_the_failure_is_raised(tmp_path):
    for name, error in (("raises", KeyError), ("picture", KeyError), ("wrong-cell", TypeError)):
        with pytest.raises(error):
            written(assessed({"broken": Plugin}), tmp_path, only=[name])


def test_whoever_says_stop_is_no_failure():
    def stopped():
        raise Cancelled("enough")

    left_out: list[str] = []
    with pytest.raises(Cancelled):
        spared("paper", stopped, left_out)
    assert left_out == []
