"""What is longer than its place: a column of widgets and a text, each with a scroll bar where it is needed."""

from __future__ import annotations

import tkinter as tk
from collections.abc import Callable
from tkinter import ttk
from typing import Any

from rigfeed_gui.logic.cutting import bound, loose

SPARE = 6  # pixels by which a wrapped text may come out wider than it was told, with the last blank of a line
TAKES_KEYS = ("TEntry", "TCombobox", "TButton", "TRadiobutton", "TCheckbutton")


class Bar(ttk.Scrollbar):
    """A scroll bar in the second column of a grid, which is there just where there is something to scroll."""

    def __init__(self, parent: tk.Misc, scroll: Callable[..., Any]) -> None:
        super().__init__(parent, orient="vertical", command=scroll)
        self.grid(row=0, column=1, sticky="ns")
        self.grid_remove()

    @property
    def needed(self) -> bool:
        """Whether there is something to scroll."""
        return bool(self.winfo_manager())

    def set(self, first: float | str, last: float | str) -> None:
        """Called by what is scrolled with the part of it that is in sight."""
        needed = float(first) > 0 or float(last) < 1
        if needed and not self.needed:
            self.grid()
        elif not needed and self.needed:
            self.grid_remove()
        super().set(first, last)


class Column(ttk.Frame):
    """A column of widgets that can be scrolled: put them into `body`. What takes the focus is scrolled into sight."""

    def __init__(self, parent: tk.Misc, style: str = "TFrame", padding: int = 0) -> None:
        super().__init__(parent, style=style)
        self.grid_propagate(False)  # else a bar that goes while the place shrinks leaves the canvas as high as it was
        self._canvas = tk.Canvas(self, highlightthickness=0, borderwidth=0, takefocus=False, width=1, height=1)
        self._bar = Bar(self, self._canvas.yview)
        self._canvas.configure(yscrollcommand=self._bar.set)
        self._canvas.grid(row=0, column=0, sticky="nsew")
        self.rowconfigure(0, weight=1)
        self.columnconfigure(0, weight=1)
        # the place of the bar is kept free: words that wrap anew where it comes and goes could call it back for ever
        self.columnconfigure(1, minsize=self._bar.winfo_reqwidth())
        self.body = ttk.Frame(self._canvas, style=style, padding=padding)
        self._item = self._canvas.create_window(0, 0, window=self.body, anchor="nw")
        self.body.bind("<Configure>", self._grown)
        self._canvas.bind("<Configure>", lambda event: self._canvas.itemconfigure(self._item, width=event.width))
        self._recolour(style)
        for widget in (self._canvas, self.body):
            bind_wheel(widget, self._wheel)

    def _recolour(self, style: str) -> None:
        self._canvas.configure(background=str(ttk.Style(self).lookup(style, "background")))
        self.bind("<<ThemeChanged>>", lambda event: self._canvas.configure(
            background=str(ttk.Style(self).lookup(style, "background"))))

    def top(self) -> None:
        """Scroll to the beginning."""
        self._canvas.yview_moveto(0)

    def rows(self, name: str) -> str:
        """The style of buttons that fill the body, one below the other, and wrap their words to its width. A button of
        Tk has that width of its style alone, so that each column needs one with a name of its own.
        """
        name, style = f"{name}.Row.TButton", ttk.Style(self)

        def wrap(event: tk.Event[tk.Misc]) -> None:
            sides = _first(self, self.body["padding"]) + _first(self, style.lookup(name, "padding"))
            wide = max(event.width - 2 * sides - SPARE, 1)
            if str(style.configure(name, "wraplength")) != str(wide):  # each change has all that is shown drawn anew
                style.configure(name, wraplength=wide)

        self._canvas.bind("<Configure>", wrap, add="+")
        return name

    def adopt(self, widget: tk.Misc) -> None:
        """Let the wheel scroll over a widget of the body and all that is in it, and follow the keyboard into it."""
        if widget is not self.body:  # that listens already: with every call it would turn further
            bind_wheel(widget, self._wheel)
        if widget.winfo_class() in TAKES_KEYS:  # a label that listens for the focus would be given it by Tab
            widget.bind("<FocusIn>", lambda event: self.see(widget), add="+")
        for child in widget.winfo_children():
            self.adopt(child)

    def see(self, widget: tk.Misc) -> None:
        """Scroll just so far that a widget of the body is in sight."""
        if not widget.winfo_ismapped():
            return
        top = widget.winfo_rooty() - self.body.winfo_rooty()
        height, room = max(self.body.winfo_height(), 1), self._canvas.winfo_height()
        first = self._canvas.canvasy(0)
        if top < first:
            self._canvas.yview_moveto(top / height)
        elif top + widget.winfo_height() > first + room:
            self._canvas.yview_moveto((top + widget.winfo_height() - room) / height)

    def _grown(self, event: tk.Event[tk.Misc]) -> None:
        self._canvas.configure(scrollregion=(0, 0, event.width, event.height))

    def _wheel(self, steps: int) -> None:
        if self._bar.needed:
            self._canvas.yview_scroll(steps * 2, "units")


