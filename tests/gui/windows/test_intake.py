"""A supplier's list in real windows: looked at, read another way, kept, replaced, removed; stopped while it is read."""

from __future__ import annotations

import pytest
from tests.gui.windows.geometry import complaints

from rigfeed.intake.keeping import user_folder
from rigfeed_gui.dialogs import files
from rigfeed_gui.logic.words import say

LIST = (
    "Code;Text;Size;OD;Ohm/km;Price EUR/m\nA1;red;2,5 mm2;2,9;7,6;0,45\nA2;red;4 mm2;3,6;nonsense;0,80\n"
    "A3;black cable for the return, tinned, with thin walls;16 mm2;7,8;1,16;3,20\n"
)
BARE = "Code;Text;Size;OD\nB1;black;10;5,4\n"


@pytest.fixture
def depot(tmp_path, monkeypatch):
    """A list, and the file dialog answered with it."""
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    path = tmp_path / "depot.csv"
    path.write_text(LIST)
    monkeypatch.setattr(files.filedialog, "askopenfilename", lambda **options: str(path))
    return path


def _open(hands):
    hands.stroke(hands.root, "Control-i")
    dialog = hands.dialog()
    hands.until(lambda: dialog.settled, "the list is not read")
    hands.settle()
    return dialog


def _rows(dialog) -> list[tuple]:
    return list(dialog.rows.every)


@pytest.mark.parametrize("screen", ["common", "dense", "cramped"])
def test_everything_of_it_has_its_place(open_window, depot, screen):
    hands = open_window(screen, palette="dark" if screen == "dense" else "light")
    factor = hands.screen.factor
    _open(hands).keep()
    depot.write_text(LIST.replace("7,6", "7,5"))
    dialog = _open(hands)
    for tab in range(3):
        dialog.tabs.select(tab)
        dialog.columns.choose("2")
        hands.settle()
        hands.screen.shoot(f"intake-{screen}-{tab}")
        assert complaints(dialog, factor) == []


def test_a_list_is_looked_at_and_kept_and_the_shelf_has_it(opened, depot):
    dialog = _open(opened)
    assert [row[0] for row in _rows(dialog)] == ["○ taken", "■ refused", "○ taken"]
    dialog.rows.choose("3")
    opened.settle()
    assert "nonsense" in dialog.about.shown
    assert "1 refused" in dialog.summary["text"]
    assert not user_folder().exists(), "nothing is written before somebody says so"
    version = opened.session.work.version
    opened.press(say("intake.keep"), dialog)
    opened.until(lambda: not opened.dialogs, "the dialog stays")
    opened.settle()
    assert (user_folder() / "depot.csv").exists()
    assert opened.session.work.shelf.part("cable:depot/A1").title == "red"
    assert opened.session.assessed_version == opened.session.work.version > version


TABLE = "Code\tText\tSize\tOD\nP1\tred\t6 mm\N{SUPERSCRIPT TWO}\t4.3\nP2\tÖl-flex\t10 mm2\t6.0\n"


def _copy(hands, text):
    hands.root.clipboard_clear()
    hands.root.clipboard_append(text)


def test_a_table_that_was_copied_somewhere_becomes_a_catalog(opened, depot):
    _copy(opened, TABLE)
    opened.stroke(opened.window.bench.surface.canvas, "Control-Shift-I")
    dialog = opened.dialog()
    opened.until(lambda: dialog.settled, "it is not read")
    assert [row[2] for row in _rows(dialog)] == ["P1", "P2"]
    assert say("intake.clipboard") in dialog.title()
    assert complaints(dialog) == []
    opened.enter(dialog.name.entry, "copied")
    opened.until(lambda: dialog.settled, "it is not read again")
    opened.press(say("intake.keep"), dialog)
    opened.until(lambda: not opened.dialogs, "the dialog stays")
    opened.settle()
    part = opened.session.work.shelf.part("cable:copied/P2")
    assert (part.title, part.area_mm2) == ("Öl-flex", 10)


def test_instead_of_a_file_that_no_program_reads_its_table_is_copied(hands, depot):
    depot.write_bytes(b"%PDF-1.7 and so on")
    dialog = _open(hands)
    assert "PDF" in dialog.summary["text"]
    assert dialog.keep_button.instate(["disabled"])
    _copy(hands, TABLE)
    hands.press(say("intake.paste"), dialog)
    hands.until(lambda: dialog.settled, "it is not read")
    assert [row[2] for row in _rows(dialog)] == ["P1", "P2"]
    assert dialog.name.text == "pasted"
    _copy(hands, TABLE.replace("P2", "P3"))
    hands.stroke(dialog.rows.tree, "Control-v")
    hands.until(lambda: dialog.settled, "it is not read again")
    assert [row[2] for row in _rows(dialog)] == ["P1", "P3"]
    _copy(hands, "spring")
    hands.stroke(dialog.name.entry, "Control-a", "Control-v")
    hands.until(lambda: dialog.settled, "it is not read again")
    assert dialog.name.text == "spring", "what is pasted into a line belongs there"
    assert [row[2] for row in _rows(dialog)] == ["P1", "P3"]


