"""The line of every key, in whatever form TOML lets a person write it."""

from __future__ import annotations

import random
import tomllib

import pytest
from tests.kit.design.made import FILES, text_of

from rigfeed.design.file import located
from rigfeed.design.places import Lines, line_of, marks, unquoted
from rigfeed.design.values import toml_value
from rigfeed.errors import CatalogError, DesignError, InputErrors, Place
from rigfeed.path import Path

FORMS = '''\
format = 1
[zones.bay]   # a header
warmest = "85 degC"

[zones]
cabin = { warmest = "45 degC", coldest = [
    "x",
    # a remark with [nodes.F9] in it
    "y" ] }

  [nodes . "F1"]
  part = """
[nodes.F2]
part = "no"
"""
settings.deep.er = 1
settings."a.b" = \'\'\'
x = 1 \'\'\'

[[deviations]]
check = "a"
[[deviations]]
check = "b"
reason = \'[[deviations]]\'
[deviations.more]
x = 1

[conductors]
W1.from = [ "F1.a",
  "F1.b"]
W1.to = "x # y"
"W\\u0032" = { ends = [["a", { b = "c" }], []], d = 2026-05-31 08:00:00 }
'W3' = {}
'''

LINES = [
    ("format", 1), ("zones", 2), ("zones.bay", 2), ("zones.bay.warmest", 3), ("zones.cabin", 6),
    ("zones.cabin.warmest", 6), ("zones.cabin.coldest.0", 7), ("zones.cabin.coldest.1", 9), ("nodes.F1", 11),
    ("nodes.F1.part", 12), ("nodes.F1.settings", 16), ("nodes.F1.settings.deep.er", 16),
    ('nodes.F1.settings."a.b"', 17), ("deviations.0", 20), ("deviations.0.check", 21), ("deviations.1.check", 23),
    ("deviations.1.reason", 24), ("deviations.1.more.x", 26), ("conductors", 28), ("conductors.W1", 29),
    ("conductors.W1.from.0", 29), ("conductors.W1.from.1", 30), ("conductors.W1.to", 31),
    ("conductors.W2.ends.0.1.b", 32), ("conductors.W2.ends.1", 32), ("conductors.W2.d", 32), ("conductors.W3", 33),
    # what is not there: the nearest thing around it
    ("zones.bay.coldest", 2), ("nodes.F2", 11), ("nodes.F1.at", 11), ("deviations.1.by", 22), ("deviations.7", 20),
    ("conductors.W1.length", 29), ("runs.x", None), ("", None),
]


def test_the_text_of_forms_is_valid():
    assert tomllib.loads(FORMS)["conductors"]["W2"]["ends"][0][1] == {"b": "c"}


@pytest.mark.parametrize(("path", "line"), LINES)
def test_the_line_of_a_path(path, line):
    assert line_of(FORMS, Path.parse(path)) == line


@pytest.mark.parametrize(("path", "line"), LINES)
def test_other_line_ends_and_a_byte_order_mark_change_no_line(path, line):
    assert line_of("\ufeff" + FORMS.replace("\n", "\r\n"), Path.parse(path)) == line


def walk(data, keys=()):
    items = data.items() if isinstance(data, dict) else enumerate(data) if isinstance(data, list) else ()
    for key, item in items:
        yield (*keys, key)
        yield from walk(item, (*keys, key))


@pytest.mark.parametrize("text", [FORMS, *map(text_of, FILES)], ids=["forms", *FILES])
def test_every_key_of_the_data_has_a_place_and_no_other_has(text):
    assert {mark.keys for mark in marks(text)} == set(walk(tomllib.loads(text)))


@pytest.mark.parametrize("text", [FORMS, *map(text_of, FILES)], ids=["forms", *FILES])
def test_the_characters_of_an_entry_are_the_entry(text):
    data = tomllib.loads(text)
    for mark in marks(text):
        if mark.sort in ("entry", "inner", "item"):
            value = data
            for key in mark.keys:
                value = value[key]
            assert tomllib.loads(f"x = {text[mark.value : mark.end]}")["x"] == value
        if mark.sort == "key":
            assert list(tomllib.loads(f"{text[mark.start : mark.end]} = 1")) == [str(mark.keys[-1])]


@pytest.mark.parametrize("seed", range(20))
def test_a_text_that_is_no_toml_raises_nothing(seed):
    rng = random.Random(seed)
    for _ in range(50):
        text = list(FORMS)
        for _ in range(3):
            at = rng.randrange(len(text))
            text[at : at + rng.randint(0, 9)] = rng.choice(["", "[", "]", '"', "'''", "{", "\\", "\x00", "=", "\n"])
        lines = Lines("".join(text))
        for path, _ in LINES:
            assert (lines.line_of(Path.parse(path)) or 1) <= "".join(text).count("\n") + 1


def test_very_deep_nesting_raises_nothing():
    assert line_of("x = " + "[" * 100_000, Path("x", 0)) in (1, None)


@pytest.mark.parametrize("key", ['"a"', '"a\\"b"', '"\\u00e9"', '"\\U0001F600"', '"tab\\t"', '"a\\\\b"'])
def test_a_quoted_key_is_read_as_the_reader_reads_it(key):
    assert [unquoted(key)] == list(tomllib.loads(f"{key} = 1"))


def test_errors_get_file_and_line_and_are_sorted_by_line():
    paths = {"d": "nodes.F1.part", "b": "format", "c": "x"}
    errors = [DesignError(what, place=Place(path=Path.parse(path))) for what, path in paths.items()]
    elsewhere = CatalogError("a", place=Place(file="shop.csv", line=7))
    found = located(InputErrors([*errors, elsewhere]), FORMS, "d.toml")
    assert str(found).splitlines() == [
        "d.toml: x: c", "d.toml:1: format: b", "shop.csv:7: a", "d.toml:12: nodes.F1.part: d",
    ]


def test_a_hostile_key_of_very_many_parts_costs_nothing():
    text = "format = 1\n[" + "a." * 500_000 + "a]\nb = 1\n"
    assert line_of(text, Path("format")) == 1
    assert line_of(text, Path("b")) is None


@pytest.mark.parametrize(
    "value",
    [1, -2.5, 1e300, True, "", 'a"b\\c', "line\nline\ttab", "\u00e9\u2603\U0001f600", [], {}, [1, [2, {"a b": [True]}]],
     {"a.b": {"": 'x'}}, 2**62],
)
def test_a_value_written_is_the_value_read(value):
    assert tomllib.loads(f"x = {toml_value(value)}")["x"] == value
