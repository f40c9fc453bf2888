"""What survives: a kill at any moment, a window that ended without saving, a disk that does not take it."""

from __future__ import annotations

import datetime
import json
import subprocess
import sys
from pathlib import Path as FilePath

import pytest

from rigfeed import Add, Path, Remove, Rename, Set, example
from rigfeed_gui.logic import journal
from rigfeed_gui.logic.recovery import Recovery
from rigfeed_gui.logic.work import Work

EDITOR = FilePath(__file__).with_name("editor.py")
KILLS = 50
LENGTH = Path("conductors", "W1", "length")


@pytest.fixture
def file(tmp_path):
    path = tmp_path / "design.toml"
    path.write_bytes(example("hazel").read_bytes())
    return path


def _edited(file, length="0.17 m"):
    work = Work.open(file)
    work.edit([Set(LENGTH, length)], "length of W1")
    return work


def _crashed(folder, work):
    """What a window that was killed leaves: its file, and a lock that nobody holds."""
    recovery = Recovery(folder)
    recovery.keep(work)
    recovery.close()


@pytest.mark.skipif(sys.platform == "win32", reason="forks")
def test_a_kill_at_any_moment_loses_the_last_edit_at_most(file):
    done = subprocess.run([sys.executable, EDITOR, file.parent, str(KILLS)], capture_output=True, text=True, check=True)
    rounds = [json.loads(line) for line in done.stdout.splitlines()]
    assert len(rounds) == KILLS
    assert [r for r in rounds if r["found"] < r["announced"]] == []  # not even the last one
    assert {r["where"] for r in rounds} == {"file", "1 kept"}
    assert max(r["announced"] for r in rounds) > 3


def test_a_crash_is_offered_and_undo_leads_back_to_the_file(file, tmp_path):
    _crashed(tmp_path / "kept", _edited(file))
    recovery = Recovery(tmp_path / "kept")
    (lost,) = recovery.lost()
    assert (lost.file, lost.file_changed) == (file, False)
    assert lost.title.startswith("Hazel")
    work = recovery.restore(lost)
    assert work.dirty
    assert work.design.conductors["W1"].length.text == "0.17 m"
    work.undo()
    assert not work.dirty
    work.redo()
    work.save()
    recovery.forget(work)
    assert recovery.lost() == ()
    assert '"0.17 m"' in file.read_text()
    recovery.close()


def test_what_is_restored_stays_kept_until_it_is_saved(file, tmp_path):
    _crashed(tmp_path / "kept", _edited(file))
    again = Recovery(tmp_path / "kept")
    again.restore(again.lost()[0])
    again.close()  # it ends once more without saving
    recovery = Recovery(tmp_path / "kept")
    assert len(recovery.lost()) == 1
    recovery.close()


def test_a_design_without_a_file_is_kept_too(tmp_path):
    work = Work.fresh(example("hazel").read_text())
    work.edit([Set(LENGTH, "0.17 m")], "length of W1")
    _crashed(tmp_path / "kept", work)
    recovery = Recovery(tmp_path / "kept")
    (lost,) = recovery.lost()
    assert lost.file is None
    work = recovery.restore(lost)
    assert (work.path, work.dirty) == (None, True)
    assert work.design.conductors["W1"].length.text == "0.17 m"
    recovery.close()


def test_what_is_kept_can_be_read_with_an_editor(file, tmp_path):
    work = _edited(file)
    _crashed(tmp_path / "kept", work)
    (kept,) = (tmp_path / "kept").glob("*.toml")
    assert Work.open(kept).design == Work.open(file).design
    remarks = [line for line in kept.read_text().splitlines() if line.startswith(("# not saved", "# then"))]
    assert len(remarks) == 2
    assert "conductors.W1.length" in remarks[1]
    assert "0.17 m" in remarks[1]


def _again(folder):
    """What a restore gives, with its undo as words."""
    recovery = Recovery(folder)
    work = recovery.restore(recovery.lost()[0])
    final, undone = work.design, []
    while work.undoes is not None:
        undone.append(work.undoes)
        work.undo()
    recovery.close()
    return final, undone, work.design


def test_undo_and_redo_survive_with_everything_that_can_be_undone(file, tmp_path):
    work, recovery = Work.open(file), Recovery(tmp_path / "kept")
    steps = [
        lambda: work.edit([Set(LENGTH, "0.17 m")], "one"), lambda: work.edit([Remove(Path("nodes", "vhf"))], "two"),
        work.undo, lambda: work.edit([Rename(Path("nodes", "F1"), "F9"), Add(Path("zones", "bed"), {})], "three"),
        work.undo, work.redo, lambda: work.edit([Set(Path("drawing", "points", "seat"), [50.0, 20.5])], "four"),
    ]
    for step in steps:
        step()
        recovery.keep(work)
    recovery.close()
    assert _again(tmp_path / "kept") == (work.design, ["four", "three", "one"], Work.open(file).design)


def test_undo_of_what_was_saved_is_kept_too(file, tmp_path):
    work, recovery = Work.open(file), Recovery(tmp_path / "kept")
    for length in ("0.17 m", "0.18 m"):
        work.edit([Set(LENGTH, length)], length)
        recovery.keep(work)
    work.save()
    recovery.forget(work)
    work.undo()
    recovery.keep(work)
    work.undo()
    recovery.keep(work)
    recovery.close()
    final, _, there = _again(tmp_path / "kept")
    assert final.conductors["W1"].length.text == "0.15 m"
    assert there.conductors["W1"].length.text == "0.18 m"


