"""The command that draws a design."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from rigfeed.cli import CLEAN


def _target(context: click.Context, option: click.Parameter, text: str) -> str:
    if not text.strip():
        raise click.BadParameter("it is empty; name a file, or - for the standard output")
    return text


@click.command(short_help="Draw the circuit or the routes of a design.")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--kind", default="circuit", show_default=True, metavar="NAME", help="What to draw: circuit, routes.")
@click.option("--state", metavar="ID", help="With the volts and amps of this state.")
@click.option(
    "--page", type=click.Choice(["A4", "A3", "A2", "A1", "A0", "Letter"]),
    help="Size of the page, which lies; else the first from A4 on on which it can be read.",
)
@click.option(
    "--units", type=click.Choice(["metric", "us"]), default="metric", show_default=True, help="Units of the output."
)
@click.option("--practice", metavar="NAME", help="Hold the design against this practice instead of its own.")
@click.option("--out", required=True, callback=_target, metavar="FILE", help="The SVG file to write; - prints it.")
def draw(
    file: Path, kind: str, state: str | None, page: Any, units: Any, practice: str | None, out: str
) -> int:
    """Draw the design in FILE as SVG: what is joined to what, or what lies where in the vehicle, with the findings."""
    from rigfeed.drawing.svg import svg_text
    from rigfeed.load import assess_file
    from rigfeed.papers.paper import Wanted
    from rigfeed.papers.write import write_drawing

    assessment = assess_file(file, practice=practice)
    wanted = Wanted(state=state, page=page, system=units)
    if out == "-":
        click.echo(svg_text(assessment.drawing(kind, wanted)), nl=False)
    else:
        write_drawing(assessment, kind, wanted, Path(out))
        click.echo(out)
    return CLEAN
