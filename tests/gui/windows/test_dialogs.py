"""Papers, calculators, catalogs, long work: each dialog used as a person uses it."""

from __future__ import annotations

import threading
import time
import zipfile

import pytest
from tests.gui.windows.geometry import complaints

from rigfeed.errors import Cancelled
from rigfeed.papers.paper import Paper
from rigfeed_gui.dialogs import files
from rigfeed_gui.dialogs.working import Working
from rigfeed_gui.logic import papering
from rigfeed_gui.logic.assessor import Job
from rigfeed_gui.logic.words import say


def test_some_of_the_papers_are_written(opened, tmp_path):
    folder = tmp_path / "papers"
    opened.key("ctrl+p")
    dialog = opened.dialog()
    everything_ = dialog.chosen_papers
    assert {"cut-list", "circuit"} <= set(everything_)
    opened.click(dialog.nothing)
    assert dialog.chosen_papers == ()
    opened.key("Tab")
    opened.press(say("papers.write"), dialog)
    assert dialog.note.shown == say("papers.no-paper")
    tree = dialog.list.tree
    tree.see("circuit")
    opened.root.update()
    left, top, _, high = tree.bbox("circuit", "#0")
    opened.click(tree, left + 8, top + high / 2)
    opened.stroke(tree, "Up", "space")
    taken = dialog.chosen_papers
    assert len(taken) == 2
    assert "circuit" in taken
    assert complaints(dialog) == []
    dialog.write_into(folder)
    done = say("papers.open-folder")
    opened.until(lambda: any(done in opened.texts(top) for top in opened.dialogs), "nothing is written")
    names = {path.name.split("-", 1)[-1] for path in folder.iterdir()}
    table = next(name for name in taken if name != "circuit")
    assert names == {f"{table}.csv", "circuit.svg", "hazel.xlsx"}


def test_papers_are_looked_at_and_written(opened, tmp_path, monkeypatch):
    folder = tmp_path / "papers"
    folder.mkdir()
    monkeypatch.setattr(files.filedialog, "askdirectory", lambda **options: str(folder))
    opened.key("ctrl+p")
    dialog = opened.dialog()
    opened.settle()
    assert dialog.table is not None
    rows = dialog.table.every
    assert any("W2" in str(row) for row in rows)
    opened.press(say("papers.write"), dialog)
    done = say("papers.open-folder")
    opened.until(lambda: opened.dialogs and done in opened.texts(opened.dialogs[-1]), "not written")
    written = sorted(path.name for path in folder.rglob("*") if path.is_file())
    assert any(name.endswith(".xlsx") for name in written)
    with zipfile.ZipFile(next(folder.rglob("*.xlsx"))) as book:
        texts = " ".join(book.read(name).decode("utf-8") for name in book.namelist() if name.endswith(".xml"))
    assert "Disconnect the battery" in texts


def test_a_paper_that_fails_is_told_and_the_rest_is_written(opened, tmp_path, monkeypatch):
    def fails(assessment, system):
        raise KeyError("battery")

    registry = opened.session.work.shelf.registry
    monkeypatch.setitem(registry.papers, "odd", Paper("odd", "A paper with a fault", fails))
    opened.key("ctrl+p")
    dialog = opened.dialog()
    dialog.list.choose("odd")
    opened.settle()
    assert "will be left out" in dialog.note.shown
    assert complaints(dialog) == []
    dialog._leave_out(set(dialog.chosen_papers) - {"cut-list", "odd", "circuit"})
    dialog.write_into(tmp_path)
    done = say("papers.open-folder")
    opened.until(lambda: any(done in opened.texts(top) for top in opened.dialogs), "nothing is written")
    opened.screen.shoot("papers-left-out")
    told = opened.texts(opened.dialogs[-1])
    assert say("papers.done-part") in told
    assert any("the paper 'odd' failed" in text for text in told)
    assert complaints(opened.dialogs[-1]) == []
    names = {path.name for path in tmp_path.iterdir()}
    assert {"hazel.xlsx", "hazel-cut-list.csv", "hazel-circuit.svg"} <= names
    assert not any("odd" in name for name in names)
    assert opened.told == [], "it is no fault of the window"


