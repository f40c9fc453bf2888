"""Every formula of the antennas plugin says what it takes, in which unit, where it holds, and who says so."""

from __future__ import annotations

import doctest
import importlib
import inspect
import re
from types import FunctionType

import pytest

NAMES = (
    "coax", "exposure", "exposure_rules", "gain", "inductors", "line", "mechanics", "mismatch", "nearfield", "noise",
    "whip",
)
MODULES = [importlib.import_module(f"rigfeed_antennas.{name}") for name in NAMES]
SECTIONS = ["Parameters", "Returns", "Raises", "Notes", "References", "Examples"]
UNITS = {
    "_ohm": "ohm", "_m": "m", "_mm": "mm", "_w": "W", "_hz": "Hz", "_h": "H", "_db": "dB", "_s": "s", "_f": "F",
    "_n": "N", "_nh": "nH", "_dbi": "dBi", "_dbd": "dBd", "_rpm": "rpm", "_v_per_m": "V/m", "_a_per_m": "A/m",
    "_w_per_m2": "W/m2", "_m_per_s": "m/s", "_kg_per_m3": "kg/m3", "_pf_per_m": "pF/m", "_n_m": "N m",
}


def formulas() -> list[FunctionType]:
    named = [inspect.unwrap(getattr(module, name)) for module in MODULES for name in module.__all__]
    return [thing for thing in named if inspect.isfunction(thing)]


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
    assert len(formulas()) >= 35


@pytest.mark.parametrize("module", MODULES, ids=lambda module: module.__name__)
def test_public_names_are_sorted_and_hold_every_formula(module):
    own = {f.__name__ for f in vars(module).values() if inspect.isfunction(f) and f.__module__ == module.__name__}
    assert sorted(module.__all__) == list(module.__all__)
    assert {name for name in own if not name.startswith("_")} <= set(module.__all__) <= vars(module).keys()


@each
def test_docstring_has_every_section_in_order(function):
    assert re.findall(r"^(\w+)\n-{3,}$", inspect.getdoc(function), re.M) == SECTIONS
    assert all(section(function, title) for title in SECTIONS)
    assert ".. [1]" in section(function, "References")


@each
def test_parameters_are_those_of_the_signature(function):
    assert list(described(section(function, "Parameters"))) == list(inspect.signature(function).parameters)


@each
def test_every_parameter_and_result_has_the_unit_of_its_name(function):
    parameters = described(section(function, "Parameters"))
    for name, text in (parameters | described(section(function, "Returns"))).items():
        unit = re.search(r"\[([^\]]+)\]\.$", text.strip())
        assert unit, name
        ends = [end for end in UNITS if name in parameters and name.endswith(end)]
        if ends:
            assert unit[1] == UNITS[max(ends, key=len)], name


@each
def test_the_name_of_a_result_has_its_unit(function):
    ends = [end for end in UNITS if function.__name__.endswith(end)]
    if ends and "from_db" not in function.__name__:
        assert f"[{UNITS[max(ends, key=len)]}]." in section(function, "Returns"), function.__name__


@pytest.mark.parametrize("module", MODULES, ids=lambda module: module.__name__)
def test_examples_run(module):
    outcome = doctest.testmod(module)
    assert outcome.attempted >= 1
    assert outcome.failed == 0
