"""Calculators, catalogs, papers and the start page, each without its dialog."""

from __future__ import annotations

import pytest

from rigfeed import assess, example, load
from rigfeed.design.file import parse
from rigfeed.errors import Cancelled, UnknownName
from rigfeed.examples import examples
from rigfeed.papers.paper import Paper
from rigfeed.papers.table import cells
from rigfeed.papers.write import FORMATS
from rigfeed.parts.shelf import open_shelf
from rigfeed.registry import installed_registry
from rigfeed_gui.logic import browsing, calculating, papering, starting
from rigfeed_gui.logic.assessor import Job
from rigfeed_gui.logic.settings import Settings

SHELF = open_shelf()
ASSESSED = assess(load(example("larch")), shelf=SHELF)
ODD = Paper("odd", "A paper with a fault", lambda assessment, system: {}["battery"])


# calculators


def test_every_calculator_is_listed_under_its_group():
    found = calculating.entries()
    assert {entry.name for entry in found} == set(installed_registry().calculators)
    assert [entry.group for entry in found] == sorted(entry.group for entry in found)
    assert all(entry.title for entry in found)


def test_calculators_are_found_by_words():
    assert "fuse-window" in [entry.name for entry in calculating.entries("fuse window")]
    assert calculating.entries("no such formula") == ()


@pytest.mark.parametrize("name", sorted(installed_registry().calculators))
def test_a_sheet_says_what_it_rests_on_and_its_usual_values_are_right(name):
    sheet = calculating.sheet(name)
    assert sheet.formula
    assert sheet.validity
    assert sheet.source
    assert sheet.inputs
    for field in sheet.inputs:
        usual = sheet.usual[str(field.path)]
        assert calculating.typed(field, usual).error == "" or (not usual and field.required)
        assert calculating.example(field) or field.unit == ""


@pytest.mark.parametrize("name", sorted(installed_registry().calculators))
def test_whatever_is_filled_in_something_is_answered(name):
    fields = calculating.sheet(name).inputs
    first = {str(f.path): f.choices[0] if f.choices else f"{f.most:g} {f.unit}".strip() for f in fields}
    last = {str(f.path): f.choices[-1] if f.choices else f"{f.least:g} {f.unit}".strip() for f in fields}
    for texts in ({}, first, last, dict.fromkeys(first, "nonsense"), dict.fromkeys(first, "")):
        answer = calculating.answer(name, texts, "metric")
        assert bool(answer.lines) != bool(answer.error)


def test_an_answer_is_that_of_the_calculator_in_the_units_of_the_reader():
    calculator = next(c for c in installed_registry().calculators.values() if c.name == "fuse-resistance")
    texts = {str(f.path): f.choices[0] if f.choices else f"{(f.least + f.most) / 2:g} {f.unit}".strip()
             for f in calculator.inputs if f.required}
    answer = calculating.answer("fuse-resistance", texts, "metric")
    done = calculator.run(texts)
    assert [value for _, value in answer.lines] == [measure.text("metric", 4) for _, _, measure in done.outputs]


def test_what_is_missing_or_out_of_range_is_said_at_its_input():
    sheet = calculating.sheet("fuse-window")
    needed = next(field for field in sheet.inputs if field.required and field.sort == "quantity")
    missing = calculating.answer("fuse-window", {}, "metric")
    assert (missing.error, missing.input) == ("is missing", str(next(f for f in sheet.inputs if f.required).path))
    texts = {str(f.path): f"{f.least:g} {f.unit}" for f in sheet.inputs if f.sort == "quantity"}
    wrong = calculating.answer("fuse-window", {**texts, str(needed.path): f"1e9 {needed.unit}"}, "metric")
    assert (wrong.error, wrong.input) == ("is out of range", str(needed.path))
    assert f"{needed.most:g}" in wrong.remedy


def test_a_calculator_that_does_not_exist():
    with pytest.raises(UnknownName):
        calculating.sheet("none")


# catalogs


