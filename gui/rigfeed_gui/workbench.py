"""The main arrangement: the drawing to look at, the thing in hand beside it, below what is wrong and what to do."""

from __future__ import annotations

import tkinter as tk
from functools import partial
from tkinter import ttk

from rigfeed_gui.logic import findings
from rigfeed_gui.logic.commands import command
from rigfeed_gui.logic.words import say
from rigfeed_gui.panels.context import Context
from rigfeed_gui.panels.everything import Everything
from rigfeed_gui.panels.explaining import ExplainingPanel
from rigfeed_gui.panels.findings import FindingsPanel, NotesPanel, Picking
from rigfeed_gui.panels.thing import ThingPanel
from rigfeed_gui.panels.values import Value
from rigfeed_gui.surface import Surface

NOTE_MS = 8000
BUSY_MS = 300  # work that is over sooner is not shown: a bar that only flickers tells nothing
SHARES = {"rows": 0.58, "top": 0.64, "bottom": 0.6}  # where the dividers stand until they are moved


class Workbench(ttk.Frame):
    """All views of the design in hand."""

    def __init__(self, parent: tk.Misc, context: Context) -> None:
        super().__init__(parent)
        self._context = context
        self.bar = Toolbar(self, context)
        self.bar.pack(side="top", fill="x")
        self.status = Status(self, context)
        self.status.pack(side="bottom", fill="x")
        self.panes = {"rows": ttk.Panedwindow(self, orient="vertical")}
        rows = self.panes["rows"]
        rows.pack(fill="both", expand=True, padx=context.px(6))
        top = self.panes["top"] = ttk.Panedwindow(rows, orient="horizontal")
        bottom = self.panes["bottom"] = ttk.Panedwindow(rows, orient="horizontal")
        rows.add(top, weight=3)
        rows.add(bottom, weight=1)
        self.surface = Surface(top, context)
        top.add(self.surface, weight=3)
        self.side = ttk.Notebook(top)
        self.thing = ThingPanel(self.side, context)
        self.everything = Everything(self.side, context)
        self.side.add(self.thing, text=say("bench.thing"))
        self.side.add(self.everything, text=say("bench.everything"))
        top.add(self.side, weight=1)
        self.lists = ttk.Notebook(bottom)
        self.findings = FindingsPanel(self.lists, context)
        self.explaining = ExplainingPanel(bottom, context)
        self.open = NotesPanel(self.lists, context, "open", self.explaining.show_note)
        self.assumed = NotesPanel(self.lists, context, "assumed", self.explaining.show_note)
        self.lists.add(self.findings, text=say("bench.findings"))
        self.lists.add(self.open, text=say("bench.open"))
        self.lists.add(self.assumed, text=say("bench.assumed"))
        for book in (self.side, self.lists):
            book.enable_traversal()
        bottom.add(self.lists, weight=3)
        bottom.add(self.explaining, weight=2)
        self._placed = False
        self.bind("<Configure>", self._place)
        context.listen(self._count, "assessed")

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
            room = pane.winfo_height() if name == "rows" else pane.winfo_width()
            place = kept.get(name, round(room * SHARES[name]))
            place = max(1, min(place, room - self._context.px(80)))
            pane.sashpos(0, place)  # type: ignore[no-untyped-call]
            self.update_idletasks()

    @property
    def sashes(self) -> tuple[tuple[str, int], ...]:
        """Where the dividers stand."""
        return tuple((name, pane.sashpos(0)) for name, pane in self.panes.items())  # type: ignore[no-untyped-call]

    def go_form(self) -> None:
        """The keyboard goes to the form of the thing in hand."""
        self.side.select(self.thing)  # type: ignore[no-untyped-call]
        self.thing.take_focus()

    def go_everything(self) -> None:
        """The keyboard goes to the list of all things."""
        self.side.select(self.everything)  # type: ignore[no-untyped-call]
        self.update_idletasks()
        self.everything.word.entry.focus_set()

    def go_findings(self) -> None:
        """The keyboard goes to the list of what is wrong."""
        self.lists.select(self.findings)  # type: ignore[no-untyped-call]
        self.findings.list.take_focus()


class Toolbar(ttk.Frame):
    """Undo and redo, which drawing, the figures of which state, how large."""

    def __init__(self, parent: tk.Misc, context: Context) -> None:
        super().__init__(parent, padding=(context.px(6), context.px(5)))
        self._context, px = context, context.px
        self.buttons: dict[str, ttk.Button] = {}
        for id_ in ("undo", "redo"):
            self._button(id_, say(f"bar.{id_}")).pack(side="left")
        self.drawings = ttk.Frame(self)
        self.drawings.pack(side="left", padx=(px(14), 0))
        self._drawing = Value(self)
        self._offered: tuple[tuple[str, str], ...] = ()
        ttk.Label(self, text=say("bar.state")).pack(side="left", padx=(px(16), px(5)))
        self.states = Picking(self, 20, grows=34)
        self.states.pack(side="left")
        self.states.bind("<<ComboboxSelected>>", self._state_chosen, add="+")
        for id_ in ("zoom-out", "zoom-in", "zoom-fit"):
            self._button(id_, say(f"bar.{id_}")).pack(side="left", padx=(px(14) if id_ == "zoom-out" else 0, 0))
        self._button("papers", say("bar.papers"), "TButton").pack(side="right", padx=(px(6), 0))
        self._button("save", say("bar.save"), "Chief.TButton").pack(side="right")
        context.listen(self.refresh, "work", "design", "assessed", "drawn", "selection", "saved", "failed")
        self.refresh()

    def _button(self, id_: str, words: str, style: str = "Tool.TButton") -> ttk.Button:
        button = ttk.Button(self, text=words, style=style, command=lambda: self._context.do(id_))
        button.bind("<Return>", lambda event: button.invoke())
        self._context.tips.attach(button, f"{command(id_).words}  {command(id_).shown_key}")
        self.buttons[id_] = button
        return button

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
        self._drawing.put(session.drawing)
        self.states.offer((("", say("bar.no-state")), *((id_, title or id_) for id_, title in session.states)),
                         session.state or "")

    def _state_chosen(self, event: tk.Event[tk.Misc]) -> None:
        self._context.session.show_state(self.states.chosen or None)

    def _offer_drawings(self) -> None:
        for child in self.drawings.winfo_children():
            child.destroy()
        for name, title in self._offered:
            button = ttk.Radiobutton(
                self.drawings, text=title, value=name, style="Switch.Toolbutton",
                variable=self._drawing.name,  # type: ignore[arg-type]
                command=partial(self._context.session.show_drawing, name),
            )
            button.pack(side="left")


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
        self.label = ttk.Label(self, style="Quiet.TLabel", anchor="w")
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
