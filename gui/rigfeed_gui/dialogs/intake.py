"""A supplier's list: look at every row as it would be taken, say what the columns are, and keep it or not."""

from __future__ import annotations

import tkinter as tk
from collections.abc import Callable
from tkinter import ttk

from rigfeed.errors import Cancelled, RigfeedError
from rigfeed.intake.adding import Prepared
from rigfeed.intake.taking import STATES
from rigfeed.registry import Registry
from rigfeed_gui.dialogs import files
from rigfeed_gui.dialogs.base import Dialog
from rigfeed_gui.dialogs.working import Working
from rigfeed_gui.faults import told
from rigfeed_gui.logic import intaking
from rigfeed_gui.logic.assessor import Job
from rigfeed_gui.logic.commands import command
from rigfeed_gui.logic.fields import Choice
from rigfeed_gui.logic.intaking import Listed
from rigfeed_gui.logic.words import say
from rigfeed_gui.panels.context import Context
from rigfeed_gui.panels.findings import Picking
from rigfeed_gui.panels.listing import Listing
from rigfeed_gui.panels.picker import Line
from rigfeed_gui.panels.scrolled import Reading, flow

AT_ONCE_MS = 250  # what is read by then shows no progress
LOOK_MS = 10
TYPED_INTO = ("TEntry", "TCombobox")  # what is pasted there belongs there


