"""Edits in a body: read strictly, refused with a pointer into the body, never a fault of the server."""

from __future__ import annotations

from contextlib import suppress

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import rigfeed
from rigfeed import Add, Path, Remove, Rename, Set
from rigfeed.design.edit import apply
from rigfeed.design.schema import to_plain
from rigfeed.errors import InputError, InputErrors
from rigfeed_api.edits import at_edits, edits_of

AT = Path("edits")
LARCH = rigfeed.load(rigfeed.example("larch"))


def test_the_four_edits_are_read():
    read = edits_of(
        [
            {"edit": "set", "path": "conductors.W1.ends.0", "value": "ring:m8-16"},
            {"edit": "add", "path": "nodes.horn", "value": {"facts": {"sealed": True}}},
            {"edit": "remove", "path": 'nodes.F1.facts."shop.crimp"'},
            {"edit": "rename", "path": "nodes.F1", "new": "F11"},
        ], AT, 10,
    )
    assert read == (
        Set(Path("conductors", "W1", "ends", 0), "ring:m8-16"),
        Add(Path("nodes", "horn"), {"facts": {"sealed": True}}),
        Remove(Path("nodes", "F1", "facts", "shop.crimp")),
        Rename(Path("nodes", "F1"), "F11"),
    )


@pytest.mark.parametrize("value", ["", 0, False, [], {}, 1.5])
def test_values_that_are_nearly_nothing_are_values(value):
    assert to_plain(apply(LARCH, edits_of([{"edit": "set", "path": "drawing.x", "value": value}], AT, 1)))["drawing"][
        "x"
    ] == value


WRONG = {
    "no list": ({"edit": "set"}, "edits", "is not a list"),
    "no object": ([3], "edits.0", "is not an edit"),
    "no kind": ([{"path": "a"}], "edits.0.edit", "is missing"),
    "other kind": ([{"edit": "sett", "path": "a"}], "edits.0.edit", "is no edit"),
    "kind of another type": ([{"edit": [], "path": "a"}], "edits.0.edit", "is no edit"),
    "no path": ([{"edit": "remove"}], "edits.0.path", "is missing"),
    "empty path": ([{"edit": "remove", "path": ""}], "edits.0.path", "is empty"),
    "path of dots": ([{"edit": "remove", "path": "..."}], "edits.0.path", "names no place"),
    "long path": ([{"edit": "remove", "path": "a." * 200}], "edits.0.path", "400 characters"),
    "path as list": ([{"edit": "remove", "path": ["nodes", "F1"]}], "edits.0.path", "a list where a text"),
    "control character": ([{"edit": "remove", "path": "nodes.\x1b[2J"}], "edits.0.path", "control character"),
    "no value": ([{"edit": "set", "path": "job.title"}], "edits.0.value", "is missing"),
    "null": ([{"edit": "set", "path": "job.title", "value": None}], "edits.0.value", "is empty"),
    "null inside": ([{"edit": "set", "path": "job", "value": {"title": None}}], "edits.0.value", "nothing cannot be"),
    "half a pair": ([{"edit": "set", "path": "job.title", "value": "\ud800"}], "edits.0.value", "control character"),
    "value of remove": ([{"edit": "remove", "path": "job", "value": 1}], "edits.0.value", "unknown key"),
    "deep": ([{"edit": "set", "path": "drawing.x", "value": [[[[[[[[[[1]]]]]]]]]]}], "edits.0.value", "too deeply"),
    "new id": ([{"edit": "rename", "path": "nodes.F1", "new": "1 F"}], "edits.0.new", "is not of the form"),
    "too many": ([{"edit": "remove", "path": "job"}] * 11, "edits", "11 edits; at most 10"),
    "the second": ([{"edit": "remove", "path": "job"}, {"edit": "remove", "path": 3}], "edits.1.path", "a number"),
}


@pytest.mark.parametrize(("data", "path", "says"), WRONG.values(), ids=WRONG)
def test_what_is_no_edit_is_refused_where_it_stands(data, path, says):
    with pytest.raises(InputError, match=says) as caught:
        edits_of(data, AT, 10)
    assert str(caught.value.place.path) == path


def test_everything_wrong_is_told_at_once():
    with pytest.raises(InputErrors) as caught:
        edits_of([{"edit": "set"}, {"edit": "rename", "path": "nodes.F1"}], AT, 10)
    assert [str(error.place.path) for error in caught.value.errors] == ["edits.0.path", "edits.0.value", "edits.1.new"]


POINTED = {
    "a value": ([Set(Path("runs", "bay", "length"), "9")], "/edits/0/value"),
    "inside of a value": ([Add(Path("nodes", "x"), {"part": "a b"})], "/edits/0/value/part"),
    "the last that touched it": (
        [Set(Path("runs", "bay", "length"), "9 m"), Set(Path("runs", "bay", "length"), "9")], "/edits/1/value",
    ),
    "a path": ([Set(Path("runs", "attic", "length"), "9 m")], "/edits/0/path"),
    "a removal": ([Remove(Path("nodes", "none"))], "/edits/0/path"),
    "a name that is taken": ([Rename(Path("nodes", "F1"), "F2")], "/edits/0/path"),
    "what an edit left hanging": ([Set(Path("nodes", "hf", "at"), "moon")], "/edits/0/value"),
    "the list, where no edit touched it": ([Set(Path("points", "x"), {})] * 2 + [Remove(Path("points"))], "/edits"),
}


@pytest.mark.parametrize(("edits", "pointer"), POINTED.values(), ids=POINTED)
def test_an_error_of_the_design_points_to_the_edit(edits, pointer):
    with pytest.raises(InputError) as caught:
        apply(LARCH, edits)
    error = at_edits(caught.value, edits, AT)
    inner = error.errors[0] if isinstance(error, InputErrors) else error
    assert inner.place.path.pointer == pointer
    assert ": " in inner.what  # names the place in the design


def paths(data, path=()):
    yield path
    inside = data.items() if isinstance(data, dict) else enumerate(data) if isinstance(data, list) else ()
    for key, item in inside:
        yield from paths(item, (*path, key))


KNOWN = [str(Path(*path)) for path in paths(to_plain(LARCH)) if path]
ODD = ["nodes.5", "5", "nodes.F1.5.3", "deviations.0", "conductors.W1.ends.7", 'nodes."a b"', "drawing.nodes.F1"]
texts = st.sampled_from(KNOWN) | st.sampled_from(ODD) | st.text(max_size=12)
values = st.recursive(
    st.booleans() | st.integers() | st.floats(allow_nan=False) | st.sampled_from(["1 m", "F1", "start.pos", "x", ""]),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=4), inner, max_size=3), max_leaves=5,
)
bodies = st.lists(
    st.fixed_dictionaries({"edit": st.sampled_from(["set", "add"]), "path": texts, "value": values})
    | st.fixed_dictionaries({"edit": st.just("remove"), "path": texts})
    | st.fixed_dictionaries({"edit": st.just("rename"), "path": texts, "new": st.sampled_from(["F9", "F1", "x"])}),
    min_size=1, max_size=4,
)


@settings(max_examples=150, suppress_health_check=[HealthCheck.too_slow], derandomize=True)
@given(bodies)
def test_made_up_edits_are_done_or_refused_and_the_design_stands(body):
    before = to_plain(LARCH)
    with suppress(InputError):
        assert to_plain(apply(LARCH, edits_of(body, AT, 10)))["format"] == 1
    assert to_plain(LARCH) == before
