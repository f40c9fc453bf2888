"""Every formula of the cables plugin says what it takes, in which unit, where it holds, and who says so."""

from __future__ import annotations

import doctest
import importlib
import inspect
import re
from types import FunctionType

import pytest

NAMES = (
    "resistance", "hot_run", "awg", "drop", "ampacity", "table", "heat", "warmth", "short_time", "bundle", "pair",
    "pull",
)
MODULES = [importlib.import_module(f"rigfeed_cables.{name}") for name in NAMES]
SECTIONS = ["Parameters", "Returns", "Raises", "Notes", "References", "Examples"]


def calculators() -> list[FunctionType]:
    """The public formulas; the guards that `resistance` shares with its neighbours are not among them."""
    return [
        function
        for module in MODULES
        for name, function in vars(module).items()
        if inspect.isfunction(function) and function.__module__ == module.__name__ and name in module.__all__
    ]


def section(function: FunctionType, title: str) -> str:
    """The text under a heading of a docstring, up to the next heading."""
    text = inspect.getdoc(function) or ""
    match = re.search(rf"^{title}\n-+\n(.*?)(?=^\w+\n-{{3,}}$|\Z)", text, re.M | re.S)
    return match[1].strip() if match else ""


def described(text: str) -> dict[str, str]:
    """What a section says of each name in it."""
    return dict(re.findall(r"^(\w+) : .*\n((?: {4}.*\n?)+)", text, re.M))


def each(function):
    return pytest.mark.parametrize("function", calculators(), ids=lambda f: f"{f.__module__}.{f.__name__}")(function)


def test_there_are_formulas_to_look_at():
    assert len(calculators()) >= 40


@pytest.mark.parametrize("module", MODULES, ids=lambda module: module.__name__)
def test_public_names_exist_and_are_sorted(module):
    assert sorted(module.__all__) == list(module.__all__)
    assert set(module.__all__) <= vars(module).keys()


@pytest.mark.parametrize("module", MODULES, ids=lambda module: module.__name__)
def test_module_has_a_reference(module):
    assert any(f.__module__ == module.__name__ and ".. [1]" in section(f, "References") for f in calculators())


@each
def test_docstring_has_every_section_in_order(function):
    assert re.findall(r"^(\w+)\n-{3,}$", inspect.getdoc(function), re.M) == SECTIONS
    assert all(section(function, title) for title in SECTIONS)


@each
def test_parameters_are_those_of_the_signature(function):
    assert list(described(section(function, "Parameters"))) == list(inspect.signature(function).parameters)


@each
def test_every_parameter_and_result_has_a_unit(function):
    for name, text in (described(section(function, "Parameters")) | described(section(function, "Returns"))).items():
        assert re.search(r"\[[^\]]+\]\.$", text.strip()), name


@each
def test_unit_in_brackets_is_that_of_the_name(function):
    ends = {
        "_ohm": "ohm", "_mm2": "mm2", "_mm": "mm", "_m": "m", "_c": "degC", "_v": "V", "_a": "A", "_s": "s",
        "_ohm_per_km": "ohm/km", "_w_per_m": "W/m", "_w_per_m_k": "W/(m K)", "_a2s": "A2s", "_h": "H", "_n": "N",
    }
    for name, text in described(section(function, "Parameters")).items():
        end = max((e for e in ends if f"_{name}".removesuffix("_of").endswith(e)), key=len, default=None)
        if end and "resistivity" not in name:
            assert text.strip().endswith(f"[{ends[end]}]."), name


@each
def test_length_says_loop_or_one_way(function):
    for name, text in described(section(function, "Parameters")).items():
        if name.endswith("length_m"):
            assert re.search(r"loop|one way", text), name


@pytest.mark.parametrize("module", MODULES, ids=lambda module: module.__name__)
def test_examples_run(module):
    outcome = doctest.testmod(module)
    assert outcome.attempted >= 1
    assert outcome.failed == 0
