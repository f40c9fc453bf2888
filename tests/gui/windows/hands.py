"""A person in front of a window: moves a real pointer, presses real keys, and waits until the window has settled."""

from __future__ import annotations

import subprocess
import time
import tkinter as tk
from collections.abc import Callable, Iterator
from tkinter import ttk

from tests.gui.windows.screens import Screen

from rigfeed.design.edit import Set
from rigfeed.path import Path
from rigfeed_gui.actions import dialogs
from rigfeed_gui.window import Window

PATIENCE_S = 20.0
KEYSYMS = {" ": "space", ".": "period", ",": "comma", "-": "minus", ":": "colon", "/": "slash", "=": "equal",
           "%": "percent", "+": "plus", "(": "parenleft", ")": "parenright", "_": "underscore"}


class Hands:
    """Works one window. Pointer and keys go through the X server (xdotool), as those of a person do."""

    def __init__(self, window: Window, screen: Screen, xdotool: str) -> None:
        self.window, self.root, self.session, self.screen = window, window.root, window.session, screen
        self._xdotool = xdotool
        self.told: list[tuple[str, str]] = []
        show = window.faults._show

        def tell(title: str, text: str) -> tk.Misc:
            self.told.append((title, text))
            return show(title, text)

        window.faults._show = tell

    # waiting

    def until(self, true: Callable[[], object], why: str) -> None:
        """Let the loop run until something is so; fails after a while."""
        end = time.monotonic() + PATIENCE_S
        while not true():
            assert time.monotonic() < end, why
            self.root.update()
            time.sleep(0.002)
        self.root.update()

    def settle(self) -> None:
        """Until everything is worked out and shown."""
        self.root.update()
        self.until(lambda: self.window.settled, "the window does not settle")
        self.until(lambda: not any(getattr(dialog, "busy", False) for dialog in self.dialogs), "a dialog works on")
        self.root.update()

    def run(self, *words: object) -> None:
        """Run xdotool while the loop of the window goes on."""
        command = [self._xdotool, *(str(word) for word in words)]
        with subprocess.Popen(command) as process:
            self.until(lambda: process.poll() is not None, f"{words} hangs")
            assert process.returncode == 0
        for _ in range(3):
            self.root.update()
            time.sleep(0.01)
        self.root.update()

    # doing

    def point(self, widget: tk.Misc, x: float | None = None, y: float | None = None) -> tuple[int, int]:
        """Move the pointer to a place in a widget, its middle if none is said."""
        left = widget.winfo_width() / 2 if x is None else x
        top = widget.winfo_height() / 2 if y is None else y
        at = round(widget.winfo_rootx() + left), round(widget.winfo_rooty() + top)
        self.run("mousemove", *at)
        return at

    def click(self, widget: tk.Misc, x: float | None = None, y: float | None = None, button: int = 1) -> None:
        """Click on a widget."""
        self.point(widget, x, y)
        self.run("click", button)

    def drag(self, widget: tk.Misc, start: tuple[float, float], end: tuple[float, float]) -> None:
        """Press at one place of a widget, move in steps, release at another."""
        self.point(widget, *start)
        self.run("mousedown", 1)
        for share in (0.2, 0.6, 1.0):
            self.point(widget, *(a + share * (b - a) for a, b in zip(start, end, strict=True)))
        self.run("mouseup", 1)

    def key(self, *keys: str) -> None:
        """Press keys, named as xdotool does: ``ctrl+z``, ``Return``."""
        self.run("key", "--clearmodifiers", "--delay", 8, *keys)

    def type(self, text: str) -> None:
        """Type a text."""
        self.run("type", "--delay", 8, text)

    def fill(self, entry: tk.Misc, text: str) -> None:
        """Replace what stands in a line."""
        self.click(entry)
        self.key("ctrl+a", "Delete") if text == "" else self.key("ctrl+a")
        if text:
            self.type(text)

    def keys(self, widget: tk.Misc, text: str) -> None:
        """Type into a widget by events of Tk, for what is long: each letter is a key pressed and released."""
        widget.focus_force()
        for letter in text:
            name = KEYSYMS.get(letter, letter)
            widget.event_generate(f"<KeyPress-{name}>")
            widget.event_generate(f"<KeyRelease-{name}>")
        self.root.update()

    def stroke(self, widget: tk.Misc, *keys: str) -> None:
        """Press keys by events of Tk: ``Return``, ``Control-a``."""
        widget.focus_force()
        for key in keys:
            widget.event_generate(f"<{key}>")
            self.root.update()

    def enter(self, entry: tk.Misc, text: str) -> None:
        """Replace what stands in a line and press Return, by events of Tk."""
        self.stroke(entry, "Control-a", "Delete")
        self.keys(entry, text)
        self.stroke(entry, "Return")

    def press(self, words: str, within: tk.Misc | None = None) -> None:
        """Click on the button that says something."""
        self.click(self.button(words, within))

    def press_path(self, path: object) -> None:
        """Click on the file of a path on the start page."""
        found = [w for w in everything(self.root) if is_button(w) and str(path) in str(w["text"])]
        assert found, f"{path} is not on the start page: {self.texts()}"
        self.click(found[0])

    # looking

    @property
    def dialogs(self) -> tuple[tk.Toplevel, ...]:
        """What stands above the window now."""
        return dialogs(self.root)

    def dialog(self) -> tk.Toplevel:
        """The one dialog that is open; waits for it."""
        self.until(lambda: self.dialogs, "no dialog opens")
        return self.dialogs[-1]

    def button(self, words: str, within: tk.Misc | None = None) -> tk.Misc:
        """A visible button by what it says."""
        found = [w for w in everything(within or self.root) if is_button(w) and str(w["text"]) == words]
        assert found, f"no button says {words!r}"
        return found[0]

    def texts(self, within: tk.Misc | None = None) -> list[str]:
        """All that visible labels and buttons say."""
        return [str(w["text"]) for w in everything(within or self.root) if isinstance(w, ttk.Label) or is_button(w)]


def lengthen(hands: Hands, length: str = "1.1 m") -> None:
    """An edit that every demonstration can have: the run through the engine bay becomes longer."""
    hands.session.edit([Set(Path("runs", "bay", "length"), length)], "length of bay")
    hands.settle()


def is_button(widget: tk.Misc) -> bool:
    """Whether it can be pressed."""
    return isinstance(widget, ttk.Button | ttk.Radiobutton | ttk.Checkbutton)


def everything(root: tk.Misc) -> Iterator[tk.Misc]:
    """All widgets that can be seen, the window itself first."""
    if root.winfo_viewable():
        yield root
        for child in root.winfo_children():
            yield from everything(child)
