"""A variable of Tk that several buttons share.

Not a `tkinter.Variable`: that one calls Tk when it is collected, and the collector may run in the thread that assesses.
"""

from __future__ import annotations

import tkinter as tk
from itertools import count

_NUMBERS = count()


class Value:
    """A text under a name of its own, for as long as a widget lives."""

    def __init__(self, owner: tk.Misc, text: str = "") -> None:
        self.name = f"rigfeed_value_{next(_NUMBERS)}"
        self._tk, self._owner = owner.tk, str(owner)
        self.put(text)
        owner.bind("<Destroy>", self._gone, add="+")

    @property
    def text(self) -> str:
        """What it is now."""
        return str(self._tk.globalgetvar(self.name))  # type: ignore[no-untyped-call]

    def put(self, text: str) -> None:
        """Make it another one."""
        self._tk.globalsetvar(self.name, text)  # type: ignore[no-untyped-call]

    def _gone(self, event: tk.Event[tk.Misc]) -> None:
        if str(event.widget) == self._owner:
            self._tk.globalunsetvar(self.name)  # type: ignore[no-untyped-call]
