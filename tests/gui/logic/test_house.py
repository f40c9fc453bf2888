"""The house of the window: one catalogue of words, no window in what decides, colours that can be read, keys."""

from __future__ import annotations

import ast
import re
import string
import subprocess
import sys
from dataclasses import fields
from pathlib import Path as FilePath

import pytest

import rigfeed_gui
from rigfeed.cautions import CAUTIONS
from rigfeed.drawing import scene
from rigfeed_gui.logic import commands, palette, words
from rigfeed_gui.logic.commands import COMMANDS, MENUS, Now

ROOT = FilePath(rigfeed_gui.__file__).parent
SOURCES = {path: ast.parse(path.read_text(encoding="utf-8")) for path in sorted(ROOT.rglob("*.py"))}


def _calls():
    """Every call of `say`: its file, its first argument, the names that it gives."""
    for path, tree in SOURCES.items():
        for node in ast.walk(tree):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "say":
                yield path, node.args[0], {keyword.arg for keyword in node.keywords}


def _literals(node):
    """The texts that an argument may be; of one put together a pattern."""
    if isinstance(node, ast.Constant):
        return [re.escape(node.value)]
    if isinstance(node, ast.IfExp):
        return [*_literals(node.body), *_literals(node.orelse)]
    if isinstance(node, ast.JoinedStr):
        return ["".join(re.escape(p.value) if isinstance(p, ast.Constant) else ".+" for p in node.values)]
    return []


def _placeholders(text):
    return {name for _, name, _, _ in string.Formatter().parse(text) if name}


def test_every_text_that_is_asked_for_is_in_the_catalogue_with_what_it_needs():
    count = 0
    whole = {node.value for _, node, _ in _calls() if isinstance(node, ast.Constant)}
    for path, argument, given in _calls():
        put_together = isinstance(argument, ast.JoinedStr)
        for pattern in _literals(argument):
            keys = [key for key in words.WORDS if re.fullmatch(pattern, key)]
            assert keys, f"{path}: {pattern}"
            for key in (k for k in keys if not (put_together and k in whole)):
                if not set(given) & {None}:  # names handed on as a mapping cannot be seen here
                    assert _placeholders(words.WORDS[key]) <= given, f"{path}: {key}"
            count += 1
    assert count > 100


SHOWING = {"text", "label", "title", "message", "values", "what", "remedy"}


def _written(node):
    """The constant texts in an argument, however it is put together, without those that are asked for by key."""
    if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "say":
        return
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        yield node.value
    for child in ast.iter_child_nodes(node):
        if not isinstance(node, ast.Call | ast.Subscript | ast.Compare):
            yield from _written(child)


def test_no_text_for_people_stands_outside_of_the_catalogue():
    """Neither in an argument that is shown, nor as what an error says."""
    found = []
    for path, tree in SOURCES.items():
        for node in (node for node in ast.walk(tree) if isinstance(node, ast.Call)):
            name = getattr(node.func, "id", getattr(node.func, "attr", ""))
            told = [keyword.value for keyword in node.keywords if keyword.arg in SHOWING]
            told += node.args if name in ("FileProblem", "DesignError", "InputError", "RigfeedError", "Typed") else []
            told += node.args if name == "note" or (name == "title" and "root" in ast.unparse(node.func)) else []
            found += [f"{path.name}: {text!r}" for value in told for text in _written(value)
                      if re.search("[A-Za-z]{2}", text) and path.stem not in ("words", "words_views")]
    assert found == []


def test_every_text_of_the_catalogue_is_asked_for():
    whole = "\n".join(path.read_text(encoding="utf-8") for path in SOURCES if not path.stem.startswith("words"))
    patterns = [pattern for _, argument, _ in _calls() for pattern in _literals(argument)]
    unused = [
        key for key in words.WORDS
        if f'"{key}"' not in whole and not any(re.fullmatch(pattern, key) for pattern in patterns)
    ]
    assert unused == []


def test_two_catalogues_are_one_without_a_key_twice():
    assert not set(words.LOGIC) & set(words.VIEWS)


def test_nothing_is_called_safe():
    assert [key for key, text in words.WORDS.items() if re.search(r"\bsafe(ly)?\b", text, re.IGNORECASE)] == []
    assert CAUTIONS


