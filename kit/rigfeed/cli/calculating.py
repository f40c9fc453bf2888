"""Calculators from the command line."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

import click

from rigfeed.calculators import Calculation, Calculator
from rigfeed.cli.text import hanging
from rigfeed.errors import InputError, UnknownName
from rigfeed.forms import FormField
from rigfeed.measure import Measure, json_number
from rigfeed.quantity import System


@click.command(short_help="Run one formula, or list them.")
@click.argument("name", required=False)
@click.argument("inputs", nargs=-1, metavar="[INPUT=VALUE]...")
@click.option("--json", "as_json", is_flag=True, help="Print plain data instead of text.")
@click.option("--explain", is_flag=True, help="Print formula, numbers put in, validity and source.")
@click.option("--units", type=click.Choice(["metric", "us"]), default="metric", show_default=True, help="Units shown.")
def calc(name: str | None, inputs: tuple[str, ...], as_json: bool, explain: bool, units: Any) -> None:
    """Run one formula: rigfeed calc NAME INPUT=VALUE ...

    A value has its unit: length="14 ft", area="6 AWG". Without a NAME the calculators are listed, without inputs those
    of NAME are described.
    """
    from rigfeed.registry import installed_registry

    calculators = installed_registry().calculators
    if name is None:
        listed = {"schema": 1, "calculators": [c.name for c in sorted(calculators.values(), key=lambda c: c.name)]}
        click.echo(_json(listed) if as_json else "\n".join(_listed(calculators.values())))
        return
    if name not in calculators:
        raise UnknownName("calculator", name, calculators)
    if not inputs and any(field.required for field in calculators[name].inputs):
        described = _json(calculator_json(calculators[name])) if as_json else "\n".join(_described(calculators[name]))
        click.echo(described)
        return
    given: dict[str, str] = {}
    for key, value in map(_pair, inputs):
        if given.setdefault(key, value) != value:
            raise InputError(f"{key} is given twice", remedy="give it once")
    calculation = calculators[name].run(given)
    if as_json:
        click.echo(_json(calculation_json(calculation)))
    else:
        click.echo("\n".join(_explained(calculation, units) if explain else _results(calculation, units)))


def _pair(text: str) -> tuple[str, str]:
    name, equals, value = text.partition("=")
    if not equals or not name or not value:
        raise InputError(f"{text!r} is not an input", remedy='write INPUT=VALUE, for instance length="14 ft"')
    return name, value


def _listed(calculators: Any) -> Iterator[str]:
    groups: dict[str, list[Calculator]] = {}
    for calculator in calculators:
        groups.setdefault(calculator.group, []).append(calculator)
    for number, group in enumerate(sorted(groups)):
        yield ("\n" if number else "") + click.style(group, bold=True)
        for calculator in sorted(groups[group], key=lambda c: c.name):
            yield from hanging(f"  {calculator.name:<33} ", calculator.title)


def _described(calculator: Calculator) -> Iterator[str]:
    yield from hanging("", calculator.text)
    yield ""
    for field in calculator.inputs:
        yield from hanging(f"  {field.path!s:<20}", f"{field.help} ({_range(field)})")
    yield ""
    for name, out in calculator.outputs:
        yield from hanging(f"  -> {name:<20} ", f"{out.what} [{out.unit or '-'}]")
    yield ""
    yield from hanging("Formula: ", calculator.formula)
    yield from hanging("Valid:   ", calculator.validity)
    yield from hanging("Source:  ", calculator.source)


def _range(field: FormField) -> str:
    span = " or ".join(field.choices) or f"{field.least:g} to {field.most:g} {field.unit}".rstrip()
    return span if field.required else f"{span}; {_default(field)}"


def _default(field: FormField) -> str:
    if field.default is None:
        return "may be left out"
    shown = field.default if isinstance(field.default, str) else Measure(field.default, field.unit).text()
    return f"default {shown}"


def _results(calculation: Calculation, system: System) -> Iterator[str]:
    for _, what, measure in calculation.outputs:
        yield f"{what}: {measure.text(system)}"


def _explained(calculation: Calculation, system: System) -> Iterator[str]:
    calculator = calculation.calculator
    helps = {str(field.path): field.help for field in calculator.inputs}
    yield from hanging("", calculator.text)
    yield ""
    yield from hanging("  ", calculator.formula)
    yield ""
    for name, value in calculation.inputs:
        shown = value if isinstance(value, str) else value.text(system)
        lead = f"  {name} = {shown} "
        yield from hanging(f"{lead:<32} ", helps[name])
    yield ""
    yield from _results(calculation, system)
    yield ""
    yield from hanging("Valid:  ", calculator.validity)
    yield from hanging("Source: ", calculator.source)


def _json(data: dict[str, Any]) -> str:
    return json.dumps(data, ensure_ascii=False, allow_nan=False, indent=2)


def calculator_json(calculator: Calculator) -> dict[str, Any]:
    """A calculator as plain data: what it takes and gives, and on whose word."""
    return {
        "schema": 1,
        "calculator": calculator.name,
        "title": calculator.title,
        "inputs": {
            str(field.path): {
                "what": field.help, "unit": field.unit, "least": _bound(field.least), "most": _bound(field.most),
                "choices": list(field.choices), "required": field.required, "default": field.default,
            }
            for field in calculator.inputs
        },
        "outputs": {name: {"what": out.what, "unit": out.unit} for name, out in calculator.outputs},
        "formula": calculator.formula,
        "validity": calculator.validity,
        "source": calculator.source,
    }


def _bound(value: float | None) -> float | None:
    return None if value is None else json_number(value)


def calculation_json(calculation: Calculation) -> dict[str, Any]:
    """A calculation as plain data."""
    calculator = calculation.calculator
    return {
        "schema": 1,
        "calculator": calculator.name,
        "inputs": {name: _plain(value) for name, value in calculation.inputs},
        "outputs": {name: {**_plain(measure), "what": what} for name, what, measure in calculation.outputs},
        "formula": calculator.formula,
        "validity": calculator.validity,
        "source": calculator.source,
    }


def _plain(value: Measure | str) -> Any:
    return value if isinstance(value, str) else {"value": json_number(value.value), "unit": value.unit}
