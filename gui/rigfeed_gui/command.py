"""``rigfeed gui``."""

from __future__ import annotations

import click

from rigfeed.errors import RigfeedError


@click.command(short_help="Open the window.")
def gui() -> int:
    """Open the window."""
    raise RigfeedError("the window is not there yet")
