"""Every view and dialog of every demonstration design, on a common screen, on a dense one, and on a common one with
letters twice as large: nothing clipped, nothing over anything else. Pictures of all of them lie in tests/gui/shots
afterwards, to be looked at."""

from __future__ import annotations

import tkinter.font as tkfont

import pytest
from tests.gui.windows.geometry import complaints
from tests.gui.windows.hands import Hands
from tests.gui.windows.screens import Screen

from rigfeed.examples import example, examples
from rigfeed.path import Path
from rigfeed_gui.logic import calculating

SCREENS = ("common", "dense", "cramped")
PALETTES = {"common": "light", "dense": "dark", "cramped": "light"}
DIALOGS = (
    "add", "connect", "rename", "accept", "papers", "compare", "measured", "catalogs", "calculators", "keys",
    "cautions", "about",
)


@pytest.fixture(params=SCREENS)
def shown(request, open_window) -> Hands:
    """A window on each screen, in each palette once."""
    return open_window(request.param, palette=PALETTES[request.param])


def _look(hands: Hands, name: str) -> list[str]:
    """What is wrong with all windows that are open, after taking a picture."""
    hands.settle()
    screen: Screen = hands.screen
    screen.shoot(f"{name}-{screen.width}" + ("-large" if hands.window.context.narrow else ""))
    return [line for top in (hands.root, *hands.dialogs) for line in complaints(top, screen.factor)]


def _begin(hands: Hands, name: str) -> None:
    hands.session.begin(example(name).read_text(encoding="utf-8"), kept=True)
    hands.settle()
    hands.until(lambda: hands.session.scene is not None, "no drawing comes")


def test_start_page(shown):
    assert _look(shown, "start") == []


@pytest.mark.parametrize("name", examples())
def test_workbench_of_each_design(shown, name):
    _begin(shown, name)
    bench, session = shown.window.bench, shown.session
    assert _look(shown, f"{name}-circuit") == []
    session.show_drawing("routes")
    session.walk_findings(1)
    assert _look(shown, f"{name}-routes") == []
    session.show_curves(True)
    shown.until(lambda: bench.curves.plotted is not None, "no curves come")
    assert _look(shown, f"{name}-curves") == []
    session.show_curves(False)
    design = session.work.design
    for collection in ("vehicle", "job", "zones", "points", "runs", "passages", "nodes", "conductors"):
        ids = list(getattr(design, collection)) if collection not in ("vehicle", "job") else [None]
        session.select(Path(collection, ids[0]) if ids[0] else Path(collection))
        assert _look(shown, f"{name}-form-{collection}") == []
    bench.side.select(bench.everything)
    for number in (1, 2):
        bench.lists.select(number)
        shown.root.update()
        lists = (bench.open, bench.assumed)[number - 1].list
        lists.choose(lists.tree.get_children()[0])
        assert _look(shown, f"{name}-notes-{number}") == []


@pytest.mark.parametrize("name", examples())
def test_every_dialog_of_each_design(shown, name):
    _begin(shown, name)
    session = shown.session
    for id_ in DIALOGS:
        session.choose_finding(session.assessment.findings[0])
        session.select(Path("nodes", next(iter(session.work.design.nodes)))) if id_ != "accept" else None
        shown.window.do(id_)
        assert shown.dialogs, f"{id_} opens nothing"
        assert _look(shown, f"{name}-dialog-{id_}") == []
        shown.dialogs[-1].leave()
        shown.settle()
        assert not shown.dialogs


def test_what_can_be_opened_fills_its_column_and_wraps_no_sooner(open_window):
    hands = open_window("common")
    page = hands.window.start
    buttons = [w for w in page._right.winfo_children() if w.winfo_class() == "TButton" and w["style"]]
    assert len(buttons) == len(examples())
    font = tkfont.nametofont("TkDefaultFont", hands.root)
    line = min(button.winfo_height() for button in buttons)
    for button in buttons:
        words, room = font.measure(button["text"]), button.winfo_width()
        assert words <= room if button.winfo_height() == line else words > room - 40, button["text"]
    assert any(button.winfo_height() > line for button in buttons)


def test_nothing_in_hand_needs_no_scrolling(open_window):
    hands = open_window("common")
    _begin(hands, "larch")
    column = hands.window.bench.thing._column
    assert hands.session.selection is None
    assert not column._bar.needed


def test_words_have_the_same_room_with_and_without_a_scroll_bar(open_window):
    """Else they would wrap anew where it comes and goes, and could call it back."""
    hands = open_window("common")
    _begin(hands, "hazel")
    bench = hands.window.bench
    pane, column = bench.panes["right"], bench.thing._column
    rooms = {}
    for place in (150, 400):
        pane.sashpos(0, place)
        hands.root.update()
        rooms[column._bar.needed] = column._canvas.winfo_width()
    assert set(rooms) == {True, False}
    assert rooms[True] == rooms[False]