def test_a_paper_that_takes_long_is_worked_out_beside_the_window(opened, monkeypatch):
    """The loop goes on meanwhile, the newest choice is shown, and what is there once is not made again."""
    go, made = threading.Event(), []
    preview = papering.preview

    def slow(assessment, name, system):
        made.append(name)
        assert go.wait(20)
        return preview(assessment, name, system)

    monkeypatch.setattr(papering, "preview", slow)
    opened.key("ctrl+p")
    dialog = opened.dialog()
    opened.until(lambda: made, "nothing is worked out")
    assert dialog.busy
    assert dialog.table is None
    assert dialog.note.shown == say("papers.being-made")
    dialog.list.choose("hole-list")
    opened.root.update()
    dialog.list.choose("fuse-schedule")
    opened.root.update()
    go.set()
    opened.settle()
    assert made == ["cut-list", "fuse-schedule"]
    assert dialog.heading["text"] == dialog._papers["fuse-schedule"].title
    assert dialog.table is not None
    dialog.list.choose("cut-list")
    opened.settle()
    assert dialog.table is not None
    assert made == ["cut-list", "fuse-schedule"]
    dialog.leave()
    opened.settle()
    assert not opened.told


def test_a_calculator_computes_while_one_types(hands):
    hands.key("ctrl+l")
    dialog = hands.dialog()
    hands.type("voltage drop")
    hands.settle()
    assert dialog.sheet is not None
    for field in dialog.sheet.inputs:
        usual = dialog.sheet.usual.get(str(field.path)) or (f"{max(field.least or 0, 1):g} {field.unit}".strip()
                                                             if not field.choices else field.choices[0])
        hands.enter(dialog.rows[str(field.path)].focus, usual)
    hands.settle()
    assert any(letter.isdigit() for letter in dialog.answer.shown), dialog.answer.shown
    first = dialog.rows[str(dialog.sheet.inputs[0].path)]
    hands.enter(first.focus, "nonsense")
    assert first.error


def test_a_calculator_says_what_it_takes_and_what_it_still_waits_for(hands):
    hands.key("ctrl+l")
    dialog = hands.dialog()
    hands.type("voltage drop")
    hands.settle()
    assert not dialog.sheet.title.endswith(".")
    needed = [field for field in dialog.sheet.inputs if field.required and field.unit]
    for field in needed:
        assert dialog.rows[str(field.path)].line._ghost["text"].endswith(field.unit), field
    first = next(field for field in dialog.sheet.inputs if field.required)
    assert dialog.answer.shown == say("calculators.fill-in", what=first.help or first.label)
    hands.enter(dialog.rows[str(first.path)].focus, "1e9 furlong")
    assert dialog.answer.shown.startswith(f"{first.help or first.label}: ")


@pytest.mark.parametrize("screen", ["common", "cramped"])
def test_what_an_input_takes_can_be_read_to_its_unit(open_window, screen):
    hands = open_window(screen)
    hands.window.do("calculators")
    dialog, tree = hands.dialog(), hands.dialog().list.tree
    looked_at = 0
    for head in tree.get_children():
        for name in tree.get_children(head):
            dialog.list.choose(name)
            hands.root.update()
            for row in dialog.rows.values():
                ghost = row.line._ghost
                if ghost.winfo_ismapped():
                    assert ghost.winfo_reqwidth() <= ghost.winfo_width(), (name, ghost["text"])
                    looked_at += 1
    assert looked_at > 100


def test_the_shelf_begins_with_its_first_part_in_sight(hands):
    hands.key("ctrl+k")
    dialog = hands.dialog()
    hands.settle()
    tree = dialog.list.tree
    assert dialog.list.chosen == tree.get_children()[0]
    assert tree.bbox(dialog.list.chosen), "what is told of below is out of sight"


def test_the_shelf_shows_where_figures_come_from(hands):
    hands.key("ctrl+k")
    dialog = hands.dialog()
    kinds = [name for name, _ in dialog.kind.rows]
    dialog.kind.current(kinds.index("cable"))
    hands.stroke(dialog.kind, "<ComboboxSelected>")
    hands.keys(dialog.word.entry, "thinwall-4")
    rows = dialog.list.every
    assert rows
    assert all("thinwall-4" in row[0] and row[2] and row[3] for row in rows)
    details = dict(dialog.details.every)
    assert {"source", "confidence"} <= set(details)


def test_long_work_shows_how_far_it_is_and_can_be_stopped(opened):
    told = threading.Event()

    def run(tell):
        for number in range(10_000):
            tell(number / 10_000, f"piece {number}")
            told.set()
            time.sleep(0.005)

    ended = []
    job = Job("Counting", run)
    dialog = Working(opened.root, opened.window.theme, job, lambda: ended.append(job))
    opened.until(told.is_set, "it does not begin")
    opened.until(lambda: "piece" in " ".join(opened.texts(dialog)), "it does not say how far it is")
    opened.screen.shoot("working")
    assert complaints(dialog) == []
    assert not ended
    opened.press(say("dialog.cancel"), dialog)
    opened.until(lambda: ended, "it cannot be stopped")
    assert not opened.dialogs
    with pytest.raises(Cancelled):
        job.result()
