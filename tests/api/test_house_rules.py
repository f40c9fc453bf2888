"""The package keeps the rules of the house: examples run, views have no arithmetic, modules and functions are short."""

from __future__ import annotations

import ast
import doctest
import importlib
import pkgutil
from pathlib import Path

import pytest

import rigfeed_api

FOLDER = Path(rigfeed_api.__file__).parent
MODULES = sorted(m.name for m in pkgutil.walk_packages(rigfeed_api.__path__, "rigfeed_api."))
ARITHMETIC = (ast.Mult, ast.Div, ast.FloorDiv, ast.Mod, ast.Pow)


@pytest.mark.parametrize("name", MODULES)
def test_examples_run(name):
    assert doctest.testmod(importlib.import_module(name)).failed == 0


@pytest.mark.parametrize("file", sorted((FOLDER / "views").glob("*.py")), ids=lambda file: file.stem)
def test_a_view_has_no_arithmetic(file):
    """But for sizes in bytes, which are written as products, and positions in lists, which are sums."""
    for function in ast.walk(ast.parse(file.read_text())):
        if isinstance(function, ast.FunctionDef):
            sums = (node for node in ast.walk(function) if isinstance(node, ast.BinOp))
            found = [node for node in sums if isinstance(node.op, ARITHMETIC)]
            assert found == [], (function.name, ast.unparse(found[0]))


@pytest.mark.parametrize("file", sorted(FOLDER.rglob("*.py")), ids=lambda file: file.stem)
def test_modules_and_functions_are_short(file):
    text = file.read_text()
    assert len(text.splitlines()) <= 400
    for function in ast.walk(ast.parse(text)):
        if isinstance(function, ast.FunctionDef):
            assert function.end_lineno - function.lineno < 60, function.name
