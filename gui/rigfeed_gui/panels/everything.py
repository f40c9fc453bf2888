"""All things of the design by what they are, with the number of findings on each; a word narrows the list."""

from __future__ import annotations

import tkinter as tk
from dataclasses import replace
from tkinter import ttk

from rigfeed.path import Path
from rigfeed_gui.logic import things
from rigfeed_gui.logic.words import say
from rigfeed_gui.panels.context import Context
from rigfeed_gui.panels.listing import Listing
from rigfeed_gui.panels.picker import Line


class Everything(ttk.Frame):
    """A tree to choose from: choosing selects."""

    def __init__(self, parent: tk.Misc, context: Context) -> None:
        super().__init__(parent)
        self._context, px = context, context.px
        top = ttk.Frame(self, padding=(px(8), px(8), px(8), px(4)))
        top.pack(fill="x")
        self.word = Line(top, context.theme)
        self.word.put("", say("everything.search"))
        self.word.on_type = lambda text: self.refresh()
        self.word.pack(side="left", fill="x", expand=True)
        self.word.entry.bind("<Down>", lambda event: self.take_focus())
        add = ttk.Button(top, text=say("everything.add"), command=lambda: context.do("add"))
        add.pack(side="left", padx=(px(6), 0))
        self.list = Listing(self, ("findings",), tree=True)
        self.list.column("findings", px(26), anchor="e")
        self.list.tree.column("#0", stretch=True, minwidth=px(80))
        self.list.pack(fill="both", expand=True, padx=px(8), pady=(0, px(8)))
        self.list.tree.bind("<<TreeviewSelect>>", self._chosen)
        self.list.tree.bind("<Return>", lambda event: context.do("go-form"))
        self.list.tree.bind("<Double-1>", lambda event: context.do("go-form"))
        self._shown: tuple[things.Section, ...] = ()
        self._stale = True
        context.listen(self.refresh, "work", "design", "assessed")
        context.listen(self._select, "selection")
        self.bind("<Map>", lambda event: self.after_idle(self._come_into_sight))

    def take_focus(self) -> None:
        """The keyboard goes to the list."""
        self.list.take_focus()

    def refresh(self) -> None:
        """Show the things as they are now; while out of sight, later."""
        self._stale = True
        if self.winfo_ismapped():
            self._catch_up()

    def _come_into_sight(self) -> None:
        """When the list has its height: before, nothing could be brought into sight in it."""
        self._catch_up()
        self._select()

    def _catch_up(self) -> None:
        session = self._context.session
        if not self._stale or session.work is None:
            return
        self._stale = False
        word = self.word.text.lower()
        found = things.sections(session.work.design, session.assessment)
        shown = tuple(replace(s, things=tuple(t for t in s.things if word in t.words.lower())) for s in found)
        if shown != self._shown:
            self._shown = shown
            self._fill()
        self._select()

    def _fill(self) -> None:
        tree = self.list.tree
        closed = {iid for iid in tree.get_children() if not tree.item(iid, "open")}
        first = tree.yview()[0]
        self.list.clear()
        for section in self._shown:
            if not section.things:
                continue
            head = f"*{section.collection}"
            words = f"{section.heading}  {len(section.things)}" if section.collection else section.heading
            self.list.add("", head, words, is_open=head not in closed)
            for listed in section.things:
                count = str(listed.findings) if listed.findings else ""
                self.list.add(head, str(listed.path), listed.words, count)
        tree.yview_moveto(first)

    def _select(self) -> None:
        selection = self._context.session.selection
        if self.winfo_ismapped():
            self.list.choose(str(selection) if selection is not None else None)

    def _chosen(self, event: tk.Event[tk.Misc]) -> None:
        chosen = self.list.chosen
        if chosen and not chosen.startswith("*"):
            path = Path.parse(chosen)
            if path != self._context.session.selection:
                self._context.session.select(path)
