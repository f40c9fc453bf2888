"""Every formula of the fuses plugin says what it takes, in which unit, where it holds, and who says so."""

from __future__ import annotations

import doctest
import importlib
import inspect
import re
from types import FunctionType

import pytest

NAMES = ("opening", "window", "letthrough", "resistance", "charts")
MODULES = [importlib.import_module(f"rigfeed_fuses.{name}") for name in NAMES]
SECTIONS = ["Parameters", "Returns", "Raises", "Notes", "References", "Examples"]
UNITS = {"_ohm": "ohm", "_mm2": "mm2", "_m": "m", "_c": "degC", "_v": "V", "_a": "A", "_s": "s"}
FORMULAS = [
    function
    for module in MODULES
    for name, function in vars(module).items()
    if name in module.__all__ and isinstance(function, FunctionType)
]

each = pytest.mark.parametrize("function", FORMULAS, ids=lambda f: f"{f.__module__}.{f.__name__}")
each_module = pytest.mark.parametrize("module", MODULES, ids=lambda module: module.__name__)


def section(function: FunctionType, title: str) -> str:
    text = inspect.getdoc(function) or ""
    match = re.search(rf"^{title}\n-+\n(.*?)(?=^\w+\n-{{3,}}$|\Z)", text, re.M | re.S)
    return match[1].strip() if match else ""


def described(text: str) -> dict[str, str]:
    """What a section says of each name in it."""
    return dict(re.findall(r"^(\w+) : .*\n((?: {4}.*\n?)+)", text, re.M))


def test_there_are_formulas_to_look_at():
    assert len(FORMULAS) >= 14


@each_module
def test_public_names_exist_and_are_sorted(module):
    assert sorted(module.__all__) == list(module.__all__)
    assert set(module.__all__) <= vars(module).keys()


@each
def test_every_section_is_there_in_order(function):
    assert re.findall(r"^(\w+)\n-{3,}$", inspect.getdoc(function), re.M) == SECTIONS
    assert all(section(function, title) for title in SECTIONS)
    assert ".. [1]" in section(function, "References")


@each
def test_parameters_are_those_of_the_signature(function):
    assert list(described(section(function, "Parameters"))) == list(inspect.signature(function).parameters)


@each
def test_every_parameter_and_result_has_the_unit_of_its_name(function):
    for name, text in (described(section(function, "Parameters")) | described(section(function, "Returns"))).items():
        unit = re.search(r"\[([^\]]+)\]\.$", text.strip())
        assert unit, name
        end = next((end for end in UNITS if name.endswith(end)), None)
        assert end is None or unit[1] == UNITS[end], name


@each_module
def test_examples_run(module):
    outcome = doctest.testmod(module)
    assert outcome.attempted >= 2
    assert outcome.failed == 0
