"""``rigfeed gui``."""

from __future__ import annotations

from pathlib import Path

import click

from rigfeed.errors import RigfeedError


@click.command(short_help="Open the window.")
@click.argument("file", type=click.Path(path_type=Path), required=False)
def gui(file: Path | None) -> int:
    """Open the window, with FILE in hand if one is named.

    This work can hurt: follow the vehicle maker's instructions, local codes and licensed practice.
    """
    try:
        import tkinter as tk
    except ImportError as error:
        remedy = "install it, on Debian and Ubuntu: apt-get install python3-tk"
        raise RigfeedError(f"this Python has no tkinter: {error}", remedy=remedy) from error
    from rigfeed_gui.window import open_window

    try:
        open_window(file)
    except tk.TclError as error:
        if "display" not in str(error):
            raise
        raise RigfeedError(f"no screen to open a window on: {error}", remedy="start it from a desktop") from error
    return 0
