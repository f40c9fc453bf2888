"""What every view of the window is given."""

from __future__ import annotations

import tkinter as tk
from collections.abc import Callable
from typing import Protocol

from rigfeed.frozen import frozen
from rigfeed_gui.logic.session import Event, Session
from rigfeed_gui.theme import Theme
from rigfeed_gui.tooltip import Tooltip


class Listen(Protocol):
    """Have something called when the session tells one of these events."""

    def __call__(self, call: Callable[[], None], /, *events: Event) -> None: ...


NARROW = 800  # pixels at 96 dpi: on a screen of less there is no room for two things side by side


@frozen
class Context:
    """The root window, its partner, its look, its tooltip, `do`, which runs a command by id, and `note`, which
    says something in passing in the status line. `listen(call, *events)` has a view called when the session tells one
    of these events, for as long as the view is there."""

    root: tk.Tk
    session: Session
    theme: Theme
    tips: Tooltip
    do: Callable[[str], None]
    note: Callable[[str], None]
    listen: Listen

    def px(self, size: float) -> int:
        """A distance for a screen of 96 dpi in pixels of this one."""
        return self.theme.px(size)

    @property
    def narrow(self) -> bool:
        """Whether the screen is so small, or everything on it so large, that one thing must stand below the other."""
        return self.root.winfo_screenwidth() < self.px(NARROW)
