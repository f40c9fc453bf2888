"""The frozen mapping."""

from __future__ import annotations

import pickle

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rigfeed.keyed import Keyed

ITEMS = st.dictionaries(st.text(max_size=3), st.integers())


@given(ITEMS, st.randoms())
def test_order_is_kept_and_no_part_of_equality(items, rng):
    order = list(items)
    rng.shuffle(order)
    other = Keyed({key: items[key] for key in order})
    assert list(other) == order
    assert other == Keyed(items) == items
    assert hash(other) == hash(Keyed(items))


@given(ITEMS, ITEMS)
def test_two_are_equal_exactly_if_their_items_are(one, other):
    assert (Keyed(one) == Keyed(other)) == (one == other)


def test_it_is_a_mapping_that_cannot_change():
    source = {"a": 1}
    keyed = Keyed(source)
    source["b"] = 2
    assert (dict(keyed), len(keyed), keyed["a"], keyed.get("b"), "a" in keyed) == ({"a": 1}, 1, 1, None, True)
    with pytest.raises(TypeError):
        keyed["a"] = 2
    with pytest.raises(KeyError):
        keyed["b"]
    assert Keyed() == {}
    assert Keyed({"a": 1}) != 1
    assert pickle.loads(pickle.dumps(keyed)) == keyed
