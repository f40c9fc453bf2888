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
    from rigfeed_gui.logic.words import say

    try:
        import tkinter as tk
    except ImportError as error:
        raise RigfeedError(say("screen.no-tk", why=error), remedy=say("screen.no-tk.do")) from error
    from rigfeed_gui.window import open_window

    try:
        open_window(file)
    except tk.TclError as error:
        if "display" not in str(error):
            raise
        raise RigfeedError(say("screen.none", why=error), remedy=say("screen.none.do")) from error
    return 0
