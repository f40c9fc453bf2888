"""The file of families: whole, possible, and honest about what is only remembered."""

from __future__ import annotations

from itertools import pairwise
from typing import get_args

import pytest

from rigfeed_fuses.families import BREAKERS, FUSES, BreakerFamily, FuseFamily, families, family, read
from rigfeed_fuses.parts import BODIES

RATINGS = (1, 3, 5, 10, 30, 60, 100, 250)
each = pytest.mark.parametrize("name", FUSES + BREAKERS)


def test_the_words_in_the_code_are_the_families_of_the_file():
    assert set(families()) == {*get_args(FuseFamily), *get_args(BreakerFamily)}
    assert {name for name, found in families().items() if found.sort == "fuse"} == set(FUSES)
    assert {name for name, found in families().items() if found.sort == "breaker"} == set(BREAKERS)
    assert {family(name).body or name for name in FUSES} == set(BODIES)


@each
@pytest.mark.parametrize("rated_a", RATINGS)
def test_gates_rise_and_their_times_fall(name, rated_a):
    gates = family(name).curve(rated_a).gates
    assert (gates[0].multiple <= 1.1, gates[0].most_s) == (True, None), "the first says what it carries"
    assert all(a.multiple < b.multiple for a, b in pairwise(gates))
    for side in ("least_s", "most_s"):
        times = [time for gate in gates if (time := getattr(gate, side)) is not None]
        assert all(a > b for a, b in pairwise(times))
    for gate in gates:
        assert gate.least_s is None or gate.most_s is None or gate.least_s < gate.most_s
    assert next(gate.multiple for gate in gates if gate.most_s is not None) == 1.35


@each
def test_every_figure_has_a_source_and_memory_says_so(name):
    found = family(name)
    figures = [*found.gates, *found.drops, found.rerating, found.hot_over_cold]
    figures += [found.colours] if found.colours else []
    for figure in figures:
        assert len(figure.source) > 8
        assert ("memory" in figure.source) <= (figure.confidence == "memory")
        assert figure.confidence in ("published", "memory")


def test_only_what_was_seen_is_called_published():
    seen = {(name, g.multiple) for name in FUSES for g in family(name).gates if g.confidence == "published"}
    form_e = {("E", multiple) for multiple in (1.0, 1.35, 2.0, 3.5)}
    glass = {(name, m) for name in ("glass 6.3x32", "glass 6.3x32 delay") for m in (1.1, 1.35, 2.0)}
    assert seen == {("C", 1.35)} | form_e | glass


@each
def test_rerating_falls_with_heat_and_is_one_in_the_air_of_the_standard(name):
    curve = family(name).curve(20.0)
    factors = [factor for _, factor in curve.rerating]
    assert all(a >= b for a, b in pairwise(factors))
    assert {curve.factor(20.0), curve.factor(23.0), curve.factor(25.0)} == {1.0}
    assert curve.air_range_c[0] == -40.0
    assert curve.air_range_c[1] >= 85.0


def test_colours_tell_ratings_apart_within_a_family():
    assert family("C").colour(10.0) == "red"
    assert family("E").colour(50.0) == "red"
    assert family("C").colour(7.5) == "brown"
    assert family("E").colour(40.0) == "orange"
    assert family("C").colour(9.0) is None
    assert family("SF30").colour(40.0) is None
    for name in ("C", "F", "E"):
        colours = [colour for _, colour in family(name).colours.by_rating]
        assert len(set(colours)) == len(colours)


def test_drop_limits():
    assert family("E").most_drop_v(20.0) == 0.125
    assert family("E").most_drop_v(30.0) == 0.1
    assert family("E").most_drop_v(120.0) is None


@pytest.mark.parametrize(
    ("before", "after", "says"),
    [
        ('sort = "fuse"', 'sort = "valve"', "families.X.*sort"),
        ("[[25, 1.0], [60, 0.9]]", "[[60, 1.0], [25, 0.9]]", "do not rise"),
        ("[[25, 1.0], [60, 0.9]]", "[[25, 1.0], [60, 0.0]]", "not above zero"),
        ("[[25, 1.0], [60, 0.9]]", "[25, 60]", "not a list of pairs"),
        ("multiple = 1.35", "multiple = 0.5", "out of range"),
        ("multiple = 1.35, ", "", "multiple"),
        ('title = "x"', 'title = "x"\ncolour = "red"', "unknown key 'colour'"),
    ],
)
def test_a_broken_file_is_told_with_its_place(before, after, says):
    whole = """
    [families.X]
    title = "x"
    standard = "x"
    sort = "fuse"
    gates = [{ multiple = 1.35, most_s = 60, source = "x", confidence = "memory" }]
    rerating = { source = "x", confidence = "memory", points = [[25, 1.0], [60, 0.9]] }
    hot_over_cold = { value = 1.4, source = "x", confidence = "memory" }
    drops = []
    """
    assert set(read(whole)) == {"X"}
    assert before in whole
    with pytest.raises(ValueError, match=rf"fuses/families\.toml: .*{says}"):
        read(whole.replace(before, after))
