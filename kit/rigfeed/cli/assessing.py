"""Commands that assess a design."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import click

from rigfeed.cli import CLEAN, FOUND_ERRORS, OUR_FAULT

_practice = click.option("--practice", metavar="NAME", help="Hold the design against this practice instead of its own.")
_units = click.option(
    "--units", type=click.Choice(["metric", "us"]), default="metric", show_default=True, help="Units of the output."
)
_paper = click.option(
    "--paper", type=click.Choice(["A4", "Letter"]), default="A4", show_default=True, help="Size of the printed page."
)
_file = click.argument("file", type=click.Path(path_type=Path))


@click.command(short_help="Assess a design and print what the checks say.")
@_file
@click.option("--json", "as_json", is_flag=True, help="Print plain data instead of text.")
@click.option("--explain", metavar="CHECK", help="One check at length, with its numbers and its authority.")
@_practice
@_units
def check(file: Path, as_json: bool, explain: str | None, practice: str | None, units: Any) -> int:
    """Assess the design in FILE and print what the checks say."""
    from rigfeed.load import assess_file

    assessment = assess_file(file, practice=practice, only=[explain] if explain else None)
    if explain and not as_json:
        from rigfeed.cli.report import explanation
        from rigfeed.registry import installed_registry

        click.echo(explanation(assessment, installed_registry().checks[explain], units), nl=False)
    elif as_json:
        from rigfeed.json_report import assessment_json

        click.echo(json.dumps(assessment_json(assessment, units), ensure_ascii=False, allow_nan=False, indent=2))
    else:
        from rigfeed.cli.report import report

        click.echo(report(assessment, units), nl=False)
    return FOUND_ERRORS if assessment.count("error") else CLEAN


def _folder(context: click.Context, option: click.Parameter, text: str) -> Path:
    """The folder for papers; an empty text, which a script gives by mistake, is not this one."""
    if not text.strip():
        raise click.BadParameter("it is empty; name a folder, or . for this one")
    return Path(text)


def _formats(context: click.Context, option: click.Parameter, text: str) -> tuple[str, ...]:
    from rigfeed.papers.write import FORMATS

    found = tuple(word.strip() for word in text.split(","))
    for word in found:
        if word not in FORMATS:
            raise click.BadParameter(f"{word!r} is not one of {', '.join(FORMATS)}; write them like xlsx,csv")
    return found


@click.command(short_help="Write the papers of a design to a folder.")
@_file
@click.option(
    "--out", type=click.Path(), required=True, callback=_folder, metavar="DIR", help="Folder for the papers.",
)
@_practice
@_units
@_paper
@click.option(
    "--format", "formats", default="xlsx,csv,svg", show_default=True, callback=_formats, metavar="LIST",
    help="What to write: xlsx (one workbook of all papers), csv, json (a file for each), svg (drawings and figures), "
    "png (figures).",
)
def papers(file: Path, out: Path, practice: str | None, units: Any, paper: Any, formats: tuple[str, ...]) -> int:
    """Write the papers of the design in FILE to a folder: one workbook, each table as CSV or JSON, the drawings, and
    the figures where the extra 'figures' is installed."""
    from rigfeed.load import assess_file
    from rigfeed.papers.write import write_papers

    assessment = assess_file(file, practice=practice)
    left_out: list[str] = []
    written = write_papers(
        assessment, out, file.stem, system=units, paper=paper, formats=formats, file=file.name, left_out=left_out
    )
    for path in written:
        click.echo(path)
    return _told(left_out)


def _told(left_out: list[str]) -> int:
    """Name the papers that failed; the exit code. All that was asked for is not there, so a script must notice."""
    for line in left_out:
        click.echo(f"left out: {line}", err=True)
    return OUR_FAULT if left_out else CLEAN


@click.command(short_help="Assess a demonstration design and write its papers.")
@click.argument("name", default="hazel")
@click.option(
    "--out", type=click.Path(), default="rigfeed-papers", show_default=True, callback=_folder, metavar="DIR",
    help="Folder for the papers.",
)
@_units
@_paper
def demo(name: str, out: Path, units: Any, paper: Any) -> int:
    """Assess a demonstration design that ships with rigfeed, print the findings, write the papers."""
    from rigfeed.cli.report import report
    from rigfeed.examples import example
    from rigfeed.load import assess_file
    from rigfeed.papers.write import write_papers

    file = example(name)
    assessment = assess_file(file)
    click.echo(report(assessment, units), nl=False)
    click.echo(f"\nThe design: {file}")
    click.echo(f"The papers, in {out.resolve()}:")
    left_out: list[str] = []
    for path in write_papers(assessment, out, name, system=units, paper=paper, file=file.name, left_out=left_out):
        click.echo(f"  {path.name}")
    return _told(left_out)
