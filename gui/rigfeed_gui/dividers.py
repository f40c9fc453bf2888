"""The dividers between the panes by keyboard: one after the other takes the keyboard and is moved by the arrows."""

from __future__ import annotations

import tkinter as tk
from collections.abc import Mapping
from tkinter import ttk

from rigfeed_gui.logic.words import say
from rigfeed_gui.panels.context import Context

STEP = 16  # pixels at 96 dpi for one press
LEAST = 80  # pixels at 96 dpi that are left on either side
ARROWS = {"horizontal": {"Left": -1, "Right": 1}, "vertical": {"Up": -1, "Down": 1}}


class Divider(tk.Frame):
    """Lies over a divider while the keyboard is on it, in the colour of the keyboard."""

    def __init__(self, pane: ttk.Panedwindow, context: Context) -> None:
        super().__init__(pane, takefocus=False)
        self._pane, self._context = pane, context
        self._across = str(pane["orient"])
        for key, step in ARROWS[self._across].items():
            self.bind(f"<{key}>", lambda event, step=step: self.move(step))  # type: ignore[misc]
        self.bind("<FocusOut>", lambda event: self.place_forget())

    def take_focus(self) -> None:
        """The keyboard comes to it."""
        self.configure(background=self._context.theme.palette.focus)
        self._cover()
        self.focus_set()

    def move(self, steps: int) -> None:
        """Move the divider."""
        lying = self._across == "horizontal"
        room = self._pane.winfo_width() if lying else self._pane.winfo_height()
        least = self._context.px(LEAST)
        wanted = self._pane.sashpos(0) + steps * self._context.px(STEP)  # type: ignore[no-untyped-call]
        self._pane.sashpos(0, max(least, min(wanted, room - least)))  # type: ignore[no-untyped-call]
        self._cover()

    def _cover(self) -> None:
        thick, at = self._context.px(7), self._pane.sashpos(0)  # type: ignore[no-untyped-call]
        if self._across == "horizontal":
            self.place(x=at, y=0, relheight=1, width=thick)
        else:
            self.place(x=0, y=at, relwidth=1, height=thick)
        self.lift()


class Dividers:
    """All dividers of the workbench: none where everything stands in one column."""

    def __init__(self, context: Context, panes: Mapping[str, ttk.Panedwindow]) -> None:
        self._context = context
        self.all = [Divider(pane, context) for pane in panes.values()]
        self._before = ""  # the name of what had the keyboard: a closed list of Tk's own has no widget here
        for divider in self.all:
            divider.bind("<Tab>", lambda event: self._step(1))
            divider.bind("<<PrevWindow>>", lambda event: self._step(-1))
            for key in ("<Return>", "<Escape>", "<space>"):
                divider.bind(key, lambda event: self._leave())

    def go(self) -> None:
        """The keyboard comes to the first divider, from another one to the next."""
        if not self.all:
            self._context.note(say("dividers.none"))
            return
        if self._at is not None:
            self._step(1)
            return
        self._before = str(self._context.root.tk.call("focus"))
        self.all[0].take_focus()
        self._context.note(say("dividers.how"))

    @property
    def _at(self) -> int | None:
        """Which one has the keyboard."""
        focus = str(self._context.root.tk.call("focus"))
        return next((number for number, divider in enumerate(self.all) if str(divider) == focus), None)

    def _step(self, step: int) -> str:
        self.all[((self._at or 0) + step) % len(self.all)].take_focus()
        return "break"

    def _leave(self) -> str:
        """Back to where the keyboard was."""
        tk_ = self._context.root.tk
        there = self._before and tk_.getboolean(tk_.call("winfo", "exists", self._before))
        tk_.call("focus", self._before if there else str(self._context.root))
        return "break"
