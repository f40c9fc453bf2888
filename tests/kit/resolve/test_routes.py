"""The shortest allowed way, where nobody gave a route."""

from __future__ import annotations

import itertools
import random

import pytest

import rigfeed
from rigfeed.design.file import parse
from rigfeed.design.model import Run
from rigfeed.installation import LaidZone
from rigfeed.keyed import Keyed
from rigfeed.quantity import Quantity
from rigfeed.resolve.routes import shortest_way

ZONES = Keyed({"hot": LaidZone("hot", "hot", 110, 0, None), "cool": LaidZone("cool", "cool", 40, 0, None)})

DESIGN = """
format = 1
[zones]
bay = { warmest = "90 degC", coldest = "-20 degC" }
cab = { warmest = "45 degC", coldest = "-20 degC" }
[points]
a = { zone = "bay" }
b = { zone = "cab" }
c = { zone = "cab" }
[runs]
direct = { from = "a", to = "c", length = "1 m", zone = "bay", closed = CLOSED }
one = { from = "a", to = "b", length = "1 m", zone = "bay" }
two = { from = "c", to = "b", length = "1.5 m", zone = "cab" }
[nodes]
start = { part = "battery:flooded-45", at = "a" }
set = { part = "radio:vhf-25", at = "c" }
[conductors]
W1 = { cable = "cable:thinwall-2.5", from = "start.pos", to = "set.pos" }
"""


def run(start: str, end: str, length_m: float, zone: str = "cool", closed: bool = False) -> Run:
    return Run(start, end, Quantity(f"{length_m} m", length_m), zone, closed)


def way(runs, insulation_c=105, start="a", goal="c"):
    return shortest_way(runs, start, goal, ZONES, insulation_c)


def test_the_shortest_not_the_fewest():
    runs = {"far": run("a", "c", 5), "one": run("a", "b", 1), "two": run("c", "b", 2)}
    assert way(runs) == ("one", "two")
    assert way(runs, start="b", goal="b") == ()
    assert way(runs, goal="nowhere") is None


def test_closed_unmeasured_and_too_hot_runs_are_no_way():
    long_way = {"one": run("a", "b", 5), "two": run("b", "c", 5)}
    assert way({**long_way, "x": run("a", "c", 1, closed=True)}) == ("one", "two")
    assert way({**long_way, "x": Run("a", "c")}) == ("one", "two")
    assert way({**long_way, "x": run("a", "c", 1, "hot")}) == ("one", "two")
    assert way({**long_way, "x": run("a", "c", 1, "hot")}, insulation_c=125) == ("x",)
    assert way({**long_way, "x": run("a", "c", 1, "hot")}, insulation_c=None) == ("x",)


def test_of_two_equal_ways_always_the_same():
    runs = {name: run(*ends) for name, ends in {"b1": ("a", "b", 1), "b2": ("b", "c", 1), "x": ("a", "c", 2)}.items()}
    assert way(runs) == ("x",)  # the fewer runs
    twins = {"y": run("a", "c", 2), "x": run("a", "c", 2)}
    assert way(twins) == way(dict(reversed(twins.items()))) == ("x",)


@pytest.mark.parametrize("seed", range(20))
def test_no_way_by_trying_all_is_shorter(seed):
    dice = random.Random(seed)
    points = "abcdef"
    pairs = dice.sample(list(itertools.combinations(points, 2)), 9)
    runs = {f"r{n}": run(*pair, dice.randint(1, 9)) for n, pair in enumerate(pairs)}

    def all_ways(here, seen, so_far):
        if here == "c":
            yield so_far
        for name, r in runs.items():
            there = {r.start: r.end, r.end: r.start}.get(here)
            if there and there not in seen:
                yield from all_ways(there, {*seen, there}, (*so_far, name))

    found = way(runs)
    lengths = [sum(runs[n].length.si for n in w) for w in all_ways("a", {"a"}, ())]
    assert (found is None) == (not lengths)
    assert not lengths or sum(runs[n].length.si for n in found) == min(lengths)


@pytest.mark.parametrize(("closed", "runs", "length_m"), [("false", ["direct"], 1.0), ("true", ["one", "two"], 2.5)])
def test_a_conductor_without_route_takes_it_and_says_so(closed, runs, length_m):
    installation = rigfeed.assess(parse(DESIGN.replace("CLOSED", closed))).installation
    conductor = installation.conductors["W1"]
    assert [stretch.run for stretch in conductor.stretches] == runs
    assert conductor.length_m == pytest.approx(length_m)
    assert conductor.slack_m == pytest.approx(0.45)
    (told,) = [a for a in installation.assumptions if str(a.subject) == "conductors.W1.route"]
    assert told.what == f"led over {', '.join(runs)}, the shortest way that is allowed"
    assert told.value.value == pytest.approx(length_m)
