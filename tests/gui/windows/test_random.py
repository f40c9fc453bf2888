"""Whatever a person does, in whatever order: no fault, undo leads back, and the design stays one that can be saved."""

from __future__ import annotations

import random

import pytest
from tests.gui.windows.hands import Hands

from rigfeed.design.file import parse
from rigfeed.examples import example, examples
from rigfeed_gui.logic import things
from rigfeed_gui.logic.commands import COMMANDS
from rigfeed_gui.logic.words import say

STEPS = 120
LEFT_OUT = ("new", "open", "save", "save-as", "read-again", "close", "quit", "papers", "larger", "smaller")
TEXTS = ("", "1.2 m", "6 awg", "14 ft", "fuse:blade-15", "battery", "F1.b", "bay, sill", "no such thing", "-3 m", "{x}",
         "0", "85 degC", "cable:thinwall-4", "yes", "a = 3 mm", "\N{GREEK SMALL LETTER MU}m", "x" * 300)


def _step(hands: Hands, dice: random.Random) -> str:
    session, bench = hands.session, hands.window.bench
    if hands.dialogs and dice.random() < 0.7:
        hands.dialogs[-1].leave()
        return "leave a dialog"
    choice = dice.randrange(5)
    if choice == 0:
        command = dice.choice([c for c in COMMANDS if c.id not in LEFT_OUT])
        hands.window.do(command.id)
        return command.id
    if choice == 1:
        listed = [t.path for s in things.sections(session.work.design, session.assessment) for t in s.things]
        session.select(dice.choice(listed))
        return f"select {session.selection}"
    if choice == 2 and bench.thing.rows:
        path, row = dice.choice(list(bench.thing.rows.items()))
        if hasattr(row.line, "entry"):
            row.focus.focus_force()
            row.line.type(dice.choice(TEXTS))
            hands.stroke(row.focus, "Return")
        return f"type into {path}"
    if choice == 3:
        canvas, (wide, high) = bench.surface.canvas, bench.surface.room
        x, y = dice.randrange(wide), dice.randrange(high)
        to_x, to_y = (x, y) if dice.random() < 0.5 else (dice.randrange(wide), dice.randrange(high))
        canvas.event_generate("<ButtonPress-1>", x=x, y=y)
        canvas.event_generate("<B1-Motion>", x=to_x, y=to_y)
        canvas.event_generate("<ButtonRelease-1>", x=to_x, y=to_y)
        return f"drag from {x}, {y} to {to_x}, {to_y}"
    session.undo() if dice.random() < 0.5 else session.redo()
    return "undo or redo"


@pytest.mark.parametrize("name", examples())
def test_whatever_is_done_there_is_no_fault(hands, name, monkeypatch):
    monkeypatch.setattr("tkinter.filedialog.askopenfilename", lambda **_: "")  # a dialog of Tk's own waits for a person
    hands.root.clipboard_clear()
    hands.root.clipboard_append("Code\tText\tSize\nR1\tred\t6 mm2\n")  # a list to be pasted
    dice = random.Random(f"{name}: 1")
    hands.session.begin(example(name).read_text(encoding="utf-8"), kept=True)
    hands.settle()
    before = hands.session.work.design
    done = []
    for _ in range(STEPS):
        done.append(_step(hands, dice))
        hands.root.update()
        if dice.random() < 0.2:
            hands.settle()
        assert say("fault.title") not in [title for title, _ in hands.told], (done[-8:], hands.told)
    while hands.dialogs:
        hands.dialogs[-1].leave()
        hands.root.update()
    hands.settle()
    assert parse(hands.session.work.text()) == hands.session.work.design
    while hands.session.work.undoes:
        hands.session.undo()
    hands.settle()
    assert hands.session.work.design == before
    assert say("fault.title") not in [title for title, _ in hands.told]
