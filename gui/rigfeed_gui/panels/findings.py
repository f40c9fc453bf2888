"""What is wrong: a list to filter and sort. Choosing a row selects its subject and explains it beside the list."""

from __future__ import annotations

import tkinter as tk
import tkinter.font as tkfont
from collections.abc import Callable, Sequence
from functools import partial
from tkinter import ttk
from typing import get_args

from rigfeed.checks.check import SEVERITY_ORDER
from rigfeed_gui.logic import findings
from rigfeed_gui.logic.cutting import cut
from rigfeed_gui.logic.findings import Filter, Note, Order, Row
from rigfeed_gui.logic.words import say
from rigfeed_gui.panels.context import Context
from rigfeed_gui.panels.listing import Letters, Listing
from rigfeed_gui.panels.picker import Line

MOST_WIDE = 130  # pixels at 96 dpi, for a column that is as wide as its words
COLUMNS = ("severity", "subject", "state", "text")
SORTED_BY = {"severity": "severity", "subject": "subject", "state": "state"}


class Picking(ttk.Combobox):
    """One of a few words, each standing for a value; it may grow with the words, up to so many characters. What is
    longer is cut short."""

    def __init__(self, parent: tk.Misc, width: int, grows: int = 0) -> None:
        super().__init__(parent, state="readonly", width=width)
        self._least, self._grows = width, grows
        self._values: tuple[str, ...] = ()
        self.rows: tuple[tuple[str, str], ...] = ()
        self._letters = Letters(tkfont.nametofont("TkTextFont", self))
        # the wheel over a closed list must not change what is chosen
        for event in ("<MouseWheel>", "<Button-4>", "<Button-5>"):
            self.bind(event, lambda event: "break")
        self.bind("<<ComboboxSelected>>", lambda event: self.selection_clear(), add="+")

    def offer(self, rows: tuple[tuple[str, str], ...], chosen: str) -> None:
        """Offer values with their words."""
        if rows != self.rows:
            self.rows = rows
            self._values = tuple(value for value, _ in rows)
            self._show([words for _, words in rows])
        if chosen in self._values:
            self.current(self._values.index(chosen))
        elif rows:
            self.current(0)
        else:
            self.set("")

    def _show(self, words: Sequence[str]) -> None:
        if self._grows:
            one = self._letters["0"]
            words = [cut(each, self._grows * one, self._letters) for each in words]
            longest = max(map(self._letters.measure, words), default=0)
            self.configure(width=min(max(self._least, -(-longest // one)), self._grows))
        self.configure(values=tuple(words))

    @property
    def chosen(self) -> str:
        """The value of the chosen words."""
        at = self.current()
        return self._values[at] if 0 <= at < len(self._values) else ""


class FindingsPanel(ttk.Frame):
    """The list with its filters."""

    def __init__(self, parent: tk.Misc, context: Context) -> None:
        super().__init__(parent)
        self._context = context
        self.shown: tuple[Row, ...] = ()
        self._filters()
        self.list = Listing(self, COLUMNS, [say(f"findings.{name}") for name in COLUMNS])
        px = context.px
        for name, width in zip(COLUMNS, (98, 84, 72, 240), strict=True):
            self.list.column(name, px(width), stretch=name == "text")
        for name, order in SORTED_BY.items():
            self.list.tree.heading(name, command=partial(self.sort, order))
        self.list.pack(fill="both", expand=True)
        self.list.tree.bind("<<TreeviewSelect>>", self._chosen)
        self.list.tree.bind("<Return>", lambda event: context.do("go-form"))
        self.empty = ttk.Label(self.list, style="Quiet.Sheet.TLabel", anchor="center", justify="center",
                               wraplength=px(420))
        context.listen(self.refresh, "work", "assessed", "drawn", "settings", "failed")
        context.listen(self.mark_stale, "design")
        context.listen(self._select, "selection")
        context.theme.listen(self._recolour)
        self._recolour()
        self.refresh()

    def _filters(self) -> None:
        px = self._context.px
        bar = ttk.Frame(self, padding=(0, px(4)))
        bar.pack(fill="x")
        choosing = bar
        if self._context.narrow:  # two lines
            choosing = ttk.Frame(self, padding=(0, 0, 0, px(4)))
            choosing.pack(fill="x")
        self.word = Line(bar, self._context.theme, width=7)
        self.word.put("", say("findings.search"))
        self.word.on_type = lambda text: self.refresh()
        self.word.pack(side="left", fill="x", expand=True)
        self.severity, self.in_state, self.order = Picking(choosing, 12), Picking(choosing, 12), Picking(choosing, 11)
        self.severity.offer((("", say("findings.all-severities")), *((s, s) for s in SEVERITY_ORDER)), "")
        self.order.offer(tuple((o, say(f"findings.by-{o}")) for o in get_args(Order)), "severity")
        self.only = ttk.Checkbutton(bar, text=say("findings.only-selected"), command=self.refresh)
        self.only.state(["!alternate"])
        for widget in (self.severity, self.in_state, self.order):
            widget.pack(side="left", padx=(px(5) if choosing is bar else 0, 0 if choosing is bar else px(5)))
            widget.bind("<<ComboboxSelected>>", lambda event: self.refresh(), add="+")
        self.only.pack(side="left", padx=(px(6), 0))

    def _recolour(self) -> None:
        colours = self._context.theme.palette
        for severity in SEVERITY_ORDER:
            self.list.tree.tag_configure(severity, foreground=getattr(colours, severity))
        self.list.tree.tag_configure("accepted", foreground=colours.quiet)
        self.list.tree.tag_configure("stale", foreground=colours.quiet)

    @property
    def wanted(self) -> Filter:
        """What the filters say."""
        session = self._context.session
        return Filter(
            severities=(self.severity.chosen,) if self.severity.chosen else (), state=self.in_state.chosen or None,
            subject=session.selection if self.only.instate(["selected"]) else None, word=self.word.text,
        )

    def sort(self, order: str) -> None:
        """Sort by a column."""
        self.order.offer(tuple((o, say(f"findings.by-{o}")) for o in get_args(Order)), order)
        self.refresh()

    def refresh(self) -> None:
        """Show what the filters let through."""
        session = self._context.session
        self._offer_states()
        if session.work is None or session.assessment is None:
            self.shown = ()
        else:
            order: Order = self.order.chosen or "severity"  # type: ignore[assignment]
            self.shown = findings.rows(session.assessment, self.wanted, order, session.settings.units, session.scene)
        self.list.fill((str(at), _cells(row), self._tags(row)) for at, row in enumerate(self.shown))
        for name, texts in (("subject", [findings.about(row.finding.subject) for row in self.shown]),
                            ("state", [row.state for row in self.shown])):
            self.list.fit(name, texts, self._context.px(MOST_WIDE))
        self._say_why_empty()
        self._select()

    def _tags(self, row: Row) -> tuple[str, ...]:
        if self._context.session.stale:
            return ("stale",)
        return ("accepted",) if row.finding.accepted_by else (str(row.finding.severity),)

    def mark_stale(self) -> None:
        """The design has changed since: what is listed may be gone."""
        for row in self.list.tree.get_children():
            self.list.tree.item(row, tags=("stale",))
        self.list.forget()

    def _offer_states(self) -> None:
        states = self._context.session.states
        self.in_state.offer((("", say("findings.all-states")), *((id_, title or id_) for id_, title in states)),
                            self.in_state.chosen)

    def _say_why_empty(self) -> None:
        session = self._context.session
        if self.shown or session.work is None:
            self.empty.place_forget()
            return
        if session.failure is not None and session.assessment is None:
            words = str(session.failure)
        elif session.assessment is None:
            words = say("findings.working")
        elif session.assessment.findings:
            words = say("findings.filtered")
        else:
            words = findings.nothing_found(session.assessment)
        self.empty.configure(text=words)
        self.empty.place(relx=0.5, rely=0.55, anchor="center")

    def _select(self) -> None:
        finding = self._context.session.finding
        at = next((n for n, row in enumerate(self.shown) if row.finding is finding), None)
        self.list.choose(None if at is None else str(at))
        if self.only.instate(["selected"]) and self._context.session.selection != self._subject:
            self._subject = self._context.session.selection
            self.refresh()

    _subject: object = None

    def _chosen(self, event: tk.Event[tk.Misc]) -> None:
        chosen = self.list.chosen
        row = self.shown[int(chosen)] if chosen is not None else None
        session = self._context.session
        if row is not None and row.finding is not session.finding:
            session.choose_finding(row.finding)


def _cells(row: Row) -> tuple[str, ...]:
    key = "finding.numbered" if row.number else "finding.listed"
    mark = say(key, mark=row.mark, number=row.number, severity=row.severity)
    return mark, findings.about(row.finding.subject), row.state, row.text


class NotesPanel(ttk.Frame):
    """Lines of two texts, each about a subject: what was not checked, or what was assumed; `read` shows one in full."""

    def __init__(self, parent: tk.Misc, context: Context, name: str, read: Callable[[Note], None]) -> None:
        super().__init__(parent)
        self._context, self._name, self._read = context, name, read
        self.list = Listing(self, ("what", "why"), (say(f"{name}.what"), say(f"{name}.why")))
        self.list.column("what", context.px(240))
        self.list.column("why", context.px(300), stretch=True)
        self.list.pack(fill="both", expand=True, pady=(context.px(4), 0))
        self.list.tree.bind("<<TreeviewSelect>>", self._chosen)
        self.lines: tuple[Note, ...] = ()
        self._filled: object = None
        context.listen(self.refresh, "work", "assessed", "settings")
        self.bind("<Map>", lambda event: self.refresh())

    def refresh(self) -> None:
        """Show the lines of the assessment; only while in sight."""
        session = self._context.session
        if not self.winfo_ismapped() or self._filled == (session.assessment, session.settings.units):
            return
        self._filled = (session.assessment, session.settings.units)
        if session.assessment is None:
            self.lines = ()
        elif self._name == "open":
            self.lines = findings.open_lines(session.assessment)
        else:
            self.lines = findings.assumed_lines(session.assessment, session.settings.units)
        self.list.fill((str(number), (line.what, line.why), ()) for number, line in enumerate(self.lines))

    def _chosen(self, event: tk.Event[tk.Misc]) -> None:
        if (chosen := self.list.chosen) is not None and self._context.session.work is not None:
            line = self.lines[int(chosen)]
            self._context.session.choose_finding(None)
            if line.subject:
                self._context.session.select(line.subject)
            self._read(line)
