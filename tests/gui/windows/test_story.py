"""A whole day at the window, with real keys and a real pointer: a design typed in from nothing, broken, mended by a
button, taken back, saved and read again."""

from __future__ import annotations

import shutil
import tkinter as tk
from pathlib import Path as FilePath

import pytest
from tests.gui.windows.hands import Hands

from rigfeed.design.edit import Set
from rigfeed.design.file import parse, read
from rigfeed.design.schema import to_plain
from rigfeed.examples import example
from rigfeed.path import Path
from rigfeed_gui.dialogs import files
from rigfeed_gui.logic import starting
from rigfeed_gui.logic.fields import text_of

ANSWERS = {
    "title": "Hazel", "load": "radio:vhf-25", "battery": "battery:flooded-45", "to_fuse": "0.15 m", "bay": "0.90 m",
    "cabin": "2.40 m", "back": "0.40 m",
}
RENAMED = {("nodes", "set"): "vhf", ("points", "set"): "seat", ("runs", "cabin"): "sill"}
TYPED_IN = ("job", "vehicle", "zones", "points", "runs", "passages", "nodes", "conductors")


@pytest.fixture
def hazel(tmp_path) -> FilePath:
    """A copy of the file that a person may work on."""
    return FilePath(shutil.copy(example("hazel"), tmp_path / "hazel.toml"))


# building


def _answer_questions(hands: Hands) -> None:
    rows = hands.window.start.rows
    assert list(rows) == [question.name for question in starting.questions()]
    hands.click(rows["title"].line.entry)
    for name, text in ANSWERS.items():
        assert rows[name].focus is hands.root.focus_get(), f"the keyboard does not come to {name}"
        hands.type(text)
        hands.key("Tab")
    assert hands.root.focus_get() is hands.window.start.begin
    hands.key("Return")
    hands.until(lambda: hands.session.work is not None, "no design comes of the answers")
    hands.settle()


def _select(hands: Hands, path: Path) -> None:
    """By keyboard: look for the id in the list of all things, go down to it, go to its form."""
    hands.window.do("find")
    everything = hands.window.bench.everything
    hands.root.update()
    hands.stroke(everything.word.entry, "Control-a", "Delete")
    hands.keys(everything.word.entry, str(path[-1]))
    tree = everything.list.tree
    hands.until(lambda: tree.exists(str(path)), f"{path} is not in the list")
    tree.focus_force()
    tree.focus(tree.get_children()[0])
    for _ in range(40):
        if hands.session.selection == path:
            break
        hands.stroke(tree, "Down")
    hands.stroke(tree, "Return")
    hands.settle()
    assert hands.session.selection == path


def _rename(hands: Hands, new: str) -> None:
    hands.window.do("rename")
    form = hands.dialog()
    entry = form.rows["id"].focus
    hands.stroke(entry, "Control-a", "Delete")
    hands.keys(entry, new)
    hands.stroke(entry, "Return")
    hands.settle()
    assert hands.session.selection[-1] == new


def _add(hands: Hands, path: Path, value: dict) -> None:
    """By the dialogs; what number it gets is the window's to choose, so it may have to be renamed."""
    if path[0] == "conductors":
        hands.window.do("connect")
        form = hands.dialog()
        for name in ("from", "to"):
            line = form.rows[name].focus
            hands.stroke(line, "Control-a", "Delete")
            first = value[name] if isinstance(value[name], str) else value[name][0]
            hands.keys(line, first)
        hands.stroke(form.rows["to"].focus, "Return")
    else:
        hands.session.select(None)
        hands.window.do("add")
        form = hands.dialog()
        form.sort.current([name for name, _ in form.sort.rows].index(str(path[0])))
        hands.stroke(form.sort, "<ComboboxSelected>")
        if path[0] == "nodes":
            for name in ("part", "at"):
                hands.keys(form.rows[name].focus, value[name])
        hands.stroke(form.chief, "Return")
    hands.until(lambda: not hands.dialogs, f"{path} cannot be added")
    hands.settle()
    if hands.session.selection != path:
        _rename(hands, str(path[-1]))


