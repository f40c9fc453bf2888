"""The command line. Thin: every command reads, calls the engine, prints or writes.

A command is loaded when it is called for; those of the window and the HTTP interface come from the entry-point group
``rigfeed.commands``, so the kit imports no face.
"""

from __future__ import annotations

import gc
import importlib
import sys
import tempfile
import traceback
from importlib.metadata import entry_points

import click

from rigfeed.errors import RigfeedError

CLEAN, FOUND_ERRORS, BAD_INPUT, OUR_FAULT = 0, 1, 2, 3
GROUP = "rigfeed.commands"

# command -> the module of this package that holds it; the order is that of the help
OWN = {
    "check": "assessing",
    "papers": "assessing",
    "draw": "drawing",
    "plot": "drawing",
    "demo": "assessing",
    "new": "beginning",
    "compare": "trials",
    "whatif": "trials",
    "return": "trials",
    "measured": "measuring",
    "calc": "calculating",
    "catalog": "shelf",
    "stock": "stock",
    "practice": "practices",
    "plugins": "shelf",
    "plugin": "scaffolding",
}


class Commands(click.Group):
    """Our own commands by the table above, then those of the faces that are installed."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """All names."""
        return [*OWN, *sorted(entry.name for entry in entry_points(group=GROUP) if entry.name not in OWN)]

    def get_command(self, ctx: click.Context, name: str) -> click.Command | None:
        """The command of a name, loaded now."""
        if name in OWN:
            module = importlib.import_module(f"rigfeed.cli.{OWN[name]}")
            command: click.Command = getattr(module, {"return": "returns"}.get(name, name))
            return command
        for entry in entry_points(group=GROUP):
            if entry.name == name:
                found: click.Command = entry.load()
                return found
        return None


@click.group(cls=Commands, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 79})
@click.version_option(package_name="rigfeed", message="%(prog)s %(version)s")
def rigfeed() -> None:
    """Design and check two-way radio installations in vehicles.

    This work can hurt: follow the vehicle maker's instructions, local codes and licensed practice. Exit codes: 0 no
    error found by the checks made, 1 errors found, 2 bad input, 3 a fault of this program.
    """


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
    except OSError as error:  # of what we write to: a full disk is no fault of ours
        click.echo(f"rigfeed: the output cannot be written: {error.strerror or error}", err=True)
        code = BAD_INPUT
    except Exception:
        click.echo(f"rigfeed: a fault of this program; the details are in {_log()}", err=True)
        code = OUR_FAULT
    gc.freeze()  # the last search for garbage on the way out costs a tenth of a short run, and finds what ends anyway
    sys.exit(code)


def _log() -> str:
    with tempfile.NamedTemporaryFile("w", prefix="rigfeed-", suffix=".log", delete=False, encoding="utf-8") as file:
        file.write(traceback.format_exc())
    return file.name
