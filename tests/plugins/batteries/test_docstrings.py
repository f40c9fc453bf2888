"""Every formula of the batteries plugin says what it takes, in which unit, where it holds, and who says so."""

from __future__ import annotations

import doctest
import importlib
import inspect
import re
from types import FunctionType

import pytest

NAMES = ("rest", "capacity", "charging", "endurance", "short_circuit")
MODULES = [importlib.import_module(f"rigfeed_batteries.{name}") for name in NAMES]
SECTIONS = ["Parameters", "Returns", "Raises", "Notes", "References", "Examples"]
UNITS = {
    "_ohm": "ohm", "_c": "degC", "_v": "V", "_a": "A", "_w": "W", "_wh": "Wh", "_h": "h", "_ah": "Ah", "_min": "min",
}


def formulas() -> list[FunctionType]:
    return [getattr(module, name) for module in MODULES for name in module.__all__]


def section(function: FunctionType, title: str) -> str:
    """The text under a heading of a docstring, up to the next heading."""
    text = inspect.getdoc(function) or ""
    match = re.search(rf"^{title}\n-+\n(.*?)(?=^\w+\n-{{3,}}$|\Z)", text, re.M | re.S)
    return match[1].strip() if match else ""


def described(text: str) -> dict[str, str]:
    """What a section says of each name in it."""
    return dict(re.findall(r"^(\w+) : .*\n((?: {4}.*\n?)+)", text, re.M))


def each(function):
    return pytest.mark.parametrize("function", formulas(), ids=lambda f: f"{f.__module__}.{f.__name__}")(function)


def test_there_are_formulas_to_look_at():
    assert len(formulas()) >= 18


@pytest.mark.parametrize("module", MODULES, ids=lambda module: module.__name__)
def test_public_names_are_all_formulas_and_sorted(module):
    own = {f.__name__ for f in vars(module).values() if inspect.isfunction(f) and f.__module__ == module.__name__}
    assert sorted(module.__all__) == list(module.__all__)
    assert set(module.__all__) == {name for name in own if not name.startswith("_")}


@each
def test_docstring_has_every_section_in_order(function):
    assert re.findall(r"^(\w+)\n-{3,}$", inspect.getdoc(function), re.M) == SECTIONS
    assert all(section(function, title) for title in SECTIONS)
    assert ".. [1]" in section(function, "References")
    assert ".. math::" in inspect.getdoc(function)


@each
def test_parameters_are_those_of_the_signature(function):
    assert list(described(section(function, "Parameters"))) == list(inspect.signature(function).parameters)


@each
def test_every_parameter_and_result_has_the_unit_of_its_name(function):
    parameters = described(section(function, "Parameters"))
    for name, text in (parameters | described(section(function, "Returns"))).items():
        unit = re.search(r"\[([^\]]+)\]\.$", text.strip())
        assert unit, name
        end = max((e for e in UNITS if name.endswith(e)), key=len, default=None)
        if end and name in parameters:
            assert unit[1] == UNITS[end], name


@pytest.mark.parametrize("module", MODULES, ids=lambda module: module.__name__)
def test_examples_run(module):
    outcome = doctest.testmod(module)
    assert outcome.attempted >= len(module.__all__)
    assert outcome.failed == 0
