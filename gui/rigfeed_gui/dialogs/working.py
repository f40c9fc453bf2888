"""Long work: how far it is, and a way to stop it."""

from __future__ import annotations

import tkinter as tk
from collections.abc import Callable
from tkinter import ttk
from typing import Any

from rigfeed_gui.dialogs.base import Dialog
from rigfeed_gui.logic.assessor import Job
from rigfeed_gui.logic.words import say
from rigfeed_gui.theme import Theme

EVERY_MS = 50


class Working(Dialog):
    """Shows a job until it has ended, then calls `done`, which fetches its result."""

    def __init__(self, parent: tk.Misc, theme: Theme, job: Job[Any], done: Callable[[], None]) -> None:
        super().__init__(parent, theme, job.title)
        self._job, self._done = job, done
        ttk.Label(self.body, style="Large.TLabel", text=job.title).pack(anchor="w", pady=(0, theme.px(6)))
        self._bar = ttk.Progressbar(self.body, maximum=1.0, length=theme.px(360))
        self._bar.pack(fill="x")
        self._what = ttk.Label(self.body, style="Quiet.TLabel", text=" ", wraplength=theme.px(360))
        self._what.pack(anchor="w", pady=(theme.px(4), 0))
        self.present(self.button(say("dialog.cancel"), self.leave))
        self._look()

    def _look(self) -> None:
        if self._job.poll():
            self.close()
            self._done()
            return
        done, what = self._job.progress
        self._bar.configure(value=done)
        self._what.configure(text=what or " ")
        self.after(EVERY_MS, self._look)

    def leave(self) -> None:
        """Ask the work to stop; the window goes when it has."""
        self._what.configure(text=say("working.stopping"))
        self._job.cancel()
