"""Supplier lists from the command line: add one as a catalog, compare it with an older one, remove a catalog."""

from __future__ import annotations

import datetime
import json
import sys
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

import click

from rigfeed.cli.progress import progress
from rigfeed.cli.text import hanging
from rigfeed.errors import InputError
from rigfeed.intake.adding import Prepared, catalog_there, prepare, settled
from rigfeed.intake.intake_json import intake_json
from rigfeed.intake.keeping import catalog_name, user_folder
from rigfeed.intake.taking import STATES, unknown_columns

MOST_SHOWN = 40  # rows or changes; the rest is counted
_OPTIONS = (
    click.option("--as", "name", metavar="NAME", default="", help="Name of the catalog; else that of the file."),
    click.option("--kind", metavar="KIND", help="Kind of the parts, for instance cable."),
    click.option("--map", "mapping", type=click.Path(path_type=Path), metavar="MAPPING", help="What the columns are."),
    click.option("--currency", metavar="CODE", help="Currency of prices that name none, for instance EUR."),
    click.option("--treat", multiple=True, metavar="COLUMN=AS", help="Take a column as: size=awg, price='per m'."),
    click.option("--column", multiple=True, metavar="HEADER=MEANING", help="What a column is: 'Nennstrom=rated_a'."),
    click.option("--every", multiple=True, metavar="COLUMN=VALUE", help="What every row has: family=C."),
    click.option("--design", type=click.Path(path_type=Path), metavar="FILE", help="Keep it beside this design."),
    click.option("--json", "as_json", is_flag=True, help="Print plain data instead of text."),
)


def _with_options(command: Callable[..., Any]) -> Callable[..., Any]:
    for option in reversed(_OPTIONS):
        command = option(command)
    return command


@click.command(short_help="Add a supplier's list as a catalog of yours.")
@click.argument("file", type=click.Path(path_type=Path))
@_with_options
@click.option("--dry-run", is_flag=True, help="Show what would be taken; write nothing.")
@click.option("--yes", is_flag=True, help="Replace a catalog of the same name without asking.")
def add(file: Path, name: str, design: Path | None, as_json: bool, dry_run: bool, yes: bool, **how: Any) -> None:
    """Read the supplier's list in FILE (CSV, text, XLSX, ODS; - for what is piped in) and keep it as a catalog.

    Every row is taken, taken with a mark, or refused; the reason stands beside it. What a catalog of the same name
    would lose or change is shown first. How the list was read is remembered under its name for the next time.
    """
    prepared = _prepared(file, name, design, how)
    _tell(prepared, as_json)
    if dry_run:
        return
    if prepared.changes and not yes and any(outcome.state != "refused" for outcome in prepared.taken.outcomes):
        question = f"Replace the catalog {prepared.name!r} with {len(prepared.changes)} changes?"
        click.confirm(question, abort=True, err=True)
    try:
        path = prepared.keep()
    except InputError as error:
        raise error.at(file=str(file)) from None
    if not as_json:
        click.echo(f"{path}")


@click.command(short_help="Show what a newer list would change in a catalog.")
@click.argument("file", type=click.Path(path_type=Path))
@_with_options
def compare(file: Path, name: str, design: Path | None, as_json: bool, **how: Any) -> None:
    """Show what the supplier's list in FILE changes in the catalog of its name; nothing is written."""
    catalog_there(_folder(design), _name(name, file))
    _tell(_prepared(file, name, design, how), as_json)


@click.command(short_help="Remove a catalog of yours.")
@click.argument("name")
@click.option("--design", type=click.Path(path_type=Path), metavar="FILE", help="The one beside this design.")
@click.option("--yes", is_flag=True, help="Do not ask.")
def remove(name: str, design: Path | None, yes: bool) -> None:
    """Remove the catalog NAME; those that come with the program stay."""
    path = catalog_there(_folder(design), name)
    if not yes:
        click.confirm(f"Remove {path}?", abort=True, err=True)
    path.unlink()
    click.echo(f"removed {path}")


