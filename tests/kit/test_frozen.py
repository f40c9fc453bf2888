"""The frozen dataclass of the house does what the one of the standard library does: here each class is made by both."""

from __future__ import annotations

import copy
import dataclasses
import math
import pickle
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rigfeed.frozen import frozen

NAN = math.nan


def plain(cls: Any = None, /, **options: bool) -> Any:
    return dataclasses.dataclass(cls, frozen=True, **options)


def classes(make: Any) -> dict[str, Any]:
    """One class of each sort, made by one of the two decorators."""

    @make
    class Empty:
        pass

    @make
    class One:
        value: Any

    @make
    class Three:
        id: Any
        value: Any = 1.0
        where: Any = dataclasses.field(default="", compare=False)
        deep: Any = dataclasses.field(default=(), repr=False)

    @make(kw_only=True)
    class Under(Three):
        more: Any = 0

    @make(eq=False)
    class Same:
        value: Any

    @make(eq=False)
    class Heir(One):
        other: Any = 0

    @make
    class Own:  # noqa: PLW1641 - the decorator gives it a hash
        value: Any
        other: Any = 0

        def __repr__(self) -> str:
            return "its own"

        def __eq__(self, other: object) -> bool:
            return isinstance(other, Own) and self.value == other.value

    @make
    class Hashed:
        value: Any

        def __hash__(self) -> int:
            return 7

    return {cls.__name__: cls for cls in (Empty, One, Three, Under, Same, Heir, Own, Hashed)}


OURS, THEIRS = classes(frozen), classes(plain)
VALUES = st.one_of(st.integers(0, 2), st.sampled_from(["", "a", (1, "b"), NAN]), st.none())
GIVEN = st.tuples(st.sampled_from(sorted(OURS)), st.lists(VALUES, min_size=4, max_size=4))


def both(given_: tuple[str, list[Any]]) -> tuple[Any, Any]:
    name, values = given_
    names = [field.name for field in dataclasses.fields(THEIRS[name])]
    said = dict(zip(names, values, strict=False))
    return OURS[name](**said), THEIRS[name](**said)


@settings(deadline=None)
@given(GIVEN, GIVEN)
def test_two_are_equal_where_they_are_with_the_library(one, other):
    ours, theirs = zip(both(one), both(other), strict=True)
    assert (ours[0] == ours[1]) == (theirs[0] == theirs[1])
    assert (ours[0] != ours[1]) == (theirs[0] != theirs[1])


@settings(deadline=None)
@given(GIVEN)
def test_it_looks_and_hashes_as_with_the_library(one):
    ours, theirs = both(one)
    assert repr(ours) == repr(theirs)
    if one[0] != "Same":  # whose hash is that of the object
        assert hash(ours) == hash(theirs)


@pytest.mark.parametrize("name", sorted(OURS))
def test_it_is_made_and_changed_as_with_the_library(name):
    ours, theirs = OURS[name], THEIRS[name]
    assert [(f.name, f.default, f.kw_only) for f in dataclasses.fields(ours)] == [
        (f.name, f.default, f.kw_only) for f in dataclasses.fields(theirs)
    ]
    assert ours.__match_args__ == theirs.__match_args__
    assert ours.__doc__ == theirs.__doc__
    with pytest.raises(TypeError, match="unexpected keyword"):
        ours(nothing=1)


def test_nothing_in_it_can_be_changed_but_a_copy_can_be_had():
    first = OURS["Three"]("a", value=2.0)
    with pytest.raises(dataclasses.FrozenInstanceError):
        first.value = 3.0
    with pytest.raises(dataclasses.FrozenInstanceError):
        del first.value
    with pytest.raises(dataclasses.FrozenInstanceError):
        first.unheard_of = 1
    assert dataclasses.replace(first, value=3.0) == OURS["Three"]("a", 3.0)
    assert copy.deepcopy(first) == first


def test_a_plain_frozen_dataclass_can_stand_under_one_of_ours_and_over_it():
    @dataclasses.dataclass(frozen=True)
    class Below(OURS["Three"]):  # type: ignore[misc]
        more: int = 0

    @frozen
    class Lowest(Below):
        last: int = 0

    assert Below("a", more=1) == Below("a", more=1) != Below("a", more=2)
    assert Lowest("a", last=1) == Lowest("a", last=1) != Lowest("a", last=2)
    assert repr(Lowest("a")).endswith("Lowest(id='a', value=1.0, where='', more=0, last=0)")


@frozen
class Lasting:
    """At the top of the module, where pickle finds it."""

    value: int


def test_it_can_be_pickled():
    assert pickle.loads(pickle.dumps(Lasting(3))) == Lasting(3)


def test_an_array_alone_in_it_is_compared_as_with_the_library():
    array = np.zeros(3)
    for cls in (OURS["One"], THEIRS["One"]):
        assert cls(array) == cls(array)  # the same array: nobody looks into it
        with pytest.raises(ValueError, match="ambiguous"):
            _ = cls(array) == cls(np.zeros(3))
