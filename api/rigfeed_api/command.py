"""``rigfeed serve``."""

from __future__ import annotations

import click

from rigfeed.errors import RigfeedError


@click.command(short_help="Serve designs over HTTP.")
def serve() -> int:
    """Serve designs over HTTP."""
    raise RigfeedError("the HTTP interface is not there yet")