def test_a_value_that_no_line_can_hold_is_kept_all_the_same(file, tmp_path):
    work, recovery = Work.open(file), Recovery(tmp_path / "kept")
    work.edit([Set(LENGTH, "0.17 m")], "one")
    recovery.keep(work)
    work.edit([Set(Path("drawing", "seen"), datetime.date(2026, 5, 31))], "a date")
    recovery.keep(work)
    recovery.close()
    assert _again(tmp_path / "kept")[0] == work.design


def test_a_long_journal_begins_anew(file, tmp_path, monkeypatch):
    monkeypatch.setattr(journal, "MOST_STEPS", 3)
    work, recovery = Work.open(file), Recovery(tmp_path / "kept")
    for number in range(8):
        work.edit([Set(Path("job", "note"), str(number))], str(number))
        recovery.keep(work)
    recovery.close()
    (kept,) = (tmp_path / "kept").glob("*.toml")
    assert len(journal.read_journal(kept).steps) <= 3
    assert _again(tmp_path / "kept")[0] == work.design


@pytest.mark.parametrize("cut", [1, 5, 40])
def test_a_step_that_was_being_written_is_the_only_one_lost(cut, file, tmp_path):
    work, recovery = Work.open(file), Recovery(tmp_path / "kept")
    for length in ("0.17 m", "0.18 m"):
        work.edit([Set(LENGTH, length)], length)
        recovery.keep(work)
    recovery.close()
    (kept,) = (tmp_path / "kept").glob("*.toml")
    kept.write_bytes(kept.read_bytes()[: -1 - cut])
    assert _again(tmp_path / "kept")[0].conductors["W1"].length.text == "0.17 m"


def test_a_running_window_keeps_its_own(file, tmp_path):
    running, other = Recovery(tmp_path / "kept"), Recovery(tmp_path / "kept")
    running.keep(_edited(file))
    assert other.lost() == running.lost() == ()
    running.close()
    assert len(other.lost()) == 1
    other.close()


def test_a_crash_right_after_saving_has_lost_nothing(file, tmp_path):
    work = _edited(file)
    _crashed(tmp_path / "kept", work)
    work.save()
    recovery = Recovery(tmp_path / "kept")
    assert recovery.lost() == ()
    assert list((tmp_path / "kept").glob("*.toml")) == []
    recovery.close()


def test_saving_over_what_another_program_wrote_is_refused_after_a_crash_too(file, tmp_path):
    _crashed(tmp_path / "kept", _edited(file))
    file.write_text("format = 1\n[job]\ntitle = 'by hand'\n")
    recovery = Recovery(tmp_path / "kept")
    (lost,) = recovery.lost()
    assert lost.file_changed
    work = recovery.restore(lost)
    assert work.design.conductors["W1"].length.text == "0.17 m"
    work.undo()
    assert work.design.job.title == "by hand"
    recovery.close()


def test_a_file_that_is_no_design_any_more_does_not_stop_a_restore(file, tmp_path):
    _crashed(tmp_path / "kept", _edited(file))
    file.write_text("no design at all [")
    recovery = Recovery(tmp_path / "kept")
    work = recovery.restore(recovery.lost()[0])
    assert work.dirty
    assert work.changed_on_disk()
    recovery.close()


@pytest.mark.parametrize("content", ["", "# not saved yet: {}\nformat = 1", "format = 1\n", "\0\0\0"])
def test_a_spoilt_recovery_file_is_left_alone_and_stops_nothing(content, tmp_path):
    folder = tmp_path / "kept"
    folder.mkdir()
    (folder / "0123456789abcdef-aaaaaaaaaaaa.toml").write_text(content)
    recovery = Recovery(folder)
    assert recovery.lost() == ()
    assert len(list(folder.glob("*.toml"))) == 1
    recovery.close()


def test_a_disk_that_does_not_take_it_is_told_and_the_work_goes_on(file, tmp_path):
    recovery = Recovery(tmp_path / "kept")
    for path in (tmp_path / "kept").iterdir():
        path.unlink()
    (tmp_path / "kept").rmdir()
    (tmp_path / "kept").write_text("in the way")
    work = _edited(file)
    recovery.keep(work)
    assert "cannot be kept" in recovery.trouble()
    (tmp_path / "kept").unlink()
    work.edit([Set(LENGTH, "0.18 m")], "length of W1")
    recovery.keep(work)
    assert recovery.trouble() is None
    other = Recovery(tmp_path / "kept")
    assert other.lost() == ()  # the lock is back too: what is being worked on is not taken for lost
    assert len(list((tmp_path / "kept").glob("*.toml"))) == 1
    other.close()
    recovery.close()


def test_a_folder_that_cannot_be_made_is_told_from_the_start(file, tmp_path):
    (tmp_path / "kept").write_text("in the way")
    recovery = Recovery(tmp_path / "kept")
    assert "cannot be kept" in recovery.trouble()
    assert recovery.lost() == ()
    recovery.forget(_edited(file))
    recovery.close()


def test_what_is_given_up_goes(file, tmp_path):
    _crashed(tmp_path / "kept", _edited(file))
    recovery = Recovery(tmp_path / "kept")
    recovery.discard(recovery.lost()[0])
    assert recovery.lost() == ()
    recovery.close()


def test_locks_of_windows_that_are_no_more_go(tmp_path):
    (tmp_path / "0123456789ab.lock").touch()
    recovery = Recovery(tmp_path)
    recovery.lost()
    assert not (tmp_path / "0123456789ab.lock").exists()
    recovery.close()
    assert list(tmp_path.iterdir()) == []
