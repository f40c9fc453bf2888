"""Rows in columns: what is too long for its cell ends in an ellipsis, and is there in full for whoever asks."""

from __future__ import annotations

import math
import tkinter as tk
import tkinter.font as tkfont
from collections.abc import Iterable, Sequence
from tkinter import ttk
from typing import Any

from rigfeed_gui.logic.cutting import cut
from rigfeed_gui.panels.scrolled import Bar

PADS = 8  # pixels of a cell that are not for words
INDICATOR_PADS = 6  # pixels beside the mark before a row of a tree
STEP = 80  # pixels by which a key makes columns wider
HEAD = "#0"  # what Tk calls the column of a tree


class Letters(dict[str, int]):
    """How wide each letter of a font is [px], measured once: a call for every word would be many."""

    def __init__(self, font: tkfont.Font) -> None:
        super().__init__()
        self._font = font

    def __missing__(self, letter: str) -> int:
        wide = self[letter] = self._font.measure(letter)
        return wide

    @property
    def is_old(self) -> bool:
        """Whether the font is of another size since."""
        return "n" in self and self["n"] != self._font.measure("n")

    def measure(self, words: str) -> int:
        """The width of words."""
        return sum(map(self.__getitem__, words))


class Listing(ttk.Frame):
    """Rows in columns, with a scroll bar. Rows keep their place in view when they are shown again.

    One that is wider than its place (`sideways`) is moved by Left and Right; with Shift they make what is cut wider.
    """

    def __init__(
        self, parent: tk.Misc, columns: Sequence[str], headings: Sequence[str] = (), *, tree: bool = False,
        height: int = 5, sideways: bool = False,
    ) -> None:
        super().__init__(parent)
        self.tree = ttk.Treeview(self, columns=tuple(columns), show="tree" if tree else "headings",
                                 selectmode="browse", height=height)
        self.tree.configure(yscrollcommand=Bar(self, self.tree.yview).set)
        self.tree.grid(row=0, column=0, sticky="nsew")
        self._columns, self._tree, self._sideways = tuple(columns), tree, sideways
        self._wanted: dict[str, int] = {}
        self._cells: dict[str, tuple[str, ...]] = {}  # of each row, in full; of a tree its words first
        self._shown: dict[str, tuple[str, ...]] = {}
        self._cut_at: tuple[int, ...] = ()
        self._letters = Letters(tkfont.nametofont("TkDefaultFont", self))
        if sideways:
            self._go_sideways()
        self.tree.bind("<Configure>", lambda event: self._resized())
        self.tree.bind("<ButtonRelease-1>", lambda event: self._cut_again(), add="+")  # a divider may have been drawn
        self.bind("<<ThemeChanged>>", lambda event: self._restyled())
        self.rowconfigure(0, weight=1)
        self.columnconfigure(0, weight=1)
        for name, text in zip(columns, headings, strict=False):
            self.tree.heading(name, text=text, anchor="w")

    def _go_sideways(self) -> None:
        under = ttk.Scrollbar(self, orient="horizontal", command=self.tree.xview)
        self.tree.configure(xscrollcommand=under.set)
        under.grid(row=1, column=0, sticky="ew")
        for key, step in (("Left", -1), ("Right", 1)):
            self.tree.bind(f"<{key}>", lambda event, step=step: self.tree.xview_scroll(step, "units"))  # type: ignore[misc]
            self.tree.bind(f"<Shift-{key}>", lambda event, step=step: self.widen(step))  # type: ignore[misc]

    # columns

    def column(self, name: str, width: int, *, stretch: bool = False, anchor: Any = "w") -> None:
        """The width of a column [px], and whether it takes what is left."""
        self._wanted[name] = width
        self.tree.column(name, width=width, minwidth=min(width, 30), stretch=stretch, anchor=anchor)
        self.tree.heading(name, anchor=anchor)

    def _resized(self) -> None:
        if not (self._sideways or self._tree):
            self._share()
        self._cut_again()

    def _share(self) -> None:
        """Where there is less room than all columns want, each gives of what it has beyond its heading: none is cut
        off where nobody could bring it into sight."""
        over = sum(self._wanted.values()) - (self.tree.winfo_width() - 2)
        if over <= 0 or self.tree.winfo_width() <= 1:
            return
        edge = 2 * self._letters["n"]
        spare = {name: max(wide - self._letters.measure(str(self.tree.heading(name, "text"))) - edge, 0)
                 for name, wide in self._wanted.items()}
        share = min(over / max(sum(spare.values()), 1), 1.0)
        for name, wide in self._wanted.items():
            self.tree.column(name, width=wide - math.ceil(spare[name] * share))

    def fit(self, name: str, texts: Iterable[str], most: int) -> None:
        """Make a column as wide as its heading and its texts, up to a width [px]."""
        words = {str(self.tree.heading(name, "text")), *texts}
        wide = min(max(map(self._letters.measure, words)) + 2 * self._letters["n"], most)
        if wide != self._wanted.get(name):
            self._wanted[name] = wide
            self.tree.column(name, width=wide)
            self._resized()

    def widen(self, steps: int) -> None:
        """Columns that cut something get wider, up to their longest words; or narrower again."""
        for at, name in enumerate(self._columns):
            usual, now = self._wanted[name], self.tree.column(name, "width")
            longest = max((self._letters.measure(cells[at]) for cells in self._cells.values()), default=0) + PADS
            self.tree.column(name, width=max(usual, min(now + steps * STEP, longest)))
        self._cut_again()

    # rows

    def fill(self, rows: Iterable[tuple[str, Sequence[str], Sequence[str]]]) -> None:
        """Show rows (id, cells, tags) instead of those before; the selected and the first one in sight stay so."""
        wanted = [(id_, tuple(cells), tuple(tags)) for id_, cells, tags in rows]
        if wanted == self._rows:
            return
        self._rows = wanted
        chosen, first = self.tree.selection(), self.tree.yview()[0]
        self.clear()
        self._cut_at = self._widths()
        for id_, cells, tags in wanted:
            self._cells[id_] = cells
            shown = self._shown[id_] = self._cut(cells)
            self.tree.insert("", "end", iid=id_, values=shown, tags=tags)
        if chosen and self.tree.exists(chosen[0]):
            self.tree.selection_set(chosen[0])
            self.tree.focus(chosen[0])
        self.tree.yview_moveto(first)

    _rows: list[tuple[str, tuple[str, ...], tuple[str, ...]]] | None = None

    def forget(self) -> None:
        """Fill it anew next time, even with the same rows: somebody changed them."""
        self._rows = None

    def add(self, above: str, id_: str, words: str, *cells: str, is_open: bool = True) -> None:
        """A row of a tree, at the end of those below another one (or none: "")."""
        self._cells[id_] = words, *cells
        self._cut_at = self._cut_at or self._widths()
        shown = self._shown[id_] = self._cut(self._cells[id_], deep=bool(above))
        self.tree.insert(above, "end", iid=id_, text=shown[0], values=shown[1:], open=is_open)

    def clear(self) -> None:
        """Take all rows away."""
        self.tree.delete(*self.tree.get_children())
        self._cells, self._shown = {}, {}

    def cells(self, id_: str) -> tuple[str, ...]:
        """What stands in a row, in full; of a tree its words come first."""
        return self._cells[id_]

    @property
    def every(self) -> tuple[tuple[str, ...], ...]:
        """The same of all rows."""
        return tuple(self._cells.values())

    def _widths(self) -> tuple[int, ...]:
        names = (HEAD, *self._columns) if self._tree else self._columns
        return tuple(self.tree.column(name, "width") for name in names)

    def _cut(self, cells: Sequence[str], *, deep: bool = False) -> tuple[str, ...]:
        """The cells of a row as far as they fit."""
        rooms = [wide - PADS for wide in self._cut_at]
        if self._tree:
            style = ttk.Style(self)
            before = int(str(style.lookup("Treeview.Item", "indicatorsize"))) + INDICATOR_PADS
            rooms[0] -= before + (int(str(style.lookup("Treeview", "indent"))) if deep else 0)
        return tuple(cut(words, room, self._letters) for words, room in zip(cells, rooms, strict=False))

    def _restyled(self) -> None:
        """Letters may be larger now."""
        if self._letters.is_old:
            self._letters.clear()
            self._cut_at = ()
            self._cut_again()

    def _cut_again(self) -> None:
        """The columns may have another width now."""
        widths = self._widths()
        if widths == self._cut_at:
            return
        self._cut_at = widths
        for id_, cells in self._cells.items():
            shown = self._cut(cells, deep=self._tree and bool(self.tree.parent(id_)))
            if shown != self._shown[id_]:
                self._shown[id_] = shown
                self.tree.item(id_, values=shown[1:] if self._tree else shown)
                if self._tree:
                    self.tree.item(id_, text=shown[0])

    # the row that is chosen

    def take_focus(self) -> None:
        """The keyboard goes to the rows: the selected one, else the first."""
        self.tree.focus_set()
        if not self.tree.selection() and (rows := self.tree.get_children()):
            self.tree.focus(rows[0])

    @property
    def chosen(self) -> str | None:
        """The id of the selected row."""
        chosen = self.tree.selection()
        return chosen[0] if chosen else None

    def choose(self, id_: str | None) -> None:
        """Select a row, or none, and bring it into sight."""
        if id_ is None or not self.tree.exists(id_):
            self.tree.selection_set(())
            return
        if self.tree.selection() != (id_,):
            self.tree.selection_set(id_)
        self.tree.focus(id_)
        self.tree.see(id_)
