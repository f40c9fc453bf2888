"""What the pointer does is done by keyboard too: dividers, links in an explanation; what has the keyboard is seen."""

from __future__ import annotations

import numpy as np
import pytest
from tests.gui.windows.geometry import complaints

from rigfeed import Path
from rigfeed.examples import example
from rigfeed_gui.dividers import LEAST
from rigfeed_gui.logic import findings
from rigfeed_gui.logic.commands import command
from rigfeed_gui.logic.words import say


def _colour_on_screen(hands, widget, colour) -> float:
    """How much of a widget shows a colour."""
    hands.root.update()
    left, top = widget.winfo_rootx(), widget.winfo_rooty()
    part = hands.screen.pixels()[top : top + widget.winfo_height(), left : left + widget.winfo_width()]
    wanted = [int(colour[at : at + 2], 16) for at in (1, 3, 5)]
    return float((np.abs(part.astype(int) - wanted).sum(axis=2) == 0).mean())


def test_dividers_are_moved_by_arrows_and_the_keyboard_goes_back(opened):
    bench = opened.window.bench
    form = bench.findings.word.entry
    form.focus_set()
    opened.root.update()
    before = dict(bench.sashes)
    opened.key("F9")
    focus = opened.window.theme.palette.focus
    first, second, third = bench.dividers.all
    assert opened.root.focus_get() is first
    assert _colour_on_screen(opened, first, focus) > 0.95, "nobody sees where the keyboard is"
    assert bench.status.label["text"] == say("dividers.how")
    opened.key("Left", "Left", "Up")
    assert dict(bench.sashes)["columns"] == before["columns"] - 32
    opened.key("Tab")
    assert opened.root.focus_get() is second
    assert not first.winfo_ismapped()
    opened.key("Down", "Right")
    opened.key("F9")
    assert opened.root.focus_get() is third
    opened.key("Up")
    now = dict(bench.sashes)
    assert (now["left"] - before["left"], now["right"] - before["right"]) == (16, -16)
    assert complaints(opened.root) == []
    opened.stroke(third, "<PrevWindow>")
    assert opened.root.focus_get() is second
    opened.key("Escape")
    assert opened.root.focus_get() is form
    assert not any(divider.winfo_ismapped() for divider in bench.dividers.all)


def test_no_pane_is_pushed_away_altogether(opened):
    bench = opened.window.bench
    opened.key("F9")
    for key, end in (("Left", LEAST), ("Right", bench.panes["columns"].winfo_width() - LEAST)):
        opened.stroke(bench.dividers.all[0], *[key] * 80)
        assert dict(bench.sashes)["columns"] == end


def test_where_everything_stands_in_one_column_there_is_none(open_window):
    hands = open_window("cramped")
    hands.session.begin(example("hazel").read_text(encoding="utf-8"), kept=True)
    hands.settle()
    hands.key("F9")
    assert hands.window.bench.status.label["text"] == say("dividers.none")


@pytest.fixture
def linked(hands):
    """Alder, with the finding in hand that names the most other things."""
    hands.session.begin(example("alder").read_text(encoding="utf-8"), kept=True)
    hands.settle()
    finding = max(hands.session.assessment.findings, key=lambda finding: len(set(finding.also)))
    hands.session.choose_finding(finding)
    hands.settle()
    return hands, finding