def test_every_kind_that_is_sold_can_be_looked_through_to_its_end():
    kinds = browsing.kinds(SHELF)
    assert {"fuse", "cable", "battery", "radio", "antenna"} <= {kind.name for kind in kinds}
    for kind in kinds:
        found = browsing.search(SHELF, kind.name, most=5)
        assert len(found.rows) + found.more == kind.count
        assert all(row.source and row.confidence for row in found.rows)


def test_parts_are_found_by_words_of_title_key_and_source():
    found = browsing.search(SHELF, "fuse", "blade c 10")
    assert "fuse:demo-fuses/blade-10" in [row.key for row in found.rows]
    assert {row.confidence for row in browsing.search(SHELF, "fuse", "demonstration").rows} == {"invented"}
    assert browsing.search(SHELF, "fuse", "nonsense") == browsing.Found((), 0)


def test_a_part_is_shown_with_everything_that_its_catalog_says():
    details = dict(browsing.details(SHELF, "fuse:demo-fuses/blade-10"))
    wanted = {"rated current [A]": "10", "confidence": "invented", "key": "fuse:demo-fuses/blade-10"}
    assert wanted.items() <= details.items()
    assert "line " in details["catalog"]
    with pytest.raises(UnknownName):
        browsing.details(SHELF, "fuse:demo-fuses/none")
    with pytest.raises(UnknownName):
        browsing.details(SHELF, "nonsense")


@pytest.mark.parametrize(("column", "words"), [
    ("set_v", "set voltage [V]"), ("stated_fuse_a", "stated fuse [A]"), ("capacity_ah", "capacity [Ah]"),
    ("capacity_by_c", "capacity by temperature"), ("least_mm2", "least area [mm2]"),
    ("loss_db_per_100m", "loss [dB/100 m]"),
    ("od_mm", "outside diameter [mm]"), ("warmest_c", "warmest temperature [degC]"), ("title", "title"),
    ("seal", "seal"), ("both_sides", "both sides"), ("", ""),
])
def test_a_column_of_a_catalog_is_told_in_words_with_its_unit(column, words):
    assert browsing.in_words(column) == words


# papers


def test_where_nothing_can_draw_figures_the_list_says_so(monkeypatch):
    words = {row.name: row.words for row in papering.papers(ASSESSED)}
    assert "svg, png" in words["time-current"]
    monkeypatch.setattr("rigfeed.figures.write.can_draw", lambda: False)
    words = {row.name: row.words for row in papering.papers(ASSESSED)}
    assert "pip install" in words["time-current"]


def test_papers_are_listed_in_the_order_of_the_workbook_then_drawings():
    found = papering.papers(ASSESSED)
    assert found[0].name == "cut-list"
    assert {row.name for row in found} == {*ASSESSED.papers, *ASSESSED.drawings, *ASSESSED.figures}
    assert [row.drawing for row in found] == sorted(row.drawing for row in found)


@pytest.mark.parametrize("system", ["metric", "us"])
@pytest.mark.parametrize("name", ASSESSED.papers)
def test_a_preview_shows_every_cell(name, system):
    table = ASSESSED.paper(name, system)
    shown = papering.preview(ASSESSED, name, system)
    assert len(shown.headings) == len(shown.right) == len(shown.widths) == len(table.columns)
    assert shown.notes == table.notes
    for texts, values in zip(shown.rows, cells(table, system), strict=True):
        for text, value, column in zip(texts, values, table.columns, strict=True):
            if isinstance(value, float):
                room = 0.501 * 10.0**-column.decimals if column.decimals is not None else 0.0
                assert float(text) == pytest.approx(value, rel=0.005, abs=room)
            else:
                assert text == ("" if value is None else str(value))


def test_a_preview_changes_units():
    metric, us = (papering.preview(ASSESSED, "cut-list", system) for system in ("metric", "us"))
    assert metric.headings != us.headings
    assert metric.rows != us.rows


def test_every_format_can_be_chosen_and_the_usual_ones_are_marked():
    assert [name for name, _, _ in papering.formats()] == list(FORMATS)
    assert any(usual for _, _, usual in papering.formats())