def _type_in(hands: Hands, path: Path, wanted: dict) -> None:
    """Every field of a thing that is not yet as it should be; facts by their buttons."""
    _select(hands, path) if len(path) > 1 else hands.session.select(path)
    hands.window.do("go-form")
    hands.settle()
    panel = hands.window.bench.thing
    for at in [field.form.path for field in panel.thing.fields]:
        field = panel.thing.field(at)
        here = wanted
        for key in at[len(path) :]:
            here = here.get(str(key), {}) if isinstance(here, dict) else {}
        text = text_of(field.form, here or None) if here is not False else "no"
        if text == field.text:
            continue
        row = panel.rows[at]
        if field.form.sort == "yes-no":
            hands.stroke(row.line.buttons[text], "Return")
        else:
            hands.enter(row.focus, text)
        assert not row.error, f"{at}: {row.error}"
        hands.until(lambda at=at, text=text: panel.thing.field(at).text == text, f"{at} does not take {text!r}")


def test_hazel_is_built_from_nothing(hands, tmp_path, monkeypatch):
    wanted = to_plain(read(example("hazel")))
    _answer_questions(hands)
    for (collection, old), new in RENAMED.items():
        _select(hands, Path(collection, old))
        _rename(hands, new)
    for collection in TYPED_IN:
        things = {None: wanted[collection]} if collection in ("job", "vehicle") else wanted[collection]
        for id_, value in things.items():
            path = Path(collection, id_) if id_ else Path(collection)
            if id_ and id_ not in to_plain(hands.session.work.design)[collection]:
                _add(hands, path, value)
            _type_in(hands, path, value)
    assert hands.told == []
    assert to_plain(hands.session.work.design) == wanted
    hands.until(lambda: not hands.session.stale, "the findings do not come")
    assert {(f.check, f.subject) for f in hands.session.assessment.findings} >= {
        ("breaking-capacity-low", Path("nodes", "F1"))
    }
    saved = tmp_path / "built.toml"
    monkeypatch.setattr(files.filedialog, "asksaveasfilename", lambda **options: str(saved))
    hands.key("ctrl+s")
    assert not hands.session.work.dirty
    assert to_plain(read(saved)) == wanted


# breaking, mending, taking back


def test_broken_mended_taken_back_saved_and_read_again(hands, hazel):
    before = hazel.read_bytes()
    hands.session.open(hazel)
    hands.settle()
    session, bench = hands.session, hands.window.bench
    found = {(f.check, f.subject) for f in session.assessment.findings}
    session.select(Path("nodes", "F1"))
    hands.settle()
    hands.fill(bench.thing.rows[Path("nodes", "F1", "part")].focus, "fuse:blade-30")
    hands.key("Return")
    hands.settle()
    assert "fuse-above-ampacity" in {f.check for f in session.assessment.findings}
    assert "*" in hands.root.title()

    hands.key("F8")  # the keyboard goes to the findings
    rows = bench.findings.shown
    mendable = next(n for n, row in enumerate(rows) if row.finding.check == "fuse-above-ampacity")
    for _ in range(mendable + 1):
        hands.key("Down")
    if session.finding is not rows[mendable].finding:
        bench.findings.list.choose(str(mendable))
        hands.settle()
    hands.settle()
    assert session.finding.check == "fuse-above-ampacity"
    assert "30 A" in bench.explaining.text.shown
    assert session.fixes, "nothing is offered"
    hands.press(session.fixes[0].words, bench.explaining)
    hands.settle()
    assert not [f for f in session.assessment.findings if f.check == "fuse-above-ampacity"]
    assert to_plain(session.work.design)["nodes"]["F1"]["part"] != "fuse:blade-30"

    while session.work.undoes:
        hands.key("ctrl+z")
    hands.settle()
    assert {(f.check, f.subject) for f in session.assessment.findings} == found
    assert not session.work.dirty
    hands.key("ctrl+y")
    hands.settle()
    assert session.work.dirty
    hands.key("ctrl+z", "ctrl+s")
    assert hazel.read_bytes() == before
    hands.key("ctrl+w")
    hands.until(lambda: session.work is None, "the design is not closed")
    hands.settle()
    hands.press_path(hazel)
    hands.settle()
    assert hazel.read_bytes() == before
    assert session.work.design == parse(before.decode())


