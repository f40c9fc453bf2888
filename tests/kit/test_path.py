"""Paths: their text form, there and back, whatever the keys."""

from __future__ import annotations

import copy
import pickle

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rigfeed.path import Path


@pytest.mark.parametrize(
    ("keys", "text", "pointer"),
    [
        ((), "", ""),
        (("conductors", "W1", "length"), "conductors.W1.length", "/conductors/W1/length"),
        (("duty", "a", "steps", 0, "time"), "duty.a.steps.0.time", "/duty/a/steps/0/time"),
        (("facts", "shop.crimp-pulled"), 'facts."shop.crimp-pulled"', "/facts/shop.crimp-pulled"),
        (("nodes", "0"), 'nodes."0"', "/nodes/0"),
        (("a/b", "c~d"), '"a/b"."c~d"', "/a~1b/c~0d"),
        (("main fuse", 'say "x"'), '"main fuse"."say \\"x\\""', '/main fuse/say "x"'),
        (("", "caf\u00e9"), '""."caf\u00e9"', "//caf\u00e9"),
        (("\x1b[31m", "a\nb"), r'"\u001b[31m"."a\nb"', "/\x1b[31m/a\nb"),
    ],
)
def test_text_and_pointer(keys, text, pointer):
    path = Path(*keys)
    assert (str(path), path.pointer) == (text, pointer)
    assert Path.parse(text) == path == Path.of(keys)
    assert repr(path) == f"Path({text!r})"


@given(st.lists(st.text() | st.integers(0, 10**6)))
def test_any_keys_come_back(keys):
    path = Path(*keys)
    back = Path.parse(str(path))
    assert back == path
    assert list(map(type, back)) == list(map(type, path))


@given(st.text())
def test_any_text_is_a_path(text):
    assert isinstance(Path.parse(text), Path)


def test_a_path_grows_and_is_a_tuple():
    path = Path("nodes") / "F1" / 0
    assert path == ("nodes", "F1", 0)
    assert isinstance(path / "x", Path)
    assert path[:2] == Path("nodes", "F1")
    assert {path: 1}["nodes", "F1", 0] == 1


def test_a_path_can_be_copied_and_sent():
    path = Path("a.b", 0)
    assert pickle.loads(pickle.dumps(path)) == copy.deepcopy(path) == path
    assert isinstance(pickle.loads(pickle.dumps(path)), Path)
