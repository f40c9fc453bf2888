"""Curves in the place of the drawing: which figure, of what, and its picture, drawn in a thread.

What draws them is loaded when the view is first shown. The picture is an image of Tk that the view makes and deletes by
name: one that is collected would call Tk from whichever thread collects it.
"""

from __future__ import annotations

import tkinter as tk
from collections.abc import Callable
from itertools import count
from tkinter import ttk
from typing import Literal

from rigfeed.path import Path
from rigfeed_gui.logic.plotting import Plotted, Plotter, Wish, words_of
from rigfeed_gui.logic.words import say
from rigfeed_gui.panels.context import Context
from rigfeed_gui.panels.findings import Picking
from rigfeed_gui.panels.scrolled import Bar, bind_wheel, flow

POLL_MS = 30
SOON_MS = 60  # several changes at once are one
LEAST_WIDE = 420  # pixels at 96 dpi: narrower than that a figure is not drawn
_NUMBERS = count()
KEYS: tuple[tuple[str, int, Literal["units", "pages"]], ...] = (
    ("Up", -1, "units"), ("Down", 1, "units"), ("Prior", -1, "pages"), ("Next", 1, "pages"),
)


class Curves(ttk.Frame):
    """The view; it works while it is shown only."""

    def __init__(self, parent: tk.Misc, context: Context) -> None:
        super().__init__(parent)
        self.context, self.session, px = context, context.session, context.px
        self._plotter = Plotter()
        self._wanted: str | None = None
        self._waiting: str | None = None
        self._image = ""
        self.plotted: Plotted | None = None
        bar = ttk.Frame(self, padding=(0, 0, 0, px(4)))
        bar.pack(fill="x")
        self.figures, self.subjects = Picking(bar, 16, grows=24), Picking(bar, 20, grows=34)
        self.figures.pack(side="left")
        self.subjects.pack(side="left", padx=(px(6), 0))
        self.figures.bind("<<ComboboxSelected>>", lambda event: self.refresh(), add="+")
        self.subjects.bind("<<ComboboxSelected>>", lambda event: self._subject_chosen(), add="+")
        self._build_canvas()
        self.bind("<Map>", lambda event: self._soon(), add="+")
        self.bind("<Destroy>", self._gone, add="+")
        context.listen(self._soon, "work", "assessed", "settings", "view")
        context.listen(self._selected, "selection")
        context.theme.listen(self._soon)

    def _build_canvas(self) -> None:
        body = ttk.Frame(self)
        body.pack(fill="both", expand=True)
        body.columnconfigure(0, weight=1)
        body.rowconfigure(0, weight=1)
        self.canvas = tk.Canvas(body, highlightthickness=self.context.px(2), borderwidth=0, takefocus=True, width=200,
                                height=120)
        self.canvas.grid(row=0, column=0, sticky="nsew")
        self.canvas.configure(yscrollcommand=Bar(body, self.canvas.yview).set)
        self.note = flow(ttk.Label(self.canvas, style="Note.TLabel", padding=(self.context.px(8), self.context.px(5)),
                                   justify="left"))
        self.canvas.bind("<Configure>", lambda event: self._soon(), add="+")
        self.canvas.bind("<Button-1>", lambda event: self.canvas.focus_set())
        bind_wheel(self.canvas, lambda steps: self.canvas.yview_scroll(steps * 2, "units"))
        for key, steps, what in KEYS:
            self.canvas.bind(f"<{key}>", self._scroller(steps, what))

    def _scroller(self, steps: int, what: Literal["units", "pages"]) -> Callable[[tk.Event[tk.Misc]], str]:
        def scroll(event: tk.Event[tk.Misc]) -> str:
            self.canvas.yview_scroll(steps, what)
            return "break"

        return scroll

    # what is wanted

    def _selected(self) -> None:
        """A node or a conductor that is taken in hand is what the figure is about, if it can be."""
        selection = self.session.selection
        if selection is not None and selection[0] in ("nodes", "conductors"):
            self._wanted = str(selection[1])
            self._soon()

    def _subject_chosen(self) -> None:
        self._wanted = self.subjects.chosen
        work = self.session.work
        if work is not None:
            collection = "conductors" if self._wanted in work.design.conductors else "nodes"
            self.session.select(Path(collection, self._wanted))
        self.refresh()

    def _soon(self) -> None:
        """Draw anew when nothing more has changed for a moment."""
        if not self.winfo_viewable():
            return
        if self._waiting is not None:
            self.after_cancel(self._waiting)
        self._waiting = self.after(SOON_MS, self.refresh)

    def refresh(self) -> None:
        """Ask for the figure as it is wanted now; nothing while the view is out of sight or nothing is assessed."""
        if self._waiting is not None:
            self.after_cancel(self._waiting)
            self._waiting = None
        self.canvas.configure(background=self.context.theme.palette.sheet)
        assessment = self.session.assessment
        if not self.winfo_viewable() or assessment is None or self.session.work is None:
            return
        self.figures.offer(self.session.figures, self.figures.chosen or self.session.figures[-1][0])
        dpi, settings = float(self.context.px(96)), self.session.settings
        ring = 2 * self.context.px(2)
        width = max(self.canvas.winfo_width() - ring, self.context.px(LEAST_WIDE))
        height = self.canvas.winfo_height() - ring
        wish = Wish(assessment, self.figures.chosen, self._wanted, settings.units, self.context.theme.palette, width,
                    height, dpi)
        if self.plotted is not None and self.plotted.wish == wish:
            return
        if self.plotted is None:
            self._say(say("curves.being-drawn"))
        polling = self._plotter.busy
        self._plotter.ask(wish)
        if not polling:
            self.after(POLL_MS, self._poll)

    @property
    def busy(self) -> bool:
        """Whether a picture is on its way."""
        return self._plotter.busy or self._waiting is not None

    def _poll(self) -> None:
        done = self._plotter.poll()
        if self._plotter.busy:
            self.after(POLL_MS, self._poll)
        if done is not None:
            self._show(done)

    # what is shown

    def _show(self, done: Plotted) -> None:
        self.plotted = done
        self.subjects.offer(tuple((about.id, words_of(about)) for about in done.subjects), done.subject or "")
        self.subjects.state(["!disabled" if done.subjects else "disabled"])
        self._forget()
        if done.pixels is None:
            self._say(say("curves.failed", why=done.why))
            return
        self.note.place_forget()
        name = self._image = f"rigfeed_curves_{next(_NUMBERS)}"
        self.tk.call("image", "create", "photo", name, "-format", "ppm", "-data", done.pixels.ppm)
        self.canvas.create_image(0, 0, image=name, anchor="nw")
        self.canvas.configure(scrollregion=(0, 0, done.pixels.width, done.pixels.height))

    def _say(self, words: str) -> None:
        self.note.configure(text=words)
        self.note.place(x=self.context.px(8), y=self.context.px(8), anchor="nw", relwidth=0.9)

    def _forget(self) -> None:
        self.canvas.delete("all")
        if self._image:
            self.tk.call("image", "delete", self._image)
            self._image = ""

    def _gone(self, event: tk.Event[tk.Misc]) -> None:
        if event.widget is self and self._image:
            self.tk.call("image", "delete", self._image)
            self._image = ""
