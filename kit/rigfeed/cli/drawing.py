"""The commands that draw: a design, and figures of it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from rigfeed.cli import CLEAN

if TYPE_CHECKING:
    from rigfeed.assess import Assessment


def _target(context: click.Context, option: click.Parameter, text: str | None) -> str | None:
    if text is not None and not text.strip():
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


@click.command(short_help="Draw a figure of a design: curves over time and current.")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--kind", default="time-current", show_default=True, metavar="NAME", help="Which figure; see --list.")
@click.option(
    "--subject", metavar="ID",
    help="What it is about: the id of an equipment, for its feed, or of a conductor. Not needed where there is one.",
)
@click.option("--list", "listed", is_flag=True, help="Print the figures of this design with their subjects.")
@click.option(
    "--format", "form", type=click.Choice(["svg", "png", "json"]),
    help="Of the file; else by the ending of its name, or svg. json has the numbers.",
)
@click.option(
    "--units", type=click.Choice(["metric", "us"]), default="metric", show_default=True, help="Units of the output."
)
@click.option("--practice", metavar="NAME", help="Hold the design against this practice instead of its own.")
@click.option("--out", callback=_target, metavar="FILE", help="The file to write; - prints it.")
def plot(
    file: Path, kind: str, subject: str | None, listed: bool, form: Any, units: Any, practice: str | None,
    out: str | None,
) -> int:
    """Draw a figure of the design in FILE: when its devices open and what its wires bear, or what each short lets
    through. Pictures need the extra 'figures'; the numbers (--format json) do not."""
    from rigfeed.figures.write import FORMATS, figure_bytes
    from rigfeed.files import replace_file
    from rigfeed.load import assess_file

    if not listed and out is None:
        raise click.UsageError("name a file with --out, or ask with --list what there is")
    assessment = assess_file(file, practice=practice, only=())
    if listed or out is None:
        click.echo("\n".join(_figures(assessment)))
        return CLEAN
    ending = Path(out).suffix.lower().lstrip(".")
    form = form or (ending if ending in FORMATS else "svg")
    content = figure_bytes(assessment, assessment.figure(kind, subject, units), form, units)
    if out == "-":
        click.echo(content, nl=False)
    else:
        replace_file(Path(out), content)
        click.echo(out)
    return CLEAN


def _figures(assessment: Assessment) -> Iterator[str]:
    """A line for each figure, and below it one for each subject."""
    for name in assessment.figures:
        yield name
        for about in assessment.subjects(name):
            yield f"  {about.id:<12} {about.title}"
