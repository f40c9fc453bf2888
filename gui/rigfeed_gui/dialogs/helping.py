"""The cautions, the list of all keys, and what this is."""

from __future__ import annotations

import tkinter as tk
from collections.abc import Callable
from importlib.metadata import PackageNotFoundError, version
from tkinter import ttk

from rigfeed.cautions import CAUTIONS
from rigfeed_gui.dialogs.ask import show
from rigfeed_gui.dialogs.base import Dialog
from rigfeed_gui.logic.commands import MENUS, in_menu
from rigfeed_gui.logic.words import say
from rigfeed_gui.panels.listing import Listing
from rigfeed_gui.theme import Theme


class Cautions(Dialog):
    """What everybody must have read once; `seen` is called when it is closed by its button."""

    def __init__(self, parent: tk.Misc, theme: Theme, seen: Callable[[], None]) -> None:
        super().__init__(parent, theme, say("cautions.title"))
        self._seen = seen
        px = theme.px
        ttk.Label(self.body, style="Large.TLabel", text=say("cautions.title")).pack(anchor="w", pady=(0, px(6)))
        room = self.winfo_screenwidth() - px(36)
        for caution in CAUTIONS:
            label = ttk.Label(self.body, text=caution, wraplength=min(px(520), room), justify="left")
            label.pack(anchor="w", pady=(0, px(8)))
        self.present(self.button(say("cautions.seen"), self._close, chief=True))

    def _close(self) -> None:
        self.close()
        self._seen()


class Keys(Dialog):
    """Every command with its key, by menu."""

    def __init__(self, parent: tk.Misc, theme: Theme) -> None:
        super().__init__(parent, theme, say("keys.title"), modal=False)
        px = theme.px
        self.list = Listing(self.body, ("key", "what"), (say("keys.key"), say("keys.what")), height=18)
        self.list.column("key", px(170))
        self.list.column("what", px(330), stretch=True)
        self.list.pack(fill="both", expand=True)
        rows = [(command.id, (command.shown_key, command.words), ()) for menu in MENUS for command in in_menu(menu)]
        lines = [line.partition(": ") for line in say("keys.surface").splitlines()]
        rows += [(f"surface-{n}", (key, what), ()) for n, (key, _, what) in enumerate(lines)]
        self.list.fill(rows)
        self.button(say("dialog.close"), self.leave, chief=True)
        self.list.choose(rows[0][0])
        self.present(self.list.tree, height=480)
        self.list.tree.yview_moveto(0)


def about(parent: tk.Misc, theme: Theme) -> Dialog:
    """What this is, and which version."""
    try:
        number = version("rigfeed")
    except PackageNotFoundError:
        number = say("about.unknown")
    return show(parent, theme, say("about.title"), say("about.text", version=number, caution=CAUTIONS[1]))