class Intake(Dialog):
    """The rows, the columns, and the changes of a list. Nothing is written before a person says so."""

    def __init__(self, context: Context, list_: Listed, registry: Registry, kept: Callable[[], None]) -> None:
        super().__init__(context.root, context.theme, say("intake.title", file=list_.file))
        self._context, self.list_, self._registry, self._kept = context, list_, registry, kept
        self.prepared: Prepared | None = None
        self._job: Job[Prepared] | None = None
        self._build_top(registry)
        self.summary = flow(ttk.Label(self.body, text=" ", wraplength=context.px(300), justify="left"))
        self.summary.pack(side="bottom", fill="x", pady=(context.px(6), 0))
        self.tabs = ttk.Notebook(self.body)
        self.tabs.pack(fill="both", expand=True)
        self.tabs.enable_traversal()
        self._build_rows()
        self._build_columns()
        self._build_changes()
        self.keep_button = self.button(say("intake.keep"), self.keep, chief=True)
        self.button(say("dialog.cancel"), self.leave)
        key = command("paste-list")
        self.paste_button = self.button(say("intake.paste"), self.paste, left=True)
        context.tips.attach(self.paste_button, key.shown_key)
        self.bind(key.key, lambda event: self.paste())
        self.bind("<<Paste>>", self._pasted)
        context.theme.listen(self._recolour)
        self._recolour()
        self.present(self.rows.tree, width=900, height=600)
        self._read()

    def _build_top(self, registry: Registry) -> None:
        px = self._context.px
        top = ttk.Frame(self.body)
        top.pack(fill="x", pady=(0, px(6)))
        ttk.Label(top, text=say("intake.name")).pack(side="left")
        self.name = Line(top, self.theme, width=14)
        self.name.put(self.list_.name)
        self.name.on_done = self._named
        self.name.pack(side="left", fill="x", expand=True, padx=px(6))
        self.kind = Picking(top, 16 if self._context.narrow else 26)
        self.kind.offer(intaking.kinds(registry), self.list_.mapping.kind)
        self.kind.pack(side="left")
        chosen = "<<ComboboxSelected>>"
        self.kind.bind(chosen, lambda event: self._change(self.list_.of_kind(self.kind.chosen, registry)), add="+")

    def _build_rows(self) -> None:
        px = self._context.px
        page = ttk.Frame(self.tabs, padding=px(4))
        self.tabs.add(page, text=say("intake.rows"))
        line = ttk.Frame(page)
        line.pack(fill="x")
        self.outcome = Picking(line, 20)
        self.outcome.offer((("", say("intake.all")), *((s, intaking.state_words(s)) for s in STATES)), "")
        self.outcome.bind("<<ComboboxSelected>>", lambda event: self._show_rows(), add="+")
        self.outcome.pack(side="left")
        self.more = ttk.Label(line, style="Quiet.TLabel", text=" ")
        self.more.pack(side="left", padx=px(8))
        names = ("state", "line", "id", "says")
        self.rows = Listing(page, names, [say(f"intake.column-{name}") for name in names], height=3)
        for name, width in zip(names, (140, 50, 120, 300), strict=True):
            self.rows.column(name, px(width), stretch=name == "says")
        self.rows.pack(fill="both", expand=True, pady=px(4))
        self.rows.tree.bind("<<TreeviewSelect>>", lambda event: self._show_row())
        high = 3 if self._context.narrow else 7
        reading = Reading(page, height=high, width=30, padx=px(8), pady=px(4), highlightthickness=1)
        reading.pack(fill="x")
        self.about = reading.text

    def _build_columns(self) -> None:
        px = self._context.px
        page = ttk.Frame(self.tabs, padding=px(4))
        self.tabs.add(page, text=say("intake.columns"))
        names = ("header", "meaning", "taken-as", "first")
        self.columns = Listing(page, names, [say(f"intake.column-{name}") for name in names], height=3)
        for name, width in zip(names, (170, 130, 110, 150), strict=True):
            self.columns.column(name, px(width), stretch=name == "first")
        self.columns.pack(fill="both", expand=True)
        self.columns.tree.bind("<<TreeviewSelect>>", lambda event: self._show_column())
        line = ttk.Frame(page)
        line.pack(fill="x", pady=(px(6), 0))
        ttk.Label(line, text=say("intake.means")).pack(side="left")
        self.meaning = Picking(line, 16)
        self.meaning.pack(side="left", padx=px(6))
        self.meaning.bind("<<ComboboxSelected>>", lambda event: self._means(), add="+")
        ttk.Label(line, text=say("intake.as")).pack(side="left")
        self.taken_as = Line(line, self.theme, offer=self._offered, width=12)
        self.taken_as.on_done = self._take_as
        self.taken_as.pack(side="left", fill="x", expand=True, padx=(px(6), 0))

    def _build_changes(self) -> None:
        page = ttk.Frame(self.tabs, padding=self._context.px(4))
        self.tabs.add(page, text=say("intake.changes"))
        names = ("what", "part", "cells")
        self.changes = Listing(page, names, [say(f"intake.column-{name}") for name in names], height=4)
        for name, width in zip(names, (90, 140, 360), strict=True):
            self.changes.column(name, self._context.px(width), stretch=name == "cells")
        self.changes.pack(fill="both", expand=True)
        self._show_changes(())

    def _recolour(self) -> None:
        self.about.tag_configure("quiet", foreground=self.theme.palette.quiet)

    # reading

    def _change(self, list_: Listed) -> None:
        """Read the list another way."""
        if list_ != self.list_:
            self.list_ = list_
            self._read()

    def _read(self) -> None:
        list_, registry = self.list_, self._registry
        self.prepared = None
        self.keep_button.state(["disabled"])
        if self._job is not None:
            self._job.cancel()
        job = self._job = Job(say("intake.reading"), lambda tell: list_.read(registry, tell))
        self._wait(job, AT_ONCE_MS)

    def _wait(self, job: Job[Prepared], left_ms: int) -> None:
        if job is not self._job or not self.winfo_exists():
            return
        if job.poll():
            self._come(job)
        elif left_ms <= 0:
            Working(self, self.theme, job, lambda: self._come(job))
        else:
            self.after(LOOK_MS, self._wait, job, left_ms - LOOK_MS)

    def _come(self, job: Job[Prepared]) -> None:
        if job is not self._job or not self.winfo_exists():
            return
        self._job = None
        try:
            self.prepared = job.result()
        except Cancelled:
            self.summary.configure(text=say("intake.stopped"))
        except RigfeedError as error:
            what, remedy = told(error)
            do = say("intake.do", remedy=remedy) if remedy else ""
            self.summary.configure(text=f"{say('intake.failed', what=what)} {do}".rstrip())
        self._show()

    @property
    def settled(self) -> bool:
        """Whether nothing is being read."""
        return self._job is None

    # showing

    def _show(self) -> None:
        prepared = self.prepared
        self.rows.tree.selection_set(())
        self._show_rows()
        self.columns.fill(
            (str(n), (c.header or say("intake.every-row"), dict(self._meanings())[c.meaning], c.taken_as, c.first), ())
            for n, c in enumerate(self._columns())
        )
        found = intaking.changes(prepared) if prepared else ()
        self._show_changes(found)
        self._show_column()
        if prepared is None:
            return
        self.keep_button.configure(text=say("intake.keep" if prepared.is_new else "intake.replace"))
        self.keep_button.state(["!disabled" if intaking.may_be_kept(prepared.taken) else "disabled"])
        self.summary.configure(text=intaking.summary(prepared, self._registry, short=self._context.narrow))

    def _show_changes(self, found: tuple[tuple[str, str, str], ...]) -> None:
        self.changes.fill((str(number), change, ()) for number, change in enumerate(found))
        self.tabs.tab(2, state="normal" if found else "hidden")  # type: ignore[no-untyped-call]

    def _show_rows(self) -> None:
        found, more = intaking.rows(self.prepared.taken, self.outcome.chosen) if self.prepared else ((), 0)
        self.rows.fill((row.line, (row.state, row.line, row.id, row.says), ()) for row in found)
        self.more.configure(text=say("intake.more", count=more) if more else " ")
        if self.rows.chosen is None:
            self.rows.choose(found[0].line if found else None)
        self._show_row()

    def _show_row(self) -> None:
        line = self.rows.chosen
        if self.prepared is None or line is None:
            self.about.put()
            return
        taken = self.prepared.taken
        outcome = next(outcome for outcome in taken.outcomes if str(outcome.line) == line)
        self.about.put(*intaking.about(outcome, taken.columns.headers))

    def _meanings(self) -> tuple[tuple[str, str], ...]:
        return intaking.meanings(self._registry, self.prepared.taken.kind) if self.prepared else (("", ""),)

    def _columns(self) -> tuple[intaking.ColumnShown, ...]:
        prepared = self.prepared
        return intaking.columns(prepared, self._registry.kinds[prepared.taken.kind]) if prepared else ()

    def _offered(self, text: str) -> tuple[Choice, ...]:
        kind = self._registry.kinds[self.prepared.taken.kind] if self.prepared else None
        return intaking.offered(self.meaning.chosen, text, kind)

    def _column(self) -> intaking.ColumnShown | None:
        found = self._columns()
        chosen = self.columns.chosen
        return found[int(chosen)] if chosen is not None and int(chosen) < len(found) else None

    def _show_column(self) -> None:
        column = self._column()
        self.meaning.offer(self._meanings(), column.meaning if column else "")
        self.taken_as.put(column.taken_as if column else "", say("intake.as-ghost"))
        self.meaning.state(["!disabled" if column and column.header else "disabled"])
        self.taken_as.entry.state(["!disabled" if column else "disabled"])

    # saying how it is read

    def _named(self, text: str) -> None:
        try:
            self.name.wrong(False)
            self._change(self.list_.named(text))
        except RigfeedError as error:
            self.name.wrong(True)
            self.summary.configure(text=": ".join(part for part in told(error) if part))

    def paste(self) -> None:
        """The list in the clipboard instead: of what no program reads, the table can still be copied."""
        try:
            list_ = intaking.pasted(files.clipboard(self))
        except RigfeedError as error:
            self.summary.configure(text=": ".join(part for part in told(error) if part))
            return
        self.title(say("intake.title", file=list_.file))
        self.name.put(list_.name)
        self.name.wrong(False)
        self.kind.offer(intaking.kinds(self._registry), "")
        self._change(list_)

    def _pasted(self, event: tk.Event[tk.Misc]) -> None:
        if event.widget.winfo_class() not in TYPED_INTO:
            self.paste()

    def _means(self) -> None:
        if (column := self._column()) is not None:
            self._change(self.list_.meaning(column.header, self.meaning.chosen))

    def _take_as(self, text: str) -> None:
        column = self._column()
        if column is not None and column.meaning and text.strip() != column.taken_as:
            say_it = self.list_.taken_as if column.header else self.list_.every
            self._change(say_it(column.meaning, text.strip()))

    # the end

    def keep(self) -> None:
        """Write the catalog, and remember under its name how the list was read."""
        if self.prepared is None:
            return
        prepared = self.prepared
        path = prepared.keep()
        self.close()
        self._context.note(say("intake.kept", name=prepared.name, file=path))
        self._kept()

    def close(self) -> None:
        """Close; what is being read is given up."""
        if self._job is not None:
            self._job.cancel()
            self._job = None
        self.theme.forget(self._recolour)
        super().close()
