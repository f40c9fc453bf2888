"""``rigfeed serve``: the server, and the tokens that open it. Nothing of the web is imported before it runs."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing, contextmanager
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING

import click

from rigfeed.errors import RigfeedError

if TYPE_CHECKING:
    from rigfeed_api.tokens import Tokens

HOST, PORT = "127.0.0.1", 8477
NEEDED = ("flask", "flask_smorest", "sqlalchemy", "waitress")
PACED = 600  # requests of one caller in a minute, where others than this machine can reach the server


@click.group(short_help="Serve designs over HTTP.", invoke_without_command=True)
@click.option("--host", default=HOST, show_default=True, help="Address to listen on.")
@click.option("--port", type=click.IntRange(0, 65535), default=PORT, show_default=True, help="0 for any free one.")
@click.option(
    "--data", type=click.Path(path_type=Path, file_okay=False), metavar="DIR",
    help="Folder of stored designs and tokens; by default in the data folder of the user.",
)
@click.option(
    "--per-minute", type=click.IntRange(0), default=None, metavar="N",
    help=f"Most requests of one caller in a minute, 0 for no bound; {PACED} where others can reach the server.",
)
@click.option(
    "--room", type=click.IntRange(1), default=2048, show_default=True, metavar="MIB",
    help="Most MiB that stored designs may take; they are never removed, so what is full stays full.",
)
@click.option(
    "--change-catalogs", is_flag=True,
    help="Let callers who may write change your own catalogs as well; these hold for every design of yours.",
)
@click.pass_context
def serve(
    context: click.Context, host: str, port: int, data: Path | None, per_minute: int | None, room: int,
    change_catalogs: bool,
) -> int:
    """Serve designs over HTTP, on this machine alone unless --host says otherwise.

    Elsewhere than on this machine it listens only with a token: rigfeed serve token add NAME.
    """
    missing = [name for name in NEEDED if find_spec(name) is None]
    if missing:
        remedy = "install the extra: pip install 'rigfeed[api]'"
        raise RigfeedError(f"the HTTP interface needs {', '.join(missing)}", remedy=remedy)
    context.obj = data or _usual_folder()
    if context.invoked_subcommand:
        return 0
    return _serve(host, port, context.obj, per_minute, room, change_catalogs)


def _serve(
    host: str, port: int, data: Path, per_minute: int | None, room_mib: int, change_catalogs: bool
) -> int:
    from rigfeed_api import log, serving
    from rigfeed_api.app import create_app
    from rigfeed_api.settings import Room, Settings

    with serving.bound(host, port) as listening:
        private = serving.is_loopback(listening)
        if not private:
            _must_have_token(host, data)
        pace = (0 if private else PACED) if per_minute is None else per_minute
        room = Room(bytes=room_mib * 2**20)
        app = create_app(Settings(data, per_minute=pace, room=room, change_catalogs=change_catalogs))
        log.to_stream()
        url = serving.url(listening)
        serving.run(app, listening, lambda: click.echo(f"serving on {url} (the documentation is there); stop: Ctrl-C"))
    click.echo("stopped")
    return 0


def _must_have_token(host: str, data: Path) -> None:
    with _tokens(data) as tokens:
        if not any(token.revoked is None for token in tokens.list()):
            what = f"{host} can be reached by others, and there is no token to keep them out"
            raise RigfeedError(what, remedy="make one first: rigfeed serve token add NAME")


def _usual_folder() -> Path:
    import platformdirs

    return platformdirs.user_data_path("rigfeed") / "server"


@contextmanager
def _tokens(data: Path) -> Iterator[Tokens]:
    from rigfeed_api.store.database import Database
    from rigfeed_api.tokens import Tokens

    with closing(Database(data)) as database:
        yield Tokens(database)


@serve.group(short_help="Add, list and revoke tokens.")
def token() -> None:
    """The tokens that let callers in. With the first one, every request needs one."""


@token.command(short_help="Make a token and print its secret, once.")
@click.argument("name")
@click.option(
    "--right", type=click.Choice(["read", "write"]), default="read", show_default=True,
    help="read: assess, and look at stored designs; write: change those as well.",
)
@click.pass_obj
def add(data: Path, name: str, right: str) -> int:
    """Make a token NAME and print its secret: it is not kept, and cannot be shown again."""
    with _tokens(data) as tokens:
        click.echo(tokens.add(name, "write" if right == "write" else "read"))
    return 0


@token.command("list", short_help="List the tokens.")
@click.pass_obj
def list_(data: Path) -> int:
    """List the tokens by name, with their rights."""
    with _tokens(data) as tokens:
        for found in tokens.list():
            state = f"revoked {found.revoked}" if found.revoked else found.right
            click.echo(f"{found.name}  {state}  (made {found.made})")
    return 0


@token.command(short_help="Let a token open nothing any more.")
@click.argument("name")
@click.pass_obj
def revoke(data: Path, name: str) -> int:
    """Let the token NAME open nothing any more."""
    with _tokens(data) as tokens:
        tokens.revoke(name)
    return 0
