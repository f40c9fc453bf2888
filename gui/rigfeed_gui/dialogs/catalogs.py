"""The shelf: parts by kind, each with where its figures come from and how far to trust them."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from tkinter import ttk

from rigfeed.fields import PART_KEY
from rigfeed.parts.shelf import Shelf
from rigfeed_gui.dialogs.ask import Ask
from rigfeed_gui.dialogs.base import Dialog
from rigfeed_gui.logic import browsing, intaking
from rigfeed_gui.logic.words import say
from rigfeed_gui.panels.context import Context
from rigfeed_gui.panels.findings import Picking
from rigfeed_gui.panels.listing import Listing
from rigfeed_gui.panels.picker import Line

LONG = 20  # letters of a name that no button has room for


class Catalogs(Dialog):
    """Stays open beside the window."""

    def __init__(self, context: Context, shelf: Callable[[], Shelf], changed: Callable[[], None]) -> None:
        super().__init__(context.root, context.theme, say("catalogs.title"), modal=False)
        self._context, self._ask_shelf, self._changed = context, shelf, changed
        self._shelf = shelf()
        px = context.px
        top = ttk.Frame(self.body)
        top.pack(fill="x", pady=(0, px(6)))
        self.kind = Picking(top, 30)
        self._offer_kinds("")
        self.kind.pack(side="left")
        self.kind.bind("<<ComboboxSelected>>", lambda event: self._list(), add="+")
        self.word = Line(top, context.theme)
        self.word.put("", say("catalogs.search"))
        self.word.on_type = lambda text: self._list()
        self.word.pack(side="left", fill="x", expand=True, padx=(px(8), 0))
        rows = 3 if context.narrow else 8  # both grow with the dialog
        names = ("key", "title", "confidence", "source")
        self.list = Listing(self.body, names, [say(f"catalogs.column-{name}") for name in names], height=rows)
        for name, width in zip(names, (260, 220, 100, 190), strict=True):
            self.list.column(name, px(width), stretch=name == "source")
        self.list.pack(fill="both", expand=True)
        self.list.tree.bind("<<TreeviewSelect>>", lambda event: self._show())
        self.more = ttk.Label(self.body, style="Quiet.TLabel")
        self.more.pack(anchor="w", pady=px(3))
        self.details = Listing(self.body, ("what", "value"), (say("catalogs.what"), say("catalogs.value")), height=rows)
        self.details.column("what", px(220))
        self.details.column("value", px(480), stretch=True)
        self.details.pack(fill="both", expand=True)
        self.button(say("dialog.close"), self.leave)
        self.adding = self.button(say("catalogs.add"), lambda: context.do("add-list"), left=True)
        self.pasting = self.button(say("catalogs.paste"), lambda: context.do("paste-list"), left=True)
        self.removing = self.button(say("catalogs.remove-none"), self._remove, left=True)
        self._list()
        self.present(self.word.entry, width=860, height=590)
        self.list.tree.yview_moveto(0)  # a row was brought into sight before there was any height for it

    def _offer_kinds(self, chosen: str) -> None:
        kinds = browsing.kinds(self._shelf)
        words = tuple((kind.name, say("catalogs.kind", title=kind.title, count=kind.count)) for kind in kinds)
        self.kind.offer(words, chosen)

    def look_again(self) -> None:
        """A catalog was added, replaced or removed."""
        self._shelf = self._ask_shelf()
        self._offer_kinds(self.kind.chosen)
        self._list()

    def _list(self) -> None:
        found = browsing.search(self._shelf, self.kind.chosen, self.word.text)
        self.list.fill((row.key, (row.key, row.title, row.confidence, row.source), ()) for row in found.rows)
        self.more.configure(text=say("catalogs.more", count=found.more) if found.more else " ")
        if self.list.chosen is None:
            self.list.choose(found.rows[0].key if found.rows else None)
        self._show()

    def _show(self) -> None:
        key = self.list.chosen
        lines = browsing.details(self._shelf, key) if key else ()
        name = self._own
        is_short = 0 < len(name) < LONG
        self.removing.configure(text=say("catalogs.remove", name=name) if is_short else say("catalogs.remove-none"))
        self.removing.state(["!disabled" if name else "disabled"])
        self.details.fill((str(number), line, ()) for number, line in enumerate(lines))

    @property
    def _own(self) -> str:
        """The catalog of the part in sight, where it is one of the user's own."""
        match = PART_KEY.fullmatch(self.list.chosen or "")
        name = match["catalog"] if match else None
        return name if name and intaking.is_own(name) else ""

    def _remove(self) -> None:
        name = self._own
        if name:
            Ask(self, self.theme, say("catalogs.remove-title", name=name), say("catalogs.remove-text"),
                [(say("catalogs.remove-yes"), partial(self._removed, name))], cancel=say("dialog.cancel"))

    def _removed(self, name: str) -> None:
        intaking.remove(name)
        self._context.note(say("catalogs.removed", name=name))
        self._changed()
