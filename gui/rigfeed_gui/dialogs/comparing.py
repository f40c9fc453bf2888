"""The design in hand beside another one: what differs, and what comes of it."""

from __future__ import annotations

from tkinter import ttk
from typing import Any

from rigfeed.design.model import Design
from rigfeed.errors import Cancelled, RigfeedError
from rigfeed.parts.shelf import Shelf
from rigfeed.trials.compare import Comparison
from rigfeed_gui.dialogs.ask import show
from rigfeed_gui.dialogs.base import Dialog
from rigfeed_gui.dialogs.files import ask_open
from rigfeed_gui.dialogs.working import Working
from rigfeed_gui.faults import told
from rigfeed_gui.logic import comparing
from rigfeed_gui.logic.assessor import Job
from rigfeed_gui.logic.words import say
from rigfeed_gui.panels.context import Context
from rigfeed_gui.panels.listing import Listing
from rigfeed_gui.panels.scrolled import Reading, flow

SIDES = ("in-first", "in-second")
MOST_WIDE = 330  # pixels at 96 dpi, for a column


class Comparing(Dialog):
    """Begins with what was last saved, where that is another design; else asks what to compare with."""

    def __init__(self, context: Context) -> None:
        super().__init__(context.root, context.theme, say("comparing.title"))
        self._context = context
        work = context.session.work
        assert work is not None
        self._work = work
        px = context.px
        line = ttk.Frame(self.body)
        line.pack(fill="x", pady=(0, px(8)))
        self.saved = ttk.Button(line, text=say("comparing.saved"), command=self.beside_saved)
        self.file = ttk.Button(line, text=say("comparing.file"), command=self.choose_file)
        for button in (self.saved, self.file):
            button.pack(side="left", padx=(0, px(8)))
        changed = work.saved is not None and work.dirty
        if not changed:
            self.saved.state(["disabled"])
        self.note = flow(ttk.Label(self.body, text=say("comparing.choose"), wraplength=px(400), justify="left"))
        self.note.pack(side="bottom", fill="x", pady=(px(6), 0))
        self._reading = reading = Reading(self.body, height=4, width=30, padx=px(8), pady=px(6), highlightthickness=1)
        self.whole = reading.text
        self.table = Listing(self.body, [str(number) for number in range(4)], sideways=True)
        self.table.tree.bind("<<TreeviewSelect>>", lambda event: self._show_whole())
        self.comparison: Comparison | None = None
        self.button(say("dialog.close"), self.leave)
        self.present(self.saved if changed else self.file, width=560)
        if changed:
            self.beside_saved()

    def beside_saved(self) -> None:
        """Compare with what its file held when it was last read or saved."""
        if self._work.saved is not None:
            self._compare(self._work.saved, self._work.shelf)

    def choose_file(self) -> None:
        """Ask for a file, and compare with what is in it."""
        path = ask_open(self, self._work.path)
        if path is None:
            return
        try:
            other, shelf = comparing.in_file(path)
        except RigfeedError as error:
            self._fault(error)
        else:
            self._compare(other, shelf)

    def _compare(self, other: Design, shelf: Shelf) -> None:
        session, design, own = self._context.session, self._work.design, self._work.shelf
        assessed = None if session.stale else session.assessment

        def run(tell: Any) -> Comparison:
            return comparing.comparing(other, shelf, design, own, assessed=assessed, tell=tell)

        job: Job[Comparison] = Job(say("comparing.working"), run)
        Working(self, self.theme, job, lambda: self._compared(job))

    def _compared(self, job: Job[Comparison]) -> None:
        try:
            self.comparison = job.result()
        except Cancelled:
            self.note.configure(text=say("comparing.cancelled"))
            return
        except RigfeedError as error:
            self._fault(error)
            return
        self._show(self.comparison)

    def _fault(self, error: RigfeedError) -> None:
        show(self, self.theme, say("fault.mendable"), "\n\n".join(part for part in told(error) if part))

    def _show(self, comparison: Comparison) -> None:
        self._make_room()
        found = comparing.rows(comparison, self._context.session.settings.units)
        for number, head in enumerate(found.headings):
            self.table.tree.heading(str(number), text=head, anchor="w")
            self.table.fit(str(number), (row[number] for row in found.rows), self._context.px(MOST_WIDE))
        self.table.fill((str(number), row, ()) for number, row in enumerate(found.rows))
        self.table.choose("0" if found.rows else None)
        same = () if found.rows else (say("comparing.same"),)
        self.note.configure(text="\n".join((*same, *found.notes)))

    def _make_room(self) -> None:
        """For what differs: before, an empty table would only ask what it is for."""
        if not self.table.winfo_manager():
            self._reading.pack(side="bottom", fill="x", pady=(self._context.px(6), 0))
            self.table.pack(fill="both", expand=True)
            self.place_over(width=880, height=520)

    def _show_whole(self) -> None:
        """The chosen row in full: a finding is a sentence or two, and no column is as wide."""
        chosen = self.table.chosen
        if chosen is not None:
            sort, about, *sides = self.table.cells(chosen)
            lines = [say(f"comparing.{name}", text=text) for name, text in zip(SIDES, sides, strict=True) if text]
            self.whole.put((f"{sort}: {about}\n", "heading"), ("\n".join(lines), ""))
