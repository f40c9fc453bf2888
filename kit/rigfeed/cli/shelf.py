"""What is at hand: plugins, catalogs and parts."""

from __future__ import annotations

import importlib
import json
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from pathlib import Path
from typing import Any

import click

from rigfeed.cli.text import hanging
from rigfeed.errors import UnknownName
from rigfeed.measure import json_number
from rigfeed.parts.catalog import CatalogFile, LocalFile
from rigfeed.parts.part import Money, Part, Rigid
from rigfeed.parts.shelf import open_shelf
from rigfeed.parts.tables import Rows
from rigfeed.registry import PluginInfo

_json = click.option("--json", "as_json", is_flag=True, help="Print plain data instead of text.")
_design = click.option(
    "--design", type=click.Path(path_type=Path), metavar="FILE", help="Count the catalogs beside this design as well."
)


@click.command(short_help="List the plugins and what they add.")
@_json
def plugins(as_json: bool) -> None:
    """List all plugins with version and state, what each adds, and why one is off."""
    from rigfeed.registry import installed_registry

    registry = installed_registry()
    _ = registry.calculators  # asks the plugins for them, so that what is wrong there is told as well
    taken = {p.name: [t.what for t in registry.troubles if t.plugin == p.name] for p in registry.plugins}
    if as_json:
        _print([
            {
                "name": p.name, "version": p.version, "state": "off" if p.off else "on", "why": p.off or None,
                "adds": {hook.removeprefix("register_"): list(names) for hook, names in p.adds.items()},
                "troubles": [] if p.off else taken[p.name],
            }
            for p in registry.plugins
        ], "plugins")
        return
    for info in registry.plugins:
        click.echo("\n".join(_plugin(info, [] if info.off else taken[info.name])))


def _plugin(info: PluginInfo, troubles: list[str]) -> Iterator[str]:
    yield click.style(f"{info.name} {info.version}".rstrip(), bold=True) + ("  OFF" if info.off else "  on")
    if info.off:
        yield from hanging("  why: ", info.off)
    for hook, names in info.adds.items():
        sort = hook.removeprefix("register_").replace("_", " ")
        yield from hanging(f"  {len(names)} {sort}: ", ", ".join(names))
    for trouble in troubles:
        yield from hanging("  left out: ", trouble)


class _Catalog(click.Group):
    """The commands of this module, and those of intake, which are loaded when they are called for."""

    INTAKE = ("add", "compare", "remove")

    def list_commands(self, ctx: click.Context) -> list[str]:
        """All names."""
        return sorted((*super().list_commands(ctx), *self.INTAKE))

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """The command of a name."""
        if cmd_name not in self.INTAKE:
            return super().get_command(ctx, cmd_name)
        found: click.Command = getattr(importlib.import_module("rigfeed.cli.intake"), cmd_name)
        return found


@click.group(cls=_Catalog, short_help="List catalogs, show one or a part of it; add a supplier's list.")
def catalog() -> None:
    """The catalogs now in use and the parts in them."""


@catalog.command("list", short_help="List all catalogs.")
@_design
@_json
def list_(design: Path | None, as_json: bool) -> None:
    """List all catalogs: what they hold, how many rows, where they are."""
    shelf = open_shelf(design)
    found = [_about(file, rows) for file, rows in shelf.catalogs()]
    if as_json:
        _print(found, "catalogs", left_out=[str(error) for error in shelf.troubles])
        return
    click.echo(click.style(f"{'catalog':<24} rows by kind of part (where it is from)", bold=True))
    for about in found:
        kinds = ", ".join(f"{count} {kind}" for kind, count in about["rows"].items())
        click.echo("\n".join(hanging(f"{about['name']:<24} ", f"{kinds} ({about['origin']})")))
    for error in shelf.troubles:
        click.echo("\n".join(hanging("left out: ", str(error))))


