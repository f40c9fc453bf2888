"""Practices from the command line: which there are, what stands in one, where two differ."""

from __future__ import annotations

import json
import math
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path, PurePath
from typing import Any

import click

from rigfeed.cli.text import hanging
from rigfeed.errors import BadQuantity, RigfeedError, UnknownName
from rigfeed.keyed import Keyed
from rigfeed.measure import Measure, json_number
from rigfeed.practice import KeyedState, Practice, Practices, Setting, practices_beside
from rigfeed.quantity import UNITS, kind_of, parse, units_of

NOT_GIVEN = {"severities": "the check's own"}  # what a practice that has nothing about a key comes down to
_json = click.option("--json", "as_json", is_flag=True, help="Print plain data instead of text.")
_design = click.option(
    "--design", type=click.Path(path_type=Path), metavar="FILE", help="Count the practices beside this design as well."
)


@click.group(short_help="List the practices, show one, compare two.")
def practice() -> None:
    """The practices: named sets of thresholds and defaults, each with its authority."""


@practice.command("list", short_help="List all practices.")
@_design
@_json
def list_(design: Path | None, as_json: bool) -> None:
    """List all practices: name, title, what each extends, how many thresholds it has with those that it inherits."""
    practices = _practices(design)
    found, left_out = _sound(practices)
    if as_json:
        _print({"practices": [_summary(p) for p in found], "left_out": left_out})
        return
    width = max(len(p.name) for p in found)
    for p in found:
        extends = f", extends {p.lineage[1]}" if len(p.lineage) > 1 else ""
        click.echo("\n".join(hanging(f"{p.name:<{width}}  ", f"{p.title}{extends}, {len(p.thresholds)} thresholds")))
    for error in left_out:
        click.echo("\n".join(hanging("left out: ", error)))


@practice.command("show", short_help="Show what stands in a practice.")
@click.argument("name")
@click.option("--check", metavar="CHECK", help="Only what this check compares with.")
@_design
@_json
def show(name: str, check: str | None, design: Path | None, as_json: bool) -> None:
    """Show every figure of the practice NAME with its meaning, its authority and the file that it stands in."""
    whole = _practices(design).get(name)
    shown = whole if check is None else _of_check(whole, check)
    if as_json:
        _print({**_summary(whole), "check": check, **_contents(shown)})
        return
    lines = [*_head(whole), *_shown(shown)] if check is None else [*_head(whole), *_shown_check(shown, check)]
    click.echo("\n".join(lines))


@practice.command("compare", short_help="Show where two practices differ.")
@click.argument("a")
@click.argument("b")
@_design
@_json
def compare(a: str, b: str, design: Path | None, as_json: bool) -> None:
    """Show what the practices A and B have otherwise: another figure, another authority, or only in one of them."""
    practices = _practices(design)
    one, two = practices.get(a), practices.get(b)
    tables = {name: list(_different(getattr(one, name), getattr(two, name), same)) for name, same in _SAME.items()}
    if as_json:
        rows = {name: [_both(*row) for row in found] for name, found in tables.items()}
        _print({"a": _summary(one), "b": _summary(two), **rows})
        return
    lines = [*_head(one), *_head(two)]
    for title, found in tables.items():
        nothing = NOT_GIVEN.get(title, "not given")
        lines += _section(title, (line for row in found for line in _compared(row, one.name, two.name, nothing)))
    click.echo("\n".join(lines if any(tables.values()) else [*lines, "", "They have the same figures."]))


def _practices(design: Path | None) -> Practices:
    """Those of the installation and, with a design, those beside it."""
    from rigfeed.registry import installed_registry

    beside = () if design is None else practices_beside(design)
    return Practices([*installed_registry().practice_files, *beside])


def _sound(practices: Practices) -> tuple[list[Practice], list[str]]:
    """Those that can be put together, and what is wrong with the others: one broken practice hides no other."""
    found: list[Practice] = []
    broken: list[RigfeedError] = []
    for name in practices.names():
        try:
            found.append(practices.get(name))
        except RigfeedError as error:
            broken.append(error)
    return found, [str(error) for error in (*practices.troubles, *broken)]


def _of_check(whole: Practice, check: str) -> Practice:
    """The part of a practice that concerns one check.

    Raises
    ------
    UnknownName
        If neither this installation nor the practice has a check of that name.
    """
    from rigfeed.registry import installed_registry

    checks = installed_registry().checks
    known = {*checks, *whole.severities, *(key.rpartition(".")[0] for key in whole.thresholds)}
    if check not in known:
        raise UnknownName("check", check, known)
    declared = {threshold.key for threshold in checks[check].thresholds} if check in checks else set()
    thresholds = {key: s for key, s in whole.thresholds.items() if key.rpartition(".")[0] == check or key in declared}
    severities = {name: severity for name, severity in whole.severities.items() if name == check}
    return Practice(whole.name, whole.title, whole.lineage, Keyed(thresholds), severities=Keyed(severities))


# text


def _head(p: Practice) -> list[str]:
    lines = [click.style(line, bold=True) for line in hanging(f"{p.name}: ", p.title)]
    return [*lines, *hanging("  extends ", ", ".join(p.lineage[1:]))] if len(p.lineage) > 1 else lines


