"""The main arrangement: the drawing to look at and below it what is wrong; beside them the thing in hand and what to
do. Each of the two columns has a divider of its own.

Where there is no room for that (large letters on a small screen) all four stand in one column, to be scrolled.
"""

from __future__ import annotations

import tkinter as tk
from tkinter import ttk

from rigfeed_gui.dividers import Dividers
from rigfeed_gui.logic import findings
from rigfeed_gui.logic.findings import Note
from rigfeed_gui.logic.words import say
from rigfeed_gui.panels.context import Context
from rigfeed_gui.panels.everything import Everything
from rigfeed_gui.panels.explaining import ExplainingPanel
from rigfeed_gui.panels.findings import FindingsPanel, NotesPanel
from rigfeed_gui.panels.scrolled import Column, flow
from rigfeed_gui.panels.thing import ThingPanel
from rigfeed_gui.stage import Stage
from rigfeed_gui.toolbar import Toolbar

NOTE_MS = 8000
BUSY_MS = 300  # work that is over sooner is not shown: a bar that only flickers tells nothing
HEIGHTS = {"surface": 230, "side": 250, "lists": 220, "explaining": 210}  # pixels at 96 dpi, one below the other
SHARES = {"columns": 0.64, "left": 0.65, "right": 0.48}  # where the dividers stand until they are moved


class Workbench(ttk.Frame):
    """All views of the design in hand."""

    def __init__(self, parent: tk.Misc, context: Context) -> None:
        super().__init__(parent)
        self._context = context
        self.bar = Toolbar(self, context)
        self.bar.pack(side="top", fill="x")
        self.status = Status(self, context)
        self.status.pack(side="bottom", fill="x")
        self.panes: dict[str, ttk.Panedwindow] = {}
        self._column: Column | None = None
        places = self._one_below_the_other() if context.narrow else self._side_by_side()
        self.stage = Stage(places["surface"], context)
        self.surface, self.curves = self.stage.surface, self.stage.curves
        self.side = ttk.Notebook(places["side"])
        self.thing = ThingPanel(self.side, context)
        self.everything = Everything(self.side, context)
        self.side.add(self.thing, text=say("bench.thing"))
        self.side.add(self.everything, text=say("bench.everything"))
        self.lists = ttk.Notebook(places["lists"])
        self.findings = FindingsPanel(self.lists, context)
        self.explaining = ExplainingPanel(places["explaining"], context)
        self.open = NotesPanel(self.lists, context, "open", self._read_note)
        self.assumed = NotesPanel(self.lists, context, "assumed", self._read_note)
        self.lists.add(self.findings, text=say("bench.findings"))
        self.lists.add(self.open, text=say("bench.open"))
        self.lists.add(self.assumed, text=say("bench.assumed"))
        for book in (self.side, self.lists):
            book.enable_traversal()
        for name, weight in (("surface", 3), ("lists", 1), ("side", 1), ("explaining", 1)):
            place, view = places[name], self.stage if name == "surface" else getattr(self, name)
            if isinstance(place, ttk.Panedwindow):
                place.add(view, weight=weight)
            else:
                view.pack(fill="both", expand=True)
        self.dividers = Dividers(context, self.panes)
        self._placed = False
        self.bind("<Configure>", self._place)
        context.listen(self._count, "assessed")

    def _side_by_side(self) -> dict[str, tk.Misc]:
        """What the views stand in: the drawing above the findings, the form above what they mean."""
        columns = self.panes["columns"] = ttk.Panedwindow(self, orient="horizontal")
        columns.pack(fill="both", expand=True, padx=self._context.px(6))
        for name, weight in (("left", 3), ("right", 1)):
            self.panes[name] = ttk.Panedwindow(columns, orient="vertical")
            columns.add(self.panes[name], weight=weight)
        left, right = self.panes["left"], self.panes["right"]
        return {"surface": left, "lists": left, "side": right, "explaining": right}

    def _one_below_the_other(self) -> dict[str, tk.Misc]:
        """What the views stand in: boxes in a column, each as high as it needs to be of use."""
        px = self._context.px
        self._column = Column(self)
        self._column.pack(fill="both", expand=True, padx=px(6))
        boxes: dict[str, tk.Misc] = {}
        for name, height in HEIGHTS.items():
            box = ttk.Frame(self._column.body, height=px(height))
            box.pack_propagate(False)
            box.pack(fill="x", pady=(0, px(6)))
            boxes[name] = box
        return boxes

    def show(self, view: tk.Misc) -> None:
        """Bring a view into sight, where not all are."""
        if self._column is not None and view.master is not None:
            self.update_idletasks()
            self._column.see(view.master)

    def _read_note(self, note: Note) -> None:
        """Tell a note in full, and show where in the form it can be settled."""
        self.explaining.show_note(note.what, note.whole)
        self.thing.bring(note.subject)

    def _count(self) -> None:
        assessment = self._context.session.assessment
        if assessment is not None:
            counts = (len(assessment.findings), len(assessment.not_checked), len(assessment.assumptions))
            for tab, (name, count) in enumerate(zip(("findings", "open", "assumed"), counts, strict=True)):
                words = say("bench.counted", what=say(f"bench.{name}"), count=count)
                self.lists.tab(tab, text=words)  # type: ignore[no-untyped-call]

    def _place(self, event: tk.Event[tk.Misc]) -> None:
        """The dividers as they stood last time, else where they are usual; once, when the size is known."""
        if self._placed or event.widget is not self or event.width < 200:
            return
        self._placed = True
        self.update_idletasks()
        kept = dict(self._context.session.settings.sashes)
        for name, pane in self.panes.items():
            room = pane.winfo_width() if name == "columns" else pane.winfo_height()
            place = kept.get(name, round(room * SHARES[name]))
            place = max(1, min(place, room - self._context.px(80)))
            pane.sashpos(0, place)  # type: ignore[no-untyped-call]

    @property
    def sashes(self) -> tuple[tuple[str, int], ...]:
        """Where the dividers stand."""
        return tuple((name, pane.sashpos(0)) for name, pane in self.panes.items())  # type: ignore[no-untyped-call]

    def go_drawing(self) -> None:
        """The keyboard goes to the drawing."""
        self.show(self.stage)
        self.stage.shown.canvas.focus_set()

    def go_form(self) -> None:
        """The keyboard goes to the form of the thing in hand."""
        self.show(self.side)
        self.side.select(self.thing)  # type: ignore[no-untyped-call]
        self.thing.take_focus()

    def go_everything(self) -> None:
        """The keyboard goes to the list of all things."""
        self.show(self.side)
        self.side.select(self.everything)  # type: ignore[no-untyped-call]
        self.update_idletasks()
        self.everything.word.entry.focus_set()

    def go_findings(self) -> None:
        """The keyboard goes to the list of what is wrong."""
        self.show(self.lists)
        self.lists.select(self.findings)  # type: ignore[no-untyped-call]
        self.findings.list.take_focus()


