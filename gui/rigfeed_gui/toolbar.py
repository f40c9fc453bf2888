"""The bar above the drawing: undo and redo, which drawing, the figures of which state, how large, save and papers.

It takes as many lines as it needs: nothing in it is ever out of reach.
"""

from __future__ import annotations

import tkinter as tk
from functools import partial
from tkinter import ttk

from rigfeed_gui.logic.commands import command
from rigfeed_gui.logic.words import say
from rigfeed_gui.panels.context import Context
from rigfeed_gui.panels.findings import Picking
from rigfeed_gui.panels.values import Value

GROUPS = ("edits", "drawings", "state", "zoom", "files")
LINES = (  # the groups line by line, from the left and from the right; the first arrangement that fits is taken
    ((("edits", "drawings", "state", "zoom"), "files"),),
    ((("edits", "drawings"), "files"), (("state",), "zoom")),
    ((("edits",), "files"), (("drawings",), "zoom"), (("state",), "")),
)
CURVES = "@curves"  # the name of no drawing
MIDDLE = 4  # the column that takes what is left
GAP = 9


class Toolbar(ttk.Frame):
    """Groups of buttons that keep together."""

    def __init__(self, parent: tk.Misc, context: Context) -> None:
        super().__init__(parent, padding=(context.px(6), context.px(5)))
        self._context, px = context, context.px
        self.groups = {name: ttk.Frame(self) for name in GROUPS}
        self.buttons: dict[str, ttk.Button] = {}
        for id_ in ("undo", "redo"):
            self._button("edits", id_).pack(side="left")
        self.drawings = self.groups["drawings"]
        self._drawing = Value(self)
        self._offered: tuple[tuple[str, str], ...] = ()
        ttk.Label(self.groups["state"], text=say("bar.state")).pack(side="left", padx=(0, px(5)))
        self.states = Picking(self.groups["state"], 20, grows=34)
        self.states.pack(side="left")
        self.states.bind("<<ComboboxSelected>>", self._state_chosen, add="+")
        for id_ in ("zoom-out", "zoom-in", "zoom-fit"):
            self._button("zoom", id_).pack(side="left")
        self._button("files", "save", "Chief.TButton").pack(side="left")
        self._button("files", "papers", "TButton").pack(side="left", padx=(px(6), 0))
        self.columnconfigure(MIDDLE, weight=1)
        self._arranged: int | None = None
        for widget in (self, *self.groups.values()):
            widget.bind("<Configure>", lambda event: self._arrange())
        context.listen(self.refresh, "work", "design", "assessed", "drawn", "selection", "saved", "failed",
                       "view")
        self.refresh()

    def _button(self, group: str, id_: str, style: str = "Tool.TButton") -> ttk.Button:
        words = say(f"bar.{id_}")
        button = ttk.Button(self.groups[group], text=words, style=style, command=lambda: self._context.do(id_))
        button.bind("<Return>", lambda event: button.invoke())
        self._context.tips.attach(button, f"{command(id_).words}  {command(id_).shown_key}")
        self.buttons[id_] = button
        return button

    def _arrange(self) -> None:
        """Take the fewest lines into which everything fits."""
        room = self.winfo_width() - 2 * self._context.px(6)
        fitting = [at for at, lines in enumerate(LINES) if all(self._needs(line) <= room for line in lines)]
        at = fitting[0] if fitting else len(LINES) - 1
        if at == self._arranged or room <= 0:
            return
        self._arranged = at
        for group in self.groups.values():
            group.grid_forget()
        gap, below = self._context.px(GAP), self._context.px(4)
        for row, (left, right) in enumerate(LINES[at]):
            for column, name in enumerate(left):
                span = MIDDLE + 1 - column if name == left[-1] else 1
                self.groups[name].grid(row=row, column=column, columnspan=span, sticky="w",
                                       padx=(gap if column else 0, 0), pady=(below if row else 0, 0))
            if right:
                self.groups[right].grid(row=row, column=MIDDLE + 1, sticky="e", pady=(below if row else 0, 0))

    def _needs(self, line: tuple[tuple[str, ...], str]) -> int:
        names = [*line[0], *([line[1]] if line[1] else [])]
        gaps = (len(line[0]) - 1 + bool(line[1])) * self._context.px(GAP)
        return sum(self.groups[name].winfo_reqwidth() for name in names) + gaps

    def refresh(self) -> None:
        """What can be chosen and done now."""
        session = self._context.session
        now = session.now
        for id_, button in self.buttons.items():
            wanted = "!disabled" if command(id_).enabled(now) else "disabled"
            if button.instate(["disabled" if wanted == "!disabled" else "!disabled"]):
                button.state([wanted])
        if session.drawings != self._offered:
            self._offered = session.drawings
            self._offer_drawings()
        self._drawing.put(CURVES if session.curves_shown else session.drawing)
        self.states.offer((("", say("bar.no-state")), *((id_, title or id_) for id_, title in session.states)),
                          session.state or "")

    def _state_chosen(self, event: tk.Event[tk.Misc]) -> None:
        self._context.session.show_state(self.states.chosen or None)

    def _offer_drawings(self) -> None:
        for child in self.drawings.winfo_children():
            child.destroy()
        session = self._context.session
        shows = [(name, title, partial(session.show_drawing, name)) for name, title in self._offered]
        shows += [(CURVES, say("bar.curves"), partial(session.show_curves, True))] if self._offered else []
        for name, title, show in shows:
            button = ttk.Radiobutton(
                self.drawings, text=title, value=name, style="Switch.Toolbutton",
                variable=self._drawing.name,  # type: ignore[arg-type]
                command=show,
            )
            button.pack(side="left")