def _folder(design: Path | None) -> Path:
    return design.parent / "catalogs" if design else user_folder()


def _name(wanted: str, file: Path) -> str:
    """The name of the catalog; where that of the file is none, or the list is piped in, --as is what is missing."""
    try:
        return catalog_name(wanted, file.name)
    except InputError as error:
        if wanted:
            raise
        what = "what is piped in gives the catalog no name" if str(file) == "-" else error.what
        raise InputError(what, remedy=f"name it with --as NAME: {error.remedy}") from None


def _prepared(file: Path, name: str, design: Path | None, how: dict[str, Any]) -> Prepared:
    from rigfeed.registry import installed_registry

    name = _name(name, file)
    mapping = settled(
        name, how["mapping"], kind=how["kind"] or "", currency=how["currency"] or "",
        treat=_pairs(how["treat"], "COLUMN=AS, for instance size=awg"),
        columns=_pairs(how["column"], "HEADER=MEANING, for instance 'Nennstrom=rated_a'"),
        every=_pairs(how["every"], "COLUMN=VALUE, for instance family=C"),
    )
    data = _content(file)
    try:
        with progress() as tell:
            return prepare(
                data, file.name, name, folder=_folder(design), registry=installed_registry(), mapping=mapping,
                day=datetime.date.today().isoformat(), tell=tell,
            )
    except InputError as error:
        raise error if error.place.file else error.at(file=str(file)) from None


def _content(file: Path) -> bytes:
    from rigfeed.files import read_bytes
    from rigfeed.intake.reading import MOST_BYTES

    if str(file) == "-":  # one byte more than is read tells that it is too large
        return sys.stdin.buffer.read(MOST_BYTES + 1)
    return read_bytes(file, most=MOST_BYTES)


def _pairs(given: Iterable[str], like: str) -> dict[str, str]:
    pairs = {}
    for pair in given:
        name, equals, value = pair.rpartition("=") if "MEANING" in like else pair.partition("=")
        if not equals or not name:
            raise click.BadParameter(f"{pair!r}: write {like}")
        pairs[name] = value
    return pairs


def _tell(prepared: Prepared, as_json: bool) -> None:
    taken, changed = prepared.taken, prepared.changes
    if as_json:
        click.echo(json.dumps(intake_json(prepared), ensure_ascii=False, allow_nan=False, indent=2))
        return
    mark = "comma" if taken.comma else "point"
    click.echo("\n".join(hanging("", f"{taken.file}: {taken.how}, decimal {mark}, parts of kind {taken.kind}")))
    pairs = zip(taken.columns.headers, taken.columns.meanings, strict=True)
    click.echo("\n".join(hanging("columns: ", ", ".join(f"{h} is {m}" for h, m in pairs if m))))
    if left := unknown_columns(taken):
        click.echo("\n".join(hanging("not read: ", ", ".join(left))))
    told = [outcome for outcome in taken.outcomes if outcome.notes]
    for outcome in told[:MOST_SHOWN]:
        click.echo("\n".join(hanging(f"row {outcome.line} {outcome.id}: ", outcome.state)))
        for note in outcome.notes:
            click.echo("\n".join(hanging(f"  {note.level}: ", str(note))))
    if len(told) > MOST_SHOWN:
        click.echo(f"... and {len(told) - MOST_SHOWN} more rows with remarks; --json shows all")
    for line, text in taken.passed_over[:10]:
        click.echo("\n".join(hanging(f"row {line} is no part: ", text)))
    for change in changed[:MOST_SHOWN]:
        click.echo("\n".join(hanging("  ", str(change))))
    if len(changed) > MOST_SHOWN:
        click.echo(f"  ... and {len(changed) - MOST_SHOWN} more changes")
    click.echo(f"{len(taken.outcomes)} rows: " + ", ".join(f"{taken.count(state)} {state}" for state in STATES))
