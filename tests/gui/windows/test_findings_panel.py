"""What is wrong, in its list and in full: walked, filtered, explained, accepted."""

from __future__ import annotations

import re

import pytest
from tests.gui.windows.geometry import complaints

from rigfeed import Path, Set
from rigfeed.examples import example, examples
from rigfeed_gui.logic import findings
from rigfeed_gui.logic.words import say


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
    assert _told(first, explaining)
    assert first.advice() in explaining.text.shown
    session.select(Path("passages", "H1"))
    opened.settle()
    assert say("explain.first") not in explaining.text.shown
    assert "H1" in explaining.text.shown.splitlines()[0]
    session.select(Path("points", "roof"))
    opened.settle()
    assert explaining.text.shown.startswith(say("explain.first-other", thing="roof"))
    assert _told(first, explaining)


LONGEST = (  # what is wrong takes the most words of all; then with buttons beneath that exchange one part for another
    {"conductors.W2.cable": "cable:thinwall-0.75", "zones.bay.warmest": "98 degC"},
    {"conductors.W2.cable": "cable:thinwall-1"}, {"nodes.F1.part": "fuse:blade-7.5"}, {"nodes.F1.part": "fuse:c-7.5"},
)


@pytest.mark.parametrize(("name", "changes"), [*((n, {}) for n in examples()), *(("hazel", c) for c in LONGEST)])
def test_what_to_do_is_seen_without_scrolling_on_a_common_screen(hands, name, changes):
    session, explaining = hands.session, hands.window.bench.explaining
    session.begin(example(name).read_text(encoding="utf-8"), kept=True)
    if changes:
        session.edit([Set(Path.parse(key), text) for key, text in changes.items()], "a change")
    hands.settle()
    if "nodes.F1.part" in changes:
        assert any(findings.fixes(session.assessment, f, session.work.shelf) for f in session.assessment.findings)
    assert _seen_to_the_end_of_the_remedy(session.assessment.findings[0], explaining), "before anything is chosen"
    assert session.assessment.findings
    for finding in session.assessment.findings:
        session.choose_finding(finding)
        hands.settle()
        assert _seen_to_the_end_of_the_remedy(finding, explaining), finding.text()
        assert complaints(explaining) == []
        assert all(button.winfo_viewable() for button in explaining.buttons.winfo_children())
        assert len(explaining.buttons.winfo_children()) == len(session.fixes) + 1


def _seen_to_the_end_of_the_remedy(finding, explaining) -> bool:
    text, remedy = explaining.text, finding.advice()
    end = f"1.0 + {text.shown.index(remedy) + len(remedy) - 1} chars"
    line = text.dlineinfo(end)  # x, y, width, height; nothing where it is out of sight
    edge = int(text["pady"]) + int(text["highlightthickness"])
    return line is not None and line[1] + line[3] <= text.winfo_height() - edge


def _told(finding, explaining) -> bool:
    told = explaining.explained
    return " ".join((told.text, told.rest)).strip() == finding.text() and told.rest in explaining.text.shown


def test_a_note_gives_way_to_what_is_chosen_next(opened):
    bench, session = opened.window.bench, opened.session
    bench.lists.select(bench.assumed)
    opened.settle()
    bench.assumed.list.tree.selection_set("0")
    opened.settle()
    line = bench.assumed.lines[0]
    assert bench.explaining.text.shown == f"{line.what}\n{line.why}"
    session.select(Path("conductors", "W2") if session.selection != Path("conductors", "W2") else Path("nodes", "F1"))
    opened.settle()
    assert line.what not in bench.explaining.text.shown


def test_a_question_nobody_has_answered_is_brought_into_sight_and_answered_there(opened):
    bench, session = opened.window.bench, opened.session
    bench.lists.select(bench.open)
    opened.settle()
    at = next(n for n, line in enumerate(bench.open.lines) if line.what == "equipment loose")
    line = bench.open.lines[at]
    bench.open.list.tree.selection_set(str(at))
    opened.settle()
    answer = bench.thing.facts[line.subject]
    opened.until(lambda: _in_sight(answer, bench.thing), "the question is out of sight")
    assert bench.explaining.text.shown.startswith("equipment loose")
    opened.press(say("answer.yes"), answer)
    opened.settle()
    facts = session.work.design.nodes[line.subject[1]].facts
    assert facts["fixed"] is True
    assert line.subject not in [other.subject for other in bench.open.lines]


def _in_sight(widget, panel) -> bool:
    top, bottom = panel._column.winfo_rooty(), panel._column.winfo_rooty() + panel._column.winfo_height()
    return top <= widget.winfo_rooty() and widget.winfo_rooty() + widget.winfo_height() <= bottom + 1


def test_nothing_in_hand_offers_what_has_no_place_in_the_drawing(opened):
    panel, session = opened.window.bench.thing, opened.session
    opened.root.update()
    assert session.selection is None
    assert opened.session.work is not None
    opened.window.do("go-form")
    opened.root.update()
    assert opened.root.focus_get() is panel._ways[0], "by keyboard too"
    opened.key("Return")
    opened.settle()
    assert session.selection == Path("vehicle")
    assert Path("vehicle", "system_voltage") in panel.rows
    session.select(None)
    opened.settle()
    opened.press(say("form.take-job"))
    opened.settle()
    assert session.selection == Path("job")
    assert say("form.take-job") not in opened.texts(panel)


def test_an_accepted_finding_stays_visible_with_who_said_so(opened):
    session = opened.session
    opened.key("F4")
    opened.stroke(opened.root, "Control-Shift-Return")
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
    assert re.search("runs [^;]*sill", told)
    assert "place of " in told
    assert "nodes." not in told
    assert complaints(dialog) == []
    opened.press(say("removing.remove"), dialog)
    opened.settle()
    assert "seat" not in opened.session.work.design.points
    assert opened.session.selection is None
