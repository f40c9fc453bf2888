"""The stock of the workshop: what lies there, what designs take from it and what is left to buy, and taking it."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from rigfeed.cli import CLEAN
from rigfeed.cli.text import hanging
from rigfeed.errors import InputError
from rigfeed.quantity import show

if TYPE_CHECKING:
    from rigfeed.papers.stock import Supply
    from rigfeed.stock.cutting import Cut
    from rigfeed.trials.batch import Batch

_files = click.argument("files", nargs=-1, required=True, type=click.Path(path_type=Path), metavar="FILE...")
_units = click.option(
    "--units", type=click.Choice(["metric", "us"]), default="metric", show_default=True, help="Units of the output."
)
_json = click.option("--json", "as_json", is_flag=True, help="Print plain data instead of text.")


@click.group(short_help="Spools, offcuts and counted parts: list them, cut from them.")
def stock() -> None:
    """What lies in the workshop: stock.csv in your data folder, and beside a design.

    A row is a spool or an offcut (part, length, label, colour), or so many pieces of a part (part, pieces).
    """


@stock.command("list", short_help="List what there is.")
@click.option("--design", type=click.Path(path_type=Path), metavar="FILE", help="The stock beside this design as well.")
@_json
def list_(design: Path | None, as_json: bool) -> int:
    """List what there is, and where the files are."""
    from rigfeed.parts.shelf import open_shelf, stock_files

    shelf, files = open_shelf(design), stock_files(design)
    items = shelf.stock.items
    if as_json:
        rows = [
            {
                "part": item.part, "length_m": item.length.si if item.length else None, "pieces": item.pieces,
                "label": item.shown, "colour": item.colour, "note": item.note, "file": item.at[0], "line": item.at[1],
            }
            for item in items
        ]
        _print({"files": [str(file) for file in files], "stock": rows, "left_out": [str(e) for e in shelf.troubles]})
        return CLEAN
    for file in files:
        click.echo(str(file))
    for item in items:
        much = str(item.length) if item.length else f"{item.pieces} pieces"
        told = ", ".join(word for word in (much, item.colour, item.shown, item.note) if word)
        click.echo("\n".join(hanging(f"  {item.part}: ", told)))
    for error in shelf.troubles:
        click.echo("\n".join(hanging("left out: ", str(error))))
    if not files:
        from rigfeed.papers.stock import NO_STOCK_NOTE

        click.echo("\n".join(hanging("", NO_STOCK_NOTE)))
    return CLEAN


@stock.command(short_help="Which piece each cut comes from, and what is left to buy.")
@_files
@_units
@_json
@click.option("--out", type=click.Path(path_type=Path), metavar="FILE", help="Write it as a workbook as well, .xlsx.")
def plan(files: tuple[Path, ...], units: Any, as_json: bool, out: Path | None) -> int:
    """Say which spool or offcut each cut of the designs in FILE... comes from, and what is left to buy for all."""
    from rigfeed.cautions import CAUTIONS
    from rigfeed.papers.stock import buying_table, plan_table
    from rigfeed.papers.table import table_json
    from rigfeed.trials.batch_papers import merged_supplies

    there, supplies = merged_supplies(_assessed(files), units)
    tables = [make(supplies, units, has_stock=bool(there)) for make in (plan_table, buying_table)]
    if out is not None:
        from rigfeed.files import replace_file
        from rigfeed.papers.xlsx import workbook_bytes

        if out.suffix != ".xlsx":
            raise click.BadParameter(f"{out.name!r} does not end in .xlsx", param_hint="--out")
        job = ", ".join(file.stem for file in files)
        replace_file(out, workbook_bytes(tables, job=job, cautions=CAUTIONS, system=units))
    if as_json:
        _print({table.name: table_json(table) for table in tables} | {"cautions": list(CAUTIONS)})
    else:
        cut, bought = tables
        click.echo("\n".join((*_plan(supplies, cut.notes, units), *_buying(supplies, bought.notes, units))))
        click.echo("\n".join(line for caution in CAUTIONS for line in hanging("- ", caution)))
    return CLEAN


@stock.command(short_help="Take what designs need out of the stock files.")
@_files
@click.option("--part", "parts", multiple=True, metavar="PART", help="Of this part only, like cable:thinwall-6.")
@click.option("--cut", "cuts", multiple=True, metavar="ID", help="This cut only, as the plan names it: W8, van1: W8.")
@click.option("--yes", is_flag=True, help="Do not ask.")
def take(files: tuple[Path, ...], parts: tuple[str, ...], cuts: tuple[str, ...], yes: bool) -> int:
    """Write what is left into the stock files once the cuts of the designs in FILE... are made.

    With --part or --cut, which may be given several times, only what was cut today is taken, from the pieces that the
    plan names. What was taken is not remembered: name the cuts of the next day as well.
    """
    from rigfeed.files import replace_file
    from rigfeed.papers.stock import lefts, some_of
    from rigfeed.stock.file import text_after
    from rigfeed.trials.batch_papers import merged_supplies

    there, supplies = merged_supplies(_assessed(files))
    lengths_m, pieces = lefts(there, some_of(there, supplies, parts, cuts))
    if not lengths_m and not pieces:
        click.echo("nothing of it is in stock")
        return CLEAN
    for item in there.items:
        left = f"{lengths_m[item.at]:.2f} m" if item.at in lengths_m else f"{pieces.get(item.at)} pieces"
        if item.at in lengths_m or item.at in pieces:
            had = str(item.length) if item.length else f"{item.pieces} pieces"
            click.echo("\n".join(hanging("  ", f"{item.part}, {item.shown}: {had} -> {left}")))
    if not yes:
        click.confirm("Write this into the stock files?", abort=True, err=True)
    paths = sorted({Path(file) for file, _ in (*lengths_m, *pieces)})
    texts = {
        path: text_after(
            path, {line: left for (file, line), left in lengths_m.items() if file == str(path)},
            {line: left for (file, line), left in pieces.items() if file == str(path)},
        )
        for path in paths
    }
    for path, text in texts.items():
        replace_file(path, text.encode())
        click.echo(str(path))
    return CLEAN


def _assessed(files: Iterable[Path]) -> Batch:
    from rigfeed.keyed import Keyed
    from rigfeed.load import assess_file
    from rigfeed.trials.batch import Batch

    found: dict[str, Any] = {}
    known: set[Path] = set()
    for file in files:
        if file.resolve() in known:
            raise InputError(f"{file} is named twice", remedy="name each design once")
        known.add(file.resolve())
        found[file.stem if file.stem not in found else str(file)] = assess_file(file, only=[])
    return Batch(Keyed(found))


def _plan(supplies: Iterable[Supply], notes: Iterable[str], units: Any) -> Iterator[str]:
    """Under each cable what is cut from which piece, and what is bought."""
    yield click.style("Cutting plan", bold=True)
    for supply in supplies:
        if supply.cutting is None or supply.need.part is None:
            continue
        yield from hanging("", supply.need.part.title)
        for use in supply.cutting.uses:
            lead = f"  from {use.length.label} ({show(use.length.length_m, 'm', units)}): "
            yield from hanging(lead, f"{_cuts(use.cuts, units)}; left {show(use.left_m, 'm', units)}")
        if supply.cutting.bought:
            yield from hanging("  to buy: ", _cuts(supply.cutting.bought, units))
    for note in notes:
        yield from hanging("  ", note)
    yield ""


def _cuts(cuts: Iterable[Cut], units: Any) -> str:
    return ", ".join(f"{cut.id} {cut.colour} {show(cut.length_m, 'm', units)}".replace("  ", " ") for cut in cuts)


def _buying(supplies: Iterable[Supply], notes: Iterable[str], units: Any) -> Iterator[str]:
    yield click.style("Buying list", bold=True)
    for need in filter(None, (supply.to_buy for supply in supplies)):
        much = f"{need.pieces} pieces" if need.length_m is None else show(need.length_m, "m", units)
        yield from hanging("  ", f"{need.part.short_key}, {need.part.title}: {much}" if need.part else need.what)
    for note in notes:
        yield from hanging("  ", note)
    yield ""


def _print(data: dict[str, Any]) -> None:
    click.echo(json.dumps({"schema": 1, **data}, ensure_ascii=False, allow_nan=False, indent=2))
