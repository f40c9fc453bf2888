"""Supplier lists from the command line: add one as a catalog, compare it with an older one, remove a catalog."""

from __future__ import annotations

import datetime
import json
from collections.abc import Callable, Iterable
from dataclasses import replace
from pathlib import Path
from typing import Any

import click

from rigfeed.cli.text import hanging
from rigfeed.errors import InputError, Place, UnknownName
from rigfeed.intake.keeping import Change, catalog_name, catalog_text, changes, keep, user_folder
from rigfeed.intake.mapping import Mapping, mapping_file, read_mapping, save_mapping
from rigfeed.intake.taking import State, Taken, take, unknown_columns

MOST_SHOWN = 40  # rows or changes; the rest is counted
_OPTIONS = (
    click.option("--as", "name", metavar="NAME", default="", help="Name of the catalog; else that of the file."),
    click.option("--kind", metavar="KIND", help="Kind of the parts, for instance cable."),
    click.option("--map", "mapping", type=click.Path(path_type=Path), metavar="MAPPING", help="What the columns are."),
    click.option("--currency", metavar="CODE", help="Currency of prices that name none, for instance EUR."),
    click.option("--treat", multiple=True, metavar="COLUMN=AS", help="Take a column as: size=awg, price='per m'."),
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
    """Read the supplier's list in FILE (CSV, text, XLSX, ODS) and keep it as a catalog.

    Every row is taken, taken with a mark, or refused; the reason stands beside it. What a catalog of the same name
    would lose or change is shown first. How the list was read is remembered under its name for the next time.
    """
    name = catalog_name(name, file.name)
    taken, text = _taken(file, name, how)
    folder = _folder(design)
    found = changes(folder / f"{name}.csv", text)
    is_new = not (folder / f"{name}.csv").exists()
    _tell(taken, [] if is_new else found, name, as_json)
    if dry_run:
        return
    if all(outcome.state == "refused" for outcome in taken.outcomes):
        raise InputError("no row can be taken", place=Place(str(file)), remedy="see the reasons above")
    _not_shipped(name)
    if not is_new and found and not yes:
        click.confirm(f"Replace the catalog {name!r} with {len(found)} changes?", abort=True, err=True)
    path = keep(folder, name, text)
    save_mapping(mapping_file(name), taken.mapping)
    if not as_json:
        click.echo(f"{path}")


@click.command(short_help="Show what a newer list would change in a catalog.")
@click.argument("file", type=click.Path(path_type=Path))
@_with_options
def compare(file: Path, name: str, design: Path | None, as_json: bool, **how: Any) -> None:
    """Show what the supplier's list in FILE changes in the catalog of its name; nothing is written."""
    name = catalog_name(name, file.name)
    old = _folder(design) / f"{name}.csv"
    if not old.exists():
        raise UnknownName("catalog of yours", name, [path.stem for path in old.parent.glob("*.csv")])
    taken, text = _taken(file, name, how)
    _tell(taken, changes(old, text), name, as_json)


@click.command(short_help="Remove a catalog of yours.")
@click.argument("name")
@click.option("--design", type=click.Path(path_type=Path), metavar="FILE", help="The one beside this design.")
@click.option("--yes", is_flag=True, help="Do not ask.")
def remove(name: str, design: Path | None, yes: bool) -> None:
    """Remove the catalog NAME; those that come with the program stay."""
    path = _folder(design) / f"{catalog_name(name)}.csv"
    if not path.exists():
        raise UnknownName("catalog of yours", name, [other.stem for other in path.parent.glob("*.csv")])
    if not yes:
        click.confirm(f"Remove {path}?", abort=True, err=True)
    path.unlink()
    click.echo(f"removed {path}")


def _folder(design: Path | None) -> Path:
    return design.parent / "catalogs" if design else user_folder()


def _not_shipped(name: str) -> None:
    from rigfeed.registry import installed_registry

    if name in {file.name for file in installed_registry().catalogs}:
        raise InputError(f"a catalog {name!r} comes with the program", remedy="choose another name with --as")


def _taken(file: Path, name: str, how: dict[str, Any]) -> tuple[Taken, str]:
    from rigfeed.files import read_bytes
    from rigfeed.intake.reading import MOST_BYTES
    from rigfeed.registry import installed_registry

    mapping = _mapping(name, how)
    data = read_bytes(file, most=MOST_BYTES)
    try:
        taken = take(data, file.name, installed_registry().kinds, mapping)
    except InputError as error:
        raise error.at(file=str(file)) from None
    return taken, catalog_text(taken, datetime.date.today().isoformat())


def _mapping(name: str, how: dict[str, Any]) -> Mapping:
    """The mapping that is named, or the one kept for this supplier; options go before both."""
    kept = mapping_file(name)
    mapping = read_mapping(how["mapping"]) if how["mapping"] else read_mapping(kept) if kept.exists() else Mapping()
    treat = dict(mapping.treat)
    for pair in how["treat"]:
        column, equals, meant = pair.partition("=")
        if not equals or not column:
            raise click.BadParameter(f"{pair!r}: write COLUMN=AS, for instance size=awg")
        treat[column] = meant
    return replace(
        mapping, treat=treat, kind=how["kind"] or mapping.kind, currency=how["currency"] or mapping.currency
    )


def _tell(taken: Taken, found: Iterable[Change], name: str, as_json: bool) -> None:
    if as_json:
        click.echo(json.dumps(intake_json(taken, found, name), ensure_ascii=False, allow_nan=False, indent=2))
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
    changed = list(found)
    for change in changed[:MOST_SHOWN]:
        click.echo("\n".join(hanging("  ", str(change))))
    if len(changed) > MOST_SHOWN:
        click.echo(f"  ... and {len(changed) - MOST_SHOWN} more changes")
    states: tuple[State, ...] = ("taken", "taken with a mark", "refused")
    click.echo(f"{len(taken.outcomes)} rows: " + ", ".join(f"{taken.count(state)} {state}" for state in states))


def intake_json(taken: Taken, found: Iterable[Change], name: str) -> dict[str, Any]:
    """An intake as plain data: for ``--json``, and for faces that show the rows."""
    return {
        "schema": 1, "catalog": name, "file": taken.file, "sha256": taken.sha256, "kind": taken.kind, "how": taken.how,
        "decimal": "," if taken.comma else ".",
        "columns": dict(zip(taken.columns.headers, taken.columns.meanings, strict=True)),
        "rows": [
            {
                "row": outcome.line, "id": outcome.id, "state": outcome.state, "given": list(outcome.given),
                "cells": outcome.cells,
                "notes": [
                    {
                        "level": note.level, "column": note.column, "says": note.says,
                        "readings": list(note.readings), "likely": note.likely or None,
                    }
                    for note in outcome.notes
                ],
            }
            for outcome in taken.outcomes
        ],
        "passed_over": [{"row": line, "text": text} for line, text in taken.passed_over],
        "changes": [{"id": c.id, "what": c.what, "cells": {k: list(v) for k, v in c.cells.items()}} for c in found],
    }
