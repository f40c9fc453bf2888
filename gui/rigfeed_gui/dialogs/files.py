"""The file dialogs of the platform."""

from __future__ import annotations

import tkinter as tk
from pathlib import Path as FilePath
from tkinter import filedialog

from rigfeed_gui.logic.words import say

LISTS = ("*.csv", "*.tsv", "*.txt", "*.xlsx", "*.ods")
TYPES = (("TOML", "*.toml"), ("*", "*"))


def ask_open(parent: tk.Misc, beside: FilePath | None) -> FilePath | None:
    """Which file to open; None where nobody wants to."""
    folder = str(beside.parent if beside else FilePath.cwd())
    name = filedialog.askopenfilename(parent=parent, title=say("files.open"), filetypes=TYPES, initialdir=folder)
    return FilePath(name) if name else None


def ask_list(parent: tk.Misc) -> FilePath | None:
    """Which supplier's list to read; None where nobody wants to."""
    types = ((say("files.lists"), LISTS), ("*", "*"))
    name = filedialog.askopenfilename(parent=parent, title=say("files.list"), filetypes=types)
    return FilePath(name) if name else None


def clipboard(parent: tk.Misc) -> str:
    """The text that was copied last, in any program; empty where there is none."""
    try:
        return str(parent.clipboard_get())
    except tk.TclError:  # nothing was copied, or a picture
        return ""


def ask_save(parent: tk.Misc, beside: FilePath | None, name: str) -> FilePath | None:
    """Where to save; None where nobody wants to. One that is there is asked for by the platform."""
    folder = str(beside.parent if beside else FilePath.cwd())
    name = filedialog.asksaveasfilename(
        parent=parent, title=say("files.save"), filetypes=TYPES, initialdir=folder, initialfile=name,
        defaultextension=".toml",
    )
    return FilePath(name) if name else None


def ask_folder(parent: tk.Misc, beside: FilePath | None) -> FilePath | None:
    """Into which folder to write."""
    folder = str(beside if beside and beside.is_dir() else FilePath.cwd())
    name = filedialog.askdirectory(parent=parent, title=say("files.folder"), initialdir=folder)
    return FilePath(name) if name else None
