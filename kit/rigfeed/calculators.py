"""One formula with named inputs and outputs, runnable from every face.

A calculator is a function whose parameters say their unit and range in their type, and whose docstring is prose::

    @calculator("voltage-drop", "cables", formula="V = I R", validity="direct current", source="Ohm's law")
    def voltage_drop(
        current: Annotated[float, In("A", 0, 1000, "current in the wire")],
        resistance: Annotated[float, In("ohm", 0, 100, "resistance of the loop")],
    ) -> Annotated[float, Out("V", "drop")]:
        \"\"\"What a loop of wire loses.\"\"\"
        return current * resistance

Inputs arrive in the unit that they declare. Several outputs are the fields of a `NamedTuple`, each annotated with its
`Out`. A parameter of `Literal` type is a choice of words.
"""

from __future__ import annotations

import inspect
import math
from collections.abc import Callable, Mapping
from typing import Annotated, Any, Literal, Union, get_args, get_origin, get_type_hints

from rigfeed.errors import BadQuantity, InputError, OutOfRange, Place, PluginError, UnknownName
from rigfeed.forms import FormField
from rigfeed.frozen import frozen
from rigfeed.measure import Measure
from rigfeed.path import Path
from rigfeed.quantity import Quantity, kind_of


@frozen
class In:
    """An input: its unit, the range in which the formula holds (both ends allowed), what it is."""

    unit: str
    least: float
    most: float
    what: str


@frozen
class Choice:
    """An input that is one of the words of its `Literal` type."""

    what: str


@frozen
class Out:
    """An output: its unit and what it is."""

    unit: str
    what: str


@frozen(eq=False)
class Calculator:
    """A declared formula. `group` is where a list shows it; `formula`, `validity` and `source` are for people."""

    name: str
    group: str
    function: Callable[..., Any]
    formula: str
    validity: str
    source: str

    @property
    def title(self) -> str:
        """The first sentence of its docstring."""
        return " ".join((inspect.getdoc(self.function) or "").split("\n\n")[0].split())

    @property
    def text(self) -> str:
        """The whole docstring."""
        return inspect.getdoc(self.function) or ""

    @property
    def inputs(self) -> tuple[FormField, ...]:
        """What it asks for, in order."""
        hints = get_type_hints(self.function, include_extras=True)
        parameters = inspect.signature(self.function).parameters
        return tuple(_field(name, hints.get(name), parameters[name].default) for name in parameters)

    @property
    def outputs(self) -> tuple[tuple[str, Out], ...]:
        """What it gives, in order."""
        hint = get_type_hints(self.function, include_extras=True).get("return")
        if (out := _mark(hint, Out)) is not None:
            return ((out.what.replace(" ", "-"), out),)
        fields = get_type_hints(hint, include_extras=True) if isinstance(hint, type) else {}
        return tuple((name, out) for name, inner in fields.items() if (out := _mark(inner, Out)) is not None)

    def run(self, values: Mapping[str, str | float]) -> Calculation:
        """Compute. A value is a text with its unit, or a number in the unit that the input declares.

        Raises
        ------
        UnknownName, InputError, BadQuantity
            If a name is not an input, an input without default is missing, or a value is no quantity of its unit.
        OutOfRange
            If a value is outside of the range in which the formula holds; it names the range.
        """
        known = {field.path[0]: field for field in self.inputs}
        for name in values:
            if name not in known:
                raise UnknownName(f"input of {self.name}", name, [str(key) for key in known])
        given = {str(name): _value(field, values.get(str(name))) for name, field in known.items()}
        result = self.function(**{name: value for name, value in given.items() if value is not None})
        results = (result,) if len(self.outputs) == 1 and not isinstance(result, tuple) else tuple(result)
        return Calculation(
            self,
            tuple((name, _shown(known[name], value)) for name, value in given.items() if value is not None),
            tuple(
                (name, out.what, Measure(float(value), out.unit))
                for (name, out), value in zip(self.outputs, results, strict=True)
            ),
        )


