"""A line to type in that can show what is used while it is empty, and offer what could be chosen."""

from __future__ import annotations

import tkinter as tk
import tkinter.font as tkfont
from collections.abc import Callable, Sequence
from tkinter import ttk

from rigfeed_gui.logic.cutting import cut
from rigfeed_gui.logic.fields import Choice
from rigfeed_gui.panels.listing import PADS, Letters
from rigfeed_gui.theme import Theme

MOST_ROWS = 9
Offer = Callable[[str], Sequence[Choice]]


class Line(ttk.Frame):
    """A line of text. `ghost` is shown in grey while nothing is typed; with an `offer` a list drops down.

    `on_type` is called at every change by the person, `on_done` when Return is pressed, a choice is taken or the focus
    goes elsewhere.
    """

    def __init__(self, parent: tk.Misc, theme: Theme, *, offer: Offer | None = None, width: int = 14) -> None:
        super().__init__(parent)
        self._theme, self._offer = theme, offer
        self.on_type: Callable[[str], None] = lambda text: None
        self.on_done: Callable[[str], None] = lambda text: None
        # what is offered at first, where a text stands in it: usually everything
        self.likes: Offer = lambda text: offer("") if offer else ()
        self._last = ""  # what stood in it when it was looked at last
        self.entry = ttk.Entry(self, width=width)
        self.entry.pack(side="left", fill="x", expand=True)
        self._ghost = tk.Label(self.entry, cursor="xterm", font="TkTextFont", anchor="w", padx=0, pady=0)
        self._ghost.bind("<Button-1>", lambda event: self.entry.focus_set())
        self._drop: ttk.Button | None = None
        if offer:
            self._drop = ttk.Button(self, text="▾", style="Tool.TButton", takefocus=False, command=self._toggle)
            self._drop.pack(side="left")
        self._list: ChoiceList | None = None
        theme.listen(self._show_ghost)
        self._bind_events()

    def _bind_events(self) -> None:
        entry = self.entry
        entry.bind("<Return>", self._return)
        entry.bind("<Escape>", self._escape)
        entry.bind("<Down>", lambda event: self._step(1))
        entry.bind("<Up>", lambda event: self._step(-1))
        entry.bind("<FocusOut>", self._left)
        entry.bind("<Control-a>", self._select_all)
        for change in ("<Key>", "<<Paste>>", "<<Cut>>", "<<Clear>>", "<<PasteSelection>>"):
            entry.bind(change, lambda event: entry.after_idle(self._look), add="+")
        entry.bind("<FocusIn>", lambda event: self.event_generate("<<Entered>>"))
        self.bind("<Destroy>", self._gone)

    def _gone(self, event: tk.Event[tk.Misc]) -> None:
        if event.widget is self:
            self.shut()
            self._theme.forget(self._show_ghost)

    @property
    def text(self) -> str:
        """What stands in the line."""
        return self.entry.get()

    def put(self, text: str, ghost: str = "") -> None:
        """Show a text that was not typed, and what is shown while there is none."""
        self._replace(text)
        self._last, self._ghost_text = text, ghost
        self._show_ghost()

    def type(self, text: str) -> None:
        """As if a person had typed it."""
        self._replace(text)
        self._look()

    def _replace(self, text: str) -> None:
        if text != self.text:  # else the cursor of who is about to type would jump
            self.entry.delete(0, "end")
            self.entry.insert(0, text)

    def wrong(self, wrong: bool) -> None:
        """Mark the text as wrong, or not."""
        self.entry.state(["invalid" if wrong else "!invalid"])

    _ghost_text = ""

    def _show_ghost(self) -> None:
        if self._ghost_text and not self.text:
            colours = self._theme.palette
            self._ghost.configure(text=self._ghost_text, background=colours.sheet, foreground=colours.quiet)
            pad = self._theme.px(5)
            self._ghost.place(x=pad, rely=0.5, anchor="w", relwidth=1.0, width=-2 * pad)
        else:
            self._ghost.place_forget()

    def _look(self) -> None:
        """Whether something was typed, and what follows from it."""
        if not self.entry.winfo_exists() or self.text == self._last:
            return
        self._last = self.text
        self._show_ghost()
        if self._list:
            self._refresh()
        self.on_type(self.text)

    # the list that drops down

    @property
    def choices(self) -> ChoiceList | None:
        """The list that is dropped down now."""
        return self._list

    def open(self) -> None:
        """Drop the list down. It begins with everything; what is typed from then on narrows it."""
        if self._offer and not self._list:
            self.entry.focus_set()
            self._list = ChoiceList(self, self._theme, self._taken)
            half = self.text and self.entry.instate(["invalid"])  # the beginning of something: offer what goes on so
            self._list.fill(self._offer(self.text) if half else self.likes(self.text))
            self._list.begin_at(self.text)

    def shut(self) -> None:
        """Close the list."""
        if self._list:
            self._list.destroy()
            self._list = None

    def _refresh(self) -> None:
        if self._list and self._offer:
            self._list.fill(self._offer(self.text))

    def _toggle(self) -> None:
        if self._list:
            self.shut()
        else:
            self.open()

    def _step(self, step: int) -> str | None:
        if not self._offer:
            return None
        if self._list:
            self._list.step(step)
        else:
            self.open()
        return "break"

    def _taken(self, choice: Choice) -> None:
        self.shut()
        self.type(choice.value)
        self.entry.icursor("end")
        self.on_done(self.text)

    def _return(self, event: tk.Event[tk.Misc]) -> str | None:
        """Take what the list has come to, else what was typed; a dialog around it then hears of the key too."""
        if self._list and (choice := self._list.chosen):
            self._taken(choice)
            return "break"
        self.shut()
        self.on_done(self.text)
        return None

    def _select_all(self, event: tk.Event[tk.Misc]) -> str:
        self.entry.select_range(0, "end")
        self.entry.icursor("end")
        return "break"

    def _escape(self, event: tk.Event[tk.Misc]) -> str | None:
        if self._list:
            self.shut()
            return "break"
        return None

    def _left(self, event: tk.Event[tk.Misc]) -> None:
        self.shut()
        self.on_done(self.text)


