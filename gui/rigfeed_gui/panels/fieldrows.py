"""Rows of a form: a label, what is typed or chosen, and what is wrong with it while it is typed."""

from __future__ import annotations

import tkinter as tk
from collections.abc import Callable, Sequence
from functools import partial
from tkinter import ttk

from rigfeed_gui.logic.cutting import bound, loose
from rigfeed_gui.logic.fields import Choice, Typed
from rigfeed_gui.logic.words import say
from rigfeed_gui.panels.picker import Line
from rigfeed_gui.panels.scrolled import flow
from rigfeed_gui.panels.values import Value
from rigfeed_gui.theme import Theme

LABEL_WIDTH = 118
ERROR_WIDTH = 120


class Answer(ttk.Frame):
    """Yes, no, or not known."""

    def __init__(self, parent: tk.Misc, theme: Theme) -> None:
        super().__init__(parent)
        self._value = Value(self)
        self.on_done: Callable[[str], None] = lambda text: None
        self.buttons: dict[str, ttk.Radiobutton] = {}
        for value in ("yes", "no", ""):
            button = ttk.Radiobutton(
                self, text=say(f"answer.{value or 'unknown'}"), value=value,
                variable=self._value.name,  # type: ignore[arg-type]
                command=lambda: self.on_done(self._value.text),
            )
            button.pack(side="left", padx=(0, theme.px(4)))
            button.bind("<Return>", partial(self._pressed, button))
            button.bind("<FocusIn>", lambda event: self.event_generate("<<Entered>>"))
            self.buttons[value] = button

    @staticmethod
    def _pressed(button: ttk.Radiobutton, event: tk.Event[tk.Misc]) -> str:
        button.invoke()
        return "break"

    @property
    def text(self) -> str:
        """``yes``, ``no``, or nothing."""
        return self._value.text

    def put(self, text: str, ghost: str = "") -> None:
        """Show an answer that was not given here."""
        self._value.put(text)


class FieldRow:
    """One field. `judge` tells what a text means; `done` is called with what was typed when it is finished, and
    returns what is wrong with it all the same, or nothing."""

    def __init__(
        self, body: ttk.Frame, row: int, theme: Theme, *, label: str, required: bool = False, yes_no: bool = False,
        judge: Callable[[str], Typed], done: Callable[[Typed], Typed | None],
        offer: Callable[[str], Sequence[Choice]] | None = None, likes: Callable[[str], Sequence[Choice]] | None = None,
        entered: Callable[[], None] = lambda: None, label_width: int = LABEL_WIDTH,
    ) -> None:
        self._theme, self.judge, self.done, self.entered = theme, judge, done, entered
        self._settled = ""  # the text that was put or taken over last
        self._as_put: tuple[str, str] | None = None  # what is shown, where nothing is said to be wrong with it
        words = say("form.required", label=label) if required else label
        self._label = ttk.Label(body, text=words, wraplength=theme.px(label_width), justify="left")
        self._label.grid(row=2 * row, column=0, sticky="nw", padx=(0, theme.px(8)), pady=(theme.px(6), 0))
        self.line: Line | Answer
        if yes_no:
            self.line = Answer(body, theme)
            self.line.on_done = self._finished
        else:
            self.line = Line(body, theme, offer=offer)
            self.line.on_type, self.line.on_done = self._typed, self._finished
            if likes:
                self.line.likes = likes
        self.line.grid(row=2 * row, column=1, sticky="ew", pady=(theme.px(3), 0))
        self.line.bind("<<Entered>>", lambda event: self.entered())
        self._error = flow(ttk.Label(body, style="error.TLabel", wraplength=theme.px(ERROR_WIDTH), justify="left"))
        self._row = row

    @property
    def error(self) -> str:
        """What is said to be wrong now; empty where nothing is."""
        return loose(str(self._error["text"])) if self._error.winfo_manager() else ""

    @property
    def touched(self) -> bool:
        """Whether something stands in it that was not taken over."""
        return self.line.text != self._settled

    @property
    def focus(self) -> tk.Misc:
        """The widget that takes the keyboard."""
        return self.line.buttons["yes"] if isinstance(self.line, Answer) else self.line.entry

    def put(self, text: str, ghost: str = "") -> None:
        """Show a value, unless a person is typing another one right now."""
        if (text, ghost) == self._as_put and self._settled == self.line.text == text:
            return  # a form is filled anew at every edit: every call of Tk's waits for a thread that computes
        typing = isinstance(self.line, Line) and self.touched and self.line.focus_get() is self.line.entry
        if not typing:
            self._settled = text
            self.line.put(text, ghost)
            self._complain(Typed())
            self._as_put = text, ghost

    def finish(self) -> None:
        """Take over what stands in it, as if the keyboard had gone elsewhere."""
        self._finished(self.line.text)

    def check(self) -> bool:
        """Say what is wrong with what stands in it now; whether nothing is."""
        typed = self.judge(self.line.text)
        self._complain(typed)
        return not typed.error

    @property
    def shown(self) -> bool:
        """Whether it is in its place."""
        return bool(self.line.winfo_manager())

    def show(self, shown: bool) -> None:
        """Put it into its place, or take it out of it for now."""
        for widget in (self._label, self.line):
            if shown:
                widget.grid()
            else:
                widget.grid_remove()
        if not shown:
            self._error.grid_remove()

    def destroy(self) -> None:
        """Take the row away."""
        for widget in (self._label, self.line, self._error):
            widget.destroy()

    def widgets(self) -> tuple[tk.Misc, ...]:
        """All of it, for who scrolls."""
        return self._label, self.line, self._error

    def _typed(self, text: str) -> None:
        self._complain(self.judge(text))

    def _finished(self, text: str) -> None:
        if text == self._settled:
            self._complain(Typed())
            return
        typed = self.judge(text)
        refused = typed if typed.error else self.done(typed)
        if refused is not None and refused.error:
            self._complain(refused)
        else:
            self._settled = text

    def _complain(self, typed: Typed) -> None:
        self._as_put = None
        if isinstance(self.line, Line):
            self.line.wrong(bool(typed.error))
        if typed.error:
            text = say("form.error", error=typed.error, remedy=typed.remedy) if typed.remedy else typed.error
            self._error.configure(text=bound(text))
            if not self._error.winfo_manager():
                self._error.grid(row=2 * self._row + 1, column=1, sticky="ew", pady=(self._theme.px(1), 0))
        elif self._error.winfo_manager():
            self._error.grid_remove()