def _first(widget: tk.Misc, sizes: Any) -> int:
    """The first of the sizes that Tk gives [px], none for none."""
    return int(str((*widget.tk.splitlist(sizes), 0)[0]))


def flow(label: ttk.Label) -> ttk.Label:
    """Let a label wrap its words to the width that it is given, whatever that becomes."""

    def wrap(event: tk.Event[tk.Misc]) -> None:
        wide = max(event.width - 2 * _first(label, label["padding"]) - SPARE, 1)
        if int(str(label["wraplength"]) or 0) != wide:
            label.configure(wraplength=wide)

    label.bind("<Configure>", wrap, add="+")
    return label


def bind_wheel(widget: tk.Misc, turn: Any) -> None:
    """Call `turn` with the steps of a wheel (down is positive) over a widget, on every platform."""
    widget.bind("<MouseWheel>", lambda event: turn(-1 if event.delta > 0 else 1), add="+")
    widget.bind("<Button-4>", lambda event: turn(-1), add="+")
    widget.bind("<Button-5>", lambda event: turn(1), add="+")


class Prose(tk.Text):
    """Text to be read, wrapped at words; lines of a tag look as `style_tag` says. Can be scrolled and copied."""

    def __init__(self, parent: tk.Misc, **options: Any) -> None:
        super().__init__(parent, wrap="word", state="disabled", relief="flat", borderwidth=0, cursor="arrow",
                         font="TkDefaultFont", takefocus=True, **options)
        self.tag_configure("heading", font="TkHeadingFont", spacing1=2, spacing3=3)
        self.tag_configure("large", font="TkCaptionFont", spacing3=4)
        self.bind("<Tab>", self._leave)
        self.bind("<<PrevWindow>>", self._leave_back)
        self.links: list[ttk.Button] = []

    def _leave(self, event: tk.Event[tk.Misc]) -> str:
        """On, or to the first thing in the text that can be followed."""
        if self.links:
            self._go(self.links[0])
        else:
            self.tk_focusNext().focus_set()  # type: ignore[union-attr]
        return "break"

    def _leave_back(self, event: tk.Event[tk.Misc]) -> str:
        self.tk_focusPrev().focus_set()  # type: ignore[union-attr]
        return "break"

    def link(self, words: str, call: Callable[[], None]) -> None:
        """Put something to be followed to the end of the text: by pointer, or by Tab and then Return or Space."""
        made = ttk.Button(self, text=words, style="Link.TButton", command=call, cursor="hand2")
        at = len(self.links)
        self.links.append(made)
        made.bind("<Tab>", lambda event: self._step(at, 1))
        made.bind("<<PrevWindow>>", lambda event: self._step(at, -1))
        made.bind("<Return>", lambda event: made.invoke())
        bind_wheel(made, lambda steps: self.yview_scroll(steps * 2, "units"))
        self.configure(state="normal")
        self.insert("end", " ")
        self.window_create("end", window=made, align="center")
        self.configure(state="disabled")

    def _step(self, at: int, step: int) -> str:
        """From one link to its neighbour: those out of sight are not there for Tk."""
        if at + step < 0:
            self.focus_set()
        elif at + step < len(self.links):
            self._go(self.links[at + step])
        else:
            self.links[at].tk_focusNext().focus_set()  # type: ignore[union-attr]
        return "break"

    def _go(self, link: ttk.Button) -> None:
        self.see(str(link))
        self.update_idletasks()
        link.focus_set()

    def put(self, *parts: tuple[str, str]) -> None:
        """Show parts of text, each with a tag (or none: ""), instead of what was shown before."""
        if str(self.tk.call("focus")) in map(str, self.links):  # they go with the text
            self.focus_set()
        self.links = []
        self.configure(state="normal")
        self.delete("1.0", "end")
        for text, tag in parts:
            self.insert("end", bound(text), (tag,) if tag else ())
        self.configure(state="disabled")
        self.yview_moveto(0)

    @property
    def shown(self) -> str:
        """The whole text, as it was given."""
        return loose(self.get("1.0", "end-1c"))


class Reading(ttk.Frame):
    """Prose with a scroll bar, which is there just where there is something to scroll."""

    def __init__(self, parent: tk.Misc, **options: Any) -> None:
        super().__init__(parent)
        self.text = Prose(self, **options)
        self.text.configure(yscrollcommand=Bar(self, self.text.yview).set)
        self.text.grid(row=0, column=0, sticky="nsew")
        self.rowconfigure(0, weight=1)
        self.columnconfigure(0, weight=1)
