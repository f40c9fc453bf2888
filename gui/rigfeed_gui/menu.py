"""The menus and the keys, both from the table of commands."""

from __future__ import annotations

import tkinter as tk
from functools import partial

from rigfeed_gui.logic.commands import COMMANDS, MENUS, in_menu
from rigfeed_gui.logic.words import say
from rigfeed_gui.panels.context import Context

ALSO = {"zoom-in": ("<Control-equal>", "<Control-KP_Add>"), "zoom-out": ("<Control-KP_Subtract>",)}
TYPING = ("TEntry", "TCombobox", "Text", "Listbox", "Treeview")


class Menus:
    """The menu bar of a window; what can be done is looked up when a menu is opened."""

    def __init__(self, context: Context) -> None:
        self._context = context
        self.bar = tk.Menu(context.root, tearoff=False, relief="flat", borderwidth=0)
        self.menus: dict[str, tk.Menu] = {}
        for name in MENUS:
            menu = self.menus[name] = tk.Menu(self.bar, tearoff=False)
            menu.configure(postcommand=partial(self.refresh, name))
            self.bar.add_cascade(label=say(f"menu.{name}"), menu=menu, underline=0)
            self._fill(name, menu)
        context.root.configure(menu=self.bar)
        self._bind_keys()

    def _fill(self, name: str, menu: tk.Menu) -> None:
        before = None
        for row in in_menu(name):
            if before is not None and before != row.sort:
                menu.add_separator()
            before = row.sort
            menu.add_command(label=row.words, accelerator=row.shown_key,
                             command=partial(self._context.do, row.id))

    def refresh(self, name: str) -> None:
        """Grey what cannot be done now, and say what undo would take back."""
        menu, now, work = self.menus[name], self._context.session.now, self._context.session.work
        rows = iter(in_menu(name))
        for index in range((menu.index("end") or 0) + 1):
            if menu.type(index) != "command":
                continue
            row = next(rows)
            label = row.words
            what = {"undo": work.undoes, "redo": work.redoes}.get(row.id) if work else None
            if what:
                label = say("menu.what", words=label, what=what)
            menu.entryconfigure(index, state="normal" if row.enabled(now) else "disabled", label=label)

    def _bind_keys(self) -> None:
        root = self._context.root
        for row in COMMANDS:
            for key in (row.key, *ALSO.get(row.id, ())):
                if key:
                    root.bind(key, partial(self._run, row.id))
                    for kind in TYPING:  # old habits of these widgets must not act beside the command
                        root.bind_class(kind, key, lambda event: None)

    def _run(self, id_: str, event: tk.Event[tk.Misc]) -> str:
        self._context.do(id_)
        return "break"