def test_what_is_typed_wrong_is_said_beside_the_field_and_changes_nothing(hands, hazel):
    hands.session.open(hazel)
    hands.session.select(Path("runs", "bay"))
    hands.settle()
    row = hands.window.bench.thing.rows[Path("runs", "bay", "length")]
    hands.fill(row.focus, "2,5 m")
    assert "2.5 m" in row.error, "the remedy stands beside the field while typing"
    hands.key("Return")
    assert not hands.session.work.dirty
    assert row.line.text == "2,5 m", "what was typed is not taken away"
    hands.fill(row.focus, "3 ft")
    assert row.error == ""
    hands.key("Return")
    hands.settle()
    assert to_plain(hands.session.work.design)["runs"]["bay"]["length"] == "3 ft"


def test_choices_are_searched_and_taken_by_keyboard(hands, hazel):
    hands.session.open(hazel)
    hands.session.select(Path("conductors", "W2"))
    hands.settle()
    row = hands.window.bench.thing.rows[Path("conductors", "W2", "cable")]
    hands.click(row.focus)
    hands.key("Down")
    assert row.line.choices is not None
    everything = len(row.line.choices.offered)
    hands.key("ctrl+a")
    hands.type("thinwall-4")
    fewer = row.line.choices.offered
    assert 0 < len(fewer) < everything
    assert all("thinwall-4" in choice.value for choice in fewer)
    hands.key("Down", "Return")
    hands.settle()
    assert row.line.choices is None
    assert to_plain(hands.session.work.design)["conductors"]["W2"]["cable"] == fewer[0].value


def test_a_choice_is_taken_by_the_pointer(hands, hazel):
    hands.session.open(hazel)
    hands.session.select(Path("conductors", "W2"))
    hands.settle()
    row = hands.window.bench.thing.rows[Path("conductors", "W2", "colour")]
    hands.window.bench.thing.bring(Path("conductors", "W2", "colour"))
    hands.settle()
    hands.root.update()
    hands.click(row.line._drop)
    offered = row.line.choices.offered
    tree = row.line.choices.tree
    left, top, wide, high = tree.bbox("2")
    hands.click(tree, left + wide / 2, top + high / 2)
    hands.settle()
    assert to_plain(hands.session.work.design)["conductors"]["W2"]["colour"] == offered[2].value


def test_an_assumption_stands_in_grey_until_it_is_replaced(hands, hazel):
    hands.session.open(hazel)
    hands.session.select(Path("nodes", "stud"))
    hands.settle()
    panel = hands.window.bench.thing
    path = next(f.form.path for f in panel.thing.fields if f.assumed and not f.text)
    line = panel.rows[path].line
    ghost = next(child for child in line.entry.winfo_children() if isinstance(child, tk.Label))
    assert panel.thing.field(path).assumed in str(ghost["text"])
    assert str(ghost["foreground"]) == hands.window.theme.palette.quiet
    assert ghost.winfo_ismapped()
    hands.fill(line.entry, "3 mohm")
    assert not ghost.winfo_ismapped()
    hands.key("Return")
    hands.settle()
    assert panel.thing.field(path).text == "3 mohm"


def test_a_fact_is_yes_no_or_not_known(hands, hazel):
    hands.session.open(hazel)
    hands.settle()
    panel = hands.window.bench.thing
    hands.session.select(Path("vehicle"))
    hands.settle()
    path, answer = next(iter(panel.facts.items()))
    for value, expected in (("yes", True), ("no", False), ("", None)):
        hands.stroke(answer.buttons[value], "Return")
        hands.settle()
        answer = panel.facts[path]
        assert answer.text == value
        assert next(f.answer for f in panel.thing.facts if f.path == path) is expected


def test_who_types_is_not_disturbed_by_new_figures(hands, hazel):
    hands.session.open(hazel)
    hands.session.select(Path("conductors", "W2"))
    hands.settle()
    row = hands.window.bench.thing.rows[Path("conductors", "W2", "note")]
    hands.window.bench.thing.bring(Path("conductors", "W2", "note"))
    hands.settle()
    hands.root.update()
    hands.fill(row.focus, "under the sill")
    hands.session.edit([Set(Path("states"), {})], "states")  # another count of figures, or none, comes in the meantime
    hands.session.show_state(None)
    hands.settle()
    assert row.line.text == "under the sill"
    assert hands.root.focus_get() is row.focus
    hands.session.select(Path("nodes", "F1"))
    hands.settle()
    assert hands.session.work.design.conductors["W2"].note == "under the sill", "taken over before another is shown"
