"""The start page: what a crash left behind, a first design from seven questions, files, demonstrations."""

from __future__ import annotations

import time
import tkinter as tk
from collections.abc import Callable
from functools import partial
from pathlib import Path as FilePath
from tkinter import ttk

from rigfeed.assess import DEFAULT_PRACTICE
from rigfeed.cautions import CAUTIONS
from rigfeed.errors import RigfeedError
from rigfeed.parts.shelf import Shelf
from rigfeed_gui.logic import starting
from rigfeed_gui.logic.assessor import Job
from rigfeed_gui.logic.recovery import Lost
from rigfeed_gui.logic.starting import Question
from rigfeed_gui.logic.words import say
from rigfeed_gui.panels.context import Context
from rigfeed_gui.panels.fieldrows import FieldRow
from rigfeed_gui.panels.picker import Line
from rigfeed_gui.panels.scrolled import Column, flow

MOST_LOST = 3
AWAIT_MS = 20


def _open_shelf() -> Shelf:
    from rigfeed.parts.shelf import open_shelf

    return open_shelf()


class StartPage(ttk.Frame):
    """Shown while no design is in hand. `open_file` opens a file after asking what must be asked."""

    def __init__(self, parent: tk.Misc, context: Context, open_file: Callable[[FilePath], None]) -> None:
        super().__init__(parent)
        self._context, self._open_file = context, open_file
        self._loading: Job[Shelf] = Job("shelf", lambda tell: _open_shelf())
        px = context.px
        flow(ttk.Label(self, style="Quiet.TLabel", text=CAUTIONS[1], wraplength=px(400), justify="left")).pack(
            side="bottom", fill="x", padx=px(24), pady=(px(4), px(12)))
        columns = ttk.Frame(self)
        columns.pack(fill="both", expand=True, padx=px(24), pady=(px(16), 0))
        self.rows: dict[str, FieldRow] = {}
        if context.narrow:
            self._first = self._scrolled = Column(columns)
            self._scrolled.pack(fill="both", expand=True)
            first, self._right = ttk.Frame(self._scrolled.body), ttk.Frame(self._scrolled.body)
            first.pack(fill="x")
            self._right.pack(fill="x", pady=(px(16), 0))
        else:
            first = self._two(columns)
        self._row_style = self._scrolled.rows("Start")
        self._build_questions(first)
        self.refresh()

    def _two(self, columns: ttk.Frame) -> ttk.Frame:
        """The questions at the left, files at the right, each to be scrolled by itself; the body of the left one."""
        for number, weight in enumerate((3, 2)):
            columns.columnconfigure(number, weight=weight, uniform="half")
        columns.rowconfigure(0, weight=1)
        left, self._scrolled = Column(columns), Column(columns)
        left.grid(row=0, column=0, sticky="nsew", padx=(0, self._context.px(28)))
        self._scrolled.grid(row=0, column=1, sticky="nsew")
        self._right = self._scrolled.body
        self._first = left
        return left.body

    @property
    def shelf(self) -> Shelf:
        """The parts to choose from; waits for them the first time, if they are not there yet."""
        while not self._loading.poll():
            time.sleep(0.005)
        return self._loading.result()

    def look_again(self) -> None:
        """The catalogs have changed."""
        self._loading = Job("shelf", lambda tell: _open_shelf())

    # the seven questions

    def _build_questions(self, body: ttk.Frame) -> None:
        px = self._context.px
        ttk.Label(body, style="Large.TLabel", text=say("start.new")).pack(anchor="w")
        text = ttk.Label(body, style="Quiet.TLabel", text=say("start.new-text"), wraplength=px(300), justify="left")
        flow(text).pack(fill="x", pady=(px(2), px(6)))
        grid = ttk.Frame(body)
        grid.pack(fill="x")
        grid.columnconfigure(1, weight=1)
        for number, question in enumerate(starting.questions()):
            self.rows[question.name] = self._question(grid, number, question)
        self._wrong = ttk.Label(body, style="error.TLabel", wraplength=px(480), justify="left")
        self.begin = ttk.Button(body, style="Chief.TButton", text=say("start.begin"), command=self.start)
        self.begin.pack(anchor="w", pady=(px(12), px(6)))
        self.begin.bind("<Return>", lambda event: self.begin.invoke())
        self._first.adopt(body)

    def _question(self, grid: ttk.Frame, number: int, question: Question) -> FieldRow:
        row = FieldRow(
            grid, number, self._context.theme, label=question.words, label_width=230,
            judge=lambda text: starting.typed(question, text, self.shelf), done=lambda typed: None,
            offer=(lambda text: starting.choices(question, text, self.shelf)) if question.kind else None,
        )
        row.put("", question.example)
        return row

    def start(self) -> None:
        """Begin with what was answered; what is wrong is said at its question."""
        self._wrong.pack_forget()
        wrong = [row for row in self.rows.values() if not row.check()]
        if wrong:
            wrong[0].focus.focus_set()
            return
        answers, shelf = {name: row.line.text for name, row in self.rows.items()}, self.shelf
        self.begin.state(["disabled"])
        self._await(Job("beginning", lambda tell: starting.begun(answers, DEFAULT_PRACTICE, shelf)))

    def _await(self, job: Job[str]) -> None:
        """One cable after the other is tried for the first design: not in the loop."""
        if not job.poll():
            self._waiting = self.after(AWAIT_MS, self._await, job)
            return
        self._waiting = ""
        self.begin.state(["!disabled"])
        try:
            text = job.result()
        except RigfeedError as error:
            self._wrong.configure(text=str(error))
            self._wrong.pack(anchor="w", before=self.begin, pady=(self._context.px(6), 0))
            return
        if self._context.session.work is None:  # nothing else was opened meanwhile
            self._context.session.begin(text)

    def destroy(self) -> None:
        """Go; what is under way is given up."""
        if self._waiting:
            self.after_cancel(self._waiting)
        super().destroy()

    _waiting = ""

    # what there is already

    def refresh(self) -> None:
        """Show what crashes left, the files worked on lately and the demonstrations, as they are now."""
        body, px = self._right, self._context.px
        for child in body.winfo_children():
            child.destroy()
        lost = self._context.session.recovery.lost()
        if lost:
            self._heading(body, say("start.lost"), say("start.lost-text"))
            for one in lost[:MOST_LOST]:
                self._build_lost(body, one)
        self._heading(body, say("start.open"))
        open_ = ttk.Button(body, text=say("start.browse"), command=lambda: self._context.do("open"))
        open_.pack(anchor="w", pady=(px(2), px(4)))
        for shortcut in starting.recent(self._context.session.settings):
            self._shortcut(body, f"{shortcut.title}\n{shortcut.path}", partial(self._open_file, shortcut.path))
        self._heading(body, say("start.demonstrations"), say("start.demonstrations-text"))
        for shortcut in starting.demonstrations():
            self._shortcut(body, shortcut.title, partial(self._demonstrate, shortcut.path))
        self._scrolled.adopt(body)

    def _heading(self, body: ttk.Frame, words: str, text: str = "") -> None:
        px = self._context.px
        above = px(16) if body.winfo_children() else 0
        ttk.Label(body, style="Large.TLabel", text=words).pack(anchor="w", pady=(above, px(2)))
        if text:
            flow(ttk.Label(body, style="Quiet.TLabel", text=text, wraplength=px(200), justify="left")).pack(fill="x")

    def _shortcut(self, body: ttk.Frame, words: str, call: Callable[[], None]) -> None:
        button = ttk.Button(body, style=self._row_style, text=words, command=call)
        button.pack(fill="x", pady=(self._context.px(2), 0))
        button.bind("<Return>", lambda event: button.invoke())

    def _build_lost(self, body: ttk.Frame, lost: Lost) -> None:
        px = self._context.px
        frame = ttk.Frame(body, style="Note.TFrame", padding=px(8))
        frame.pack(fill="x", pady=(px(4), 0))
        words = say("start.lost-one", title=lost.title, file=lost.file or say("start.lost-unnamed"))
        if lost.file_changed:
            words += "\n" + say("start.lost-changed")
        ttk.Label(frame, style="Note.TLabel", text=words, wraplength=px(320), justify="left").pack(anchor="w")
        buttons = ttk.Frame(frame, style="Note.TFrame")
        buttons.pack(anchor="w", pady=(px(4), 0))
        for key, style, call in (("restore", "Chief.TButton", self._restore), ("discard", "TButton", self._discard)):
            button = ttk.Button(buttons, style=style, text=say(f"start.{key}"), command=partial(call, lost))
            button.pack(side="left", padx=(0, px(6)))

    def _restore(self, lost: Lost) -> None:
        self._context.session.restore(lost)

    def _discard(self, lost: Lost) -> None:
        self._context.session.recovery.discard(lost)
        self.refresh()

    def _demonstrate(self, path: FilePath) -> None:
        self._context.session.begin(path.read_text(encoding="utf-8"), kept=True)

    def take_focus(self) -> None:
        """The keyboard goes to the first question."""
        line = next(iter(self.rows.values())).line
        assert isinstance(line, Line)
        line.entry.focus_set()
