"""Calculators as forms: what to fill in, what came out, and on what it rests."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

from rigfeed.calculators import Calculator
from rigfeed.errors import BadQuantity, InputError, OutOfRange, RigfeedError, UnknownName
from rigfeed.forms import FormField
from rigfeed.frozen import frozen
from rigfeed.measure import Measure
from rigfeed.quantity import Quantity, System, significant
from rigfeed.registry import installed_registry
from rigfeed_gui.logic.fields import Typed
from rigfeed_gui.logic.words import say


@frozen
class Entry:
    """A calculator in the list."""

    name: str
    group: str
    title: str


@frozen
class Sheet:
    """A calculator to fill in: its inputs, what each holds if nothing is typed (`usual`, in grey), and what it rests
    on."""

    name: str
    title: str
    text: str
    formula: str
    validity: str
    source: str
    inputs: tuple[FormField, ...]
    usual: Mapping[str, str]


@frozen
class Answer:
    """What came out: (what, value) for each output; or what is missing or wrong, and with which input."""

    lines: tuple[tuple[str, str], ...] = ()
    error: str = ""
    remedy: str = ""
    input: str = ""


def entries(word: str = "") -> tuple[Entry, ...]:
    """All calculators with all words in name, group or title, by group and title."""
    words = word.lower().split()
    all_ = [Entry(c.name, c.group, _headed(c.title)) for c in installed_registry().calculators.values()]
    found = [e for e in all_ if all(w in f"{e.name} {e.group} {e.title}".lower() for w in words)]
    return tuple(sorted(found, key=lambda entry: (entry.group, entry.title, entry.name)))


def sheet(name: str) -> Sheet:
    """A calculator; raises UnknownName where there is none of that name."""
    calculator = _calculator(name)
    inputs = calculator.inputs
    usual = {str(field.path): _default(field) for field in inputs}
    return Sheet(
        name, _headed(calculator.title), calculator.text, calculator.formula, calculator.validity,
        calculator.source, inputs, MappingProxyType(usual),
    )


def _headed(title: str) -> str:
    """A sentence as a heading: without the point at its end."""
    return title.removesuffix(".")


def _calculator(name: str) -> Calculator:
    known = installed_registry().calculators
    if name not in known:
        raise UnknownName("calculator", name, known)
    return known[name]


def _default(field: FormField) -> str:
    if field.default is None:
        return ""
    if isinstance(field.default, str):
        return field.default
    return f"{significant(float(field.default), 6)} {field.unit}".rstrip()


def example(field: FormField) -> str:
    """A text that an input would take, to be shown in grey where it has no usual value.

    >>> from rigfeed.path import Path
    >>> example(FormField(Path("length"), "length", "quantity", "m", 0.0, 100.0))
    '0 to 100 m'
    """
    if field.sort == "choice":
        return ", ".join(field.choices)
    assert field.least is not None  # every input that is a number declares both
    assert field.most is not None
    return say("calculate.between", least=f"{field.least:g}", most=f"{field.most:g}", unit=field.unit).strip()


def typed(field: FormField, text: str) -> Typed:
    """What a text in an input means, while it is typed."""
    bare = text.strip()
    if not bare:
        needed = field.required
        return Typed(error=say("field.missing"), remedy=field.help) if needed else Typed()
    if field.sort == "choice":
        if bare not in field.choices:
            return Typed(error=say("field.no-choice", text=bare), remedy=", ".join(field.choices))
        return Typed(bare)
    try:
        number = Quantity.parse(bare, field.unit).to(field.unit)
    except BadQuantity as error:
        return Typed(error=error.what, remedy=error.remedy)
    if field.least is not None and field.most is not None and not field.least <= number <= field.most:
        return Typed(error=say("field.out-of-range"), remedy=example(field))
    return Typed(bare)


def answer(name: str, texts: Mapping[str, str], system: System) -> Answer:
    """Compute with what is filled in; an empty text is not given. Never raises for what a person typed."""
    calculator = _calculator(name)
    for field in calculator.inputs:
        checked = typed(field, texts.get(str(field.path), ""))
        if checked.error:
            return Answer(error=checked.error, remedy=checked.remedy, input=str(field.path))
    given = {key: text.strip() for key, text in texts.items() if text.strip()}
    try:
        done = calculator.run(given)
    except OutOfRange as error:
        return Answer(error=str(error), input=error.name if error.name in texts else "")
    except InputError as error:
        return Answer(error=error.what, remedy=error.remedy, input=str(error.place.path or ""))
    except RigfeedError as error:
        return Answer(error=error.what, remedy=error.remedy)
    except (ArithmeticError, ValueError) as error:  # a stranger's formula outside of what it said it can do
        return Answer(error=say("calculate.failed", why=error))
    return Answer(tuple((what, _shown(measure, system)) for _, what, measure in done.outputs))


def _shown(value: Any, system: System) -> str:
    return value.text(system, 4) if isinstance(value, Measure) else str(value)
