"""Whether everything has its place: inside of its parent, beside its neighbours, large enough for its words."""

from __future__ import annotations

import tkinter as tk
import tkinter.font as tkfont
from collections.abc import Iterator
from itertools import combinations
from tkinter import ttk

from tests.gui.windows.hands import everything

SAYING = (ttk.Label, ttk.Button, ttk.Checkbutton, ttk.Radiobutton)
LEAST_ROWS = 2  # of a list: of fewer nobody can choose
ARROW = 22  # pixels at 96 dpi that a closed list needs beside its words
Box = tuple[int, int, int, int]


def complaints(top: tk.Misc, factor: float = 1.0) -> list[str]:
    """All that is wrong with a window; `factor` is its scale."""
    found = list(_off_screen(top)) if isinstance(top, tk.Tk | tk.Toplevel) else []
    for widget in everything(top):
        if widget is not top and isinstance(widget, tk.Toplevel):
            continue
        if widget is not top:
            found += _outside(widget)
            found += _squeezed(widget, factor)
        found += _overlaps(widget)
        found += _lost(widget)
    return found


def _box(widget: tk.Misc) -> Box:
    left, top = widget.winfo_rootx(), widget.winfo_rooty()
    return left, top, left + widget.winfo_width(), top + widget.winfo_height()


def _off_screen(top: tk.Misc) -> Iterator[str]:
    left, upper, right, lower = _box(top)
    if left < 0 or upper < 0 or right > top.winfo_screenwidth() or lower > top.winfo_screenheight():
        yield f"{top} at {_box(top)} leaves the screen of {top.winfo_screenwidth()} x {top.winfo_screenheight()}"


def _outside(widget: tk.Misc) -> Iterator[str]:
    """What is scrolled may be out of sight above and below, never at the sides."""
    parent = widget.master
    left, top, right, bottom = _box(widget)
    outer = _box(parent)
    scrolled = isinstance(parent, tk.Canvas | tk.Text)
    if left < outer[0] or right > outer[2] or (not scrolled and (top < outer[1] or bottom > outer[3])):
        yield f"{_name(widget)} at {_box(widget)} is cut off by {_name(parent)} at {outer}"


def _lost(parent: tk.Misc) -> Iterator[str]:
    """What has its turn in the arrangement, and no room is left when it comes."""
    for child in parent.winfo_children():
        if child.winfo_manager() in ("pack", "grid") and not child.winfo_ismapped():
            yield f"{_name(child)} has no place left in {_name(parent)}"


def _squeezed(widget: tk.Misc, factor: float) -> Iterator[str]:
    if isinstance(widget, SAYING):
        if widget.winfo_width() < widget.winfo_reqwidth() or widget.winfo_height() < widget.winfo_reqheight():
            need = f"{widget.winfo_reqwidth()} x {widget.winfo_reqheight()}"
            yield f"{_name(widget)} needs {need} and has {widget.winfo_width()} x {widget.winfo_height()}"
    elif isinstance(widget, ttk.Combobox):
        need = tkfont.nametofont("TkTextFont", widget).measure(widget.get()) + round(ARROW * factor)
        if need > widget.winfo_width():
            yield f"{_name(widget)} {widget.get()!r} needs {need} and has {widget.winfo_width()}"
    elif isinstance(widget, ttk.Treeview):
        high = int(ttk.Style(widget).lookup("Treeview", "rowheight"))
        rows = LEAST_ROWS + ("headings" in str(widget["show"]))
        if widget.winfo_height() < rows * high:
            yield f"{_name(widget)} needs {rows * high} for {LEAST_ROWS} rows and has {widget.winfo_height()}"
        yield from _headings(widget, factor)


def _headings(widget: ttk.Treeview, factor: float) -> Iterator[str]:
    """Each is in sight and has room, unless the list can be moved sideways."""
    if "headings" in str(widget["show"]):
        for column in widget["columns"]:
            words = str(widget.heading(column, "text"))
            need = tkfont.nametofont("TkDefaultFont", widget).measure(words) + round(8 * factor)
            if need > widget.column(column, "width"):
                yield f"heading {words!r} of {_name(widget)} needs {need} and has {widget.column(column, 'width')}"
        whole = sum(widget.column(column, "width") for column in widget["columns"])
        if whole > widget.winfo_width() and not str(widget["xscrollcommand"]):
            yield f"the columns of {_name(widget)} need {whole} and have {widget.winfo_width()}"


def _overlaps(parent: tk.Misc) -> Iterator[str]:
    """What was put over another thing on purpose (`place`) is left out, and so are windows of their own."""
    children = [
        child for child in parent.winfo_children()
        if child.winfo_viewable() and child.winfo_manager() != "place" and not isinstance(child, tk.Toplevel | tk.Menu)
    ]
    if isinstance(parent, ttk.Notebook):
        children = []  # of its pages one is shown; the others keep their place behind it
    for one, other in combinations(children, 2):
        a, b = _box(one), _box(other)
        if a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]:
            yield f"{_name(one)} at {a} overlaps {_name(other)} at {b}"


def _name(widget: tk.Misc) -> str:
    words = f" {str(widget['text'])[:40]!r}" if isinstance(widget, SAYING) else ""
    return f"{widget.winfo_class()}{words} ({widget})"
