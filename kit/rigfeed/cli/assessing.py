"""The command line. Thin: every command reads, calls the engine, prints or writes."""

from __future__ import annotations

import json
import sys
import tempfile
import traceback
from pathlib import Path
from typing import Any

import click

from rigfeed.errors import RigfeedError

CLEAN, FOUND_ERRORS, BAD_INPUT, OUR_FAULT = 0, 1, 2, 3

_practice = click.option("--practice", metavar="NAME", help="Hold the design against this practice instead of its own.")
_units = click.option(
    "--units", type=click.Choice(["metric", "us"]), default="metric", show_default=True, help="Units of the output."
)
_paper = click.option(
    "--paper", type=click.Choice(["A4", "Letter"]), default="A4", show_default=True, help="Size of the printed page."
)
_file = click.argument("file", type=click.Path(path_type=Path))


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="rigfeed", message="%(prog)s %(version)s")
def rigfeed() -> None:
    """Design and check two-way radio installations in vehicles.

    This work can hurt: follow the vehicle maker's instructions, local codes and licensed practice. Exit codes: 0 no
    error found by the checks made, 1 errors found, 2 bad input, 3 a fault of this program.
    """


@rigfeed.command()
@_file
@click.option("--json", "as_json", is_flag=True, help="Print plain data instead of text.")
@_practice
@_units
def check(file: Path, as_json: bool, practice: str | None, units: Any) -> int:
    """Assess the design in FILE and print what the checks say."""
    from rigfeed.load import assess_file

    assessment = assess_file(file, practice=practice)
    if as_json:
        from rigfeed.json_report import assessment_json

        click.echo(json.dumps(assessment_json(assessment, units), ensure_ascii=False, allow_nan=False, indent=2))
    else:
        from rigfeed.report import report

        click.echo(report(assessment, units), nl=False)
    return FOUND_ERRORS if assessment.count("error") else CLEAN


@rigfeed.command()
@_file
@click.option("--out", type=click.Path(path_type=Path), required=True, metavar="DIR", help="Folder for the papers.")
@_practice
@_units
@_paper
def papers(file: Path, out: Path, practice: str | None, units: Any, paper: Any) -> int:
    """Write the papers of the design in FILE to a folder: one workbook, and each table as CSV."""
    from rigfeed.load import assess_file
    from rigfeed.papers.write import write_papers

    for path in write_papers(assess_file(file, practice=practice), out, file.stem, system=units, paper=paper):
        click.echo(path)
    return CLEAN


@rigfeed.command()
@click.argument("name", default="hazel")
@click.option(
    "--out", type=click.Path(path_type=Path), default=Path("rigfeed-papers"), show_default=True, metavar="DIR",
    help="Folder for the papers.",
)  # fmt: skip
@_units
@_paper
def demo(name: str, out: Path, units: Any, paper: Any) -> int:
    """Assess a demonstration design that ships with rigfeed, print the findings, write the papers."""
    from rigfeed.examples import example
    from rigfeed.load import assess_file
    from rigfeed.papers.write import write_papers
    from rigfeed.report import report

    file = example(name)
    assessment = assess_file(file)
    click.echo(report(assessment, units), nl=False)
    click.echo(f"\nThe design: {file}")
    click.echo(f"The papers, in {out.resolve()}:")
    for path in write_papers(assessment, out, name, system=units, paper=paper):
        click.echo(f"  {path.name}")
    return CLEAN


def main() -> None:
    """The entry point: every error becomes a line and an exit code."""
    try:
        code = rigfeed.main(standalone_mode=False) or CLEAN
    except SystemExit:  # click's way of saying that whoever read the output has gone
        code = CLEAN
    except click.exceptions.Exit as leave:
        code = leave.exit_code
    except click.Abort:
        click.echo("stopped", err=True)
        code = BAD_INPUT
    except click.ClickException as error:
        error.show()
        code = BAD_INPUT
    except RigfeedError as error:
        click.echo(f"rigfeed: {error}" if "\n" not in str(error) else f"rigfeed:\n{error}", err=True)
        code = BAD_INPUT
    except Exception:
        click.echo(f"rigfeed: a fault of this program; the details are in {_log()}", err=True)
        code = OUR_FAULT
    sys.exit(code)


def _log() -> str:
    with tempfile.NamedTemporaryFile("w", prefix="rigfeed-", suffix=".log", delete=False, encoding="utf-8") as file:
        file.write(traceback.format_exc())
    return file.name