def test_what_an_explanation_names_is_gone_to_by_tab_and_return(linked):
    hands, finding = linked
    explaining, session = hands.window.bench.explaining, hands.session
    text, others = explaining.text, findings.explanation(session.assessment, finding, "metric").subjects[1:]
    assert len(others) == len(text.links) == 2
    assert [link["text"] for link in text.links] == [findings.about(path) for path in others]
    text.focus_force()
    text.yview_moveto(0)
    hands.key("Tab")
    assert hands.root.focus_get() is text.links[0]
    assert text.links[0].winfo_viewable(), "it is brought into sight"
    lit = _colour_on_screen(hands, text.links[1], hands.window.theme.palette.focus)
    assert _colour_on_screen(hands, text.links[0], hands.window.theme.palette.focus) > lit, "a ring around it"
    hands.key("Tab")
    assert hands.root.focus_get() is text.links[1]
    hands.key("Tab")
    assert hands.root.focus_get() is explaining.buttons.winfo_children()[0], "and on"
    hands.stroke(explaining.buttons.winfo_children()[0], "<PrevWindow>")
    assert hands.root.focus_get() is text.links[1]
    hands.stroke(text.links[1], "<PrevWindow>")
    assert hands.root.focus_get() is text.links[0]
    hands.stroke(text.links[0], "<PrevWindow>")
    assert hands.root.focus_get() is text
    hands.key("Tab", "Tab", "Return")
    hands.settle()
    assert session.selection == others[1]
    assert hands.root.focus_get() is text, "the link is gone, the keyboard is not lost"


def test_a_link_is_clicked_and_pressed_by_space(linked):
    hands, finding = linked
    explaining, session = hands.window.bench.explaining, hands.session
    others = findings.explanation(session.assessment, finding, "metric").subjects[1:]
    explaining.text.see("end")
    hands.root.update()
    hands.click(explaining.text.links[0])
    hands.settle()
    assert session.selection == others[0]
    session.choose_finding(finding)
    hands.settle()
    explaining.text.focus_force()
    hands.key("Tab", "space")
    hands.settle()
    assert session.selection == others[0]


def test_the_list_of_keys_tells_of_them(hands):
    hands.window.do("keys")
    rows = hands.dialog().list.every
    assert (command("dividers").shown_key, command("dividers").words) in rows
    told = " ".join(what for _, what in rows)
    assert "on a divider" in told
    assert "in an explanation" in told


def test_the_choices_begin_at_what_stands_in_the_line(opened):
    """Whoever wants another fuse looks among the fuses."""
    opened.session.select(Path("nodes", "F1"))
    opened.settle()
    line = opened.window.bench.thing.rows[Path("nodes", "F1", "part")].line
    opened.click(line.entry)
    opened.key("Down")
    offered = [choice.value for choice in line.choices.offered]
    at = offered.index("fuse:blade-10")
    assert {value.partition("-")[0] for value in offered[: at + 2]} == {"fuse:blade"}, "its family first"
    kinds = [value.partition(":")[0] for value in offered]
    assert kinds.index("alternator") >= kinds.count("fuse") > at, "then its kind, then all"
    assert line.choices.chosen.value == "fuse:blade-10"
    assert line.choices.tree.bbox(str(at)), "it is out of sight"
    assert line.choices.tree.bbox(str(at + 1))
    drawn = [line.choices.tree.item(row, "values") for row in line.choices.tree.get_children()]
    cut = [n for n, cells in enumerate(drawn) if cells[1].endswith("\N{HORIZONTAL ELLIPSIS}")]
    assert cut, "what is too long ends in an ellipsis"
    assert all(line.choices.offered[n].words.startswith(drawn[n][1][:-1]) for n in cut)
    opened.key("Down", "Return")
    opened.settle()
    assert line.text == offered[at + 1]
    assert str(opened.session.work.design.nodes["F1"].part) == offered[at + 1]


def test_what_can_be_done_with_a_thing_stands_in_the_same_order_for_all(opened):
    panel = opened.window.bench.thing

    def offered():
        opened.settle()
        buttons = sorted(panel._tools.pack_slaves(), key=lambda button: button.winfo_x())
        return [button["text"] for button in buttons]

    opened.session.select(Path("nodes", "F1"))
    few = offered()
    opened.session.select(Path("conductors", "W2"))
    many = offered()
    assert many == [say("form.pick-route"), *few]
    opened.session.select(Path("vehicle"))
    assert offered() == []
    opened.session.select(Path("conductors", "W2"))
    assert offered() == many


def test_everything_has_its_place_in_the_smallest_window(opened):
    opened.root.geometry("900x600+0+0")
    opened.settle()
    opened.session.walk_findings(1)
    opened.settle()
    assert (opened.root.winfo_width(), opened.root.winfo_height()) == (900, 600)
    assert complaints(opened.root) == []
