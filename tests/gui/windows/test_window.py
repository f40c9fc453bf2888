"""The window as a whole: its commands and keys, its looks, how it starts."""

from __future__ import annotations

import os
import subprocess
import sys
import threading

import pytest
from tests.gui.windows.geometry import complaints
from tests.gui.windows.hands import everything, lengthen

from rigfeed.cautions import CAUTIONS
from rigfeed.errors import DesignError
from rigfeed.path import Path
from rigfeed_gui.actions import Actions
from rigfeed_gui.logic import starting
from rigfeed_gui.logic.commands import COMMANDS
from rigfeed_gui.logic.settings import load_settings
from rigfeed_gui.logic.words import say
from rigfeed_gui.panels.scrolled import TAKES_KEYS


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
    lengthen(hands)
    menus.refresh("edit")
    assert edit.entrycget(0, "label") == "Undo: length of bay"
    assert edit.entrycget(0, "state") == "normal"


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
    lengthen(opened)
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
    opened.window.bench.panes["columns"].sashpos(0, 500)
    opened.root.update()
    opened.key("ctrl+q")
    assert not opened.window.alive
    kept = load_settings(tmp_path / "settings.json")
    assert kept.geometry.startswith("950x640")
    assert dict(kept.sashes)["columns"] == 500
    assert kept.recent[0].endswith("hazel.toml")


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


def test_a_first_design_is_made_beside_the_window(hands, monkeypatch):
    """Cables are tried one after the other for it: the loop goes on, and what is wrong is told where it was asked."""
    go, page = threading.Event(), hands.window.start
    answers = {"title": "Birch", "load": "radio:vhf-25", "battery": "battery:flooded-45", "to_fuse": "0.15 m",
               "bay": "0.9 m", "cabin": "2 m", "back": "0.4 m"}

    def slow(given, practice, shelf):
        assert go.wait(20)
        assert given == answers
        raise DesignError("no cable is thick enough", remedy="a shorter way")

    monkeypatch.setattr(starting, "begun", slow)
    for name, text in answers.items():
        page.rows[name].line.put(text)
    hands.root.update()
    hands.press(say("start.begin"))
    assert page.begin.instate(["disabled"]), "once is enough"
    hands.root.update()
    go.set()
    hands.until(page._wrong.winfo_ismapped, "nothing is told")
    assert "no cable is thick enough" in page._wrong["text"]
    assert page.begin.instate(["!disabled"])
    assert hands.session.work is None
