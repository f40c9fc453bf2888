"""A new plugin from the command line."""

from __future__ import annotations

from pathlib import Path

import click


@click.group(short_help="Begin a plugin of your own.")
def plugin() -> None:
    """For authors of plugins."""


@plugin.command(short_help="Write a small plugin project that works.")
@click.argument("name")
@click.option("--to", "folder", type=click.Path(path_type=Path), help="The new folder; else rigfeed-NAME here.")
def new(name: str, folder: Path | None) -> None:
    """Write a plugin project for a part kind NAME: catalog, calculator, check, paper, and tests that pass."""
    from rigfeed.scaffold import write_project

    folder = folder or Path(f"rigfeed-{name}")
    for path in write_project(name, folder):
        click.echo(f"{path}")
    click.echo(f"Next: python -m pip install -e {folder}, then python -m pytest {folder}")