def test_what_decides_needs_no_window():
    modules = [f"rigfeed_gui.logic.{path.stem}" for path in (ROOT / "logic").glob("*.py") if path.stem != "__init__"]
    code = f"import sys, {', '.join(modules)}; print(*sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    loaded = set(done.stdout.split())
    assert set(modules) <= loaded
    assert not loaded & {"tkinter", "_tkinter", "matplotlib", "openpyxl", "scipy", "tomlkit", "flask"}


# colours


@pytest.mark.parametrize("name", palette.PALETTES)
@pytest.mark.parametrize("pair", palette.PAIRS, ids=lambda pair: f"{pair.front}-on-{pair.back}")
def test_what_stands_on_something_can_be_told_from_it(name, pair):
    colours = palette.PALETTES[name]
    assert palette.contrast(getattr(colours, pair.front), getattr(colours, pair.back)) >= pair.least


def test_contrast_is_that_of_the_standard():
    # WCAG 2.2: from 1 for the same colour to 21 for black on white, whichever is in front
    assert palette.contrast("#777777", "#777777") == 1
    assert palette.contrast("#000000", "#ffffff") == pytest.approx(21)
    assert palette.contrast("#ffffff", "#000000") == pytest.approx(21)
    # G18 of the techniques for WCAG 2.2: luminance of #808080 by its own formula, 0.2159
    assert palette.luminance("#808080") == pytest.approx(((128 / 255 + 0.055) / 1.055) ** 2.4)


@pytest.mark.parametrize("name", palette.PALETTES)
def test_every_ink_of_a_drawing_has_a_colour(name):
    for ink in scene.Ink.__args__:
        assert re.fullmatch("#[0-9a-f]{6}", palette.PALETTES[name].ink(ink))


@pytest.mark.parametrize("name", palette.PALETTES)
def test_every_colour_is_one(name):
    colours = palette.PALETTES[name]
    for field in fields(colours):
        if field.name != "name":
            value = getattr(colours, field.name)
            for colour in value if isinstance(value, tuple) else (value,):
                assert re.fullmatch("#[0-9a-f]{6}", colour)


# commands


def test_every_command_has_a_key_of_its_own():
    keys = [command.key for command in COMMANDS if command.key]
    assert len(set(keys)) == len(keys)
    assert [command.id for command in COMMANDS if not command.key] == ["about"]
    assert all(re.fullmatch(r"<(Control-|Shift-|Alt-)*[A-Za-z0-9]+>", key) for key in keys)


def test_no_command_takes_a_key_that_types_a_letter():
    bare = [command.key for command in COMMANDS if command.key and not re.search("Control-|Alt-|F[0-9]", command.key)]
    assert bare == []


def test_every_command_stands_in_a_menu_and_has_words():
    assert {command.menu for command in COMMANDS} == set(MENUS)
    assert sum(len(commands.in_menu(menu)) for menu in MENUS) == len(COMMANDS)
    for command in COMMANDS:
        assert command.words
        assert commands.command(command.id) is command
    assert len({command.words for command in COMMANDS}) == len(COMMANDS)


@pytest.mark.parametrize(("id_", "shown"), [
    ("save", "Ctrl+S"), ("save-as", "Ctrl+Shift+S"), ("fix", "Ctrl+Enter"), ("zoom-in", "Ctrl++"), ("rename", "F2"),
    ("remove", "Ctrl+Del"), ("previous-finding", "Shift+F4"), ("about", ""),
])
def test_a_menu_shows_keys_as_keyboards_do(id_, shown):
    assert commands.command(id_).shown_key == shown


def test_without_a_design_only_what_needs_none_can_be_used():
    usable = {command.id for command in COMMANDS if command.enabled(Now())}
    assert {"new", "open", "quit", "calculators", "catalogs", "keys", "cautions", "units", "palette"} <= usable
    assert not usable & {"save", "undo", "redo", "remove", "fix", "papers", "close", "pick-route"}
    everything = Now(**{field.name: True for field in fields(Now)})
    assert [command.id for command in COMMANDS if not command.enabled(everything)] == []
