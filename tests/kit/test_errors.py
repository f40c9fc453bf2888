"""Errors: what they say, that they keep their fields, and the names that they suggest."""

from __future__ import annotations

import copy
import inspect
import pickle
import time

import pytest

from rigfeed import errors
from rigfeed.errors import (
    MOST_LISTED,
    BadQuantity,
    CatalogError,
    DesignError,
    FileProblem,
    InputError,
    InputErrors,
    OutOfRange,
    Place,
    RigfeedError,
    UnknownName,
    known_or_raise,
    nearest,
    shown,
)
from rigfeed.path import Path

WHERE = Place(file="d.toml", line=3, column=7, path=Path("nodes", "F1"))
KINDS = [kind for _, kind in inspect.getmembers(errors, inspect.isclass) if issubclass(kind, RigfeedError)]


@pytest.mark.parametrize(
    ("place", "text"),
    [
        (WHERE, "d.toml:3:7: nodes.F1"),
        (Place(file="d.toml", line=3), "d.toml:3"),
        (Place(path=Path("nodes")), "nodes"),
        (Place(file="d.toml", path=Path()), "d.toml"),
        (Place(), ""),
    ],
)
def test_a_place(place, text):
    assert str(place) == text
    assert str(DesignError("is wrong", place=place)) == (f"{text}: is wrong" if text else "is wrong")
    assert str(DesignError("is wrong", place=place, remedy="mend it")).endswith("is wrong (mend it)")


def test_the_tree_in_the_docstring_names_every_kind_and_no_other():
    drawn = {line.split("── ")[-1].split()[0] for line in (errors.__doc__ or "").splitlines() if "──" in line}
    assert drawn | {"RigfeedError"} == {kind.__name__ for kind in KINDS}


@pytest.mark.parametrize(
    ("kind", "builtin"),
    [(BadQuantity, ValueError), (UnknownName, LookupError), (OutOfRange, ValueError), (FileProblem, OSError)],
)
def test_a_kind_is_also_the_builtin_that_it_means(kind, builtin):
    assert issubclass(kind, builtin)


SAMPLES = [
    DesignError("a", place=WHERE, remedy="r"),
    FileProblem("a", place=WHERE, remedy="r"),
    BadQuantity("a", remedy="r"),
    UnknownName("node", "F9", ["F1", "F2"], place=WHERE),
    OutOfRange("ambient_c", 95.0, "-40 to 89"),
    InputErrors([DesignError("a", place=WHERE), UnknownName("node", "x", [])]),
]


@pytest.mark.parametrize("error", SAMPLES, ids=lambda error: type(error).__name__)
@pytest.mark.parametrize("again", [lambda error: pickle.loads(pickle.dumps(error)), copy.copy, copy.deepcopy])
def test_an_error_can_be_sent_and_copied(error, again):
    other = again(error)
    assert type(other) is type(error)
    assert (str(other), other.what, other.place, other.remedy) == (str(error), error.what, error.place, error.remedy)


def test_the_place_can_be_filled_in_later():
    error = DesignError("a", place=Place(path=Path("x")))
    assert error.at(file="d.toml", line=2) is error
    assert str(error) == "d.toml:2: x: a"


def test_of_many_errors_the_first_are_listed_and_the_rest_counted():
    errors = InputErrors(InputError(f"e{n}") for n in range(MOST_LISTED + 5))
    assert str(errors).splitlines() == [f"e{n}" for n in range(MOST_LISTED)] + ["... and 5 more"]
    assert errors.what == "25 errors"
    assert InputErrors([InputError("x")]).what == "1 error"


def test_one_error_is_raised_as_itself_several_together_none_not():
    known_or_raise([])
    with pytest.raises(CatalogError):
        known_or_raise([CatalogError("a")])
    with pytest.raises(InputErrors, match="a\nb"):
        known_or_raise([CatalogError("a"), DesignError("b")])


@pytest.mark.parametrize(
    ("name", "known", "said"),
    [
        ("lenght", ["length", "label", "slack"], "did you mean 'length'?"),
        ("f1", ["F1", "F2"], "did you mean 'F1'?"),
        ("blade-11", ["blade-10", "blade-15", "maxi"], "did you mean 'blade-15' or 'blade-10'?"),
        ("zzz", ["b", "A", "c"], "known: A, b, c"),
        ("x", [], "none is defined"),
        ("zzz", [f"k{n:02}" for n in range(20)], f"known: {', '.join(f'k{n:02}' for n in range(16))}, ..."),
        ("x" * 10_000, ["b"], "known: b"),
    ],
)
def test_the_nearest_names(name, known, said):
    assert nearest(name, known) == said
    assert UnknownName("key", name, known).remedy == said


def test_among_very_many_names_a_near_one_is_found_in_no_time():
    known = [f"W{number}" for number in range(10_000)]
    begun = time.process_time()
    assert "'W1234'" in nearest("W1234x", known)
    assert nearest("w77", known) == "did you mean 'W77'?"
    assert time.process_time() - begun < 1


def test_an_unknown_name_keeps_what_it_was_about():
    error = UnknownName("node", "F9", iter(["F1"]))
    assert (error.sort, error.name, error.remedy, error.remedy) == ("node", "F9", "known: F1", "known: F1")
    error.remedy += "; see the list"
    assert str(error) == "there is no node 'F9' (known: F1; see the list)"


def test_what_is_shown_of_a_text_is_short_and_printable():
    assert shown("F1") == "'F1'"
    assert shown("x" * 100) == "'" + "x" * 60 + "...'"
    assert shown("\x1b[2J\n").isprintable()
    assert len(str(UnknownName("node", "x" * 10**6, []))) < 200