class ChoiceList(tk.Toplevel):
    """The list below a line. It never takes the focus: the line keeps it and passes the arrow keys on."""

    def __init__(self, line: Line, theme: Theme, take: Callable[[Choice], None]) -> None:
        super().__init__(line)
        self.withdraw()
        self.overrideredirect(True)
        self._line, self._theme, self._take = line, theme, take
        self._choices: tuple[Choice, ...] = ()
        self._letters = Letters(tkfont.nametofont("TkDefaultFont", self))
        frame = ttk.Frame(self, relief="solid", borderwidth=1)
        frame.pack(fill="both", expand=True)
        self.tree = ttk.Treeview(frame, columns=("value", "words"), show="", selectmode="browse", takefocus=False)
        bar = ttk.Scrollbar(frame, orient="vertical", command=self.tree.yview)
        self.tree.configure(yscrollcommand=bar.set)
        bar.pack(side="right", fill="y")
        self.tree.pack(side="left", fill="both", expand=True)
        self.tree.bind("<ButtonRelease-1>", self._clicked)
        # the press must not carry the focus away from the line, or the list would be gone before the release
        self.tree.bind("<ButtonPress-1>", self._pressed)

    def fill(self, choices: Sequence[Choice]) -> None:
        """Offer these."""
        self._choices = tuple(choices)
        self.tree.delete(*self.tree.get_children())
        _, *rooms = self._widths()
        for number, choice in enumerate(self._choices):
            cells = choice.value.rpartition(", ")[2], choice.words
            shown = tuple(cut(text, room - PADS, self._letters) for text, room in zip(cells, rooms, strict=True))
            self.tree.insert("", "end", iid=str(number), values=shown)
        if self._choices:
            self._place()
        else:
            self.withdraw()

    def begin_at(self, value: str) -> None:
        """What stands in the line already is where the arrow keys begin: the like of it is near."""
        at = next((number for number, choice in enumerate(self._choices) if choice.value == value), None)
        if at is not None:
            self.tree.selection_set(str(at))
            self.tree.yview_moveto(max(at - 1, 0) / len(self._choices))

    def _widths(self) -> tuple[int, int, int]:
        """Of the list and its two columns [px]."""
        px = self._theme.px
        wide = min(max(self._line.winfo_width(), px(400)), self.winfo_screenwidth())
        return wide, round(wide * 0.42), wide - round(wide * 0.42) - px(24)

    def _place(self) -> None:
        self.tree.configure(height=max(1, min(len(self._choices), MOST_ROWS)))
        line = self._line
        wide, value, words = self._widths()
        self.tree.column("value", width=value, stretch=False)
        self.tree.column("words", width=words, stretch=True)
        self.update_idletasks()
        high = self.winfo_reqheight()
        x = max(0, min(line.winfo_rootx(), self.winfo_screenwidth() - wide))
        y = line.winfo_rooty() + line.winfo_height()
        if y + high > self.winfo_screenheight():
            y = max(0, line.winfo_rooty() - high)
        self.geometry(f"{wide}x{high}+{x}+{y}")
        self.deiconify()
        self.lift()

    @property
    def chosen(self) -> Choice | None:
        """The choice that the arrow keys have come to."""
        selected = self.tree.selection()
        return self._choices[int(selected[0])] if selected else None

    @property
    def offered(self) -> tuple[Choice, ...]:
        """What can be chosen."""
        return self._choices

    def step(self, step: int) -> None:
        """Go down or up by so many rows."""
        if self._choices:
            now = int(self.tree.selection()[0]) if self.tree.selection() else (-1 if step > 0 else 0)
            row = str((now + step) % len(self._choices))
            self.tree.selection_set(row)
            self.tree.see(row)

    def _pressed(self, event: tk.Event[tk.Misc]) -> str:
        if row := self.tree.identify_row(event.y):
            self.tree.selection_set(row)
        return "break"

    def _clicked(self, event: tk.Event[tk.Misc]) -> None:
        if choice := self.chosen:
            self._take(choice)
