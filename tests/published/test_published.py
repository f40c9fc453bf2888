"""Values that others have printed, against the functions of the plugins. Adding a reference is adding a file.

A file has a `source`, a tolerance, and cases; a case may have its own of either. A case names the function as
"module:name" and its arguments in `call`. An argument may be a number, a list, a text with the unit that the source
prints ("50 ft"; the name of the argument says what it is turned into), another call, or one of the file's `series`.
"""

from __future__ import annotations

import importlib
import tomllib
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from rigfeed.quantity import from_base, parse

FOLDER = Path(__file__).parent
FILES = sorted(FOLDER.glob("*.toml"))
KEYS = {"what", "source", "function", "call", "expect", "unit", "relative_tolerance", "absolute_tolerance"}
SHARED = KEYS - {"what", "call", "expect"} | {"case", "series"}
TOLERANCES = {"relative_tolerance", "absolute_tolerance"}
UNITS = {  # by the end of an argument's name
    "_ohm_per_km": "ohm/km", "_ohm": "ohm", "_mm2": "mm2", "_mm": "mm", "_m": "m", "_c": "degC", "_v": "V", "_a": "A",
}


def documents() -> list[tuple[Path, dict[str, Any]]]:
    return [(path, tomllib.loads(path.read_text(encoding="utf-8"))) for path in FILES]


def completed(document: dict[str, Any], case: dict[str, Any]) -> dict[str, Any]:
    """The case with what it leaves to its file. Its own tolerance of one sort replaces the file's of the other."""
    left = KEYS - TOLERANCES if TOLERANCES & case.keys() else KEYS
    shared = {key: document[key] for key in left & document.keys()}
    return {**shared, **case, "series": document.get("series", {})}


def cases() -> list[Any]:
    """Every case of every file; the name of its test says what it is and who printed it."""
    full = [(path, completed(document, case)) for path, document in documents() for case in document["case"]]
    return [pytest.param(case, id=f"{path.stem}: {case['what']} ({case['source']})") for path, case in full]


def number(text: str, unit: str) -> float:
    return from_base(parse(text, unit), unit)


def unit_of(name: str) -> str | None:
    """The unit that the name of an argument ends in; "ohm_per_km_of" is a mapping of such values."""
    plain = f"_{name}".removesuffix("_of")
    return next((unit for suffix, unit in UNITS.items() if plain.endswith(suffix)), None)


def argument(name: str, value: Any, series: dict[str, Any]) -> Any:
    """An argument as the function takes it, from how the file writes it."""
    if isinstance(value, dict) and "series" in value:
        return {int(size): argument(name, text, series) for size, text in series[value["series"]].items()}
    if isinstance(value, dict):
        return answer(value, series)
    if isinstance(value, list):
        return np.array([argument(name, item, series) for item in value])
    if isinstance(value, str) and (unit := unit_of(name)):
        return number(value, unit)
    return value


def answer(call: dict[str, Any], series: dict[str, Any]) -> Any:
    module, name = call["function"].split(":")
    function = getattr(importlib.import_module(module), name)
    return function(**{key: argument(key, value, series) for key, value in call["call"].items()})


def expected(case: dict[str, Any]) -> Any:
    values = case["expect"] if isinstance(case["expect"], list) else [case["expect"]]
    return [number(value, case["unit"]) if isinstance(value, str) else value for value in values]


def assert_published(case: dict[str, Any]) -> None:
    result = np.atleast_1d(answer(case, case["series"])).tolist()
    tolerance = pytest.approx(
        expected(case), rel=case.get("relative_tolerance", 0.0), abs=case.get("absolute_tolerance", 0.0)
    )
    assert result == tolerance, case["source"]


@pytest.mark.parametrize("case", cases())
def test_published_value(case):
    assert_published(case)


@pytest.mark.parametrize(("path", "document"), documents(), ids=lambda value: getattr(value, "stem", ""))
def test_file_says_where_its_values_come_from(path, document):
    assert document.keys() <= SHARED
    assert document["case"]
    for case in document["case"]:
        full = completed(document, case)
        assert case.keys() <= KEYS, full["what"]
        assert full["source"].strip(), full["what"]
        assert "memory" not in full["source"], "what is only remembered is no reference"
        assert len(TOLERANCES & full.keys()) == 1, f"{full['what']}: one tolerance, stated"


def test_a_wrong_value_is_noticed():
    case = {
        "function": "rigfeed_cables.drop:voltage_drop_v",
        "call": {"current_a": "20 A", "path_ohm": "0.05 ohm"},
        "expect": "1.02 V",
        "unit": "V",
        "relative_tolerance": 0.01,
        "source": "none: wrong on purpose",
        "series": {},
    }
    with pytest.raises(AssertionError, match="wrong on purpose"):
        assert_published(case)
    assert_published(case | {"relative_tolerance": 0.03})
