"""Telling something, and asking something with a few answers."""

from __future__ import annotations

import tkinter as tk
from collections.abc import Callable, Sequence
from functools import partial
from tkinter import ttk

from rigfeed_gui.dialogs.base import Dialog
from rigfeed_gui.logic.words import say
from rigfeed_gui.panels.scrolled import Reading
from rigfeed_gui.theme import Theme

MOST_OF_SCREEN = 0.5  # that a text may take without being scrolled


class Ask(Dialog):
    """A question with answers (words, what then). The first is the chief one; leaving does nothing else."""

    def __init__(
        self, parent: tk.Misc, theme: Theme, title: str, text: str,
        answers: Sequence[tuple[str, Callable[[], None]]], *, cancel: str = "",
    ) -> None:
        super().__init__(parent, theme, title)
        ttk.Label(self.body, text=title, style="Large.TLabel", wraplength=theme.px(460)).pack(anchor="w")
        label = ttk.Label(self.body, text=text, wraplength=theme.px(460), justify="left")
        if label.winfo_reqheight() < MOST_OF_SCREEN * self.winfo_screenheight():
            label.pack(anchor="w", pady=(theme.px(8), 0))
        else:
            label.destroy()
            self._scrolled(text)
        made = [
            self.button(words, partial(self._answer, then), chief=number == 0)
            for number, (words, then) in enumerate(answers)
        ]
        if cancel:
            self.button(cancel, self.leave, left=True)
        self.text = text
        self.present(made[0])

    def _scrolled(self, text: str) -> None:
        """What is longer than the screen is high: twenty errors of a file."""
        reading = Reading(self.body, height=12, width=60, padx=self.theme.px(8), pady=self.theme.px(6),
                          highlightthickness=1)
        reading.text.put((text, ""))
        reading.pack(fill="both", expand=True, pady=(self.theme.px(8), 0))

    def _answer(self, then: Callable[[], None]) -> None:
        self.close()
        then()


def show(parent: tk.Misc, theme: Theme, title: str, text: str) -> Ask:
    """Tell something; there is nothing to answer."""
    return Ask(parent, theme, title, text, [(say("dialog.close"), lambda: None)])
