"""The place of what is looked at: the drawing, or curves."""

from __future__ import annotations

import tkinter as tk
from tkinter import ttk

from rigfeed_gui.curves import Curves
from rigfeed_gui.panels.context import Context
from rigfeed_gui.surface import Surface


class Stage(ttk.Frame):
    """One of the two at a time."""

    def __init__(self, parent: tk.Misc, context: Context) -> None:
        super().__init__(parent, width=200, height=120)
        self.pack_propagate(False)  # the dividers stay where they are, whichever of the two is shown
        self._session = context.session
        self.surface, self.curves = Surface(self, context), Curves(self, context)
        context.listen(self.refresh, "view", "work")
        self.refresh()

    @property
    def shown(self) -> Surface | Curves:
        """The one that is to be seen."""
        return self.curves if self._session.curves_shown else self.surface

    def refresh(self) -> None:
        """Show the one that is wanted."""
        for view in (self.surface, self.curves):
            if view is not self.shown:
                view.pack_forget()
        if not self.shown.winfo_manager():
            self.shown.pack(fill="both", expand=True)