def test_writing_tells_its_progress_and_gives_the_files(tmp_path):
    told = []
    written = papering.writing(
        ASSESSED, tmp_path / "out", "larch", system="metric", paper="A4", chosen=("csv", "json"), file="larch.toml",
        tell=lambda done, text: told.append((done, text)),
    )
    assert {path.suffix for path in written.files} == {".csv", ".json"}
    assert all(path.stat().st_size for path in written.files)
    assert written.left_out == ()
    assert [done for done, _ in told] == [0.0, 0.5, 1.0]


def test_a_paper_that_fails_is_named_once_and_all_others_are_written(tmp_path, monkeypatch):
    monkeypatch.setitem(installed_registry().papers, "odd", ODD)
    written = papering.writing(
        ASSESSED, tmp_path, "larch", system="metric", paper="A4", chosen=("csv", "json"), file="",
        tell=lambda done, text: None, only=("cut-list", "odd", "hole-list", "fault-energy"),
    )
    assert written.left_out == ("the paper 'odd' failed: KeyError: 'battery'",)
    there = {f"larch-{name}.{end}" for name in ("cut-list", "hole-list") for end in ("csv", "json")}
    assert {path.name for path in written.files} == there | {"larch-fault-energy.json"}
    assert "KeyError" in papering.preview(ASSESSED, "odd", "metric")


def test_writing_stops_between_two_formats(tmp_path):
    def stop(done, text):
        if done:
            raise Cancelled("stopped")

    job = Job("papers", lambda tell: papering.writing(
        ASSESSED, tmp_path, "larch", system="metric", paper="A4", chosen=("json", "csv"), file="", tell=stop))
    with pytest.raises(Cancelled):
        job.result()
    assert {path.suffix for path in tmp_path.iterdir()} == {".csv"}


# the start page

ANSWERS = {
    "title": "Birch", "load": "radio:vhf-25", "battery": "battery:flooded-45", "to_fuse": "0.15 m", "bay": "0.9 m",
    "cabin": "8 ft", "back": "0.4 m",
}


def test_seven_questions_make_a_design_that_assesses():
    questions = starting.questions()
    assert [question.name for question in questions] == list(ANSWERS)
    assert all(starting.typed(question, ANSWERS[question.name], SHELF).error == "" for question in questions)
    design = parse(starting.begun(ANSWERS, "road", SHELF))
    assert design.job.title == "Birch"
    assert design.runs["cabin"].length.text == "8 ft"
    assessment = assess(design, shelf=SHELF)
    assert assessment.installation.nodes


@pytest.mark.parametrize(("name", "text", "error"), [
    ("title", "", "is missing"), ("load", "battery:flooded-45", "cannot be that"), ("load", "radio:none", "no part"),
    ("battery", "converter", "no part"), ("bay", "0.9", "has no unit"), ("bay", "0 m", "no length"),
    ("bay", "1 km", "no length"), ("cabin", "2,5 m", "decimal comma"),
])
def test_an_answer_is_judged_while_it_is_typed(name, text, error):
    question = next(question for question in starting.questions() if question.name == name)
    typed = starting.typed(question, text, SHELF)
    assert error in typed.error
    assert typed.remedy


def test_sets_and_batteries_are_offered_and_each_is_an_answer():
    for name in ("load", "battery"):
        question = next(question for question in starting.questions() if question.name == name)
        offered = starting.choices(question, "", SHELF)
        assert len(offered) > 5
        assert [c.value for c in offered if starting.typed(question, c.value, SHELF).error] == []
    load_question = starting.questions()[1]
    assert starting.choices(load_question, "vhf 25", SHELF)[0].value == "radio:vhf-25"
    assert starting.choices(starting.questions()[0], "x", SHELF) == ()


def test_recent_files_that_are_gone_are_not_shown(tmp_path):
    there = tmp_path / "there.toml"
    there.touch()
    settings = Settings(recent=(str(tmp_path / "gone.toml"), str(there)))
    assert starting.recent(settings) == (starting.Shortcut("there", there),)


def test_demonstrations_have_their_titles():
    found = starting.demonstrations()
    assert [shortcut.path.stem for shortcut in found] == list(examples())
    assert [shortcut.title for shortcut in found] == [load(shortcut.path).job.title for shortcut in found]