def test_the_wheel_turns_no_further_for_what_was_shown_before(open_window):
    hands = open_window("common")
    hands.window.do("calculators")
    dialog, tree = hands.dialog(), hands.dialog().list.tree
    names = [name for head in tree.get_children() for name in tree.get_children(head)]
    longest = max(names[:30], key=lambda name: len(calculating.sheet(name).inputs))
    for name in (*names[:6], longest):
        dialog.list.choose(name)
        hands.root.update()
    assert dialog.form._bar.needed
    turned = []
    dialog.form._canvas.yview_scroll = lambda *by: turned.append(by)
    for widget in (dialog.form.body, dialog.rows[str(dialog.sheet.inputs[0].path)].line):
        widget.event_generate("<Button-5>")
    assert len(turned) == 2
    assert turned[0] == turned[1]


def test_what_is_cut_off_in_a_list_says_so_and_can_be_widened_by_keys(open_window):
    hands = open_window("common")
    _begin(hands, "larch")
    listing, rows = hands.window.bench.findings.list, hands.window.bench.findings.shown
    drawn = [listing.tree.set(str(at), "text") for at in range(len(rows))]
    assert all(words.endswith("\N{HORIZONTAL ELLIPSIS}") for words in drawn)
    assert [cells[3] for cells in listing.every] == [row.text for row in rows]
    hands.window.bench.panes["columns"].sashpos(0, 350)
    hands.root.update()
    assert all(len(listing.tree.set(str(at), "text")) < len(words) for at, words in enumerate(drawn))
    hands.window.do("papers")
    dialog = hands.dialog()
    dialog.list.choose("findings")
    hands.settle()
    table = dialog.table
    cut = {(row, name) for row in table.tree.get_children() for name in table.tree["columns"]
           if table.tree.set(row, name).endswith("\N{HORIZONTAL ELLIPSIS}")}
    assert cut
    hands.stroke(table.tree, *["Shift-Right"] * 40)
    assert not any(table.tree.set(row, name).endswith("\N{HORIZONTAL ELLIPSIS}") for row, name in cut)
    hands.stroke(table.tree, "Right")
    assert table.tree.xview()[0] > 0
    hands.stroke(table.tree, *["Shift-Left"] * 40)
    assert all(table.tree.set(row, name).endswith("\N{HORIZONTAL ELLIPSIS}") for row, name in cut)


def test_every_paper_is_seen_with_its_notes_and_with_the_ways_to_write_it(shown):
    """Notes may be long: they are scrolled, and push nothing out."""
    _begin(shown, "larch")
    shown.window.do("papers")
    dialog = shown.dialog()
    assert all(box.winfo_viewable() for box in dialog.formats.values())
    for name in dialog.chosen_papers:
        dialog.list.choose(name)
        shown.settle()
        assert _look(shown, "larch-papers") == [], name
        assert (dialog.table is None) is dialog._papers[name].drawing


def test_a_form_full_of_errors(shown):
    """Errors stand below their fields and push nothing aside."""
    _begin(shown, "hazel")
    shown.session.select(Path("conductors", "W2"))
    shown.settle()
    rows = shown.window.bench.thing.rows
    for key in ("length", "slack", "cable", "from", "colour"):
        rows[Path("conductors", "W2", key)].line.type("12 furlongs and nothing that anybody could ever read")
        shown.root.update()
    assert sum(bool(row.error) for row in rows.values()) == 5
    assert _look(shown, "hazel-errors") == []


def test_with_large_letters_the_keys_bring_what_they_go_to_into_sight(open_window):
    opened = open_window("cramped")
    _begin(opened, "larch")
    bench = opened.window.bench

    def in_sight(widget: object) -> bool:
        top, high = widget.winfo_rooty(), widget.winfo_height()
        return bench.bar.winfo_rooty() < top and top + high / 2 < bench.status.winfo_rooty()

    assert in_sight(bench.surface)
    assert not in_sight(bench.explaining)
    opened.key("F4")
    assert in_sight(bench.explaining)
    opened.window.do("go-form")
    opened.root.update()
    assert in_sight(bench.side)
    opened.window.do("go-findings")
    opened.root.update()
    assert in_sight(bench.lists)
    opened.window.do("go-drawing")
    opened.root.update()
    assert in_sight(bench.surface)


def test_every_button_of_the_bar_is_within_reach_however_narrow_it_is(open_window):
    opened = open_window("cramped")
    _begin(opened, "larch")
    bar = opened.window.bench.bar
    assert {name for name, button in bar.buttons.items() if button.winfo_viewable()} == set(bar.buttons)
    rows = {group.grid_info()["row"] for group in bar.groups.values()}
    assert len(rows) > 1
    other = open_window("dense")
    _begin(other, "larch")
    assert {group.grid_info()["row"] for group in other.window.bench.bar.groups.values()} == {0}