@frozen
class Calculation:
    """What was put in and what came out."""

    calculator: Calculator
    inputs: tuple[tuple[str, Measure | str], ...]
    outputs: tuple[tuple[str, str, Measure], ...]

    def __getitem__(self, name: str) -> float:
        """An output by name, in its declared unit."""
        return next(measure.value for key, _, measure in self.outputs if key == name)


def calculator(
    name: str, group: str, *, formula: str, validity: str, source: str
) -> Callable[[Callable[..., Any]], Calculator]:
    """Turn an annotated function into a `Calculator`.

    Raises
    ------
    PluginError
        If an input or output has no annotation, a unit is unknown, or there is no docstring.
    """

    def declare(function: Callable[..., Any]) -> Calculator:
        made = Calculator(name, group, function, formula, validity, source)
        if not made.title or not (formula and validity and source):
            raise PluginError(f"calculator {name!r} needs a docstring, a formula, its validity and its source")
        for field in made.inputs:
            _known_unit(name, field.unit)
        if not made.outputs:
            raise PluginError(f"calculator {name!r} annotates no output with Out(unit, what)")
        for _, out in made.outputs:
            _known_unit(name, out.unit)
        return made

    return declare


def _known_unit(name: str, unit: str) -> None:
    try:
        kind_of(unit)
    except KeyError:
        raise PluginError(f"calculator {name!r} uses the unknown unit {unit!r}") from None


def _mark(hint: Any, sort: type[Any]) -> Any:
    """The `In`, `Out` or `Choice` inside of an annotation, also of an optional one."""
    if get_origin(hint) is Annotated:
        return next((extra for extra in get_args(hint)[1:] if isinstance(extra, sort)), None)
    return None


def _field(name: str, hint: Any, default: Any) -> FormField:
    required = default is inspect.Parameter.empty
    given = None if required else default
    if isinstance(mark := _mark(hint, In), In):
        return FormField(
            Path(name), name, "quantity" if mark.unit else "number", mark.unit, mark.least, mark.most,
            required=required, default=given, help=mark.what,
        )
    if isinstance(choice := _mark(hint, Choice), Choice):
        words = _words(get_args(hint)[0])
        return FormField(
            Path(name), name, "choice", choices=words, required=required, default=given, help=choice.what
        )
    raise PluginError(f"input {name!r} is annotated neither with In(unit, least, most, what) nor with Choice(what)")


def _words(hint: Any) -> tuple[str, ...]:
    if get_origin(hint) is Literal:
        return tuple(str(word) for word in get_args(hint))
    if get_origin(hint) is Union:
        return tuple(word for inner in get_args(hint) for word in _words(inner))
    return ()


def _value(field: FormField, given: str | float | None) -> float | str | None:
    """An input as the function wants it."""
    name = str(field.path)
    if given is None:
        if field.required:
            raise InputError(f"is missing: {field.help}", place=Place(path=field.path), remedy=_like(field))
        return field.default if isinstance(field.default, float | int | str) else None
    if field.sort == "choice":
        if given not in field.choices:
            raise UnknownName(f"choice of {name}", str(given), field.choices, place=Place(path=field.path))
        return str(given)
    number = _number(field, given)
    least, most = field.least, field.most
    if least is not None and most is not None and not least <= number <= most:
        raise OutOfRange(name, number, f"{least:g} to {most:g} {field.unit}".rstrip())
    return number


def _number(field: FormField, given: str | float) -> float:
    if not isinstance(given, str):
        if not math.isfinite(given):
            raise BadQuantity(f"{given} is not a finite number", place=Place(path=field.path))
        return float(given)
    try:
        return Quantity.parse(given, field.unit).to(field.unit)
    except BadQuantity as error:
        raise BadQuantity(error.what, place=Place(path=field.path), remedy=error.remedy) from None


def _like(field: FormField) -> str:
    if field.sort == "choice":
        return f"write {field.path}={field.choices[0]}"
    return f'write for example {field.path}="2.5 {field.unit}"' if field.unit else f"write for example {field.path}=2.5"


def _shown(field: FormField, value: float | str) -> Measure | str:
    return value if isinstance(value, str) else Measure(value, field.unit)