def test_an_empty_clipboard_is_told(hands, depot):
    _copy(hands, "  ")
    hands.stroke(hands.root, "Control-Shift-I")
    told = " ".join(hands.texts(hands.dialog()))
    assert "no text in the clipboard" in told
    assert "copy the rows" in told
    hands.stroke(hands.dialog(), "Escape")
    hands.root.clipboard_clear()
    dialog = _open(hands)
    hands.press(say("intake.paste"), dialog)
    assert "no text in the clipboard" in dialog.summary["text"]
    assert _rows(dialog), "the list that was there stays"
    assert dialog.keep_button.instate(["!disabled"])


def test_leaving_keeps_nothing(opened, depot):
    _open(opened)
    opened.key("Escape")
    opened.until(lambda: not opened.dialogs, "the dialog stays")
    assert not user_folder().exists()


def test_what_the_list_does_not_say_is_said_by_a_person(hands, depot):
    depot.write_text(BARE)
    dialog = _open(hands)
    assert dialog.keep_button.instate(["disabled"])
    dialog.tabs.select(1)
    dialog.columns.choose("2")
    hands.settle()
    hands.enter(dialog.taken_as.entry, "awg")
    hands.until(lambda: dialog.settled, "it is not read again")
    assert dialog.prepared.taken.outcomes[0].cells["gauge"] == "10"
    assert dialog.keep_button.instate(["!disabled"])
    columns = dialog.columns.every
    assert columns[2][:3] == ("Size", "size", "awg")


def test_a_list_of_which_the_kind_is_not_clear_asks_for_it(hands, depot):
    depot.write_text("Text;Colour;Shape\nx;y;z\n")
    dialog = _open(hands)
    told = dialog.summary["text"]
    assert told.startswith("Nothing of the list is taken yet. depot.csv: ")
    assert "of what kind" in told or "headers" in told
    assert ". What to do: " in told
    assert dialog.keep_button.instate(["disabled"])
    assert complaints(dialog) == []
    kinds = [name for name, _ in dialog.kind.rows]
    depot.write_text(LIST)
    dialog.kind.current(kinds.index("cable"))
    hands.stroke(dialog.kind, "<ComboboxSelected>")
    hands.until(lambda: dialog.settled, "it is not read again")
    assert hands.told == []


def test_a_large_list_shows_how_far_it_is_and_can_be_stopped(hands, depot):
    depot.write_text(LIST + "".join(f"C{n};red;2,5 mm2;2,9;7,6;0,45\n" for n in range(100_000)))
    hands.stroke(hands.root, "Control-i")
    dialog = hands.dialog()
    hands.until(lambda: len(hands.dialogs) == 2, "no progress is shown")
    hands.until(lambda: "row " in hands.dialogs[-1]._what["text"], "it does not say how far it is")
    hands.screen.shoot("intake-working")
    hands.press(say("dialog.cancel"), hands.dialogs[-1])
    hands.until(lambda: len(hands.dialogs) == 1, "it does not stop")
    assert dialog.summary["text"] == say("intake.stopped")
    assert dialog.keep_button.instate(["disabled"])
    assert not user_folder().exists()


def test_an_own_catalog_is_removed_from_among_the_others(hands, depot):
    _open(hands).keep()
    hands.settle()
    hands.key("ctrl+k")
    dialog = hands.dialog()
    dialog.kind.current([name for name, _ in dialog.kind.rows].index("cable"))
    hands.stroke(dialog.kind, "<ComboboxSelected>")
    hands.keys(dialog.word.entry, "cable:a1")
    assert dialog.list.chosen == "cable:depot/A1"
    hands.screen.shoot("catalogs-own")
    assert complaints(dialog) == []
    hands.press(say("catalogs.remove", name="depot"), dialog)
    hands.press(say("catalogs.remove-yes"), hands.dialogs[-1])
    hands.until(lambda: len(hands.dialogs) == 1, "the question stays")
    hands.settle()
    assert not (user_folder() / "depot.csv").exists()
    assert dialog.list.chosen is None
    assert dialog.removing.instate(["disabled"])


def test_the_file_that_cannot_be_read_is_told(hands, depot):
    depot.unlink()
    hands.root.after(1, lambda: hands.window.do("add-list"))
    told = " ".join(hands.texts(hands.dialog()))
    assert "depot.csv" in told
