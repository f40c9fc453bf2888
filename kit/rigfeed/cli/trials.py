"""Commands that try something out: what if, where the negative goes, one design beside another."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from rigfeed.cli import CLEAN
from rigfeed.cli.text import hanging

if TYPE_CHECKING:
    from rigfeed.papers.table import Table
    from rigfeed.trials.returns import ReturnTrial

NOTHING = "nothing"  # in a cell
TRACE_A = 0.5  # what a wire carries less of is not worth a word

_practice = click.option("--practice", metavar="NAME", help="Hold the design against this practice instead of its own.")
_units = click.option(
    "--units", type=click.Choice(["metric", "us"]), default="metric", show_default=True, help="Units of the output."
)
_json = click.option("--json", "as_json", is_flag=True, help="Print plain data instead of text.")
_out = click.option(
    "--out", type=click.Path(path_type=Path), metavar="FILE", help="Write the paper as well, as .xlsx or .csv."
)
_file = click.argument("file", type=click.Path(path_type=Path))


@click.command(short_help="Ask what happens when one thing opens, fails or is done wrong.")
@_file
@_json
@_practice
@_units
@_out
def whatif(file: Path, as_json: bool, practice: str | None, units: Any, out: Path | None) -> int:
    """Solve the design in FILE again with a strap, a negative or a master switch open, a plug the wrong way round, each
    device out in turn and each joint gone bad."""
    from rigfeed.load import assess_file

    assessment = assess_file(file, practice=practice, only=[])
    table = assessment.paper("what-if", units)
    _show(table, units, as_json, out, job=assessment.installation.title)
    return CLEAN


@click.command("return", short_help="Ask where the negative of each equipment goes in this vehicle.")
@_file
@click.option("--node", "nodes", multiple=True, metavar="ID", help="Ask for this equipment only; may be repeated.")
@_json
@_practice
@_units
@_out
def returns(
    file: Path, nodes: tuple[str, ...], as_json: bool, practice: str | None, units: Any, out: Path | None
) -> int:
    """Assess every way to return the negatives of the design in FILE side by side: to a body point, to the body end of
    the battery strap, to the battery post, each without and with a fuse."""
    from rigfeed.errors import UnknownName
    from rigfeed.load import load
    from rigfeed.papers.returnpaper import return_table
    from rigfeed.parts.shelf import open_shelf
    from rigfeed.trials.returns import try_returns

    design = load(file)
    for node in nodes:
        if node not in design.nodes:
            raise UnknownName("node", node, design.nodes)
    trial = try_returns(design, shelf=open_shelf(file), practice=practice, only=nodes or None)
    table = return_table(trial, units)
    if as_json or out is not None:
        _show(table, units, as_json, out, job=design.job.title)
    if not as_json:
        click.echo("\n".join(_advice(trial, units)))
    return CLEAN


@click.command(short_help="Say what differs between two designs, and what comes of it.")
@click.argument("first", type=click.Path(path_type=Path))
@click.argument("second", type=click.Path(path_type=Path))
@_json
@_practice
@_units
@_out
def compare(
    first: Path, second: Path, as_json: bool, practice: str | None, units: Any, out: Path | None
) -> int:
    """Assess the designs in FIRST and SECOND and say what changed: new findings, findings gone, volts, copper, cost."""
    from rigfeed.load import assess_file
    from rigfeed.papers.comparison import comparison_table
    from rigfeed.trials.compare import compare_assessments
    from rigfeed.trials.compare_json import comparison_json

    one, two = (assess_file(file, practice=practice) for file in (first, second))
    comparison = compare_assessments(one, two)
    table = comparison_table(comparison, units)
    if out is not None:
        _write(table, units, out, f"{one.installation.title} / {two.installation.title}")
    if as_json:
        click.echo(json.dumps(comparison_json(comparison, units), ensure_ascii=False, allow_nan=False, indent=2))
    else:
        click.echo("nothing differs") if not table.rows else None
        click.echo("\n".join([*_text(table, units), *_end(table.notes)]))
    return CLEAN


# showing


def _show(table: Table, units: Any, as_json: bool, out: Path | None, *, job: str) -> None:
    """A table as text or as data, and as a file where one is wanted; each with the cautions."""
    from rigfeed.cautions import CAUTIONS
    from rigfeed.papers.table import table_json

    if out is not None:
        _write(table, units, out, job)
    if as_json:
        found = {**table_json(table), "cautions": list(CAUTIONS)}
        click.echo(json.dumps(found, ensure_ascii=False, allow_nan=False, indent=2))
    elif table.name != "return-question":
        click.echo("\n".join([*_answers(table, units), *_end(table.notes)]))


def _write(table: Table, units: Any, out: Path, job: str) -> None:
    from rigfeed.cautions import CAUTIONS
    from rigfeed.files import replace_file
    from rigfeed.papers.csv import write_csv
    from rigfeed.papers.xlsx import workbook_bytes

    if out.suffix == ".csv":
        write_csv(out, table, system=units)
    elif out.suffix == ".xlsx":
        replace_file(out, workbook_bytes([table], job=job, cautions=CAUTIONS, system=units))
    else:
        raise click.BadParameter(f"{out.name!r} ends neither in .xlsx nor in .csv", param_hint="--out")


def _answers(table: Table, units: Any) -> Iterator[str]:
    """The questions of a what-if paper, each with its answer as a sentence or two."""
    sort = None
    for row in table.rows:
        known = {column.key: _cell(value, column, units) for column, value in zip(table.columns, row, strict=True)
                 if value is not None}
        if known["sort"] != sort:
            sort = known["sort"]
            yield ""
            yield click.style(sort, bold=True)
        yield from hanging("- ", f"If {known['question']}:")
        yield from hanging("    ", "; ".join(_said(known)))


def _said(known: dict[str, str]) -> Iterator[str]:
    """One answer in pieces: what it means, what the wire bears, what stops and what works on."""
    says, stops, works = known["says"], known["stops"], known.get("works", NOTHING)
    if "time" in known:
        device = known["opens"].partition(",")[0]
        says = says.replace(f"{device} opens", f"{device} opens within {known['time']} s", 1)
    yield says
    if "bears" in known:
        yield f"{known['wire']} may carry {known['bears']} A for hours"
    if stops != NOTHING:
        yield f"{stops} {'stop' if ',' in stops else 'stops'}"
    elif known["sort"] not in ("out", "joint"):
        yield "nothing stops"
    if works != NOTHING:
        yield f"{works} {'work' if ',' in works else 'works'} on"


def _text(table: Table, units: Any) -> Iterator[str]:
    """Each row as a paragraph under the value of the first column: what it is about, then what is known."""
    from rigfeed.papers.table import heading

    group = None
    for row in table.rows:
        if row[0] != group:
            group = row[0]
            yield ""
            yield click.style(str(group), bold=True)
        yield from hanging("- ", str(row[1]))
        known = [
            f"{heading(column, units)}: {_cell(value, column, units)}"
            for column, value in zip(table.columns[2:], row[2:], strict=True) if value is not None
        ]
        yield from hanging("    ", "; ".join(known))


def _cell(value: Any, column: Any, units: Any) -> str:
    from rigfeed.papers.table import cell

    shown = cell(value, column, units)
    return f"{shown:.3g}" if isinstance(shown, float) else str(shown)


def _advice(trial: ReturnTrial, units: Any) -> Iterator[str]:
    """The advice, the ways with their figures, the schools."""
    from rigfeed.papers.returnpaper import against, general_notes
    from rigfeed.quantity import show

    for answer in trial.answers:
        yield click.style(f"{answer.load.id}: {answer.best.way.title}", bold=True)
        yield from hanging("  ", f"{answer.reason} [{answer.authority}]")
        for turn in answer.turns:
            yield from hanging("  ", f"With {turn.fact} it would be: {turn.to}.")
        yield "  The ways, the best first, with the least volts at the equipment:"
        for option in answer.options:
            volts = "" if option.least_v is None else f"{option.least_v:.2f} V"
            strap_a = option.strap_a or 0.0
            strap = f"; {show(strap_a, 'A', units)} at once if the strap opens" if strap_a > TRACE_A else ""
            drawn = " (as drawn)" if option.way == answer.drawn else ""
            said = "; ".join(filter(None, (f"{volts}{strap}", against(answer, option))))
            yield from hanging("  - ", f"{option.way.title}{drawn}: {said}")
        yield ""
    yield from _end(general_notes(trial))


def _end(notes: Iterable[str]) -> Iterator[str]:
    from rigfeed.cautions import CAUTIONS

    yield ""
    for note in notes:
        yield from hanging("", note)
    yield ""
    yield click.style("Cautions", bold=True)
    for caution in CAUTIONS:
        yield from hanging("- ", caution)
