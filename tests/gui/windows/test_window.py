"""The window as a whole: what is told when something goes wrong, what is asked before anything is lost, its looks."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import sys
import threading
import time
import zipfile
from pathlib import Path as FilePath

import pytest
from tests.gui.windows.geometry import complaints
from tests.gui.windows.hands import Hands, everything

from rigfeed.cautions import CAUTIONS
from rigfeed.design.edit import Set
from rigfeed.errors import Cancelled, FileProblem
from rigfeed.examples import example
from rigfeed.path import Path
from rigfeed_gui import faults
from rigfeed_gui.actions import Actions
from rigfeed_gui.dialogs import files
from rigfeed_gui.dialogs.working import Working
from rigfeed_gui.logic import assessor
from rigfeed_gui.logic.assessor import Job
from rigfeed_gui.logic.commands import COMMANDS
from rigfeed_gui.logic.settings import load_settings
from rigfeed_gui.logic.words import say
from rigfeed_gui.panels.scrolled import TAKES_KEYS

LENGTH = Path("runs", "bay", "length")


@pytest.fixture
def file(tmp_path) -> FilePath:
    """A copy of Hazel."""
    return FilePath(shutil.copy(example("hazel"), tmp_path / "hazel.toml"))


@pytest.fixture
def opened(hands, file) -> Hands:
    """Hazel in hand."""
    hands.session.open(file)
    hands.settle()
    return hands


def _edit(hands: Hands, length: str = "1.1 m") -> None:
    hands.session.edit([Set(LENGTH, length)], "length of bay")
    hands.settle()


# commands


def test_every_command_does_something_that_is_written_down():
    for command in COMMANDS:
        method = getattr(Actions, command.id.replace("-", "_"))
        assert method.__doc__


def test_every_key_reaches_its_command(opened, monkeypatch):
    done = []
    monkeypatch.setattr(opened.window.actions, "run", done.append)
    for command in COMMANDS:
        if command.key:
            opened.stroke(opened.window.bench.surface.canvas, command.key.strip("<>"))
            assert done[-1:] == [command.id], f"{command.key} does not what it says"


def test_a_key_in_a_line_of_text_does_its_command_and_nothing_else(opened):
    opened.session.select(Path("nodes", "F1"))
    opened.settle()
    entry = opened.window.bench.thing.rows[Path("nodes", "F1", "title")].focus
    opened.fill(entry, "main fuse")
    opened.key("ctrl+k")
    opened.dialog()
    assert entry.get() == "main fuse"
    opened.key("Escape")
    opened.until(lambda: not opened.dialogs, "the catalogs stay")


def test_menus_grey_what_cannot_be_done(hands, file):
    menus = hands.window.menus
    menus.refresh("edit")
    edit = menus.menus["edit"]
    states = {edit.entrycget(n, "label"): edit.entrycget(n, "state") for n in range(edit.index("end") + 1)
              if edit.type(n) == "command"}
    assert set(states.values()) == {"disabled"}
    hands.session.open(file)
    _edit(hands)
    menus.refresh("edit")
    assert edit.entrycget(0, "label") == "Undo: length of bay"
    assert edit.entrycget(0, "state") == "normal"


# what goes wrong


def test_a_fault_in_a_handler_ends_in_words_and_a_log_and_the_design_is_there(opened, tmp_path, monkeypatch):
    monkeypatch.setattr(faults, "log_folder", lambda: tmp_path / "logs")
    _edit(opened)
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


def test_a_window_without_a_place_for_recovery_says_so_and_works(open_window, tmp_path, file):
    (tmp_path / "recovery").write_text("in the way", encoding="utf-8")
    opened = open_window()
    opened.session.open(file)
    opened.settle()
    status = opened.window.bench.status.label
    assert "Nothing is kept against a crash" in status["text"]
    _edit(opened)
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


# what could be lost


def test_leaving_asks_before_anything_is_lost(opened, file):
    before = file.read_bytes()
    _edit(opened)
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
    _edit(opened)
    opened.key("ctrl+q")
    opened.press(say("unsaved.drop"), opened.dialog())
    assert not opened.window.alive
    assert file.read_bytes() == before


def test_another_program_and_the_same_file(opened, file):
    _edit(opened)
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
    _edit(opened)
    file.write_text("format = 1\n", encoding="utf-8")
    os.utime(file, (time.time() + 5, time.time() + 5))
    opened.key("ctrl+s")
    opened.press(say("changed.keep"), opened.dialog())
    opened.settle()
    assert 'length = "1.1 m"' in file.read_text(encoding="utf-8")
    assert not opened.session.work.dirty


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


# looks


def test_cautions_come_first_and_once(open_window):
    hands = open_window(cautions_seen=False)
    dialog = hands.dialog()
    told = hands.texts(dialog)
    assert set(CAUTIONS) <= set(told)
    hands.press(say("cautions.seen"), dialog)
    assert hands.session.settings.cautions_seen
    assert load_settings(hands.session._settings_path).cautions_seen


def test_colours_change_everywhere_at_once(opened):
    opened.key("ctrl+shift+d")
    opened.settle()
    assert opened.session.settings.palette == "dark"
    sheet, ground = opened.window.theme.palette.sheet, opened.window.theme.palette.ground
    pixels = opened.screen.pixels()
    dark = {tuple(int(colour[i : i + 2], 16) for i in (1, 3, 5)) for colour in (sheet, ground)}
    shown = {tuple(pixel) for pixel in pixels[::7, ::7].reshape(-1, 3).tolist()}
    assert dark <= shown
    light = (pixels.astype(int).sum(axis=2) > 3 * 0xD0).mean()
    assert light < 0.06, f"{light:.0%} of a dark window is light"


def test_everything_grows_and_the_design_stays(opened):
    opened.session.select(Path("nodes", "vhf"))
    _edit(opened)
    opened.window.do("larger")
    opened.settle()
    opened.settle()
    assert opened.session.settings.scaling == pytest.approx(1.1)
    assert opened.window.bench.thing.thing.path == Path("nodes", "vhf")
    assert opened.window.bench.surface.scene is opened.session.scene
    assert opened.session.work.dirty
    opened.window.do("smaller")
    opened.window.do("smaller")
    opened.settle()
    opened.settle()
    assert complaints(opened.root) == []


def test_us_units_everywhere_at_once(opened):
    opened.session.select(Path("conductors", "W2"))
    opened.settle()
    metric = [line.value for line in opened.window.bench.thing.thing.computed]
    opened.key("ctrl+u")
    opened.settle()
    us = [line.value for line in opened.window.bench.thing.thing.computed]
    assert metric != us
    assert any(" ft" in value for value in us)
    assert opened.window.bench.thing.rows[Path("conductors", "W2", "colour")].line.text == "RD", "what is typed stays"


def test_the_window_comes_back_where_it_was(opened, tmp_path):
    opened.root.geometry("950x640+20+10")
    opened.root.update()
    opened.window.bench.panes["top"].sashpos(0, 500)
    opened.root.update()
    opened.key("ctrl+q")
    assert not opened.window.alive
    kept = load_settings(tmp_path / "settings.json")
    assert kept.geometry.startswith("950x640")
    assert dict(kept.sashes)["top"] == 500
    assert kept.recent[0].endswith("hazel.toml")


def test_findings_are_walked_filtered_and_explained(hands):
    opened = hands
    opened.session.begin(example("larch").read_text(encoding="utf-8"), kept=True)
    opened.settle()
    bench, session = opened.window.bench, opened.session
    total = len(bench.findings.shown)
    opened.key("F4")
    assert session.finding is session.assessment.findings[0]
    assert bench.explaining.explained is not None
    opened.settle()
    assert session.finding.advice() in bench.explaining.text.shown
    bench.findings.severity.current(1)
    opened.stroke(bench.findings.severity, "<ComboboxSelected>")
    assert {row.finding.severity for row in bench.findings.shown} == {"error"}
    assert len(bench.findings.shown) < total
    bench.findings.severity.current(0)
    opened.stroke(bench.findings.severity, "<ComboboxSelected>")
    opened.keys(bench.findings.word.entry, "cables fill")
    assert 0 < len(bench.findings.shown) < total


def test_the_first_thing_to_mend_is_told_before_anything_is_chosen(hands):
    """Nobody has to look for it: its words, what to do, and the button stand there from the start."""
    opened, session = hands, hands.session
    session.begin(example("larch").read_text(encoding="utf-8").replace('"fuse:c-30"', '"fuse:c-60"'), kept=True)
    opened.settle()
    explaining = opened.window.bench.explaining
    first = session.assessment.findings[0]
    assert session.finding is None
    assert session.selection is None
    assert explaining.text.shown.startswith(say("explain.first"))
    assert first.text() in explaining.text.shown
    assert first.advice() in explaining.text.shown
    session.select(Path("passages", "H1"))
    opened.settle()
    assert say("explain.first") not in explaining.text.shown
    assert "H1" in explaining.text.shown.splitlines()[0]
    session.select(Path("points", "roof"))
    opened.settle()
    assert explaining.text.shown.startswith(say("explain.first-other", thing="roof"))
    assert first.text() in explaining.text.shown


def test_a_note_gives_way_to_what_is_chosen_next(opened):
    bench, session = opened.window.bench, opened.session
    bench.lists.select(bench.assumed)
    opened.settle()
    bench.assumed.list.tree.selection_set("0")
    opened.settle()
    what, why, _ = bench.assumed.lines[0]
    assert bench.explaining.text.shown == f"{what}\n{why}"
    session.select(Path("conductors", "W2") if session.selection != Path("conductors", "W2") else Path("nodes", "F1"))
    opened.settle()
    assert what not in bench.explaining.text.shown


def test_an_accepted_finding_stays_visible_with_who_said_so(opened):
    session = opened.session
    opened.key("F4", "ctrl+shift+Return")
    form = opened.dialog()
    opened.type("measured in the car")
    opened.key("Tab")
    opened.type("somebody")
    opened.key("Return")
    opened.until(lambda: not opened.dialogs, "the form stays")
    opened.settle()
    accepted = [f for f in session.assessment.findings if f.accepted_by]
    assert [f.accepted_by for f in accepted] == ["somebody: measured in the car"]
    assert form.rows["by"] is not None
    session.choose_finding(accepted[0])
    opened.settle()
    assert say("explain.reopen") in opened.texts(opened.window.bench.explaining)


def test_removing_names_what_goes_with_it(opened):
    opened.session.select(Path("points", "seat"))
    opened.settle()
    opened.key("ctrl+Delete")
    dialog = opened.dialog()
    told = " ".join(opened.texts(dialog))
    assert "runs.sill" in told
    assert complaints(dialog) == []
    opened.press(say("removing.remove"), dialog)
    opened.settle()
    assert "seat" not in opened.session.work.design.points
    assert opened.session.selection is None


# tools


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
    assert dialog._note["text"] == say("papers.no-paper")
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
    assert dialog.table is not None
    rows = [dialog.table.tree.item(row, "values") for row in dialog.table.tree.get_children()]
    assert any("W2" in str(row) for row in rows)
    opened.press(say("papers.write"), dialog)
    done = say("papers.open-folder")
    opened.until(lambda: opened.dialogs and done in opened.texts(opened.dialogs[-1]), "not written")
    written = sorted(path.name for path in folder.rglob("*") if path.is_file())
    assert any(name.endswith(".xlsx") for name in written)
    with zipfile.ZipFile(next(folder.rglob("*.xlsx"))) as book:
        texts = " ".join(book.read(name).decode("utf-8") for name in book.namelist() if name.endswith(".xml"))
    assert "Disconnect the battery" in texts


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


def test_the_shelf_shows_where_figures_come_from(hands):
    hands.key("ctrl+k")
    dialog = hands.dialog()
    kinds = [name for name, _ in dialog.kind.rows]
    dialog.kind.current(kinds.index("cable"))
    hands.stroke(dialog.kind, "<ComboboxSelected>")
    hands.keys(dialog.word.entry, "thinwall-4")
    rows = [dialog.list.tree.item(row, "values") for row in dialog.list.tree.get_children()]
    assert rows
    assert all("thinwall-4" in row[0] and row[2] and row[3] for row in rows)
    details = dict(dialog.details.tree.item(row, "values") for row in dialog.details.tree.get_children())
    assert {"source", "confidence"} <= set(details)


def test_nothing_can_be_come_to_by_tab_that_takes_no_keys(opened):
    """Tab goes round through fields, lists and buttons, and comes back."""
    opened.session.select(Path("nodes", "F1"))
    opened.settle()
    start = widget = opened.window.bench.surface.canvas
    met = set()
    for _ in range(200):
        widget = widget.tk_focusNext()
        met.add(widget)
        if widget is start:
            break
    assert widget is start, "Tab does not come round"
    taking = {*TAKES_KEYS, "Treeview", "Canvas", "Text", "TNotebook"}
    assert {w.winfo_class() for w in met} <= taking
    fields = {row.focus for row in opened.window.bench.thing.rows.values()}
    assert fields <= met
    assert len(list(everything(opened.root))) > len(met)


def test_opening_loads_no_figures_and_no_writer(screens, tool):
    tool("Xvfb")
    code = (
        "import sys; from rigfeed_gui.logic.session import Session; from rigfeed_gui.logic.settings import Settings\n"
        "from rigfeed_gui.window import Window; w = Window(Session(Settings(cautions_seen=True))); w.root.update()\n"
        "print(*sys.modules); w.destroy()"
    )
    environment = {**os.environ, "DISPLAY": screens["common"].display, "XDG_STATE_HOME": os.environ["XDG_DATA_HOME"]}
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, env=environment)
    assert not set(done.stdout.split()) & {"matplotlib", "openpyxl", "scipy", "flask", "tomlkit"}


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
