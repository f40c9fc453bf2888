"""The command that enters a reading: two voltages and a current in the place of an assumption."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from rigfeed.cli import CLEAN
from rigfeed.cli.text import hanging

if TYPE_CHECKING:
    from rigfeed.trials.measured import Measured


@click.command(short_help="Enter what a meter said: two voltages and a current.")
@click.argument("file", type=click.Path(path_type=Path))
@click.argument("node")
@click.option("--idle", required=True, metavar="VOLTS", help="Between the probes without the load, like '12.62 V'.")
@click.option("--loaded", required=True, metavar="VOLTS", help="Between the same points with the load.")
@click.option("--current", required=True, metavar="AMPS", help="What the load takes, by a clamp, like '11.2 A'.")
@click.option("--temperature", metavar="DEGREES", help="Of a battery when it was measured, like '15 C'.")
@click.option("--to", metavar="ID", help="Of a bolt: where the other probe was, the bolt of the strap or the battery.")
@click.option("--write", is_flag=True, help="Write it into FILE; without this it is only shown.")
@click.option("--json", "as_json", is_flag=True, help="Print plain data instead of text.")
def measured(
    file: Path, node: str, idle: str, loaded: str, current: str, temperature: str | None, to: str | None, write: bool,
    as_json: bool,
) -> int:
    """Work out a resistance from two voltages and a current, and enter it into the design in FILE.

    NODE is a battery (probes on its posts), a bolt on the body (to the bolt of the battery strap, or to the negative
    post with --to), or a take-off from the vehicle's own wiring (from the positive post). Engine off, nothing charging;
    read with the load on for ten seconds, then at once without it.
    """
    from rigfeed.assess import assess
    from rigfeed.design.edit import apply
    from rigfeed.design.file import DesignFile
    from rigfeed.parts.shelf import open_shelf
    from rigfeed.trials.measured import entered, measured_json, reading_of

    reading = reading_of(node, idle, loaded, current, temperature, to)
    design = DesignFile.open(file)
    found = entered(assess(design.design, shelf=open_shelf(file), only=()), reading)
    if write:
        design.save(apply(design.design, found.edits))
    if as_json:
        click.echo(json.dumps(measured_json(found), ensure_ascii=False, allow_nan=False, indent=2))
    else:
        _tell(found, file if write else None)
    return CLEAN


def _tell(found: Measured, written: Path | None) -> None:
    from rigfeed.cautions import CAUTIONS
    from rigfeed.trials.measured import measured_text

    for line in measured_text(found):
        _echo("", line)
    for edit in found.edits:
        _echo("  ", f"{edit.path} = {edit.value}")
    _echo("", f"Written into {written}." if written else "Not written yet: --write puts it into the design.")
    click.echo("")
    for caution in CAUTIONS:
        _echo("- ", caution)


def _echo(start: str, text: Any) -> None:
    click.echo("\n".join(hanging(start, str(text))))