class Status(ttk.Frame):
    """One line: how things stand, how far work is, what was said in passing, and the way to the cautions."""

    def __init__(self, parent: tk.Misc, context: Context) -> None:
        super().__init__(parent, padding=(context.px(8), context.px(3)))
        self._context, px = context, context.px
        self.cautions = ttk.Button(self, text=say("status.cautions"), style="Tool.TButton",
                                   command=lambda: context.do("cautions"))
        self.cautions.pack(side="right")
        self._work = ttk.Frame(self)
        self._bar = ttk.Progressbar(self._work, maximum=1.0, length=px(110))
        self._bar.pack(side="right")
        self.label = flow(ttk.Label(self, style="Quiet.TLabel", anchor="w", justify="left"))
        self.label.pack(side="left", fill="x", expand=True)
        self._clear: str | None = None
        self._wait: str | None = None
        context.listen(self.refresh, "work", "design", "assessed", "failed", "saved")
        context.listen(self._progress, "progress")

    def note(self, text: str) -> None:
        """Say something in passing."""
        if self._clear:
            self.after_cancel(self._clear)
        self.label.configure(text=text, style="TLabel")
        self._clear = self.after(NOTE_MS, self._cleared)

    def _cleared(self) -> None:
        self._clear = None
        self.refresh()

    def refresh(self) -> None:
        """How things stand."""
        session = self._context.session
        if self._clear:
            return
        trouble = session.recovery.trouble()
        if trouble:
            words = say("status.no-recovery", why=trouble)
        elif session.assessment is None:
            words = ""
        else:
            words = findings.summary(session.assessment).words
            if session.stale:
                words = say("status.stale", words=words)
        self.label.configure(text=words, style="Quiet.TLabel")
        self._progress()

    def _progress(self) -> None:
        session = self._context.session
        if not session.busy:
            if self._wait:
                self.after_cancel(self._wait)
                self._wait = None
            self._work.pack_forget()
        elif self._work.winfo_manager():
            self._bar.configure(value=session.progress[0])
            self._wait = self._wait or self.after(BUSY_MS, self._show_progress)
        elif not self._wait:
            self._wait = self.after(BUSY_MS, self._show_progress)

    def _show_progress(self) -> None:
        self._wait = None
        if self._context.session.busy and not self._work.winfo_manager():
            self._work.pack(side="right", padx=(0, self._context.px(8)), before=self.label)
        self._progress()
