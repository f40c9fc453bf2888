"""What all dialogs share: a heading, a body, buttons at the bottom, Escape to leave, the focus back where it was."""

from __future__ import annotations

import tkinter as tk
from collections.abc import Callable
from tkinter import ttk

from rigfeed_gui.theme import Theme


class Dialog(tk.Toplevel):
    """A window above the main one. Subclasses fill `body`, add buttons, then call `present`.

    Nothing waits for a dialog: what follows is a callback. A modal one keeps the rest of the window from being used.
    """

    def __init__(self, parent: tk.Misc, theme: Theme, title: str, *, modal: bool = True) -> None:
        super().__init__(parent, highlightthickness=1)
        self.withdraw()
        self.theme, self._modal = theme, modal
        self._before = parent.focus_get() if parent.focus_displayof() else None
        self.title(title)
        self.transient(parent.winfo_toplevel())
        outer = ttk.Frame(self, padding=theme.px(14))
        outer.pack(fill="both", expand=True)
        self.buttons = ttk.Frame(outer)
        self.buttons.pack(side="bottom", fill="x", pady=(theme.px(12), 0))
        self.body = ttk.Frame(outer)
        self.body.pack(side="top", fill="both", expand=True)
        self.bind("<Escape>", self._escape)
        self.protocol("WM_DELETE_WINDOW", self.leave)

    def button(self, words: str, call: Callable[[], None], *, chief: bool = False, left: bool = False) -> ttk.Button:
        """A button; the chief one also answers to Return."""
        made = ttk.Button(self.buttons, text=words, command=call, style="Chief.TButton" if chief else "TButton")
        side = "left" if left else "right"
        gap = (0, self.theme.px(8)) if left else (self.theme.px(8), 0)
        made.pack(side=side, padx=gap)  # type: ignore[arg-type]
        made.bind("<Return>", self._press)
        if chief:
            self.bind("<Return>", lambda event: self._chief(event, made))
        return made

    @staticmethod
    def _press(event: tk.Event[tk.Misc]) -> str:
        event.widget.invoke()  # type: ignore[attr-defined]
        return "break"

    @staticmethod
    def _chief(event: tk.Event[tk.Misc], button: ttk.Button) -> None:
        if event.widget.winfo_class() != "Text" and not button.instate(["disabled"]):
            button.invoke()

    def present(self, focus: tk.Misc | None = None, width: int = 0, height: int = 0) -> None:
        """Show it above the middle of the window it belongs to, at least so large [px at 96 dpi]."""
        self.place_over(width, height)
        self.deiconify()
        self.lift()
        if self._modal:
            self.wait_visibility()
            self.grab_set()
        (focus or self).focus_force()

    def place_over(self, width: int = 0, height: int = 0) -> None:
        """Take the place above the middle of the window it belongs to, at least so large [px at 96 dpi]."""
        self.update_idletasks()
        room_x, room_y = self.winfo_screenwidth(), self.winfo_screenheight()
        wide = min(max(self.winfo_reqwidth(), self.theme.px(width)), room_x)
        high = min(max(self.winfo_reqheight(), self.theme.px(height)), room_y)
        over = self.master.winfo_toplevel()
        x = over.winfo_rootx() + (over.winfo_width() - wide) // 2
        y = over.winfo_rooty() + (over.winfo_height() - high) // 3
        self.geometry(f"{wide}x{high}+{max(0, min(x, room_x - wide))}+{max(0, min(y, room_y - high))}")
        self.minsize(min(wide, self.winfo_reqwidth()), min(high, self.winfo_reqheight()))

    def grow(self) -> None:
        """Something came into it: as high as it now needs to be, where the screen has room."""
        self.update_idletasks()
        if self.winfo_reqheight() > self.winfo_height():
            high = min(self.winfo_reqheight(), self.winfo_screenheight())
            top = max(0, min(self.winfo_rooty(), self.winfo_screenheight() - high))
            self.geometry(f"{self.winfo_width()}x{high}+{self.winfo_rootx()}+{top}")

    def _escape(self, event: tk.Event[tk.Misc]) -> None:
        self.leave()

    def leave(self) -> None:
        """Close without doing anything; subclasses may ask first."""
        self.close()

    def close(self) -> None:
        """Close, and give the focus back."""
        before = self._before
        if self._modal:
            self.grab_release()
        self.destroy()
        if before is not None and before.winfo_exists():
            before.focus_set()