def _about(file: CatalogFile, rows: Rows) -> dict[str, Any]:
    origin = "a file of yours" if isinstance(file, LocalFile) else "shipped"
    counts = {kind: sum(1 for _ in rows.ids(kind)) for kind in rows.kinds()}
    return {"name": file.name, "origin": origin, "where": file.where, "rows": counts}


@catalog.command("show", short_help="Show a catalog, or one part.")
@click.argument("name")
@_design
@_json
def show(name: str, design: Path | None, as_json: bool) -> None:
    """Show the rows of a catalog, or one part (kind:row) with every figure and its source."""
    shelf = open_shelf(design)
    if ":" in name:
        part = shelf.part(name)
        data = _part(part)
        if as_json:
            _print(data, "part")
        else:
            click.echo("\n".join(_part_lines(part, data)))
        return
    tables = {file.name: rows for file, rows in shelf.catalogs()}
    if name not in tables:
        raise UnknownName("catalog", name, tables)
    keys = [(kind, id_) for kind in tables[name].kinds() for id_ in tables[name].ids(kind)]
    if as_json:
        _print([f"{kind}:{name}/{id_}" for kind, id_ in keys], "parts")
        return
    for kind, id_ in keys:
        row = tables[name].get(kind, id_)
        assert row is not None
        key = f"{kind}:{id_}"
        click.echo("\n".join(hanging(f"{key:<30} ", row.cells.get("title", ""))))


def _part(part: Part) -> dict[str, Any]:
    """The figures of a part by name, as plain data."""
    hidden = ("key", "title", "provenance")
    figures = {f.name: getattr(part, f.name) for f in fields(part) if f.name not in hidden}
    return {
        "key": part.key,
        "title": part.title,
        "figures": {
            name: _plain(value) for name, value in figures.items() if value is not None and value not in ((), "")
        },
        "source": part.provenance.source,
        "confidence": part.provenance.confidence,
        "catalog": part.provenance.catalog,
        "line": part.provenance.line,
    }


def _plain(value: Any) -> Any:
    """A figure as JSON has it: curves as lists of points, what has parts of its own as a table."""
    match value:
        case None | bool() | int() | str():
            return value
        case float():
            return json_number(value)
        case Rigid() | Money():
            return str(value)
        case tuple():
            return [_plain(item) for item in value]
    if is_dataclass(value):
        return {f.name: _plain(getattr(value, f.name)) for f in fields(value)}
    return str(value)


def _shown(plain: Any) -> str:
    """Plain data as people write it: ``0 11.8; 50 12.25`` for a curve, names before the figures of a table.

    >>> _shown([[0.0, 11.8], [50.0, 12.25]]), _shown(["AM", "FM"]), _shown({"least_s": 0.75, "most_s": None})
    ('0 11.8; 50 12.25', 'AM, FM', 'least_s 0.75')
    """
    match plain:
        case bool():
            return "yes" if plain else "no"
        case float():
            return f"{plain:.6g}" if abs(plain) < 1e6 else f"{plain:.12g}"
        case dict():
            return ", ".join(f"{name} {_shown(value)}" for name, value in plain.items() if value is not None)
        case [[*_], *_]:
            return "; ".join(" ".join(map(_shown, item)) for item in plain)
        case list():
            return ("; " if plain and isinstance(plain[0], dict) else ", ").join(map(_shown, plain))
    return str(plain)


def _part_lines(part: Part, data: dict[str, Any]) -> Iterator[str]:
    yield click.style(data["key"], bold=True)
    yield from hanging("  ", data["title"])
    for name, value in data["figures"].items():
        yield from hanging(f"  {name:<20} ", _shown(value))
    yield from hanging("  source               ", f"{data['source']} ({data['confidence']})")
    yield from hanging("  from                 ", f"catalog {data['catalog']}, line {data['line']}")


def _print(data: Any, name: str, **more: Any) -> None:
    click.echo(json.dumps({"schema": 1, name: data, **more}, ensure_ascii=False, allow_nan=False, indent=2))