def _section(title: str, lines: Iterable[str]) -> list[str]:
    found = list(lines)
    return ["", click.style(title.capitalize(), bold=True), *found] if found else []


def _shown(p: Practice) -> Iterator[str]:
    for title, table in (("thresholds", p.thresholds), ("defaults", p.defaults)):
        yield from _section(title, (line for key, setting in sorted(table.items()) for line in _figure(key, setting)))
    changed = (line for name, severity in sorted(p.severities.items()) for line in hanging(f"{name}: ", severity))
    yield from _section("severities", changed)
    states = (line for name, state in sorted(p.states.items()) for line in hanging(f"{name}: ", _described(state)))
    yield from _section("states", states)


def _shown_check(p: Practice, check: str) -> Iterator[str]:
    yield from hanging(f"{check}: ", _severity(p, check))
    yield ""
    if not p.thresholds:
        yield from hanging("", f"It compares with no figure of practice {p.name!r}.")
    for key, setting in sorted(p.thresholds.items()):
        yield from _figure(key, setting)


def _severity(p: Practice, check: str) -> str:
    from rigfeed.registry import installed_registry

    if check in p.severities:
        return f"{p.severities[check]}, as this practice wants it"
    own = installed_registry().checks.get(check)
    return f"{own.severity}, its own severity" if own else "figures for a check that is not installed here"


def _figure(key: str, setting: Setting) -> Iterator[str]:
    yield from hanging(f"{key} = ", setting.value)
    if setting.meaning:
        yield from hanging("    ", setting.meaning)
    yield from hanging("    ", f"{setting.authority} [{PurePath(setting.where).name}]")


def _described(state: KeyedState) -> str:
    modes = f", each device in the first of {', '.join(state.modes)} that it has" if state.modes else ""
    return f"{state.title}: engine {state.engine}, {state.air} air{modes}"


def _compared(row: tuple[str, Any, Any], a: str, b: str, nothing: str) -> Iterator[str]:
    key, *values = row
    yield from hanging("", key)
    meaning = next((value.meaning for value in values if isinstance(value, Setting) and value.meaning), "")
    if meaning:
        yield from hanging("    ", meaning)
    width = max(len(a), len(b))
    for name, value in zip((a, b), values, strict=True):
        yield from hanging(f"  {name:<{width}}  ", nothing if value is None else _in_short(value))


def _in_short(value: Setting | KeyedState | str) -> str:
    if isinstance(value, Setting):
        return f"{value.value}; {value.authority}"
    if isinstance(value, KeyedState):
        return _described(value)
    return value


# comparison


def _number(text: str) -> Measure | None:
    """A value as people write it in the base unit of its kind; None if it is no quantity of any kind."""
    for kind in dict.fromkeys(unit.kind for unit in UNITS.values()):
        base = next((unit for unit in units_of(kind) if UNITS[unit].factor == 1), "")
        try:
            return Measure(parse(text, base), base)
        except BadQuantity:
            continue
    return None


def _same_setting(a: Setting | None, b: Setting | None) -> bool:
    """Whether two figures are the same number of the same kind by the same authority, however they are written."""
    if a is None or b is None or a.authority != b.authority:
        return a is b
    one, two = _number(a.value), _number(b.value)
    if one is None or two is None or kind_of(one.unit) != kind_of(two.unit):
        return a.value == b.value
    return math.isclose(one.value, two.value, rel_tol=1e-9)


def _same_text(a: object, b: object) -> bool:
    return a == b


_SAME: Mapping[str, Any] = {
    "thresholds": _same_setting, "defaults": _same_setting, "severities": _same_text, "states": _same_text,
}


def _different(a: Mapping[str, Any], b: Mapping[str, Any], same: Any) -> Iterator[tuple[str, Any, Any]]:
    for key in sorted({*a, *b}):
        if not same(a.get(key), b.get(key)):
            yield key, a.get(key), b.get(key)


# plain data


def _summary(p: Practice) -> dict[str, Any]:
    extends = p.lineage[1] if len(p.lineage) > 1 else None
    counts = {"thresholds_count": len(p.thresholds), "defaults_count": len(p.defaults)}
    return {"name": p.name, "title": p.title, "extends": extends, "lineage": list(p.lineage), **counts}


def _contents(p: Practice) -> dict[str, Any]:
    tables: Mapping[str, Mapping[str, Any]] = {
        "thresholds": p.thresholds, "defaults": p.defaults, "severities": p.severities, "states": p.states,
    }
    return {name: {key: _plain(value) for key, value in sorted(table.items())} for name, table in tables.items()}


def _both(key: str, a: object, b: object) -> dict[str, Any]:
    return {"key": key, "a": _plain(a), "b": _plain(b)}


def _plain(value: object) -> Any:
    if isinstance(value, Setting):
        number = _number(value.value)
        return {
            "value": value.value,
            "number": None if number is None else {"value": json_number(number.value), "unit": number.unit},
            "meaning": value.meaning, "authority": value.authority, "where": value.where,
        }
    if isinstance(value, KeyedState):
        return {"title": value.title, "engine": value.engine, "air": value.air, "modes": list(value.modes)}
    return value


def _print(data: dict[str, Any]) -> None:
    click.echo(json.dumps({"schema": 1, **data}, ensure_ascii=False, allow_nan=False, indent=2))
