"""What goes wrong, what could be lost: told in words, asked first, and there again after a crash."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time

import pytest
from tests.gui.windows.geometry import complaints
from tests.gui.windows.hands import everything, lengthen

from rigfeed.design.edit import Set
from rigfeed.errors import MOST_LISTED, FileProblem
from rigfeed.path import Path
from rigfeed_gui import faults
from rigfeed_gui.logic import assessor
from rigfeed_gui.logic.commands import command
from rigfeed_gui.logic.words import say


def test_a_fault_in_a_handler_ends_in_words_and_a_log_and_the_design_is_there(opened, tmp_path, monkeypatch):
    monkeypatch.setattr(faults, "log_folder", lambda: tmp_path / "logs")
    lengthen(opened)
    opened.root.after(1, lambda: 1 / 0)
    dialog = opened.dialog()
    opened.screen.shoot("fault")
    assert complaints(dialog) == []
    log = next((tmp_path / "logs").glob("fault-*.log"))
    assert "ZeroDivisionError" in log.read_text(encoding="utf-8")
    told = " ".join(opened.texts(dialog))
    assert str(log) in told
    assert "Save it under another name" in told
    opened.press(say("dialog.close"), dialog)
    assert opened.session.work.design.runs["bay"].length.text == "1.1 m"
    opened.key("ctrl+s")
    assert 'length = "1.1 m"' in opened.session.work.path.read_text(encoding="utf-8")


def test_a_fault_of_ours_while_assessing_is_told_and_logged_like_any_other(opened, tmp_path, monkeypatch):
    monkeypatch.setattr(faults, "log_folder", lambda: tmp_path / "logs")

    def breaks(*given: object, **options: object) -> None:
        raise ZeroDivisionError("in the thread")

    with monkeypatch.context() as patched:
        patched.setattr(assessor, "assess", breaks)
        opened.session.edit([Set(Path("runs", "bay", "length"), "1.1 m")], "length of bay")
        dialog = opened.dialog()
    log = next((tmp_path / "logs").glob("fault-*.log"))
    assert "in the thread" in log.read_text(encoding="utf-8")
    assert "breaks" in log.read_text(encoding="utf-8")
    opened.press(say("dialog.close"), dialog)
    opened.session.edit([Set(Path("runs", "bay", "length"), "1.2 m")], "length of bay")
    opened.settle()
    assert opened.session.failure is None


@pytest.mark.parametrize("screen", ["common", "cramped"])
def test_a_file_full_of_errors_is_told_with_its_lines_and_can_be_read_to_the_end(open_window, tmp_path, screen):
    hands = open_window(screen)
    path = tmp_path / "full.toml"
    path.write_text("format = 1\n" + "".join(f'[runs.r{n}]\nfrom = "x"\nto = "y"\nlength = "1 m"\n' for n in range(15)))
    hands.root.after(1, lambda: hands.session.open(path))
    dialog = hands.dialog()
    hands.screen.shoot(f"errors-{screen}")
    assert complaints(dialog, hands.screen.factor) == []
    (_, told), = hands.told
    assert told.count(str(path)) == 1
    assert told.startswith(say("fault.in-file", file=path))
    lines = told.splitlines()
    assert lines[1].startswith("line 3: runs.r0.from: there is no point 'x'")
    assert len(lines) == 2 + MOST_LISTED
    assert lines[-1] == say("fault.more", count=30 - MOST_LISTED)
    shown = next(w for w in everything(dialog) if w.winfo_class() == "Text")
    assert shown.shown == told
    hands.press(say("dialog.close"), dialog)
    assert hands.session.work is None


def test_a_design_with_nothing_in_it_says_so_and_claims_nothing(hands, tmp_path):
    path = tmp_path / "empty.toml"
    path.write_text("format = 1\n")
    hands.session.open(path)
    hands.settle()
    hands.until(lambda: hands.session.scene is not None, "no drawing comes")
    hands.settle()
    bench = hands.window.bench
    words = say("findings.empty", key=command("add").shown_key)
    assert bench.findings.empty["text"] == words
    assert bench.explaining.text.shown == words
    assert bench.status.label["text"] == say("summary.empty"), "no check can have been passed"
    view, scene = bench.surface.view, hands.session.scene
    right, bottom = view.to_screen((scene.width_mm, scene.height_mm))
    assert right <= bench.surface.canvas.winfo_width(), "the page is cut off"
    assert bottom <= bench.surface.canvas.winfo_height()
    hands.session.show_curves(True)
    hands.until(lambda: bench.curves.plotted is not None, "no curves come")
    hands.settle()
    assert say("curves.no-subject") in bench.curves.note["text"]
    hands.window.do("measured")
    assert say("measuring.nothing") in hands.texts(hands.dialog())
    assert complaints(hands.dialog()) == []
    hands.dialog().leave()
    for id_ in ("remove", "rename", "fix", "accept", "undo", "redo", "pick-route", "next-finding", "next-state"):
        hands.window.do(id_)
        hands.settle()
    assert not hands.told
    assert not hands.dialogs


def test_a_window_without_a_place_for_recovery_says_so_and_works(open_window, tmp_path, file):
    (tmp_path / "recovery").write_text("in the way", encoding="utf-8")
    opened = open_window()
    opened.session.open(file)
    opened.settle()
    status = opened.window.bench.status.label
    assert "Nothing is kept against a crash" in status["text"]
    lengthen(opened)
    (tmp_path / "recovery").unlink()
    opened.session.edit([Set(Path("job", "note"), "x")], "a note")
    opened.settle()
    assert "Nothing is kept" not in status["text"]
    assert list((tmp_path / "recovery").glob("*.toml"))
    assert list((tmp_path / "recovery").glob("*.lock"))


def test_faults_that_come_in_rows_open_one_dialog(opened, tmp_path, monkeypatch):
    monkeypatch.setattr(faults, "log_folder", lambda: tmp_path / "logs")
    for _ in range(30):
        opened.root.after(1, lambda: {}["nothing"])
    opened.dialog()
    opened.settle()
    assert len(opened.dialogs) == 1
    assert len(list((tmp_path / "logs").glob("*"))) <= faults.MOST_LOGS


def test_a_log_that_cannot_be_written_is_no_second_fault(tmp_path):
    (tmp_path / "file").write_text("in the way", encoding="utf-8")
    assert faults.write_log(ValueError("x"), tmp_path / "file") is None


def test_what_a_person_can_mend_is_told_without_a_log(opened, tmp_path, monkeypatch):
    monkeypatch.setattr(faults, "log_folder", lambda: tmp_path / "logs")

    def fails() -> None:
        raise FileProblem("the disk is full", remedy="make room and save again")

    opened.root.after(1, fails)
    told = opened.texts(opened.dialog())
    assert any("the disk is full" in text and "make room" in text for text in told)
    assert not (tmp_path / "logs").exists()


def test_a_file_that_cannot_be_read_is_told_and_the_start_page_stays(hands, tmp_path):
    bad = tmp_path / "bad.toml"
    bad.write_text("format = 1\n[runs.bay]\nfrom = 'a'\n", encoding="utf-8")
    hands.root.after(1, lambda: hands.window.actions.open_file(bad))
    told = " ".join(hands.texts(hands.dialog()))
    assert "bad.toml" in told
    assert hands.session.work is None


def test_leaving_asks_before_anything_is_lost(opened, file):
    before = file.read_bytes()
    lengthen(opened)
    opened.key("ctrl+w")
    dialog = opened.dialog()
    assert complaints(dialog) == []
    opened.key("Escape")
    assert opened.session.work is not None
    assert not opened.dialogs
    opened.key("ctrl+w")
    opened.press(say("unsaved.save"), opened.dialog())
    opened.until(lambda: opened.session.work is None, "the design is not closed")
    assert file.read_bytes() != before


def test_giving_up_gives_up(opened, file):
    before = file.read_bytes()
    lengthen(opened)
    opened.key("ctrl+q")
    opened.press(say("unsaved.drop"), opened.dialog())
    assert not opened.window.alive
    assert file.read_bytes() == before


def test_another_program_and_the_same_file(opened, file):
    lengthen(opened)
    theirs = file.read_text(encoding="utf-8").replace('"2.40 m"', '"2.60 m"')
    file.write_text(theirs, encoding="utf-8")
    os.utime(file, (time.time() + 5, time.time() + 5))
    opened.key("ctrl+s")
    dialog = opened.dialog()
    opened.screen.shoot("changed")
    assert complaints(dialog) == []
    opened.key("Escape")
    assert file.read_text(encoding="utf-8") == theirs, "deciding later writes nothing"
    opened.key("ctrl+s")
    opened.press(say("changed.read"), opened.dialog())
    opened.settle()
    assert opened.session.work.design.runs["sill"].length.text == "2.60 m"
    opened.key("ctrl+z")
    opened.settle()
    assert opened.session.work.design.runs["bay"].length.text == "1.1 m", "reading can be undone"


def test_what_is_in_hand_wins_if_a_person_says_so(opened, file):
    lengthen(opened)
    file.write_text("format = 1\n", encoding="utf-8")
    os.utime(file, (time.time() + 5, time.time() + 5))
    opened.key("ctrl+s")
    opened.press(say("changed.keep"), opened.dialog())
    opened.settle()
    assert 'length = "1.1 m"' in file.read_text(encoding="utf-8")
    assert not opened.session.work.dirty


def test_a_file_that_is_taken_away_is_told_and_can_be_saved_again(opened, file):
    before = file.read_bytes()
    file.unlink()
    opened.root.event_generate("<FocusIn>")
    dialog = opened.dialog()
    opened.screen.shoot("gone")
    assert complaints(dialog) == []
    assert "hazel.toml" in " ".join(opened.texts(dialog))
    assert opened.root.title().startswith("*"), "what is in no file is not saved"
    assert list(opened.session.recovery.folder.glob("*.toml")), "and is kept against a crash"
    opened.press(say("gone.save"), dialog)
    opened.settle()
    assert file.read_bytes() == before
    assert not opened.session.work.dirty
    file.unlink()
    opened.root.event_generate("<FocusIn>")
    opened.dialog()
    opened.key("Escape")
    opened.until(lambda: not opened.dialogs, "it stays")
    opened.root.event_generate("<FocusIn>")
    opened.settle()
    assert not opened.dialogs, "it is told once"
    opened.key("ctrl+w")
    assert say("unsaved.save") in opened.texts(opened.dialog()), "nothing goes without a question"


def test_a_file_that_is_gone_is_written_again_by_save_and_missed_when_leaving(opened, file):
    file.unlink()
    opened.key("ctrl+s")
    opened.settle()
    assert file.exists()
    file.unlink()
    opened.key("ctrl+q")
    assert say("unsaved.save") in opened.texts(opened.dialog())
    assert opened.window.alive


def test_a_second_change_by_another_program_is_told_like_the_first(opened, file):
    for metres in ("2.60 m", "2.80 m"):
        text = file.read_text(encoding="utf-8")
        file.write_text(text.replace('"2.40 m"', f'"{metres}"').replace('"2.60 m"', f'"{metres}"'), encoding="utf-8")
        opened.root.event_generate("<FocusIn>")
        opened.press(say("changed.read"), opened.dialog())
        opened.settle()
        assert opened.session.work.design.runs["sill"].length.text == metres


def test_a_window_that_is_killed_leaves_its_design_to_the_next_one(screens, tool, tmp_path, open_window, file):
    tool("Xvfb")
    code = (
        "import sys; from pathlib import Path as F; from rigfeed_gui.logic.recovery import Recovery\n"
        "from rigfeed_gui.logic.session import Session; from rigfeed_gui.logic.settings import Settings\n"
        "from rigfeed_gui.window import Window; from rigfeed.design.edit import Set; from rigfeed.path import Path\n"
        "s = Session(Settings(cautions_seen=True), Recovery(F(sys.argv[1])), settings_path=F(sys.argv[2]))\n"
        "w = Window(s); s.open(F(sys.argv[3]))\n"
        "s.edit([Set(Path('runs', 'bay', 'length'), '7 m')], 'length')\n"
        "w.root.after(400, lambda: print('kept', flush=True)); w.run()\n"
    )
    command = [sys.executable, "-c", code, str(tmp_path / "recovery"), str(tmp_path / "other.json"), str(file)]
    environment = {**os.environ, "DISPLAY": screens["common"].display}
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True, env=environment) as process:
        assert process.stdout.readline() == "kept\n"
        process.send_signal(signal.SIGKILL)
    hands = open_window()
    hands.screen.shoot("start-lost")
    assert complaints(hands.root) == []
    hands.press(say("start.restore"))
    hands.until(lambda: hands.session.work is not None, "nothing is restored")
    hands.settle()
    assert hands.session.work.design.runs["bay"].length.text == "7 m"
    assert hands.session.work.dirty
