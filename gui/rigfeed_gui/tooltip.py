"""A word about what the pointer rests on, or what the keyboard has come to."""

from __future__ import annotations

import tkinter as tk
from tkinter import ttk

from rigfeed_gui.theme import Theme

REST_MS = 500
GAP = 14


class Tooltip:
    """The one tooltip of the window. `attach` gives a widget a text; a view may call `show` and `hide` itself."""

    def __init__(self, root: tk.Tk, theme: Theme) -> None:
        self._root, self._theme = root, theme
        self._top: tk.Toplevel | None = None
        self._waiting: str | None = None

    @property
    def text(self) -> str:
        """What is shown now; empty for nothing."""
        return str(self._label["text"]) if self._top else ""

    def attach(self, widget: tk.Misc, text: str) -> None:
        """Show the text while the pointer rests on a widget."""
        widget.bind("<Enter>", lambda event: self.soon(text, event.x_root, event.y_root), add="+")
        for gone in ("<Leave>", "<ButtonPress>", "<KeyPress>", "<Destroy>"):
            widget.bind(gone, lambda event: self.hide(), add="+")

    def soon(self, text: str, x: int, y: int) -> None:
        """Show a text beside a place on the screen [px], if nothing else happens for half a second."""
        self.hide()
        self._waiting = self._root.after(REST_MS, lambda: self.show(text, x, y))

    def show(self, text: str, x: int, y: int) -> None:
        """Show a text beside a place on the screen [px] now."""
        self.hide()
        top = self._top = tk.Toplevel(self._root)
        top.withdraw()
        top.overrideredirect(True)
        frame = ttk.Frame(top, style="Note.TFrame", padding=self._theme.px(6), relief="solid", borderwidth=1)
        frame.pack()
        self._label = ttk.Label(frame, text=text, style="Note.TLabel", font="TkTooltipFont", justify="left",
                                wraplength=self._theme.px(340))
        self._label.pack()
        top.update_idletasks()
        gap = self._theme.px(GAP)
        right = min(x + gap, top.winfo_screenwidth() - top.winfo_reqwidth())
        below = y + gap
        if below + top.winfo_reqheight() > top.winfo_screenheight():
            below = y - gap - top.winfo_reqheight()
        top.geometry(f"+{max(0, right)}+{max(0, below)}")
        top.deiconify()

    def hide(self) -> None:
        """Show nothing."""
        if self._waiting:
            self._root.after_cancel(self._waiting)
            self._waiting = None
        if self._top:
            self._top.destroy()
            self._top = None
