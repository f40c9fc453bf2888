"""One design beside another, and a reading entered: each dialog used as a person uses it."""

from __future__ import annotations

from tests.gui.windows.geometry import complaints
from tests.gui.windows.hands import lengthen

from rigfeed.examples import example
from rigfeed_gui.dialogs import files
from rigfeed_gui.logic.words import say


def rows(dialog) -> list[tuple[str, ...]]:
    return list(dialog.table.every)


def test_what_was_changed_stands_beside_what_was_saved(opened):
    lengthen(opened, "3.4 m")
    opened.key("ctrl+shift+b")
    opened.dialog()
    dialog = opened.dialogs[0]  # above it stands for a moment how far the work is
    opened.until(lambda: dialog.comparison is not None and len(opened.dialogs) == 1, "nothing is compared")
    assert ("written", "runs.bay.length", "0.90 m", "3.4 m") in rows(dialog)
    assert any(row[0] == "volts" and row[1].startswith("vhf") for row in rows(dialog))
    opened.screen.shoot("compare-saved")
    assert complaints(dialog) == []
    opened.key("Escape")
    opened.session.undo()
    opened.settle()
    opened.key("ctrl+shift+b")
    assert opened.dialog().saved.instate(["disabled"])  # nothing differs from what was saved


def test_the_design_in_hand_beside_one_in_a_file(opened, tmp_path, monkeypatch):
    other, broken = tmp_path / "other.toml", tmp_path / "broken.toml"
    hazel = example("hazel").read_text(encoding="utf-8")
    other.write_text(hazel.replace("fuse:blade-10", "fuse:blade-30").replace('"Hazel:', '"Another:'), encoding="utf-8")
    broken.write_text("format = 1\nnodes = 7\n")
    chosen = [broken, other]
    monkeypatch.setattr(files.filedialog, "askopenfilename", lambda **options: str(chosen.pop(0)))
    opened.key("ctrl+shift+b")
    dialog = opened.dialog()
    opened.press(say("comparing.file"), dialog)
    opened.until(lambda: len(opened.dialogs) == 2, "a broken file is not told")
    assert any("nodes" in text for text in opened.texts(opened.dialogs[-1]))
    opened.key("Escape")
    opened.press(say("comparing.file"), dialog)
    opened.until(lambda: dialog.comparison is not None and len(opened.dialogs) == 1, "nothing is compared")
    assert dialog.comparison.before.installation.title.startswith("Another")
    assert {row[0] for row in rows(dialog)} >= {"finding gone", "amounts", "written"}
    assert "Nothing here says that one is safe" in dialog.note["text"]
    opened.stroke(dialog.table.tree, "Home")
    assert "finding gone: fuse-above" in dialog.whole.shown
    assert "First: error: " in dialog.whole.shown
    assert dialog.whole.shown.rstrip().endswith(".")  # the sentence as a whole
    opened.screen.shoot("compare-file")
    assert complaints(dialog) == []


def test_a_reading_takes_the_place_of_an_assumption_and_can_be_undone(opened):
    opened.key("ctrl+shift+m")
    dialog = opened.dialog()
    for name, text in (("node", "start"), ("idle", "12.62 V"), ("loaded", "12.49 V"), ("current", "11.2 A")):
        opened.keys(dialog.rows[name].focus, text)
    assert "11.6 mohm" in dialog.answer["text"]
    assert "Assumed until now: 12 mohm" in dialog.answer["text"]
    assert dialog.rows["temperature"].shown
    assert not dialog.rows["to"].shown
    opened.keys(dialog.rows["temperature"].focus, "15 C")
    opened.screen.shoot("reading-battery")
    assert complaints(dialog) == []
    opened.press(say("measuring.enter"), dialog)
    opened.settle()
    assert not opened.dialogs
    settings = opened.session.work.design.nodes["start"].settings
    assert (str(settings["resistance"]), str(settings["resistance_at"])) == ("11.61 mohm", "15 C")
    assert "nodes.start.settings.resistance" not in {str(a.subject) for a in opened.session.assessment.assumptions}
    opened.key("ctrl+z")
    opened.settle()
    assert "resistance" not in opened.session.work.design.nodes["start"].settings


def test_a_reading_that_cannot_be_is_told_while_it_is_typed(opened):
    opened.key("ctrl+shift+m")
    dialog = opened.dialog()
    before = opened.session.work.version
    for name, text in (("node", "stud"), ("idle", "0 mV"), ("loaded", "4 mV"), ("current", "6.5 A"), ("to", "start")):
        opened.keys(dialog.rows[name].focus, text)
    assert "the strap alone has" in dialog.answer["text"]
    opened.screen.shoot("reading-wrong")
    assert complaints(dialog) == []
    opened.press(say("measuring.enter"), dialog)
    assert opened.dialogs
    assert opened.session.work.version == before
